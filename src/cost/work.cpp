#include "cost/work.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/units.h"
#include "cost/sections.h"
#include "joint/make_up.h"

namespace rakelight {
namespace {

// Estimates, from memory of what such work takes; none was verified.
constexpr Range set_up{0.3, 0.6}, clean_down{0.25, 0.5};      // h a visit: mixing, lights, carrying; washing tools, sweeping
constexpr Range protect{0.03, 0.06};                          // h per m² of floor, once: floor, windows, sockets
constexpr Range under_lamp{0.010, 0.025};                     // h per m²: walking all faces with a lamp, marking
constexpr Range touching_up{0.02, 0.08};                      // of the hours of coats and sanding
// boarding above 10 ft takes 40 % more (an estimator's column, V); taken for finishing too, at most
constexpr double reached_from_floor = 3.05;
constexpr Range height_more{0.0, 0.40};

double floor_area(const Room& room) {
  double twice = 0;
  for (std::size_t i = 0; i < room.plan.size(); ++i) {
    const dvec2 a = room.plan[i], b = room.plan[(i + 1) % room.plan.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return std::abs(twice) / 2;
}

/// Share of a boarded face that is out of reach from the floor.
double share_up_high(const Study& study, const SurfaceResult& s) {
  const Surface& face = study.room.surfaces[s.surface];
  if (face.kind == Surface::Kind::ceiling) return study.room.height > reached_from_floor ? 1 : 0;
  double high = 0;
  for (const Sheet& sheet : s.layout.sheets)
    for (const Rect& piece : sheet.pieces) high += piece.width() * std::max(0.0, piece.hi.y - std::max(piece.lo.y, reached_from_floor));
  const double area = boarded_area(s.layout);
  return area > 0 ? high / area : 0;
}

/// One surface's part in the job's passes.
struct Share {
  const SurfaceResult* result;
  const Level* level;
  std::string name;
  PassHours hours;
  double up_high;
  int coats = 0;                       ///< on its joints between sheets
  std::vector<CoatVolume> thickest;    ///< per coat
  std::vector<std::string> compound;
};

Share share_of(const Study& study, const SurfaceResult& s) {
  Share out{&s, study.scheme.find(s.finish.level), study.room.surfaces[s.surface].name, pass_hours(study, s), share_up_high(study, s), 0, {}, *study.job.finishing.compound};
  if (!out.level->tape) return out;
  out.coats = coats_on(*out.level, JointKind::recessed);
  for (const JointResult& joint : s.joints) {
    const std::vector<CoatVolume> volumes = coat_volumes(joint.joint);
    out.coats = std::max(out.coats, static_cast<int>(volumes.size()));
    out.thickest.resize(std::max(out.thickest.size(), volumes.size()));
    for (std::size_t k = 0; k < volumes.size(); ++k) out.thickest[k].thickest = std::max(out.thickest[k].thickest, volumes[k].thickest);
  }
  return out;
}

std::string compound_of(const std::vector<std::string>& compound, int coat) {
  return compound.empty() ? "drying" : compound[std::min(static_cast<std::size_t>(coat), compound.size() - 1)];
}

void add(Visit& visit, const std::string& what, Range hours) {
  if (hours.high <= 0) return;
  for (Task& task : visit.tasks)
    if (task.what == what) {
      task.hours = task.hours + hours;
      return;
    }
  visit.tasks.push_back({what, hours});
}

/// `passes`: how many of a surface's passes the visit is.
void work_on(Visit& visit, const Share& share, const std::string& what, double passes, bool film = false) {
  const Range hours = film ? share.hours.film : share.hours.pass * passes;
  if (hours.high <= 0) return;
  visit.surfaces.push_back(share.name);
  const bool ceiling = what == "ceilings";
  add(visit, ceiling ? what : "walls", hours);
  add(visit, "work over 3 m high", hours * height_more * share.up_high);
}

class Sequence {
 public:
  Sequence(const Study& study, const Surfaces& surfaces) : study_(study) {
    for (const SurfaceResult* s : surfaces)
      if (boarded_area(s->layout) > 0) shares_.push_back(share_of(study, *s));
  }

  std::vector<Visit> visits() {
    int most = 0;
    for (const Share& share : shares_) most = std::max(most, share.coats);
    for (int k = 0; k < most; ++k) coat(k);
    film();
    sanding();
    finish();
    return std::move(visits_);
  }

 private:
  std::string kind_of(const Share& share) const {
    return study_.room.surfaces[share.result->surface].kind == Surface::Kind::ceiling ? "ceilings" : "walls";
  }

  void begin(Visit& visit) const {
    add(visit, "setting up", set_up);
    if (visits_.empty()) add(visit, "protecting floor and windows", protect * floor_area(study_.room));
  }
  void end(Visit visit) {
    if (visit.surfaces.empty()) return;
    add(visit, "cleaning down", clean_down);
    visits_.push_back(std::move(visit));
  }

  void coat(int k) {
    Visit visit;
    visit.coat = k;
    visit.name = coat_name(k);
    visit.compound = compound_of(*study_.job.finishing.compound, k);
    begin(visit);
    for (const Share& share : shares_) {
      if (k >= share.coats) continue;
      // a coat that only fixings or beads take is no pass over the joints; it goes with their area, in the other passes
      const bool joints = k < coats_on(*share.level, JointKind::recessed);
      work_on(visit, share, kind_of(share), !joints ? 0.1 : share.level->wiped_coat && k > 0 ? 0.5 : 1);
      if (k < static_cast<int>(share.thickest.size())) visit.thickest = std::max(visit.thickest, share.thickest[static_cast<std::size_t>(k)].thickest);
    }
    end(std::move(visit));
  }

  void film() {
    Visit visit;
    visit.kind = Visit::Kind::film;
    visit.name = "film over the whole face";
    begin(visit);
    for (const Share& share : shares_) {
      if (share.level->skim <= 0) continue;
      work_on(visit, share, kind_of(share), 0, true);
      visit.coat = std::max(visit.coat, coats_on(*share.level, JointKind::recessed));
      visit.thickest = std::max(visit.thickest, share.level->skim);
    }
    visit.compound = compound_of(*study_.job.finishing.compound, visit.coat);
    end(std::move(visit));
  }

  void sanding() {
    if (*study_.job.finishing.sanding == SandingSpec::none) return;
    Visit visit;
    visit.kind = Visit::Kind::sanding;
    visit.name = "sanding";
    begin(visit);
    for (const Share& share : shares_)
      if (share.level->coats > 0) work_on(visit, share, kind_of(share), 1);
    end(std::move(visit));
  }

  void finish() {
    Visit sealer, check, touch_up;
    sealer.kind = Visit::Kind::sealer;
    sealer.name = "sealer";
    sealer.by_painter = true;
    check.kind = Visit::Kind::check;
    check.name = "check under the lamp";
    touch_up.kind = Visit::Kind::touch_up;
    touch_up.name = "touching up";
    touch_up.compound = compound_of(*study_.job.finishing.compound, 99);
    add(check, "setting up", set_up);
    add(touch_up, "setting up", set_up);
    Range worked;
    for (const Share& share : shares_) {
      if (share.level->sealer == "none" || share.level->coats == 0) continue;
      sealer.surfaces.push_back(share.name);
      check.surfaces.push_back(share.name);
      touch_up.surfaces.push_back(share.name);
      add(check, "walking all faces with the lamp", under_lamp * boarded_area(share.result->layout));
      worked = worked + share.hours.pass * (share.level->coats + 2.0) + share.hours.film;
    }
    if (sealer.surfaces.empty()) return;
    add(touch_up, "spots found under the lamp", touching_up * worked);
    visits_.push_back(std::move(sealer));
    end(std::move(check));
    end(std::move(touch_up));
  }

  const Study& study_;
  std::vector<Share> shares_;
  std::vector<Visit> visits_;
};

}  // namespace

Range Visit::hours() const {
  Range sum;
  for (const Task& task : tasks) sum = sum + task.hours;
  return sum;
}

std::vector<Visit> visits_of(const Study& study, const Surfaces& surfaces) { return Sequence(study, surfaces).visits(); }

Range hours_of(const std::vector<Visit>& visits) {
  Range sum;
  for (const Visit& visit : visits)
    if (!visit.by_painter) sum = sum + visit.hours();
  return sum;
}

int count_of(const std::vector<Visit>& visits) {
  return static_cast<int>(std::count_if(visits.begin(), visits.end(), [](const Visit& v) { return !v.by_painter; }));
}

std::string coat_name(int coat) {
  constexpr const char* names[] = {"bed and tape", "second coat", "third coat", "fourth coat", "fifth coat"};
  return coat < 5 ? names[coat] : "coat " + std::to_string(coat + 1);
}

}  // namespace rakelight
