#include "report/setting_out.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "report/setting_out_parts.h"

namespace rakelight {
namespace {

const Colour ink = "#000000", pale = "#8a867d", board = "#f4f2ee", hole = "#ffffff", backing = "#d9d2c0";
constexpr double small_type = 2.2, type = 2.6;
constexpr std::array scales{5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0, 150.0, 200.0, 300.0, 500.0, 1000.0};
constexpr dvec2 before{30, 6};       // mm left of the face and above it: dimensions, marks
constexpr int most_parts = 4;
constexpr double roomy = 50;               // 1 : 50 is large enough not to be cut up for a larger scale
constexpr double beside = 8, one_row = 18, two_rows = 33;  // mm right of it and below it

struct Sheets {
  Drawing& d;
  const SettingOut& f;
  const Study& study;
  const Plan& plan;
  const Surface& face;
  Units units;
  Rect part;         // of the face, that is drawn: all of it, or a length of a long one
  dvec2 origin{0};   // paper, of the part's lower left corner
  double mm_per_m_drawn = 1;
  std::vector<Rect> taken{};  // paper, where words stand

  bool is_free(const Rect& r) const {
    return std::none_of(taken.begin(), taken.end(), [&](const Rect& t) { return t.lo.x < r.hi.x && r.lo.x < t.hi.x && t.lo.y < r.hi.y && r.lo.y < t.hi.y; });
  }

