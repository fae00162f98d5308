// V of any mix of levers from a few looks. (Over 500 lines: one class, whose parts know each other.)
#include "advice/sketch.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "assess/plain_relief.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

// joints whose band does not come near the verdict "shows" need no factors
constexpr double matters = 0.5;
// moments at which a joint is seen less than this share of its best, all factors counted, do not become its worst by what is left out
constexpr double counts = 0.25;
// how far changes that leave one joint less seen may leave another more seen; and a chance that hundreds of joints may have unseen
constexpr double missed_by = 2, no_chance = 1e-4;
/// Joints this long are looked at all along, m, so far apart: they cross several sheets, and what is seen best of them may be elsewhere
/// once a paint, a lamp or a cover is another.
constexpr double far_along = 8, stations_apart = 0.3;

/// Whether two lines are one joint: of one kind, on one line, most of the shorter beside the other.
bool same_line(const JointLine& a, const JointLine& b) {
  if (a.kind != b.kind || std::abs(glm::dot(a.along(), b.across())) > 1e-6 || std::abs(glm::dot(b.from - a.from, a.across())) > 1e-3) return false;
  const double from = glm::dot(b.from - a.from, a.along()), to = glm::dot(b.to - a.from, a.along());
  const double shared = std::min(a.length(), std::max(from, to)) - std::max(0.0, std::min(from, to));
  return shared > 0.5 * std::min(a.length(), b.length());
}

/// Finds joints that are one with another (same_line) among many, without asking each of them.
class LinesByPlace {
 public:
  template <class List, class LineOf>
  LinesByPlace(const List& list, const LineOf& line_of) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      lines_.push_back(&line_of(list[i]));
      at_[key(*lines_[i], 0)].push_back(i);
    }
  }
  /// Indices of those that `line` is one with, ascending.
  std::vector<std::size_t> like(const JointLine& line) const {
    std::vector<std::size_t> found;
    for (const int beside : {-1, 0, 1})
      if (const auto there = at_.find(key(line, beside)); there != at_.end())
        for (const std::size_t i : there->second)
          if (same_line(*lines_[i], line)) found.push_back(i);
    std::sort(found.begin(), found.end());
    return found;
  }

 private:
  // by kind and how far the line lies off the origin, in stripes wider than one line may stand off another
  using Key = std::pair<JointKind, long>;
  static Key key(const JointLine& line, int beside) {
    dvec2 across = line.across();
    if (std::abs(across.x) > std::abs(across.y) - 1e-6 ? across.x < 0 : across.y < 0) across = -across;
    return {line.kind, std::lround(glm::dot(line.from, across) / 0.01) + beside};
  }
  std::vector<const JointLine*> lines_;
  std::map<Key, std::vector<std::size_t>> at_;
};

/// Adds looks from where it was seen best, all along a joint that is long.
void look_along(const JointLine& line, const Focus& best, std::vector<Focus>& looks) {
  const double length = line.length();
  if (length < far_along) return;
  const int more = static_cast<int>(std::ceil(length / stations_apart));
  for (int k = 0; k < more; ++k) looks.push_back({best.moment, best.viewer, length * (k + 0.5) / more});
}

/// The looks at a joint that is not there yet: those of the joint beside it that runs the same way, else of any.
template <class Pieces>
std::vector<Focus> borrowed(const JointLine& line, const Pieces& pieces, double least_share) {
  const auto* nearest = static_cast<decltype(&pieces[0])>(nullptr);
  double distance = 0;
  const dvec2 middle = 0.5 * (line.from + line.to);
  for (const auto& p : pieces) {
    if (p.worst < 0) continue;
    const bool along = std::abs(glm::dot(p.line.along(), line.across())) < 0.1;
    const double d = glm::length(0.5 * (p.line.from + p.line.to) - middle) + (along ? 0 : 100);
    if (!nearest || d < distance) {
      nearest = &p;
      distance = d;
    }
  }
  std::vector<Focus> out;
  if (!nearest) return out;
  for (std::size_t m = 0; m < nearest->v.size(); ++m) {
    if (nearest->v[m] < least_share * nearest->v[static_cast<std::size_t>(nearest->worst)] || nearest->v[m] <= 0) continue;
    Focus f = nearest->focus[m];
    const dvec2 at = nearest->line.from + f.station * nearest->line.along();
    const double from_end = std::min(0.15, 0.1 * line.length());
    f.station = std::clamp(glm::dot(at - line.from, line.along()), from_end, line.length() - from_end);
    out.push_back(f);
  }
  return out;
}

/// What decides which sheets and joints there are.
std::array<int, 4> shape_of(const Mix& m) { return {at(m, Lever::run), at(m, Lever::layout), at(m, Lever::level), at(m, Lever::width)}; }

