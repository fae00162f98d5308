// Running bond, in coordinates u along the sheets' length and v across the rows, whichever way they run.
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

#include "board/framing.h"
#include "board/rows.h"

namespace rakelight {
namespace {

/// A line between sheets: level in u when `level`, else across the row.
struct Line {
  bool level;
  double at;       ///< v of a level line, u of one across
  Interval reach;  ///< along the line
  bool ripped = false;  ///< the row past it shows its cut edge here
};

/// Distance from a line to what faces it on one side: outline, opening or one of the parallel `lines`.
double clear_distance(const FaceGround& g, const std::vector<Line>& lines, const Line& line, int side) {
  double nearest = std::numeric_limits<double>::infinity();
  auto offer = [&](double at, Interval reach) {
    const double distance = (at - line.at) * side;
    if (distance > -snap && std::min(reach.hi, line.reach.hi) - std::max(reach.lo, line.reach.lo) > shortest)
      nearest = std::min(nearest, std::max(distance, 0.0));
  };
  for (const Line& other : lines)
    if (&other != &line) offer(other.at, other.reach);
  for (const Rect& o : g.openings) offer(side > 0 ? o.lo.y : o.hi.y, {o.lo.x, o.hi.x});
  for (double at : g.breaks_v) offer(at, line.reach);
  dvec2 p = g.outline.back();
  const double middle = 0.5 * (line.reach.lo + line.reach.hi);
  for (dvec2 q : g.outline) {
    const dvec2 a = p.x <= q.x ? p : q, b = p.x <= q.x ? q : p;
    p = q;
    if (b.x - a.x <= shortest) continue;
    auto height_at = [&](double u) { return a.y + (u - a.x) / (b.x - a.x) * (b.y - a.y); };
    Interval over{std::max(a.x, line.reach.lo), std::min(b.x, line.reach.hi)};
    if (over.length() <= shortest) continue;
    // An edge on which the line ends meets it at a slant: there the feather dies in the corner, and what
    // limits the width is the edge's distance from the middle of the line outwards.
    const bool ends_here = std::min(std::abs(height_at(over.lo) - line.at), std::abs(height_at(over.hi) - line.at)) <= shortest;
    if (ends_here && std::abs(a.y - b.y) > snap) {
      if (over.lo > middle || over.hi < middle) continue;
      offer(height_at(middle), over);
      continue;
    }
    const double lo = height_at(over.lo), hi = height_at(over.hi);
    offer(side > 0 ? std::min(lo, hi) : std::max(lo, hi), over);
  }
  return nearest;
}

/// Trapezoids that fill what is left of a sheet.
void cut_out(const FaceGround& g, Sheet& sheet) {
  const Rect box = sheet.outline;
  std::vector<double> levels{box.lo.y, box.hi.y};
  auto level = [&](double v) {
    if (v > box.lo.y + snap && v < box.hi.y - snap) levels.push_back(v);
  };
  dvec2 p = g.outline.back();
  for (dvec2 q : g.outline) {
    level(q.y);
    // slanted edges also cut the sheet's upright sides
    for (double u : {box.lo.x, box.hi.x})
      if ((p.x > u) != (q.x > u) && std::abs(q.y - p.y) > snap) level(p.y + (u - p.x) / (q.x - p.x) * (q.y - p.y));
    p = q;
  }
  // openings are only in walls, whose sides stand upright, so their own sides need no level
  for (const Rect& o : g.openings) {
    level(o.lo.y);
    level(o.hi.y);
  }
  std::sort(levels.begin(), levels.end());
  levels.erase(std::unique(levels.begin(), levels.end(), [](double a, double b) { return b - a <= snap; }), levels.end());
  auto strip = [&](double v, int side) {
    Intervals out = board_at(g, v, side);
    for (Interval& part : out) part = {std::clamp(part.lo, box.lo.x, box.hi.x), std::clamp(part.hi, box.lo.x, box.hi.x)};
    return out;
  };
  for (std::size_t i = 0; i + 1 < levels.size(); ++i) {
    const double bottom = levels[i], top = levels[i + 1];
    const Intervals below = strip(bottom, +1), above = strip(top, -1);
    // between two levels no edge starts, ends or crosses a side, so the strips pair off
    for (std::size_t k = 0; k < std::min(below.size(), above.size()); ++k) {
      if (std::max(below[k].length(), above[k].length()) <= shortest) continue;
      const std::vector<dvec2> part{{below[k].lo, bottom}, {below[k].hi, bottom}, {above[k].hi, top}, {above[k].lo, top}};
      const bool upright = std::abs(below[k].lo - above[k].lo) <= snap && std::abs(below[k].hi - above[k].hi) <= snap;
      bool grown = false;
      if (upright)
        for (std::vector<dvec2>& other : sheet.parts)
          if (std::abs(other[2].y - bottom) <= snap && std::abs(other[3].x - part[0].x) <= snap && std::abs(other[2].x - part[1].x) <= snap &&
              std::abs(other[0].x - other[3].x) <= snap && std::abs(other[1].x - other[2].x) <= snap) {
            other[2].y = other[3].y = top;
            grown = true;
            break;
          }
      if (!grown) sheet.parts.push_back(part);
    }
  }
}

/// What a cut edge makes with a factory edge; square and chamfered edges have no recess to lose.
JointKind kind_with_cut(EdgeSpec edge) {
  return edge == EdgeSpec::recessed || edge == EdgeSpec::half_round ? JointKind::cut_to_recessed : JointKind::cut_to_cut;
}

}  // namespace

double Sheet::area() const {
  double sum = 0;
  for (const std::vector<dvec2>& part : parts) {
    double twice = 0;
    for (std::size_t i = 0; i < part.size(); ++i) {
      const dvec2 a = part[i] - part[0], b = part[(i + 1) % part.size()] - part[0];
      twice += a.x * b.y - a.y * b.x;
    }
    sum += 0.5 * std::abs(twice);
  }
  return sum;
}

bool Sheet::full() const { return area() > outline.width() * outline.height() - shortest; }

JointKind kind_of_edges(EdgeSpec edge) {
  switch (edge) {
    case EdgeSpec::recessed: return JointKind::recessed;
    case EdgeSpec::half_round: return JointKind::half_round;
    case EdgeSpec::square: return JointKind::square;
    case EdgeSpec::chamfered: return JointKind::chamfered;
    case EdgeSpec::cut: break;
  }
  return JointKind::cut_to_cut;
}

Way way_as_asked(const Job& job, const Room& room, int surface, Run run) {
  const SurfaceSpec& spec = job.surfaces[room.surfaces[surface].spec];
  Way way{run, spec.sheet->y, 0, {}};
  // what the job says of rows belongs to its own direction
  if (run != requested_run(job, room, surface)) return way;
  if (spec.first_row.given) way.first_row = *spec.first_row;
  way.first_sheets = *spec.first_sheets;
  return way;
}

Way way_as_asked(const Job& job, const Room& room, int surface) { return way_as_asked(job, room, surface, requested_run(job, room, surface)); }

Layout lay_sheets(const Job& job, const Room& room, int surface, Run run) { return lay_way(job, room, surface, way_as_asked(job, room, surface, run)); }

Layout lay_way(const Job& job, const Room& room, int surface, const Way& way) {
  const Run run = way.run;
  const Surface& s = room.surfaces[surface];
  assert(s.spec >= 0);
  const SurfaceSpec& spec = job.surfaces[s.spec];
  const dvec2 size = *spec.sheet;
  assert(size.x > filled_gap && way.length > filled_gap);
  const FaceGround along = ground_of(job, room, surface, run), across = transposed(along);
  const std::vector<double> places = way.first_sheets.empty() ? std::vector<double>() : end_places(job, room, surface, run);
  Layout layout;
  layout.run = run;
  auto add_joints = [&](const std::vector<Line>& lines) {
    for (const Line& line : lines) {
      const FaceGround& g = line.level ? along : across;
      JointLine joint;
      joint.surface = surface;
      const bool backed = *spec.backing == BackingSpec::butts || *spec.backing == BackingSpec::both;
      joint.kind = !line.level ? (backed ? JointKind::backed_butt : JointKind::butt)
                   : line.ripped ? kind_with_cut(*spec.edge) : kind_of_edges(*spec.edge);
      joint.from = turned(line.level ? dvec2{line.reach.lo, line.at} : dvec2{line.at, line.reach.lo}, run);
      joint.to = turned(line.level ? dvec2{line.reach.hi, line.at} : dvec2{line.at, line.reach.hi}, run);
      const double low = clear_distance(g, lines, line, -1), high = clear_distance(g, lines, line, +1);
      // left of a line that runs to the right is up; left of one that runs up is left
      const bool to_the_right = line.level == (run == Run::horizontal);
      joint.cut_left = to_the_right;  // the ripped row lies above, or to the right of an upright line
      joint.room_left = to_the_right ? high : low;
      joint.room_right = to_the_right ? low : high;
      layout.joints.push_back(joint);
    }
  };
  auto add_lines = [](std::vector<Line>& lines, bool level, double at, const Intervals& reaches, bool ripped = false) {
    for (Interval reach : reaches)
      if (reach.length() > shortest) lines.push_back({level, at, reach, ripped});
  };
  std::vector<Line> between_rows;
  auto is_break = [](const std::vector<double>& breaks, double at) {
    return std::any_of(breaks.begin(), breaks.end(), [&](double b) { return std::abs(b - at) < snap; });
  };
  const std::vector<double> rows = row_edges(along, size.x, way.first_row);
  for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
    const double bottom = rows[i], top = rows[i + 1];
    const bool turned_strip = *spec.ripped_edge == RippedEdgeSpec::joint && i + 2 == rows.size() && top - bottom < size.x - filled_gap;
    if (i > 0 && !is_break(along.breaks_v, bottom)) add_lines(between_rows, true, bottom, meeting_at(along, bottom), turned_strip);
    // butts of different rows meet end to end at most, so only those of one row face each other
    std::vector<Line> in_row;
    const Interval row = extent(along, bottom, top);
    const std::vector<double> ends = way.first_sheets.empty()
                                         ? bond_ends(along, row, i % 2 == 1, way.length)
                                         : row_ends(along, row, way.first_sheets[i % way.first_sheets.size()], way.length, places);
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      if (k > 0 && !is_break(along.breaks_u, ends[k])) add_lines(in_row, false, ends[k], intersection(meeting_at(across, ends[k]), {{bottom, top}}));
      Sheet sheet{surface, {{ends[k], bottom}, {ends[k + 1], top}}, {}, {}};
      cut_out(along, sheet);
      if (!sheet.parts.empty()) layout.sheets.push_back(std::move(sheet));
    }
    add_joints(in_row);
  }
  add_joints(between_rows);
  for (Sheet& sheet : layout.sheets) {
    sheet.outline = turned(sheet.outline, run);
    for (std::vector<dvec2>& part : sheet.parts) {
      for (dvec2& p : part) p = turned(p, run);
      Rect bounds{part[0], part[0]};
      for (dvec2 p : part) bounds = {glm::min(bounds.lo, p), glm::max(bounds.hi, p)};
      sheet.pieces.push_back(bounds);
    }
  }
  add_fittings(job, room, surface, layout);
  auto place = [](const JointLine& j) { return std::pair{std::llround(j.from.x / shortest), std::llround(j.from.y / shortest)}; };
  std::sort(layout.joints.begin(), layout.joints.end(), [&](const JointLine& a, const JointLine& b) {
    return std::pair{a.kind, place(a)} < std::pair{b.kind, place(b)};
  });
  std::map<char, int> numbered;
  for (JointLine& j : layout.joints) {
    const char letter = kind_letter(j.kind);
    j.id = s.name + "/" + letter + std::to_string(++numbered[letter]);
  }
  return layout;
}

}  // namespace rakelight