  dvec2 at(dvec2 p) const { return {origin.x + (p.x - part.lo.x) * mm_per_m_drawn, origin.y - (p.y - part.lo.y) * mm_per_m_drawn}; }
  bool shows(double x) const { return x > part.lo.x - 1e-6 && x < part.hi.x + 1e-6; }
  Rect shown(const Rect& r) const { return {{std::max(r.lo.x, part.lo.x), r.lo.y}, {std::min(r.hi.x, part.hi.x), r.hi.y}}; }
  /// The piece of a line that lies in the part: false when none does.
  bool cut(dvec2& a, dvec2& b) const {
    if (std::abs(b.x - a.x) < 1e-9) return shows(a.x);
    const dvec2 from = a, step = b - a;
    double t0 = (part.lo.x - a.x) / step.x, t1 = (part.hi.x - a.x) / step.x;
    if (t0 > t1) std::swap(t0, t1);
    t0 = std::max(t0, 0.0);
    t1 = std::min(t1, 1.0);
    a = from + t0 * step;
    b = from + t1 * step;
    return t1 > t0;
  }
  std::string text(double m) const { return site_text(units, m); }
  void line(dvec2 a, dvec2 b, const Colour& c, double w, const std::vector<double>& dash = {}) {
    if (cut(a, b)) d.line(at(a), at(b), c, w, dash);
  }
  void upright(dvec2 p, const std::string& s, double size, Words::Anchor anchor, const Colour& c = ink) {
    d.words.push_back({p, s, size, anchor, false, true, c});
  }
};

/// Moves labels apart by at least `gap`, as little as may be, within lo to hi.
std::vector<double> spread(const std::vector<double>& at, double gap, double lo, double hi) {
  std::vector<double> out = at;
  for (int sweep = 0; sweep < 60; ++sweep)
    for (std::size_t i = 1; i < out.size(); ++i) {
      const double lack = gap - (out[i] - out[i - 1]);
      if (lack <= 1e-9) continue;
      out[i - 1] -= 0.5 * lack;
      out[i] += 0.5 * lack;
    }
  if (!out.empty() && out.front() < lo) out.front() = lo;
  for (std::size_t i = 1; i < out.size(); ++i) out[i] = std::max(out[i], out[i - 1] + gap);
  if (!out.empty() && out.back() > hi) out.back() = hi;
  for (std::size_t i = out.size(); i-- > 1;) out[i - 1] = std::min(out[i - 1], out[i] - gap);
  return out;
}

/// One thing on a running dimension.
struct Running { double at = 0; std::string what; };

void merge(std::vector<Running>& all) {
  std::stable_sort(all.begin(), all.end(), [](const Running& a, const Running& b) { return a.at < b.at; });
  std::vector<Running> out;
  for (const Running& r : all) {
    if (out.empty() || r.at - out.back().at > 5e-4) out.push_back(r);
    else if (out.back().what.find(r.what) == std::string::npos) out.back().what += (out.back().what.empty() ? "" : " ") + r.what;
  }
  all = out;
}

/// An empty, half or full disc.
void disc(Drawing& d, dvec2 c, Verdict v) {
  constexpr double r = 1.1;
  std::vector<dvec2> round, half;
  for (int i = 0; i <= 24; ++i) {
    const double a = 2 * pi * i / 24;
    round.push_back(c + r * dvec2(std::cos(a), std::sin(a)));
    if (i <= 12) half.push_back(c + r * dvec2(std::cos(a), std::sin(a)));
  }
  d.polygon(round, v == Verdict::shows ? ink : hole);
  if (v == Verdict::faint) d.polygon(half, ink);
  d.curve(round, ink, 0.2);
}

struct Stroke { double width; std::vector<double> dash; };
Stroke stroke_of(std::optional<Verdict> v) {
  if (v == Verdict::shows) return {0.8, {}};
  if (v == Verdict::faint) return {0.55, {3.2, 1.2}};
  return {0.35, v ? std::vector<double>{0.9, 0.9} : std::vector<double>{}};
}

/// What of a polygon lies right of x (way 1) or left of it (-1).
std::vector<dvec2> clipped(const std::vector<dvec2>& polygon, double x, double way) {
  std::vector<dvec2> out;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const dvec2 a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    const double da = way * (a.x - x), db = way * (b.x - x);
    if (da >= 0) out.push_back(a);
    if ((da < 0) != (db < 0)) out.push_back(a + da / (da - db) * (b - a));
  }
  return out;
}

void draw_board(Sheets& s) {
  std::vector<dvec2> outline;
  for (dvec2 p : clipped(clipped(s.face.outline, s.part.lo.x, 1), s.part.hi.x, -1)) outline.push_back(s.at(p));
  s.d.polygon(outline, board);
  for (Block b : s.plan.blocks)
    if (b.at = s.shown(b.at); b.at.width() > 0) s.d.box(glm::min(s.at(b.at.lo), s.at(b.at.hi)), glm::max(s.at(b.at.lo), s.at(b.at.hi)), backing);
  const Rect box = s.face.box;
  for (double m : s.plan.framing.at)
    s.line(s.plan.framing.upright ? dvec2(m, box.lo.y) : dvec2(box.lo.x, m), s.plan.framing.upright ? dvec2(m, box.hi.y) : dvec2(box.hi.x, m), pale, 0.12, {2.4, 0.8, 0.4, 0.8});
  auto opening = [&](const Rect& whole, const std::string& name) {
    const Rect o = s.shown(whole);
    if (!(o.width() > 0)) return;
    const dvec2 a = s.at({o.lo.x, o.hi.y}), b = s.at({o.hi.x, o.lo.y});
    s.d.box(a, b, hole, ink, 0.3);
    s.d.line(a, b, pale, 0.12);
    s.d.line({a.x, b.y}, {b.x, a.y}, pale, 0.12);
    s.d.say(0.5 * (a + b) + dvec2(0, 1), name, type, Words::Anchor::middle);
  };
  for (const Window& w : s.study.room.windows)
    if (w.surface == s.plan.surface) opening(w.opening, w.name);
  for (const Door& o : s.study.room.doors)
    if (o.surface == s.plan.surface) opening(o.opening, "door");
  s.d.shapes.push_back({outline, true, "", ink, 0.4, {}});
}

void draw_joints(Sheets& s, const Relief& relief) {
  const std::vector<double>& tools = *s.study.job.finishing.tools;
  for (const PlacedJoint* p : placed(relief)) {
    JointLine j = p->line;
    if (!s.cut(j.from, j.to)) continue;
    const std::optional<Verdict> v = verdict_of(s.f, j.id);
    const Stroke stroke = stroke_of(v);
    s.line(j.from, j.to, ink, stroke.width, stroke.dash);
    // ticks where the feather ends, at both ends of the joint
    const Feather feather = feather_of(*p, tools);
    for (dvec2 end : {j.from + 0.06 * j.along() * std::min(1.0, j.length()), j.to - 0.06 * j.along() * std::min(1.0, j.length())})
      for (double off : {-feather.left, feather.right}) {
        const dvec2 c = s.at(end + off * j.across());
        const dvec2 t = std::abs(j.along().x) > 0.5 ? dvec2(0.9, 0) : dvec2(0, 0.9);
        s.d.line(c - t, c + t, ink, 0.18);
      }
    const std::string name = short_id(j.id);
    const double width = 1.5 * static_cast<double>(name.size()) + (v ? 3.4 : 1.0);
    // its name about a third along: the sheets' stand in their middles
    dvec2 c = s.at(j.from + 0.30 * (j.to - j.from));
    auto box_at = [&](dvec2 at) { return Rect{at - dvec2(0.5 * width, 1.5), at + dvec2(0.5 * width, 1.5)}; };
    for (double share : {0.30, 0.22, 0.38, 0.70, 0.78, 0.14, 0.86})
      if (s.is_free(box_at(s.at(j.from + share * (j.to - j.from))))) {
        c = s.at(j.from + share * (j.to - j.from));
        break;
      }
    s.taken.push_back(box_at(c));
    s.d.box(c - dvec2(0.5 * width, 1.5), c + dvec2(0.5 * width, 1.5), board);
    if (v) disc(s.d, c + dvec2(-0.5 * width + 1.5, 0), *v);
    s.d.say(c + dvec2(v ? 1.4 : 0, 0.8), name, small_type, Words::Anchor::middle, true);
  }
  for (const BreakLine& b : s.plan.breaks) {
    s.line(b.from, b.to, ink, 0.9);
    s.line(b.from, b.to, "#ffffff", 0.45);
  }
}

/// Each sheet's number and cut size in its largest piece: two lines, else one along the piece's long side, else its number alone, wherever
/// along the piece no joint's name stands.
void draw_names(Sheets& s) {
  for (std::size_t i = 0; i < s.plan.layout.sheets.size(); ++i) {
    const Sheet& sheet = s.plan.layout.sheets[i];
    const Rect* piece = &sheet.pieces[0];
    for (const Rect& p : sheet.pieces)
      if (p.width() * p.height() > piece->width() * piece->height()) piece = &p;
    // what lies in another part for the most is named there
    const Rect here = s.shown(*piece);
    if (here.width() < 0.34 * piece->width()) continue;
    piece = &here;
    const dvec2 blank = cut_size(s.f, static_cast<int>(i));
    const std::string number = std::to_string(i + 1);
    std::string cut = s.text(blank.x) + " × " + s.text(blank.y);
    if (const Cut* c = cut_of(s.f, static_cast<int>(i)); c && c->offcut) cut += " offcut";
    const double w = piece->width() * s.mm_per_m_drawn, h = piece->height() * s.mm_per_m_drawn;
    auto long_of = [](const std::string& t, double tall) { return 0.6 * tall * static_cast<double>(t.size()); };
    bool two = h >= 9 && w >= long_of(cut, type) + 1, level = two || w >= h;
    std::string shown = number + ": " + cut;
    double tall = 0;
    dvec2 half, c;
    // all of it, else the number alone: its size is in the list
    for (const bool whole : {true, false}) {
      if (!whole) {
        two = false;
        level = w >= h;
        shown = number;
      }
      const double across = level ? h : w, along = level ? w : h;
      tall = two ? type : std::min({type, 0.75 * across, type * along / long_of(shown, type)});
      if (tall < 1.4) {  // a strip too small for more
        shown = number;
        tall = std::clamp(0.75 * across, 0.9, type);
      }
      half = two ? dvec2(0.5 * long_of(cut, type), 4) : level ? dvec2(0.5 * long_of(shown, tall), 0.5 * tall) : dvec2(0.5 * tall, 0.5 * long_of(shown, tall));
      c = s.at(0.5 * (piece->lo + piece->hi));
      bool found = false;
      for (double share : {0.5, 0.6, 0.4, 0.68, 0.32, 0.78, 0.22, 0.86, 0.14}) {
        const dvec2 at = s.at(level && !two ? dvec2(piece->lo.x + share * piece->width(), 0.5 * (piece->lo.y + piece->hi.y))
                                            : dvec2(0.5 * (piece->lo.x + piece->hi.x), piece->lo.y + share * piece->height()));
        const bool inside = two ? std::abs(share - 0.5) * h <= 0.5 * h - half.y : std::abs(share - 0.5) * along <= 0.5 * along - (level ? half.x : half.y);
        if (!inside || !s.is_free({at - half, at + half})) continue;
        c = at;
        found = true;
        break;
      }
      if (found) break;
    }
    s.taken.push_back({c - half, c + half});
    if (two) {
      s.d.say(c + dvec2(0, -0.6), number, 4, Words::Anchor::middle, true);
      s.d.say(c + dvec2(0, 3.4), cut, type, Words::Anchor::middle);
    } else if (level) {
      s.d.say(c + dvec2(0, 0.36 * tall), shown, tall, Words::Anchor::middle, true);
    } else {
      s.upright(c + dvec2(0.36 * tall, 0), shown, tall, Words::Anchor::middle);
    }
  }
}

void draw_dimensions(Sheets& s) {
  const Rect box = s.face.box;
  std::vector<Running> studs, uprights, levels;
  const Framing& framing = s.plan.framing;
  for (double m : framing.at) (framing.upright ? studs : levels).push_back({m, ""});
  for (const JointLine& j : s.plan.layout.joints)
    if (joins_sheets(j.kind)) (std::abs(j.along().y) > 0.5 ? uprights : levels).push_back({std::abs(j.along().y) > 0.5 ? j.from.x : j.from.y, short_id(j.id)});
  for (const BreakLine& b : s.plan.breaks) (std::abs(b.to.x - b.from.x) < 1e-6 ? uprights : levels).push_back({std::abs(b.to.x - b.from.x) < 1e-6 ? b.from.x : b.from.y, "gap"});
  for (const Block& b : s.plan.blocks) {
    if (b.at.width() > b.at.height()) continue;
    uprights.push_back({0.5 * (b.at.lo.x + b.at.hi.x), ""});
  }
  auto openings = [&](const Rect& o, const std::string& name) {
    for (double x : {o.lo.x, o.hi.x}) uprights.push_back({x, name});
    for (double y : {o.lo.y, o.hi.y})
      if (y > box.lo.y + 1e-4 && y < box.hi.y - 1e-4) levels.push_back({y, name});
  };
  for (const Window& w : s.study.room.windows)
    if (w.surface == s.plan.surface) openings(w.opening, w.name);
  for (const Door& o : s.study.room.doors)
    if (o.surface == s.plan.surface) openings(o.opening, "door");
  uprights.push_back({box.hi.x, "end"});
  levels.push_back({box.hi.y, s.face.kind == Surface::Kind::wall ? "top" : "end"});
  for (auto* list : {&studs, &uprights})
    list->erase(std::remove_if(list->begin(), list->end(), [&](const Running& r) { return !s.shows(r.at); }), list->end());
  for (auto* list : {&studs, &uprights, &levels}) merge(*list);

  // below: members on the first line, joints and openings on the second
  const double foot = s.at(s.part.lo).y, left = s.at(s.part.lo).x, right = s.at(s.part.hi).x, head = s.at(s.part.hi).y;
  auto row = [&](const std::vector<Running>& list, double from) {
    std::vector<double> at;
    for (const Running& r : list) at.push_back(s.at({r.at, box.lo.y}).x);
    const std::vector<double> shown = spread(at, small_type + 0.5, left - 4, right + 6);
    for (std::size_t i = 0; i < list.size(); ++i) {
      s.d.line({at[i], from}, {shown[i], from + 2.5}, ink, 0.12);
      s.upright({shown[i] + 0.8, from + 3.2}, s.text(list[i].at - box.lo.x) + (list[i].what.empty() ? "" : "  " + list[i].what), small_type, Words::Anchor::end);
    }
  };
  double below = foot + 1.2;
  // marks on floor and ceiling, or on both walls: members cannot be seen once the board hangs
  for (double m : framing.at) {
    if (framing.upright && !s.shows(m)) continue;
    const dvec2 p = framing.upright ? dvec2(s.at({m, box.lo.y}).x, 0) : dvec2(0, s.at({box.lo.x, m}).y);
    for (double way : {1.0, -1.0})
      if (framing.upright) s.d.polygon({{p.x, way > 0 ? foot : head}, {p.x - 0.9, (way > 0 ? foot : head) + way * 1.8}, {p.x + 0.9, (way > 0 ? foot : head) + way * 1.8}}, ink);
      else s.d.polygon({{way > 0 ? right : left, p.y}, {(way > 0 ? right : left) + way * 1.8, p.y - 0.9}, {(way > 0 ? right : left) + way * 1.8, p.y + 0.9}}, ink);
  }
  if (!studs.empty()) {
    row(studs, below + 1.2);
    below += 15;
  }
  s.d.line({left, below}, {right, below}, ink, 0.12);
  row(uprights, below);
  // at the left: from the floor up
  std::vector<double> at;
  for (const Running& r : levels) at.push_back(-s.at({box.lo.x, r.at}).y);
  const std::vector<double> shown = spread(at, small_type + 0.5, -foot, -head);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    s.d.line({left - 2, -at[i]}, {left - 4, -shown[i]}, ink, 0.12);
    s.d.say({left - 4.6, -shown[i] + 0.8}, (levels[i].what.empty() ? "" : levels[i].what + "  ") + s.text(levels[i].at - box.lo.y), small_type, Words::Anchor::end);
  }
  s.d.line({left - 2, foot}, {left - 2, head}, ink, 0.12);
}

}  // namespace