const Seen* seen_at(const JointResult& r, int moment, int viewer) {
  for (const Seen& s : r.seen)
    if (s.moment == moment && s.viewer == viewer) return &s;
  return nullptr;
}

}  // namespace

Sketch::Group Sketch::group_of(JointKind kind) { return is_long(kind) ? longs : is_end(kind) ? ends : others; }

Sketch::Sketch(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked) : Sketch(study, advice, asked, levers_of(study, advice)) {}

Sketch::Sketch(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, std::vector<LeverSettings> levers)
    : study_(study), advice_(advice), asked_(asked), levers_(std::move(levers)) {
  const auto count = [&](Lever lever) { return static_cast<int>(levers_[static_cast<std::size_t>(lever)].settings.size()); };
  for (int run = 0; run < count(Lever::run); ++run)
    for (int layout = 0; layout < count(Lever::layout); ++layout) add_base(run, layout);
  find_factors();
  Outcome now = expected(Mix{});
  now.looked = true;
  looked_.emplace(Mix{}, now);
}

const Relief& Sketch::relief_of(const Study& study, const Mix& mix) {
  // paint, light and framing leave it as it is
  const std::array<int, 4> key = shape_of(mix);
  if (const auto known = reliefs_.find(key); known != reliefs_.end()) return known->second;
  if (reliefs_.size() >= 4) reliefs_.clear();  // a hall's take tens of megabytes each; mixes of one shape are looked at one after another
  return reliefs_.emplace(key, finished_relief(study, study.layouts[asked_.surface], asked_.surface, requested_finish(study, asked_.surface))).first->second;
}

const SurfaceResult* Sketch::result_at(Run run, const std::string& level) const {
  for (const SurfaceResult& r : advice_.results)
    if (r.finish.run == run && r.finish.level == level) return &r;
  return nullptr;
}

Sketch::Base Sketch::base_of(const SurfaceResult& full) const {
  Base base;
  base.bare.surface = full.surface;
  base.bare.finish = full.finish;
  base.bare.layout = full.layout;
  const double gain = *study_.job.verdict.gain;
  for (const JointResult& r : full.joints) {
    Piece p;
    p.line = r.joint.line;
    p.group = group_of(p.line.kind);
    p.width = r.width;
    p.v.assign(study_.moments.size(), 0.0);
    p.focus.resize(study_.moments.size());
    for (const Seen& s : r.seen) {
      const auto m = static_cast<std::size_t>(s.moment);
      if (s.judged.visibility <= p.v[m]) continue;
      p.v[m] = s.judged.visibility;
      p.focus[m] = {s.moment, s.viewer, s.station};
    }
    if (r.worst >= 0) p.worst = r.seen[static_cast<std::size_t>(r.worst)].moment;
    const double v = p.worst < 0 ? 0 : p.v[static_cast<std::size_t>(p.worst)];
    if (v > 0)
      for (const double s : r.spread) p.spread.push_back(s * gain / v);
    if (r.framing) p.framing = r.framing->alone.visibility;
    base.pieces.push_back(std::move(p));
  }
  return base;
}

void Sketch::add_base(int run, int layout) {
  std::vector<Base>& all = bases_[static_cast<std::size_t>(run)];
  const Run way = run == 0 ? asked_.finish.run : asked_.finish.run == Run::horizontal ? Run::upright : Run::horizontal;
  if (layout == 0) {
    const SurfaceResult* full = run == 0 ? &asked_ : result_at(way, asked_.finish.level);
    all.push_back(full ? base_of(*full) : Base{});
    find_level_factors(run, all.back());
    return;
  }
  Mix mix{};
  at(mix, Lever::run) = run;
  at(mix, Lever::layout) = layout;
  if (!possible(mix)) {
    all.emplace_back().same_as = 0;
    return;
  }
  const auto study = mixed_study(study_, asked_.surface, levers_, mix);
  const Base first = all.front();
  Base base;
  base.bare.surface = asked_.surface;
  base.bare.finish = {way, asked_.finish.level};
  base.bare.layout = study->layouts[asked_.surface];
  std::vector<std::vector<Focus>> focus;
  bool any = false;
  const LinesByPlace before(first.pieces, [](const Piece& p) -> const JointLine& { return p.line; });
  for (const JointLine& line : base.bare.layout.joints) {
    const std::vector<std::size_t> known = before.like(line);
    focus.emplace_back();
    if (!known.empty()) {
      base.pieces.push_back(first.pieces[known.front()]);
      base.pieces.back().line = line;
      continue;
    }
    focus.back() = borrowed(line, first.pieces, counts);
    any = any || !focus.back().empty();
    Piece p;
    p.line = line;
    p.group = group_of(line.kind);
    p.v.assign(study_.moments.size(), 0.0);
    p.focus.resize(study_.moments.size());
    base.pieces.push_back(std::move(p));
  }
  if (base.pieces.size() == first.pieces.size() && !any) {
    base.same_as = 0;
    all.push_back(std::move(base));
    return;
  }
  if (any) {
    const Base looked = base_of(assess_surface_at(*study, asked_.surface, base.bare.finish, focus, true, &relief_of(*study, mix)));
    for (std::size_t i = 0; i < base.pieces.size(); ++i)
      if (!focus[i].empty()) base.pieces[i] = looked.pieces[i];
  }
  find_level_factors(run, base);
  all.push_back(std::move(base));
}

