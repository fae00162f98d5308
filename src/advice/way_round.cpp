#include "advice/way_round.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "board/stock.h"

namespace rakelight {
namespace {

constexpr double on_member = 0.0201;  // m, as board/breaches.cpp has it, rounding included
constexpr double forbidden_m = 1000;  // m of visible joint that a breach counts as within the search
// trade.md 7.3, from memory: 0.06-0.20 h/m² to level 4 with its joints at the textbook's 1.25 m/m²; half of it goes with the area
constexpr double finish_hours = 0.13, textbook_joint = 1.25;
constexpr double hang_hours = 0.20;   // h a sheet for the team, more for pieces cut; an estimate
constexpr double ceiling_hours = 1.325;

long key(double m) { return std::lround(m * 1e5); }

/// The weight of level 4's passes over joints, as cost.cpp has it.
double passes(const Level& level) {
  if (!level.tape) return 0;
  return (1.0 + level.coats + (level.wiped_coat ? 0.5 : 0.0) + (level.coats > 0 ? 1.0 : 0.0)) / 4.0;
}

bool beats(const WayOption& a, const WayOption& b) {
  if (a.breaches != b.breaches) return a.breaches < b.breaches;
  const bool no_worse = a.visible <= b.visible + 1e-9 && a.hours <= b.hours + 1e-9 && a.bought <= b.bought + 1e-9;
  return no_worse && (a.visible < b.visible - 1e-9 || a.hours < b.hours - 1e-9 || a.bought < b.bought - 1e-9);
}

/// Drops what another beats, and repeats.
std::vector<WayOption> unbeaten(const std::vector<WayOption>& all) {
  std::vector<WayOption> out;
  for (const WayOption& a : all) {
    bool stays = true;
    for (const WayOption& b : all) stays = stays && !beats(b, a);
    for (const WayOption& b : out) stays = stays && !(b.breaches == a.breaches && std::abs(b.visible - a.visible) < 1e-9 && std::abs(b.hours - a.hours) < 1e-9 && std::abs(b.bought - a.bought) < 1e-9);
    if (stays) out.push_back(a);
  }
  std::stable_sort(out.begin(), out.end(), [](const WayOption& a, const WayOption& b) { return a.visible < b.visible; });
  return out;
}

/// Distance from a corner to a line on `axis` 1 (level, at y) or 0.
double away(dvec2 corner, bool level, double at, Interval reach) {
  const double along = level ? corner.x : corner.y, across = level ? corner.y : corner.x;
  return std::hypot(std::max({reach.lo - along, along - reach.hi, 0.0}), across - at);
}

}  // namespace

WayScorer::WayScorer(const Job& job, const Room& room, int surface, const ShowField& field, const Level& level)
    : job_(job), room_(room), surface_(surface), field_(field), spec_(job.surfaces[room.surfaces[surface].spec]) {
  const Surface& s = room.surfaces[surface];
  const bool wall = s.kind == Surface::Kind::wall;
  foot_ = wall && *spec_.junction_bottom == FootJunctionSpec::skirting ? *spec_.skirting : -1e9;
  top_ = wall && *spec_.junction_top == TopJunctionSpec::cornice ? s.box.hi.y - *spec_.cornice : 1e9;
  for (const Run run : {Run::horizontal, Run::upright}) {
    Side& d = side(run);
    d.run = run;
    d.along = ground_of(job, room, surface, run);
    d.across = transposed(d.along);
    d.framing = framing_of(job, room, surface, run);
    d.places = end_places(job, room, surface, run);
  }
  for (std::size_t i = 0; i < s.outline.size(); ++i) {
    const dvec2 a = s.outline[i], b = s.outline[(i + 1) % s.outline.size()];
    area_ += 0.5 * (a.x * b.y - a.y * b.x);
  }
  area_ = std::abs(area_);
  for (const Rect& o : sides_[0].along.openings) area_ -= o.width() * o.height();
  factor_ = wall ? 1 : ceiling_hours;
  area_hours_ = 0.5 * finish_hours * passes(level);
  joint_hours_ = 0.5 * finish_hours * passes(level) / textbook_joint;
  const bool backed = *spec_.backing == BackingSpec::butts || *spec_.backing == BackingSpec::both;
  if (!backed && !level.recessed_widths.empty() && !level.butt_widths.empty()) end_weight_ = std::max(1.0, level.butt_widths.back() / level.recessed_widths.back());
}

double WayScorer::hours(double long_metres, double end_metres, int pieces) const {
  return factor_ * (area_hours_ * area_ + joint_hours_ * (long_metres + end_weight_ * end_metres) + hang_hours * pieces);
}

void WayScorer::reach(const Side& s, bool level, double at, const Intervals& parts, LineCost& out) const {
  const bool along_x = level == (s.run == Run::horizontal);
  const JointClass c = level ? JointClass::long_edge : JointClass::end;
  const double near = rule("opening").limit;
  const bool watch = !relaxed(spec_, "opening");
  out.reach = {std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (Interval part : parts) {
    if (part.length() <= shortest) continue;
    out.reach = {std::min(out.reach.lo, part.lo), std::max(out.reach.hi, part.hi)};
    for (const Rect& o : s.along.openings)
      for (dvec2 corner : {o.lo, dvec2(o.hi.x, o.lo.y), o.hi, dvec2(o.lo.x, o.hi.y)}) {
        const Rect& box = s.along.box;
        const bool edge = corner.x < box.lo.x + 1e-4 || corner.x > box.hi.x - 1e-4 || corner.y < box.lo.y + 1e-4 || corner.y > box.hi.y - 1e-4;
        if (watch && !edge && away(corner, level, at, part) < near - 1e-4) ++out.breaches;
      }
    // what skirting and cornice cover is not seen
    if (along_x && (at <= foot_ || at >= top_)) continue;
    if (!along_x) part = {std::max(part.lo, foot_), std::min(part.hi, top_)};
    if (part.length() <= shortest) continue;
    out.metres += part.length();
    out.visible += along_x ? field_.along_x(c, at, part.lo, part.hi) : field_.along_y(c, at, part.lo, part.hi);
  }
}

const WayScorer::LineCost& WayScorer::level_at(Side& s, double v) {
  auto [found, fresh] = s.levels.try_emplace(key(v));
  LineCost& cost = found->second;
  if (!fresh) return cost;
  for (double b : s.along.breaks_v)
    if (std::abs(b - v) < snap) return cost;
  reach(s, true, v, meeting_at(s.along, v), cost);
  const bool backed = *spec_.backing == BackingSpec::recessed || *spec_.backing == BackingSpec::both;
  if (cost.metres > 0 && !s.framing.dabs && !s.framing.across(s.run) && !backed && !relaxed(spec_, "framing")) {
    double off = 1e9;
    for (double m : s.framing.at) off = std::min(off, std::abs(v - m));
    if (off > on_member) ++cost.breaches;
  }
  return cost;
}

const WayScorer::LineCost& WayScorer::end_at(Side& s, double u, double bottom, double top) {
  auto [found, fresh] = s.ends.try_emplace({key(u), key(bottom), key(top)});
  LineCost& cost = found->second;
  if (!fresh) return cost;
  for (double b : s.along.breaks_u)
    if (std::abs(b - u) < snap) return cost;
  reach(s, false, u, intersection(meeting_at(s.across, u), {{bottom, top}}), cost);
  if (cost.reach.hi > cost.reach.lo && !s.places.empty()) {
    const bool backed = *spec_.backing == BackingSpec::butts || *spec_.backing == BackingSpec::both;
    double off = 1e9;
    for (double p : s.places) off = std::min(off, std::abs(u - p));
    if (off > (backed ? rule("framing").limit + 1e-4 : on_member)) ++cost.breaches;
  }
  return cost;
}

std::vector<double> WayScorer::ends_of(const Side& s, const Way& way, std::size_t row, double bottom, double top) const {
  const Interval across = extent(s.along, bottom, top);
  if (way.first_sheets.empty()) return bond_ends(s.along, across, row % 2 == 1, way.length);
  return row_ends(s.along, across, way.first_sheets[row % way.first_sheets.size()], way.length, s.places);
}

int WayScorer::clashes(Side& s, const std::vector<double>& below, const std::vector<double>& above, double b0, double b1, double b2) {
  if (relaxed(spec_, "stagger")) return 0;
  const double limit = rule("stagger").limit - 1e-4;
  int count = 0;
  for (std::size_t i = 1; i + 1 < below.size(); ++i)
    for (std::size_t k = 1; k + 1 < above.size(); ++k) {
      if (std::abs(below[i] - above[k]) >= limit) continue;
      if (end_at(s, below[i], b0, b1).reach.hi > b1 - 1e-4 && end_at(s, above[k], b1, b2).reach.lo < b1 + 1e-4) ++count;
    }
  return count;
}

WayOption WayScorer::score(const Way& way) {
  ++scored_;
  Side& s = side(way.run);
  WayOption o;
  o.way = way;
  const double width = spec_.sheet->x;
  const std::vector<double> rows = row_edges(s.along, width, way.first_row);
  const bool wall = room_.surfaces[surface_].kind == Surface::Kind::wall, watch_strips = !relaxed(spec_, "strip");
  const double rest = std::fmod(s.along.box.height(), width);
  const bool strip = rest > filled_gap && rest < rule("strip").limit;
  if (wall && way.run == Run::horizontal && !strip && rows.size() > 2 && rows.back() - rows[rows.size() - 2] < width - filled_gap && !relaxed(spec_, "rip")) ++o.breaches;
  std::vector<double> before;
  std::vector<dvec2> sizes;
  for (std::size_t r = 0; r + 1 < rows.size(); ++r) {
    const double bottom = rows[r], top = rows[r + 1];
    if (watch_strips && top - bottom < rule("strip").limit - 1e-4) ++o.breaches;
    if (r > 0) {
      const LineCost& level = level_at(s, bottom);
      o.visible += level.visible;
      o.long_metres += level.metres;
      o.breaches += level.breaches;
    }
    const std::vector<double> ends = ends_of(s, way, r, bottom, top);
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      const Rect sheet{{ends[k], bottom}, {ends[k + 1], top}};
      const bool cut_away = std::any_of(s.along.openings.begin(), s.along.openings.end(), [&](const Rect& h) { return h.contains(sheet.lo) && h.contains(sheet.hi); });
      o.pieces += !cut_away;
      if (!cut_away) sizes.push_back({std::min(top - bottom, width), std::min(ends[k + 1] - ends[k], way.length)});
      if (watch_strips && !cut_away && ends[k + 1] - ends[k] < rule("strip").limit - 1e-4) ++o.breaches;
      if (k == 0) continue;
      const LineCost& end = end_at(s, ends[k], bottom, top);
      o.visible += end.visible;
      o.end_metres += end.metres;
      o.breaches += end.breaches;
    }
    if (r > 0) o.breaches += clashes(s, before, ends, rows[r - 1], bottom, top);
    before = ends;
  }
  o.hours = hours(o.long_metres, o.end_metres, o.pieces);
  o.stock = sheets_for(std::move(sizes), width, way.length);
  o.bought = o.stock * width * way.length;
  return o;
}

WayOption WayScorer::measured(const Plan& plan) const {
  WayOption o;
  o.way = plan.way;
  for (const JointLine& j : plan.layout.joints) {
    if (!joins_sheets(j.kind)) continue;
    o.visible += field_.of(j);
    (is_end(j.kind) ? o.end_metres : o.long_metres) += j.length();
  }
  const Cutting cutting = cut_sheets({{surface_, room_.surfaces[surface_].name, &plan.layout, spec_.sheet->x, plan.way.length}});
  o.pieces = static_cast<int>(plan.layout.sheets.size());
  for (const StockUse& use : cutting.stock) o.stock += use.count;
  o.bought = cutting.stock_area;
  o.hours = hours(o.long_metres, o.end_metres, o.pieces);
  o.breaches = forbidden(plan.breaches);
  return o;
}

std::vector<double> WayScorer::firsts(Run run, double length) const {
  const Side& s = side(run);
  std::vector<double> out;
  for (double p : s.places)
    if (p - s.along.box.lo.x <= length + snap) out.push_back(p - s.along.box.lo.x);
  if (s.places.empty())
    for (int i = 1; i <= 12; ++i) out.push_back(length * i / 12);
  if (out.empty() || out.back() < length - snap) out.push_back(length);
  return out;
}

std::vector<double> WayScorer::first_rows(Run run) const {
  const Side& s = side(run);
  const double width = spec_.sheet->x, height = s.along.box.height(), rest = std::fmod(height, width);
  std::vector<double> out{0};
  if (rest > filled_gap && height > width) out.push_back(rest);
  if (rest > filled_gap && height > 2 * width) out.push_back(0.5 * (rest + width));  // the same at both edges
  for (int i = 1; i < 4; ++i) out.push_back(width * i / 4);
  if (!s.framing.dabs && !s.framing.across(run))
    for (double m : s.framing.at)
      if (m > s.along.box.lo.y + filled_gap && m < s.along.box.lo.y + width - filled_gap) out.push_back(m - s.along.box.lo.y);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return b - a < 1e-4; }), out.end());
  return out;
}