std::string site_text(Units units, double metres) {
  if (units == Units::millimetre) return fmt::format("{:.0f}", metres * mm_per_m);
  const long sixteenths = std::lround(metres * mm_per_m / mm_per_inch * 16);
  long whole = sixteenths / 16, part = std::abs(sixteenths % 16), of = 16;
  while (part > 0 && part % 2 == 0) {
    part /= 2;
    of /= 2;
  }
  if (part == 0) return fmt::format("{}\"", whole);
  return whole == 0 ? fmt::format("{}/{}\"", part, of) : fmt::format("{}-{}/{}\"", whole, part, of);
}

Feather feather_of(const PlacedJoint& joint, const std::vector<double>& tools) {
  constexpr double pass = 0.025;
  const double left = -joint.section.left, right = joint.section.right;
  const double most_left = std::max(joint.recipe.room_left, left), most_right = std::max(joint.recipe.room_right, right);
  auto blade_for = [&](double width) {
    for (double t : tools)
      if (t >= width - 1e-6) return t;
    return 0.0;
  };
  if (const double blade = blade_for(2 * std::max(left, right)); blade > 0) return {std::min(0.5 * blade, most_left), std::min(0.5 * blade, most_right), true};
  auto side = [&](double width, double most) {
    const double blade = blade_for(width);
    return std::min(blade > 0 ? blade : pass * std::ceil(width / pass - 1e-6), most);
  };
  return {side(left, most_left), side(right, most_right), false};
}

