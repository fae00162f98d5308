// Where a layout breaks a rule.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "board/plan.h"
#include "board/stock.h"
#include "room/say.h"

namespace rakelight {
namespace {

constexpr double on_member = 0.020;  // m off a member's centre: half a stud of 45 mm, less what a fixing needs (common practice)
constexpr double touching = 1e-4;    // m

struct Judge {
  const Job& job;
  const Room& room;
  const Surface& face;
  const SurfaceSpec& spec;
  const Way& way;
  const Layout& layout;
  int surface;
  std::vector<Breach> out;

  std::string text(double m) const { return length_text(job.units, m); }
  void add(std::string_view id, const std::string& joint, const std::string& what) {
    out.push_back({&rule(id), joint, what, relaxed(spec, id)});
  }
  double limit(std::string_view id) const { return rule(id).limit; }
  bool wall() const { return face.kind == Surface::Kind::wall; }
  dvec2 uv(dvec2 p) const { return turned(p, way.run); }

  void framing() {
    const Framing f = framing_of(job, room, surface, way.run);
    if (f.dabs) return;
    const char* taken = f.known ? "" : " (no [framing] in the job: the usual spacing is taken)";
    const bool across = f.across(way.run), long_backed = *spec.backing == BackingSpec::recessed || *spec.backing == BackingSpec::both;
    for (const JointLine& j : layout.joints) {
      if (!joins_sheets(j.kind) || (is_end(j.kind) != across) || (is_long(j.kind) && long_backed)) continue;
      const double at = is_end(j.kind) ? uv(j.from).x : uv(j.from).y;
      double off = 1e9;
      if (j.kind == JointKind::backed_butt) {
        for (std::size_t i = 0; i + 1 < f.at.size(); ++i) off = std::min(off, std::abs(at - 0.5 * (f.at[i] + f.at[i + 1])));
        if (off > limit("framing") + touching) add("framing", j.id, fmt::format("{} off the middle between two members{}", text(off), taken));
        continue;
      }
      for (double m : f.at) off = std::min(off, std::abs(at - m));
      if (off > on_member + touching) add("framing", j.id, fmt::format("{} from the nearest member{}", text(off), taken));
    }
  }

  void stagger() {
    for (const JointLine& a : layout.joints)
      for (const JointLine& b : layout.joints) {
        if (!is_end(a.kind) || !is_end(b.kind)) continue;
        // b stands on a: the row above it
        if (std::abs(std::max(uv(a.from).y, uv(a.to).y) - std::min(uv(b.from).y, uv(b.to).y)) > touching) continue;
        const double apart = std::abs(uv(a.from).x - uv(b.from).x);
        if (apart < limit("stagger") - touching)
          add("stagger", a.id, apart < touching ? fmt::format("in line with {}: four corners meet", b.id) : fmt::format("{} from {} in the next row", text(apart), b.id));
      }
  }

  void openings() {
    for (const auto& [name, o] : openings_of()) {
      for (dvec2 corner : {o.lo, dvec2(o.hi.x, o.lo.y), o.hi, dvec2(o.lo.x, o.hi.y)}) {
        // at the face's edge there is no corner of board
        const Rect& box = face.box;
        if (corner.x < box.lo.x + touching || corner.x > box.hi.x - touching || corner.y < box.lo.y + touching || corner.y > box.hi.y - touching) continue;
        for (const JointLine& j : layout.joints) {
          if (!joins_sheets(j.kind)) continue;
          const double s = std::clamp(glm::dot(corner - j.from, j.along()), 0.0, j.length());
          const double away = glm::length(corner - (j.from + s * j.along()));
          if (away < limit("opening") - touching) add("opening", j.id, fmt::format("{} from a corner of {}", text(away), name));
        }
      }
    }
  }

  std::vector<std::pair<std::string, Rect>> openings_of() const {
    std::vector<std::pair<std::string, Rect>> all;
    for (const Window& w : room.windows)
      if (w.surface == surface) all.emplace_back("window " + w.name, w.opening);
    for (const Door& d : room.doors)
      if (d.surface == surface) all.emplace_back("the door", d.opening);
    return all;
  }