void Sketch::find_level_factors(int run, Base& base) const {
  const std::vector<Setting>& settings = levers_[static_cast<std::size_t>(Lever::level)].settings;
  base.by_level.assign(settings.size(), std::vector<double>(base.pieces.size(), 1.0));
  base.level_focus.assign(settings.size(), std::vector<std::vector<Focus>>(base.pieces.size()));
  const Run way = run == 0 ? asked_.finish.run : asked_.finish.run == Run::horizontal ? Run::upright : Run::horizontal;
  const SurfaceResult* from = run == 0 ? &asked_ : result_at(way, asked_.finish.level);
  const LinesByPlace pieces(base.pieces, [](const Piece& p) -> const JointLine& { return p.line; });
  for (std::size_t s = 1; s < settings.size(); ++s) {
    const SurfaceResult* to = result_at(way, settings[s].changes.front().to);
    if (!from || !to) continue;
    std::array<double, groups> sum{}, count{};
    std::vector<bool> own(base.pieces.size(), false);
    for (std::size_t i = 0; i < from->joints.size() && i < to->joints.size(); ++i) {
      const JointResult &a = from->joints[i], &b = to->joints[i];
      if (a.worst < 0) continue;
      const Seen& worst = a.seen[static_cast<std::size_t>(a.worst)];
      const Seen* then = seen_at(b, worst.moment, worst.viewer);
      if (!then || worst.judged.visibility <= 0 || then->judged.visibility <= 0) continue;
      const double ratio = then->judged.visibility / worst.judged.visibility;
      sum[group_of(a.joint.line.kind)] += std::log(ratio);
      count[group_of(a.joint.line.kind)] += 1;
      for (const std::size_t p : pieces.like(a.joint.line)) {
        base.by_level[s][p] = ratio;
        const Seen& best = b.seen[static_cast<std::size_t>(b.worst)];
        base.level_focus[s][p] = {{then->moment, then->viewer, then->station}};
        if (&best != then) base.level_focus[s][p].push_back({best.moment, best.viewer, best.station});
        own[p] = true;
      }
    }
    for (std::size_t p = 0; p < base.pieces.size(); ++p) {
      // a backed butt fills like a recess
      Group g = base.pieces[p].line.kind == JointKind::backed_butt ? longs : base.pieces[p].group;
      if (count[g] == 0) g = g == longs ? ends : longs;
      if (!own[p] && count[g] > 0) base.by_level[s][p] = std::exp(sum[g] / count[g]);
    }
  }
}

std::vector<std::array<Sketch::Rep, Sketch::groups>> Sketch::reps() const {
  const double least = matters * *study_.job.verdict.shows / *study_.job.verdict.band;
  std::vector<std::array<Rep, groups>> reps(study_.moments.size());
  for (int run = 0; run < 2; ++run) {
    if (bases_[static_cast<std::size_t>(run)].empty()) continue;
    const std::vector<Piece>& pieces = bases_[static_cast<std::size_t>(run)].front().pieces;
    for (std::size_t i = 0; i < pieces.size(); ++i)
      for (std::size_t m = 0; m < reps.size(); ++m) {
        Rep& rep = reps[m][pieces[i].group];
        // the job's own sheets first
        if (pieces[i].v[m] >= least && (rep.run < 0 || (rep.run == run && pieces[i].v[m] > rep.v))) rep = {run, i, pieces[i].v[m]};
      }
  }
  return reps;
}