double draw_setting_out(Drawing& drawing, dvec2 lo, dvec2 hi, const SettingOut& face) {
  const Surface& surface = face.study->room.surfaces[static_cast<std::size_t>(face.plan->surface)];
  const double below = face.plan->framing.upright && !face.plan->framing.dabs ? two_rows : one_row;
  const auto scale_in = [&](int parts) {
    const dvec2 room = dvec2(hi.x - lo.x, (hi.y - lo.y - 4 * (parts - 1)) / parts) - before - dvec2(beside, below);
    for (double n : scales)
      if (surface.box.width() / parts * mm_per_m / n <= room.x && surface.box.height() * mm_per_m / n <= room.y) return n;
    return scales.back();
  };
  // a long face in lengths under each other, where that draws it larger
  int parts = 1;
  for (int more = 2; more <= most_parts; ++more)
    if (scale_in(parts) > roomy && scale_in(more) < scale_in(parts)) parts = more;
  const double scale = scale_in(parts), drawn = mm_per_m / scale, length = surface.box.width() / parts;
  const Relief relief = relief_of(face);
  for (int i = 0; i < parts; ++i) {
    Sheets s{drawing, face, *face.study, *face.plan, surface, face.study->job.units, {}};
    s.part = {{surface.box.lo.x + i * length, surface.box.lo.y}, {surface.box.lo.x + (i + 1) * length, surface.box.hi.y}};
    s.mm_per_m_drawn = drawn;
    s.origin = {lo.x + before.x, lo.y + before.y + i * (before.y + below + surface.box.height() * drawn + 4) + surface.box.height() * drawn};
    draw_board(s);
    draw_joints(s, relief);
    draw_names(s);
    draw_dimensions(s);
    for (const double x : {s.part.lo.x, s.part.hi.x})  // where it goes on
      if (x > surface.box.lo.x + 1e-6 && x < surface.box.hi.x - 1e-6) {
        const dvec2 foot = s.at({x, s.part.lo.y}), head = s.at({x, s.part.hi.y});
        drawing.line(foot + dvec2(0, 3), head - dvec2(0, 3), hole, 1.2);
        drawing.line(foot + dvec2(0, 3), head - dvec2(0, 3), pale, 0.3, {3, 1, 0.5, 1, 0.5, 1});
      }
  }
  return scale;
}