std::vector<double> WayScorer::best_firsts(Run run, double length, double first_row, const std::vector<double>& firsts, double per_end_metre) {
  Side& s = side(run);
  const std::vector<double> rows = row_edges(s.along, spec_.sheet->x, first_row);
  const std::size_t count = firsts.size();
  std::vector<double> cost(count, 0), sum(count, 0);
  std::vector<std::vector<std::size_t>> came(rows.size());
  std::vector<std::vector<double>> ends(count), below(count);
  for (std::size_t r = 0; r + 1 < rows.size(); ++r) {
    for (std::size_t a = 0; a < count; ++a) {
      ends[a] = ends_of(s, {run, length, first_row, {firsts[a]}}, 0, rows[r], rows[r + 1]);
      cost[a] = 0;
      for (std::size_t k = 0; k + 1 < ends[a].size(); ++k) {
        if (ends[a][k + 1] - ends[a][k] < rule("strip").limit - 1e-4 && !relaxed(spec_, "strip")) cost[a] += forbidden_m;
        if (k == 0) continue;
        const LineCost& end = end_at(s, ends[a][k], rows[r], rows[r + 1]);
        cost[a] += end.visible + per_end_metre * end.metres + forbidden_m * end.breaches + 1e-6 * end.metres;
      }
    }
    came[r].assign(count, 0);
    if (r > 0) {
      std::vector<double> next(count, std::numeric_limits<double>::infinity());
      for (std::size_t a = 0; a < count; ++a)
        for (std::size_t b = 0; b < count; ++b) {
          const double with = sum[b] + forbidden_m * clashes(s, below[b], ends[a], rows[r - 1], rows[r], rows[r + 1]);
          if (with >= next[a]) continue;
          next[a] = with;
          came[r][a] = b;
        }
      sum = next;
    }
    for (std::size_t a = 0; a < count; ++a) sum[a] += cost[a];
    below = ends;
  }
  std::size_t at = static_cast<std::size_t>(std::min_element(sum.begin(), sum.end()) - sum.begin());
  std::vector<double> out(rows.size() - 1);
  for (std::size_t r = rows.size() - 1; r-- > 0;) {
    out[r] = firsts[at];
    at = came[r][at];
  }
  bool any_end = false;
  for (std::size_t r = 0; r + 1 < rows.size(); ++r) any_end = any_end || ends_of(s, {run, length, first_row, {length}}, 0, rows[r], rows[r + 1]).size() > 2;
  if (!any_end) return {};  // each row is one sheet
  // as short a list as says the same
  for (std::size_t period = 1; period < out.size(); ++period) {
    bool repeats = true;
    for (std::size_t i = period; i < out.size(); ++i) repeats = repeats && out[i] == out[i - period];
    if (!repeats) continue;
    out.resize(period);
    break;
  }
  return out;
}