Sketch::Factors Sketch::looked_factors(Lever lever, int setting, const std::vector<std::array<Rep, groups>>& reps, const std::array<std::vector<Relief>, 2>& plain) const {
  const std::size_t moments = study_.moments.size();
  std::array<double, groups> even;
  even.fill(1.0);
  Factors out(moments, even);
  for (int run = 0; run < 2; ++run) {
    if (bases_[static_cast<std::size_t>(run)].empty()) continue;
    const Base& base = bases_[static_cast<std::size_t>(run)].front();
    std::array<int, groups> strongest{-1, -1, -1};
    for (std::size_t m = 0; m < moments; ++m)
      for (int g = 0; g < groups; ++g)
        if (reps[m][g].run == run && (strongest[g] < 0 || reps[m][g].v > reps[static_cast<std::size_t>(strongest[g])][g].v)) strongest[g] = static_cast<int>(m);
    const auto wanted = [&](std::size_t m, int g) {
      if (reps[m][g].run != run) return false;
      if (lever == Lever::width) return g != others && strongest[g] == static_cast<int>(m);
      // a room in the dark does not change behind a cover
      return lever != Lever::cover || !study_.moments[m].sky.dark;
    };
    std::vector<bool> looked_at(moments, false);
    for (std::size_t m = 0; m < moments; ++m)
      for (int g = 0; g < groups; ++g) looked_at[m] = looked_at[m] || wanted(m, g);
    if (std::none_of(looked_at.begin(), looked_at.end(), [](bool b) { return b; })) continue;
    Mix mix{};
    at(mix, Lever::run) = run;
    at(mix, lever) = setting;
    const auto study = mixed_study(study_, asked_.surface, levers_, mix, &looked_at);
    const auto same_light = [&](std::size_t m) {
      const std::vector<Lamp>&was = study_.lighting[m].lamps, &is = study->lighting[m].lamps;
      return lever == Lever::lamp && std::equal(was.begin(), was.end(), is.begin(), is.end(), [](const Lamp& a, const Lamp& b) { return a.at == b.at && a.peak == b.peak; });
    };
    std::vector<std::vector<Focus>> focus(base.pieces.size());
    bool any = false;
    for (std::size_t m = 0; m < moments; ++m)
      for (int g = 0; g < groups; ++g) {
        if (!wanted(m, g) || same_light(m)) continue;
        const Piece& p = base.pieces[reps[m][g].piece];
        focus[reps[m][g].piece].push_back(p.focus[m]);
        if (lever != Lever::width) look_along(p.line, p.focus[m], focus[reps[m][g].piece]);
        any = true;
      }
    if (!any) continue;
    const Relief& relief = plain[static_cast<std::size_t>(run)][static_cast<std::size_t>(at(mix, Lever::width))];
    const SurfaceResult looked = assess_surface_at(*study, asked_.surface, base.bare.finish, focus, false, &relief);
    for (std::size_t m = 0; m < moments; ++m)
      for (int g = 0; g < groups; ++g) {
        const Rep& rep = reps[m][g];
        if (rep.run != run) continue;
        const Focus& f = base.pieces[rep.piece].focus[m];
        double v = -1;
        for (const Seen& seen : looked.joints[rep.piece].seen)
          if (seen.moment == f.moment && seen.viewer == f.viewer) v = std::max(v, seen.judged.visibility);
        if (v < 0) continue;
        const double ratio = std::max(v, 1e-3) / rep.v;
        out[m][g] = ratio;
        // a wider section is wider at every moment
        if (lever == Lever::width)
          for (auto& other : out) other[g] = ratio;
      }
  }
  return out;
}

Sketch::Factors Sketch::mixed(const Factors& a, const Factors& b, double share) const {
  Factors out = a;
  for (std::size_t m = 0; m < out.size(); ++m)
    for (int g = 0; g < groups; ++g) out[m][g] = std::exp((1 - share) * std::log(a[m][g]) + share * std::log(b[m][g]));
  return out;
}

