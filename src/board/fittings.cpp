// What is filled besides the joints between sheets: corners, junctions with the ceiling, beads round windows, fixings;
// and what a cornice or a skirting covers.
#include <algorithm>
#include <cmath>

#include "board/framing.h"

namespace rakelight {
namespace {

constexpr double shortest_line = 0.02;          // m: less is not worth a line
constexpr double shadow_gap = 0.010;       // m: between a shadow-line bead and the ceiling (common practice)
constexpr double fixing_inset = 0.012;     // m from a sheet's edge: 10 mm from a bound edge, 15 from a cut one (common practice)
constexpr double bed_half = 0.065;         // m: fixings this near a joint lie under its tape and first coat
constexpr double near_line = 1e-4;         // m

struct Face {
  const Job& job;
  const Room& room;
  int index;
  const Surface& surface;
  const SurfaceSpec& spec;
};

/// The openings in a face.
std::vector<Rect> openings_of(const Face& f) {
  std::vector<Rect> out;
  for (const Window& w : f.room.windows)
    if (w.surface == f.index) out.push_back(w.opening);
  for (const Door& d : f.room.doors)
    if (d.surface == f.index) out.push_back(d.opening);
  return out;
}

/// How much of a wall a cornice hides at its top and a skirting at its foot, m.
double covered_top(const SurfaceSpec& s) { return *s.junction_top == TopJunctionSpec::cornice ? *s.cornice : 0; }
double covered_foot(const SurfaceSpec& s) { return *s.junction_bottom == FootJunctionSpec::skirting ? *s.skirting : 0; }

const SurfaceSpec* spec_of_wall(const Face& f, int wall) {
  const int spec = f.room.surfaces[wall].spec;
  return spec < 0 ? nullptr : &f.job.surfaces[spec];
}

/// Clear distance to the right of a line, to parallel joints between sheets (half of it) and openings.
double room_beside(const Face& f, const Layout& layout, const JointLine& line) {
  double room = 10;
  auto overlaps = [&](dvec2 a, dvec2 b) {
    const double s0 = glm::dot(a - line.from, line.along()), s1 = glm::dot(b - line.from, line.along());
    return std::min(std::max(s0, s1), line.length()) - std::max(std::min(s0, s1), 0.0) > near_line;
  };
  for (const JointLine& other : layout.joints) {
    if (!joins_sheets(other.kind) || std::abs(glm::dot(other.along(), line.across())) > 1e-6 || !overlaps(other.from, other.to)) continue;
    const double u = glm::dot(other.from - line.from, line.across());
    if (u > near_line) room = std::min(room, u / 2);
  }
  for (const Rect& o : openings_of(f)) {
    if (!overlaps(o.lo, o.hi)) continue;
    const double u = std::min(glm::dot(o.lo - line.from, line.across()), glm::dot(o.hi - line.from, line.across()));
    if (u > near_line) room = std::min(room, u);
  }
  return room;
}

void add_line(const Face& f, Layout& layout, JointKind kind, dvec2 from, dvec2 to) {
  if (glm::length(to - from) < shortest_line) return;
  JointLine line;
  line.surface = f.index;
  line.kind = kind;
  line.from = from;
  line.to = to;
  line.room_right = room_beside(f, layout, line);
  layout.joints.push_back(line);
}

/// z of the turn from one plan edge to the next, walked so that walls run left to right from inside: negative turns
/// right, which is a corner that the room looks into.
bool looks_into(const Room& room, int corner) {
  const int n = static_cast<int>(room.plan.size());
  const dvec2 a = room.plan[(corner + n - 1) % n], b = room.plan[corner], c = room.plan[(corner + 1) % n];
  return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) < 0;
}

void add_corners(const Face& f, Layout& layout) {
  if (f.surface.kind != Surface::Kind::wall || *f.spec.corners == CornerSpec::none) return;
  const Rect box = f.surface.box;
  const double foot = covered_foot(f.spec), top = box.hi.y - covered_top(f.spec);
  auto kind_at = [&](int corner) { return looks_into(f.room, corner) ? JointKind::internal_corner : JointKind::external_corner; };
  const int n = static_cast<int>(f.room.plan.size());
  add_line(f, layout, kind_at(f.index), {box.lo.x, foot}, {box.lo.x, top});
  add_line(f, layout, kind_at((f.index + 1) % n), {box.hi.x, top}, {box.hi.x, foot});
}

void add_junctions(const Face& f, Layout& layout) {
  if (f.surface.kind == Surface::Kind::wall) {
    const Rect box = f.surface.box;
    if (*f.spec.junction_top == TopJunctionSpec::square_set) add_line(f, layout, JointKind::square_set, {box.lo.x, box.hi.y}, box.hi);
    if (*f.spec.junction_top == TopJunctionSpec::shadow_line)
      add_line(f, layout, JointKind::shadow_line, {box.lo.x, box.hi.y - shadow_gap}, {box.hi.x, box.hi.y - shadow_gap});
    return;
  }
  // the ceiling's side of a square-set corner; its frame is the plan's
  const int n = static_cast<int>(f.room.plan.size());
  for (int wall = 0; wall < n; ++wall) {
    const SurfaceSpec* spec = spec_of_wall(f, wall);
    if (spec && *spec->junction_top == TopJunctionSpec::square_set) add_line(f, layout, JointKind::square_set, f.room.plan[wall], f.room.plan[(wall + 1) % n]);
  }
}

void add_beads(const Face& f, Layout& layout) {
  for (std::size_t i = 0; i < f.room.windows.size(); ++i) {
    const Window& w = f.room.windows[i];
    if (w.surface != f.index || *f.job.windows[i].edge == WindowEdgeSpec::plain) continue;
    const Rect o = w.opening;
    add_line(f, layout, JointKind::bead, {o.lo.x, o.hi.y}, o.lo);            // left jamb, worked to the left
    add_line(f, layout, JointKind::bead, o.hi, {o.lo.x, o.hi.y});            // head, worked upwards
    add_line(f, layout, JointKind::bead, {o.hi.x, o.lo.y}, o.hi);            // right jamb
  }
}

/// Places along a stretch of framing member from `lo` to `hi` (both at sheet edges): evenly, no further apart than asked.
std::vector<double> places(double lo, double hi, double spacing, bool edges_only) {
  lo += fixing_inset;
  hi -= fixing_inset;
  if (hi - lo < shortest_line) return {};
  if (edges_only) return {lo, hi};
  const int steps = std::max(1, static_cast<int>(std::ceil((hi - lo) / spacing - 1e-6)));
  std::vector<double> out;
  for (int i = 0; i <= steps; ++i) out.push_back(lo + (hi - lo) * i / steps);
  return out;
}

bool under_a_joint(const Layout& layout, dvec2 p) {
  for (const JointLine& j : layout.joints) {
    if (j.kind == JointKind::fixings) continue;
    const double s = glm::dot(p - j.from, j.along()), u = glm::dot(p - j.from, j.across());
    if (std::abs(u) < bed_half && s > -near_line && s < j.length() + near_line) return true;
  }
  return false;
}

void add_fixings(const Face& f, Layout& layout) {
  const FixingSpec fixing = *f.spec.fixing;
  if (fixing == FixingSpec::none || fixing == FixingSpec::dabs) return;
  const bool wall = f.surface.kind == Surface::Kind::wall;
  const Framing framing = framing_of(f.job, f.room, f.index, layout.run);
  const bool upright = framing.upright;
  auto point = [&](double across, double along) { return upright ? dvec2{across, along} : dvec2{along, across}; };
  const Rect box = f.surface.box;
  const double foot = wall ? covered_foot(f.spec) : 0, top = wall ? box.hi.y - covered_top(f.spec) : 1e9;
  const std::vector<Rect> openings = openings_of(f);
  std::vector<double> members = framing.at;
  members.front() += fixing_inset;
  members.back() -= fixing_inset;
  std::vector<JointLine> rows;
  for (double at : members) {
    std::vector<double> found;
    for (const Sheet& sheet : layout.sheets) {
      // every board end takes its own fixings
      const double lo = upright ? sheet.outline.lo.x : sheet.outline.lo.y, hi = upright ? sheet.outline.hi.x : sheet.outline.hi.y;
      if (at < lo - near_line || at > hi + near_line) continue;
      for (double s : places(upright ? sheet.outline.lo.y : sheet.outline.lo.x, upright ? sheet.outline.hi.y : sheet.outline.hi.x,
                             *f.spec.fixing_spacing, fixing == FixingSpec::adhesive)) {
        const dvec2 p = point(at, s);
        if (!f.surface.contains(p) || p.y < foot || (wall && p.y > top) || under_a_joint(layout, p)) continue;
        if (std::any_of(openings.begin(), openings.end(), [&](const Rect& o) { return o.contains(p); })) continue;
        found.push_back(s);
      }
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end(), [](double a, double b) { return b - a < near_line; }), found.end());
    auto opening_between = [&](double a, double b) {
      return std::any_of(openings.begin(), openings.end(), [&](const Rect& o) {
        const dvec2 p = point(at, a), q = point(at, b);
        return std::max(p.x, o.lo.x) <= std::min(q.x, o.hi.x) && std::max(p.y, o.lo.y) <= std::min(q.y, o.hi.y);
      });
    };
    for (std::size_t i = 0, next = 0; i < found.size(); i = next) {
      for (next = i + 1; next < found.size() && !opening_between(found[next - 1], found[next]); ++next) {}
      if (next - i < 2) continue;
      JointLine row;
      row.surface = f.index;
      row.kind = JointKind::fixings;
      row.from = point(at, found[i]);
      row.to = point(at, found[next - 1]);
      row.room_left = row.room_right = 10;
      if (*f.spec.fixing_coat == FixingCoatSpec::spots)
        for (std::size_t j = i; j < next; ++j) row.spots.push_back(found[j] - found[i]);
      rows.push_back(std::move(row));
    }
  }
  layout.joints.insert(layout.joints.end(), rows.begin(), rows.end());
}

/// Cuts a joint between sheets back to where it is seen; its film runs on under what covers it.
bool clipped(JointLine& line, double foot, double top) {
  const bool upright = std::abs(line.along().y) > 0.5;
  if (!upright) return line.from.y > foot && line.from.y < top;
  if (line.from.y < foot) {
    line.from.y = foot;
    line.runs_on_from = true;
  }
  if (line.to.y > top) {
    line.to.y = top;
    line.runs_on_to = true;
  }
  return line.to.y - line.from.y > shortest_line;
}

}  // namespace

void add_fittings(const Job& job, const Room& room, int surface, Layout& layout) {
  const Surface& s = room.surfaces[surface];
  const Face face{job, room, surface, s, job.surfaces[s.spec]};
  if (s.kind == Surface::Kind::wall) {
    const double foot = covered_foot(face.spec), top = s.box.hi.y - covered_top(face.spec);
    if (foot > 0 || top < s.box.hi.y) std::erase_if(layout.joints, [&](JointLine& j) { return !clipped(j, foot, top); });
  }
  add_corners(face, layout);
  add_junctions(face, layout);
  add_beads(face, layout);
  add_fixings(face, layout);
}

}  // namespace rakelight