Plan plan_as_asked(const Study& study, int surface) {
  Plan plan = plan_of(study.job, study.room, surface, way_as_asked(study.job, study.room, surface));
  plan.layout = study.layouts[static_cast<std::size_t>(surface)];
  return plan;
}

FaceWays way_round(const Study& study, int surface, const ShowField& field, std::optional<Run> only) {
  const Job& job = study.job;
  const Room& room = study.room;
  const SurfaceSpec& spec = job.surfaces[room.surfaces[surface].spec];
  FaceWays ways;
  ways.surface = surface;
  ways.level = *spec.level;
  ways.locked = *spec.system != SystemSpec::none;
  WayScorer scorer(job, room, surface, field, *study.scheme.find(*spec.level));
  const Way asked = way_as_asked(job, room, surface);

  std::vector<double> lengths;
  for (double length : stock_lengths(spec)) {
    const AccessSpec& a = job.access;
    const double kg = spec.sheet->x * length * *a.board_mass;
    const bool heavy = a.at.known() && !*a.hoist && kg > team_lifts(static_cast<int>(*a.people), *a.each_kg) + 1e-9 && !relaxed(spec, "lift");
    const bool stuck = a.at.known() && !cannot_enter(a, spec.sheet->x, length, job.units).empty() && !relaxed(spec, "turn");
    if (!heavy && !stuck && length >= spec.sheet->x) lengths.push_back(length);
  }
  if (lengths.empty()) lengths.push_back(asked.length);

  std::vector<WayOption> pool;
  for (const Run run : {Run::horizontal, Run::upright}) {
    if (ways.locked ? run != asked.run : only && run != *only) continue;
    for (double length : lengths) {
      const std::vector<double> firsts = scorer.firsts(run, length);
      for (double first_row : scorer.first_rows(run)) {
        std::vector<WayOption> here;
        for (double per_end_metre : {0.0, 0.3, 3.0, 100.0}) here.push_back(scorer.score({run, length, first_row, scorer.best_firsts(run, length, first_row, firsts, per_end_metre)}));
        if (here.front().way.first_sheets.empty()) here.resize(1);  // rows of one sheet have nothing to stagger
        else for (double a : firsts)
          for (double b : firsts) here.push_back(scorer.score(a == b ? Way{run, length, first_row, {a}} : Way{run, length, first_row, {a, b}}));
        here = unbeaten(here);
        pool.insert(pool.end(), here.begin(), here.end());
      }
    }
  }
  if (!only || asked.run == *only || ways.locked) pool.push_back(scorer.score(asked));
  ways.tried = scorer.scored();
  // the plan of what is left, cut from stock, decides
  std::vector<WayOption> exact;
  for (const WayOption& o : unbeaten(pool)) exact.push_back(scorer.measured(plan_of(job, room, surface, o.way)));
  ways.front = unbeaten(exact);
  int least = std::numeric_limits<int>::max();
  for (const WayOption& o : ways.front) least = std::min(least, o.breaches);
  std::erase_if(ways.front, [&](const WayOption& o) { return o.breaches > least; });
  const double most = std::max(ways.front.front().visible * (1 + alike), ways.front.front().visible + alike_m);
  for (int i = 0; i < static_cast<int>(ways.front.size()); ++i) {
    const WayOption &a = ways.front[static_cast<std::size_t>(i)], &b = ways.winner();
    if (a.visible <= most && std::pair(a.hours, a.bought) < std::pair(b.hours, b.bought)) ways.best = i;
  }
  // what is not worth telling apart: no less to be seen by 20 mm, nor less work, nor less bought
  const WayOption best = ways.winner();
  std::erase_if(ways.front, [&](const WayOption& a) {
    return std::any_of(ways.front.begin(), ways.front.end(), [&](const WayOption& b) {
      return &a != &b && b.visible <= a.visible + alike_m && b.hours <= a.hours && b.bought <= a.bought && (b.hours < a.hours || b.bought < a.bought) && !(a.way == best.way);
    });
  });
  for (int i = 0; i < static_cast<int>(ways.front.size()); ++i)
    if (ways.front[static_cast<std::size_t>(i)].way == best.way) ways.best = i;
  ways.as_asked = scorer.measured(plan_of(job, room, surface, asked));
  const Surface& s = room.surfaces[surface];
  const Run usual = s.kind == Surface::Kind::wall || s.box.width() >= s.box.height() ? Run::horizontal : Run::upright;
  ways.usual = scorer.measured(plan_of(job, room, surface, {usual, spec.sheet->y, 0, {}}));
  ways.reasons = way_reasons(study, ways, field);
  return ways;
}

}  // namespace rakelight