void Sketch::find_factors() {
  std::array<double, groups> even;
  even.fill(1.0);
  const Factors unchanged(study_.moments.size(), even);
  const auto settings_of = [&](Lever lever) -> const std::vector<Setting>& { return levers_[static_cast<std::size_t>(lever)].settings; };
  struct Task { Lever lever; int setting; };
  std::vector<Task> tasks;
  // those that take longest first
  for (const Lever lever : {Lever::cover, Lever::lamp, Lever::width, Lever::sheen, Lever::texture}) {
    const std::vector<Setting>& settings = settings_of(lever);
    const int n = static_cast<int>(settings.size());
    factors_[static_cast<std::size_t>(lever)].assign(settings.size(), unchanged);
    const bool ordered = lever == Lever::width || lever == Lever::sheen;
    // of widths and paints the first and the last are looked at
    for (int s = 1; s < n; ++s)
      if (!ordered || s == 1 || s == n - 1 || settings[static_cast<std::size_t>(s)].look) tasks.push_back({lever, s});
  }
  const auto who = reps();
  if (tasks.empty() || std::none_of(who.begin(), who.end(), [](const auto& at_moment) { return std::any_of(at_moment.begin(), at_moment.end(), [](const Rep& r) { return r.run >= 0; }); })) return;

  // without spreads, and so let go afterwards
  struct Shape { int run, width; };
  std::vector<Shape> shapes;
  std::array<std::vector<Relief>, 2> plain;
  for (int run = 0; run < 2; ++run) {
    if (std::none_of(who.begin(), who.end(), [&](const auto& at_moment) { return std::any_of(at_moment.begin(), at_moment.end(), [&](const Rep& r) { return r.run == run; }); })) continue;
    plain[static_cast<std::size_t>(run)].resize(settings_of(Lever::width).size());
    shapes.push_back({run, 0});
    for (const Task& t : tasks)
      if (t.lever == Lever::width) shapes.push_back({run, t.setting});
  }
  for_each_index(static_cast<int>(shapes.size()), [&](int i) {
    const Shape& shape = shapes[static_cast<std::size_t>(i)];
    Mix mix{};
    at(mix, Lever::run) = shape.run;
    at(mix, Lever::width) = shape.width;
    const auto study = mixed_study(study_, asked_.surface, levers_, mix);
    plain[static_cast<std::size_t>(shape.run)][static_cast<std::size_t>(shape.width)] =
        plain_relief(*study, study->layouts[asked_.surface], asked_.surface, requested_finish(*study, asked_.surface));
  });
  prepare_light(study_, levers_);
  std::vector<Factors> found(tasks.size());
  for_each_index(static_cast<int>(tasks.size()), [&](int i) {
    const Task& t = tasks[static_cast<std::size_t>(i)];
    found[static_cast<std::size_t>(i)] = looked_factors(t.lever, t.setting, who, plain);
  });
  for (std::size_t i = 0; i < tasks.size(); ++i) factors_[static_cast<std::size_t>(tasks[i].lever)][static_cast<std::size_t>(tasks[i].setting)] = std::move(found[i]);
  for (const Lever lever : {Lever::width, Lever::sheen}) {
    const std::vector<Setting>& settings = settings_of(lever);
    std::vector<Factors>& all = factors_[static_cast<std::size_t>(lever)];
    for (std::size_t s = 2; s + 1 < settings.size(); ++s) {
      if (settings[s].look) continue;
      const double a = settings[1].value, b = settings.back().value, x = settings[s].value;
      const double share = lever == Lever::width ? std::log(x / a) / std::log(b / a) : (a - x) / (a - b);
      all[s] = mixed(all[1], all.back(), share);
    }
  }
}

const Sketch::Base& Sketch::base(const Mix& mix) const {
  const std::vector<Base>& all = bases_[static_cast<std::size_t>(at(mix, Lever::run))];
  const Base& b = all[static_cast<std::size_t>(at(mix, Lever::layout))];
  return b.same_as >= 0 ? all[static_cast<std::size_t>(b.same_as)] : b;
}

double Sketch::factor(const Mix& mix, int moment, Group group) const {
  double f = 1;
  for (const Lever lever : {Lever::width, Lever::sheen, Lever::texture, Lever::lamp, Lever::cover}) {
    const int s = at(mix, lever);
    if (s > 0) f *= factors_[static_cast<std::size_t>(lever)][static_cast<std::size_t>(s)][static_cast<std::size_t>(moment)][group];
  }
  return f;
}

double Sketch::width_factor(const Mix& mix, int moment, JointKind kind) const {
  Mix width{};
  at(width, Lever::width) = at(mix, Lever::width);
  return factor(width, moment, group_of(kind));
}

double Sketch::correction(const Mix& mix) const {
  // single changes are what the factors were found by; others by the mix looked at that shares most of their changes
  if (changed_levers(mix) < 2) return 1;
  double best = 0, ln = 0;
  for (const auto& [seen, off] : missed_) {
    int shared = 0, most = 0;
    for (std::size_t l = 0; l < mix.size(); ++l) {
      shared += mix[l] != 0 && mix[l] == seen[l];
      most += mix[l] != 0 || seen[l] != 0;
    }
    const double share = most > 0 ? static_cast<double>(shared) / most : 0;
    if (share > best) {
      best = share;
      ln = share * off;
    }
  }
  return std::exp(ln);
}

void Sketch::put_visibilities(const Mix& mix, double lean, std::vector<double>& v, std::vector<int>& moment) const {
  const Base& b = base(mix);
  const double all = lean * correction(mix);
  const std::vector<double>& levels = b.by_level[static_cast<std::size_t>(at(mix, Lever::level))];
  std::array<std::vector<double>, groups> f;
  for (int g = 0; g < groups; ++g)
    for (std::size_t m = 0; m < study_.moments.size(); ++m) f[static_cast<std::size_t>(g)].push_back(all * factor(mix, static_cast<int>(m), static_cast<Group>(g)));
  v.assign(b.pieces.size(), 0.0);
  moment.assign(b.pieces.size(), -1);
  for (std::size_t i = 0; i < b.pieces.size(); ++i) {
    const Piece& p = b.pieces[i];
    for (std::size_t m = 0; m < p.v.size(); ++m) {
      const double x = p.v[m] * levels[i] * f[p.group][m];
      if (x <= v[i]) continue;
      v[i] = x;
      moment[i] = static_cast<int>(m);
    }
  }
}