  void edges() {
    for (const JointLine& j : layout.joints)
      if (j.kind == JointKind::cut_to_recessed) add("edges", j.id, "a cut edge meets a recessed one");
  }

  void rows() {
    const FaceGround g = ground_of(job, room, surface, way.run);
    const std::vector<double> at = row_edges(g, spec.sheet->x, way.first_row);
    const double last = at.back() - at[at.size() - 2], full = spec.sheet->x - filled_gap;
    // a height that would leave a mere strip at the foot is ripped at both edges
    const double rest = std::fmod(face.box.height(), spec.sheet->x);
    const bool strip = rest > filled_gap && rest < limit("strip");
    if (wall() && way.run == Run::horizontal && at.size() > 2 && last < full && !strip)
      add("rip", "", fmt::format("the row under the ceiling is ripped to {}", text(last)));
    for (std::size_t i = 0; i + 1 < at.size(); ++i)
      if (at[i + 1] - at[i] < limit("strip") - touching) add("strip", "", fmt::format("a row {} wide", text(at[i + 1] - at[i])));
    for (std::size_t i = 0; i < layout.sheets.size(); ++i) {
      const double length = turned(layout.sheets[i].outline, way.run).width();
      if (length < limit("strip") - touching) add("strip", "", fmt::format("sheet {} is {} long", i + 1, text(length)));
    }
  }

  void longest(double from, double to, std::vector<double> stops, const char* across) {
    std::sort(stops.begin(), stops.end());
    stops.push_back(to);
    double most = 0;
    for (double s : stops) {
      most = std::max(most, s - from);
      from = std::max(from, s);
    }
    if (most > limit("control") + touching)
      add("control", "", fmt::format("{} {} without a control joint; it takes {}", text(most), across, static_cast<int>(std::ceil(most / limit("control") - 1e-9)) - 1));
  }

  void control() {
    const Rect& box = face.box;
    std::vector<double> x, y;
    for (double b : *spec.control_joints) x.push_back(box.lo.x + b);
    for (double b : *spec.movement_joints) y.push_back(box.lo.y + b);
    for (const auto& [name, o] : openings_of())
      if (o.lo.y < box.lo.y + touching && o.hi.y > box.hi.y - touching) {
        x.push_back(o.lo.x);
        x.push_back(o.hi.x);
      }
    longest(box.lo.x, box.hi.x, x, wall() ? "along" : "of ceiling along x");
    longest(box.lo.y, box.hi.y, y, wall() ? "up" : "of ceiling along y");
    if (wall() && box.height() > limit("floor-line") + touching && spec.movement_joints->empty())
      add("floor-line", "", fmt::format("the wall is {} high and names no movement_joints", text(box.height())));
  }

  void getting_there() {
    const AccessSpec& a = job.access;
    if (!a.at.known()) return;
    const double kg = spec.sheet->x * way.length * *a.board_mass;
    if (!*a.hoist && kg > team_lifts(static_cast<int>(*a.people), *a.each_kg) + 1e-9) {
      const int need = people_for(kg, *a.each_kg);
      add("lift", "", fmt::format("a sheet weighs {:.0f} kg, {} may lift {:.0f}: {}", kg, static_cast<int>(*a.people), team_lifts(static_cast<int>(*a.people), *a.each_kg),
                                  need > 0 ? fmt::format("it takes {}, or a hoist", need) : std::string("it takes a hoist")));
    }
    const std::string why = cannot_enter(a, spec.sheet->x, way.length, job.units);
    if (!why.empty()) add("turn", "", why);
  }
};

}  // namespace

std::vector<Breach> breaches_of(const Job& job, const Room& room, int surface, const Way& way, const Layout& layout) {
  const Surface& face = room.surfaces[surface];
  Judge judge{job, room, face, job.surfaces[face.spec], way, layout, surface, {}};
  judge.framing();
  judge.stagger();
  judge.openings();
  judge.edges();
  judge.rows();
  judge.control();
  judge.getting_there();
  return std::move(judge.out);
}

}  // namespace rakelight