std::vector<Drawing> setting_out_pages(const SettingOut& face, dvec2 paper) {
  const Surface& surface = face.study->room.surfaces[static_cast<std::size_t>(face.plan->surface)];
  Drawing d;
  d.width = paper.x;
  d.height = paper.y;
  const double side = 12, top = 24, key = 12;
  const double scale = draw_setting_out(d, {side, top}, {paper.x - side, paper.y - key}, face);
  d.say({side, 12}, fmt::format("{}: setting out", surface.name), 5, Words::Anchor::start, true);
  d.say({side, 17.5}, way_text(*face.study, face.plan->surface, face.plan->way) + (face.study->job.title->empty() ? "" : " · " + *face.study->job.title), 2.9);
  d.say({paper.x - side, 12}, fmt::format("1 : {}", number_text(scale)), 3.4, Words::Anchor::end);
  std::string where = surface.kind == Surface::Kind::wall ? "Seen from inside. Running dimensions from the left corner and the floor"
                                                         : "Reflected ceiling plan. Running dimensions from the left and lower edges of the plan";
  where += face.study->job.units == Units::inch ? ", inches." : ", mm.";
  if (!face.plan->framing.known && !face.plan->framing.dabs) where += " Framing is not in the job: members at 600 mm are taken.";
  d.say({side, 22}, where, 2.4, Words::Anchor::start, false, pale);
  // the key
  double x = side;
  const double y = paper.y - 6;
  if (face.judged)
    for (const Verdict v : {Verdict::hidden, Verdict::faint, Verdict::shows}) {
      const Stroke stroke = stroke_of(v);
      d.line({x, y - 0.8}, {x + 10, y - 0.8}, ink, stroke.width, stroke.dash);
      disc(d, {x + 12.2, y - 0.8}, v);
      d.say({x + 14.4, y}, verdict_text(v), type);
      x += 31;
    }
  d.say({x, y}, "| edge of the feather", type);
  x += 37;
  d.polygon({{x, y - 2}, {x + 1.8, y - 2}, {x + 0.9, y}}, ink);
  d.say({x + 3, y}, surface.kind == Surface::Kind::wall ? "mark on floor and ceiling" : "mark on both walls", type);
  x += 41;
  if (!face.plan->blocks.empty()) {
    d.box({x, y - 2.2}, {x + 4, y}, backing);
    d.say({x + 5.4, y}, face.plan->blocks[0].what, type);
    x += 30;
  }
  d.say({paper.x - side, y}, "A verdict is a prediction, not an acceptance.", type, Words::Anchor::end, false, pale);
  std::vector<Drawing> out{d};
  for (Drawing& page : table_pages(surface.name, site_tables(face), paper)) out.push_back(std::move(page));
  return out;
}

}  // namespace rakelight