double Sketch::framing_visibility(const Mix& mix, double lean) const {
  const Base& b = base(mix);
  const double left = at(mix, Lever::framing) > 0 ? levers_[static_cast<std::size_t>(Lever::framing)].settings[static_cast<std::size_t>(at(mix, Lever::framing))].value : 1;
  Mix light = mix;
  at(light, Lever::width) = 0;
  double most = 0;
  for (const Piece& p : b.pieces)
    if (p.framing > 0 && p.worst >= 0) most = std::max(most, p.framing * factor(light, p.worst, p.group));
  return lean * left * most;
}

Sketch::Thought Sketch::thought_of(const Mix& mix, double lean) const {
  static const std::vector<double> alike{1.0};
  static thread_local std::vector<double> v;
  static thread_local std::vector<int> moment;
  put_visibilities(mix, lean, v, moment);
  const Base& b = base(mix);
  const VerdictSpec& rules = study_.job.verdict;
  Thought out;
  for (std::size_t i = 0; i < v.size(); ++i) {
    if (v[i] > out.most) {
      out.most = v[i];
      out.piece = static_cast<int>(i);
      out.moment = moment[i];
    }
    if (v[i] > 0 && !b.pieces[i].spread.empty()) out.spreads.push_back({&b.pieces[i].spread, v[i]});
  }
  const double framing = framing_visibility(mix, lean);
  if (framing > 0) out.spreads.push_back({&alike, framing});
  if (framing > out.most) {
    out.most = framing;
    out.piece = -1;
  }
  out.chance = chance_any_over_scaled(out.spreads, {1, *rules.band}, *rules.shows);
  return out;
}

std::pair<double, double> Sketch::weighed(const Mix& mix) const {
  if (const auto known = looked_.find(mix); known != looked_.end()) return {known->second.chance, known->second.judged.visibility};
  const Thought thought = thought_of(mix, 1);
  return {thought.chance, thought.most};
}

std::pair<double, double> Sketch::weighed_by_worst(const Mix& mix) const {
  if (looked_.contains(mix)) return weighed(mix);
  static thread_local std::vector<double> v;
  static thread_local std::vector<int> moment;
  put_visibilities(mix, 1, v, moment);
  const Base& b = base(mix);
  const VerdictSpec& rules = study_.job.verdict;
  const double framing = framing_visibility(mix, 1);
  std::size_t worst = 0;
  for (std::size_t i = 1; i < v.size(); ++i)
    if (v[i] > v[worst]) worst = i;
  double most = framing, chance = framing > 0 ? chance_over({1.0}, {framing, *rules.band}, *rules.shows) : 0;
  if (!v.empty()) {
    most = std::max(most, v[worst]);
    if (v[worst] > 0) chance = std::max(chance, chance_over(b.pieces[worst].spread, {v[worst], *rules.band}, *rules.shows));
  }
  return {chance, most};
}

bool Sketch::within(const Mix& mix, double aim, double lean) const {
  if (const auto known = looked_.find(mix); known != looked_.end()) return known->second.chance <= aim;
  static thread_local std::vector<double> v;
  static thread_local std::vector<int> moment;
  put_visibilities(mix, lean, v, moment);
  const Base& b = base(mix);
  const VerdictSpec& rules = study_.job.verdict;
  const double framing = framing_visibility(mix, lean);
  if (framing > 0 && chance_over({1.0}, {framing, *rules.band}, *rules.shows) > aim) return false;
  std::size_t worst = 0;
  for (std::size_t i = 1; i < v.size(); ++i)
    if (v[i] > v[worst]) worst = i;
  if (!v.empty() && chance_over(b.pieces[worst].spread, {v[worst], *rules.band}, *rules.shows) > aim) return false;
  return thought_of(mix, lean).chance <= aim;
}

std::vector<std::pair<JointLine, double>> Sketch::lines(const Mix& mix) const {
  std::vector<double> v;
  std::vector<int> moment;
  put_visibilities(mix, 1, v, moment);
  const Base& b = base(mix);
  std::vector<std::pair<JointLine, double>> out;
  for (std::size_t i = 0; i < v.size(); ++i)
    if (joins_sheets(b.pieces[i].line.kind)) out.emplace_back(b.pieces[i].line, v[i]);
  return out;
}

Outcome Sketch::expected(const Mix& mix) const {
  if (const auto known = looked_.find(mix); known != looked_.end()) return known->second;
  const Thought thought = thought_of(mix, 1);
  const VerdictSpec& rules = study_.job.verdict;
  Outcome out;
  out.chance = thought.chance;
  out.moment = thought.moment;
  if (thought.piece >= 0) out.joint = base(mix).pieces[static_cast<std::size_t>(thought.piece)].line.id;
  else if (thought.most > 0) out.joint = "framing";
  for (const ScaledSpread& s : thought.spreads) {
    out.spreads.push_back(*s.spread);
    for (double& x : out.spreads.back()) x *= s.by / *rules.gain;
  }
  out.judged = judge(thought.most, 1, *rules.band, *rules.faint, *rules.shows);
  return out;
}

std::vector<bool> Sketch::out_of_question(const Mix& mix) const {
  const VerdictSpec& rules = study_.job.verdict;
  const Base& b = base(mix);
  const std::vector<double>& levels = b.by_level[static_cast<std::size_t>(at(mix, Lever::level))];
  std::vector<bool> out(b.pieces.size(), false);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const Piece& p = b.pieces[i];
    double v = 0;
    for (std::size_t m = 0; m < p.v.size(); ++m) v = std::max(v, p.v[m] * std::max(1.0, factor(mix, static_cast<int>(m), p.group)));
    v *= missed_by * std::max(1.0, levels[i]);
    out[i] = !p.spread.empty() && v > 0 && chance_over(p.spread, {v, *rules.band}, *rules.shows) < no_chance;
  }
  return out;
}

std::vector<std::vector<Focus>> Sketch::focus_of_mix(const Mix& mix) const {
  const Base& b = base(mix);
  std::array<std::vector<double>, groups> f;
  for (int g = 0; g < groups; ++g)
    for (std::size_t m = 0; m < study_.moments.size(); ++m) f[static_cast<std::size_t>(g)].push_back(factor(mix, static_cast<int>(m), static_cast<Group>(g)));
  std::vector<std::vector<Focus>> focus;
  std::vector<double> highest;
  const auto& at_level = b.level_focus[static_cast<std::size_t>(at(mix, Lever::level))];
  for (std::size_t i = 0; i < b.pieces.size(); ++i) {
    const Piece& p = b.pieces[i];
    focus.push_back(at_level[i]);
    double most = 0;
    for (std::size_t m = 0; m < p.v.size(); ++m) most = std::max(most, p.v[m] * f[p.group][m]);
    for (std::size_t m = 0; m < p.v.size(); ++m)
      if (p.v[m] > 0 && p.v[m] * f[p.group][m] >= counts * most) focus.back().push_back(p.focus[m]);
    highest.push_back(most);
  }
  // a paint, a lamp or a cover may move the place where a long joint is seen best
  const double top = highest.empty() ? 0 : *std::max_element(highest.begin(), highest.end());
  for (std::size_t i = 0; i < b.pieces.size(); ++i) {
    const Piece& p = b.pieces[i];
    if (highest[i] <= 0 || highest[i] < 0.5 * top) continue;
    for (std::size_t m = 0; m < p.v.size(); ++m)
      if (p.v[m] > 0 && p.v[m] * f[p.group][m] >= highest[i]) look_along(p.line, p.focus[m], focus[i]);
  }
  return focus;
}

bool Sketch::holds(const Mix& mix, double aim) {
  if (const auto known = looked_.find(mix); known != looked_.end()) return known->second.chance <= aim;
  if (const auto known = failed_.find(mix); known != failed_.end() && known->second > aim) return false;
  std::vector<double> v;
  std::vector<int> moment;
  put_visibilities(mix, 1, v, moment);
  const auto first = static_cast<std::size_t>(std::max_element(v.begin(), v.end()) - v.begin());
  if (first < v.size() && v[first] > 0) {
    std::vector<bool> looked_at(study_.moments.size(), false);
    looked_at[static_cast<std::size_t>(moment[first])] = true;
    const auto study = mixed_study(study_, asked_.surface, levers_, mix, &looked_at);
    std::vector<std::vector<Focus>> focus(v.size());
    focus[first].push_back(base(mix).pieces[first].focus[static_cast<std::size_t>(moment[first])]);
    const SurfaceResult result = assess_surface_at(*study, asked_.surface, requested_finish(*study, asked_.surface), focus, true, &relief_of(*study, mix));
    const JointResult& r = result.joints[first];
    if (r.worst >= 0 && r.chance_shows > aim) {
      missed_.emplace_back(mix, std::log(r.seen[static_cast<std::size_t>(r.worst)].judged.visibility / v[first]));
      failed_[mix] = r.chance_shows;
      return false;
    }
  }
  return look(mix).chance <= aim;
}

const Outcome& Sketch::look(const Mix& mix) {
  if (const auto known = looked_.find(mix); known != looked_.end()) return known->second;
  std::vector<double> v;
  std::vector<int> moment;
  put_visibilities(mix, 1, v, moment);
  const std::vector<bool> left_out = out_of_question(mix);
  std::vector<std::vector<Focus>> focus = focus_of_mix(mix);
  for (std::size_t i = 0; i < focus.size(); ++i)
    if (left_out[i]) focus[i].clear();
  std::vector<bool> looked_at(study_.moments.size(), false);
  for (const auto& joint : focus)
    for (const Focus& f : joint) looked_at[static_cast<std::size_t>(f.moment)] = true;
  const auto study = mixed_study(study_, asked_.surface, levers_, mix, &looked_at);
  const SurfaceResult result = assess_surface_at(*study, asked_.surface, requested_finish(*study, asked_.surface), focus, true, &relief_of(*study, mix));
  const VerdictSpec& rules = study_.job.verdict;
  Outcome out;
  out.looked = true;
  const double framing = framing_visibility(mix, 1);
  const std::vector<double> face{framing / *rules.gain};
  std::vector<ScaledSpread> spreads;
  double most = 0, thought_most = 0;
  for (const JointResult& r : result.joints) {
    if (r.worst < 0) continue;
    if (!r.spread.empty()) spreads.push_back({&r.spread, 1});
    const Seen& seen = r.seen[static_cast<std::size_t>(r.worst)];
    if (seen.judged.visibility <= most) continue;
    most = seen.judged.visibility;
    out.judged = seen.judged;
    out.joint = r.joint.line.id;
    out.moment = seen.moment;
  }
  for (std::size_t i = 0; i < v.size(); ++i)
    if (left_out[i] && v[i] > 0) spreads.push_back({&base(mix).pieces[i].spread, v[i] / *rules.gain});
  for (const double x : v) thought_most = std::max(thought_most, x);
  failed_.erase(mix);
  if (most > 0 && thought_most > 0) missed_.emplace_back(mix, std::log(most / thought_most));
  if (framing > 0) spreads.push_back({&face, 1});
  if (framing > most) {
    out.judged = judge(framing, 1, *rules.band, *rules.faint, *rules.shows);
    out.joint = "framing";
  }
  out.chance = chance_any_over_scaled(spreads, {*rules.gain, *rules.band}, *rules.shows);
  for (const ScaledSpread& s : spreads) {
    out.spreads.push_back(*s.spread);
    for (double& x : out.spreads.back()) x *= s.by;
  }
  return looked_.emplace(mix, out).first->second;
}

Range Sketch::hours(const Mix& mix) const {
  const auto finishing = [&](const Mix& m) {
    const std::array<int, 4> key = shape_of(m);
    if (const auto known = finishing_.find(key); known != finishing_.end()) return known->second;
    const Base& b = base(m);
    SurfaceResult result = b.bare;
    const std::vector<Setting>& levels = levers_[static_cast<std::size_t>(Lever::level)].settings;
    if (key[2] > 0) result.finish.level = levels[static_cast<std::size_t>(key[2])].changes.front().to;
    const SurfaceResult* usual = result_at(result.finish.run, result.finish.level);
    std::optional<LinesByPlace> usual_lines;
    if (usual && key[2] > 0) usual_lines.emplace(usual->joints, [](const JointResult& u) -> const JointLine& { return u.joint.line; });
    const Setting& wider = levers_[static_cast<std::size_t>(Lever::width)].settings[static_cast<std::size_t>(key[3])];
    std::set<std::string> widened;
    for (const Change& c : wider.changes) widened.insert(c.key);
    for (const Piece& p : b.pieces) {
      JointResult& r = result.joints.emplace_back();
      r.joint.line = p.line;
      r.width = p.width;
      if (usual_lines)
        if (const std::vector<std::size_t> same = usual_lines->like(p.line); !same.empty()) r.width = usual->joints[same.back()].width;
      if (widened.contains("joint." + p.line.id + ".width")) r.width = std::min(wider.value * r.width, widest_joint);
    }
    return finishing_.emplace(key, cost_of(study_, result).hours).first->second;
  };
  const Range now = finishing(Mix{}), then = finishing(mix);
  Range extra{then.low - now.low, then.high - now.high};
  for (std::size_t l = 0; l < levers_.size(); ++l) {
    const Range& own = levers_[l].settings[static_cast<std::size_t>(mix[l])].hours;
    extra.low += own.low;
    extra.high += own.high;
  }
  if (extra.low > extra.high) std::swap(extra.low, extra.high);
  return extra;
}

}  // namespace rakelight
