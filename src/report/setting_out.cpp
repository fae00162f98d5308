#include "report/setting_out.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "room/say.h"

namespace rakelight {
namespace {

const Colour ink = "#000000", pale = "#8a867d", board = "#f4f2ee", hole = "#ffffff", backing = "#d9d2c0";
constexpr double small_type = 2.2, type = 2.6;
constexpr std::array scales{5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0, 150.0, 200.0, 300.0, 500.0, 1000.0};
constexpr dvec2 before{30, 6};       // mm left of the face and above it: dimensions, marks
constexpr double beside = 8, one_row = 18, two_rows = 33;  // mm right of it and below it

struct Sheets {
  Drawing& d;
  const SettingOut& f;
  const Study& study;
  const Plan& plan;
  const Surface& face;
  Units units;
  dvec2 origin{0};   // paper, of the face's lower left corner
  double mm_per_m_drawn = 1;
  std::vector<Rect> taken{};  // paper, where words stand

  bool is_free(const Rect& r) const {
    return std::none_of(taken.begin(), taken.end(), [&](const Rect& t) { return t.lo.x < r.hi.x && r.lo.x < t.hi.x && t.lo.y < r.hi.y && r.lo.y < t.hi.y; });
  }

  dvec2 at(dvec2 p) const { return {origin.x + (p.x - face.box.lo.x) * mm_per_m_drawn, origin.y - (p.y - face.box.lo.y) * mm_per_m_drawn}; }
  std::string text(double m) const { return site_text(units, m); }
  void line(dvec2 a, dvec2 b, const Colour& c, double w, const std::vector<double>& dash = {}) { d.line(at(a), at(b), c, w, dash); }
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

std::string short_id(const std::string& id) { return id.substr(id.find('/') + 1); }

std::optional<Verdict> verdict_of(const SettingOut& f, const std::string& id) {
  if (!f.judged) return std::nullopt;
  for (const JointResult& r : f.judged->joints)
    if (r.joint.line.id == id) return r.worst < 0 ? Verdict::hidden : r.seen[static_cast<std::size_t>(r.worst)].judged.verdict;
  return std::nullopt;
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

std::vector<const PlacedJoint*> placed(const Relief& relief) {
  std::vector<const PlacedJoint*> out;
  for (const PlacedJoint& p : relief.joints)
    if (joins_sheets(p.line.kind)) out.push_back(&p);
  return out;
}

/// The joints with their sections: as judged, else as the level makes them.
Relief relief_of(const SettingOut& f) {
  Relief relief;
  if (f.judged) {
    for (const JointResult& r : f.judged->joints) relief.joints.push_back(r.joint);
    return relief;
  }
  const std::string level = *f.study->job.surfaces[static_cast<std::size_t>(f.study->room.surfaces[static_cast<std::size_t>(f.plan->surface)].spec)].level;
  return finished_relief(*f.study, f.plan->layout, f.plan->surface, {f.plan->layout.run, level});
}

const Cut* cut_of(const SettingOut& f, int sheet) {
  if (!f.cutting) return nullptr;
  for (const Cut& c : f.cutting->cuts)
    if (c.surface == f.plan->surface && c.sheet == sheet) return &c;
  return nullptr;
}

dvec2 cut_size(const SettingOut& f, int sheet) {
  if (const Cut* c = cut_of(f, sheet)) return c->size;
  const Rect r = turned(f.plan->layout.sheets[static_cast<std::size_t>(sheet)].outline, f.plan->layout.run);
  return {r.height(), r.width()};
}

void draw_board(Sheets& s) {
  std::vector<dvec2> outline;
  for (dvec2 p : s.face.outline) outline.push_back(s.at(p));
  s.d.polygon(outline, board);
  for (const Block& b : s.plan.blocks) s.d.box(glm::min(s.at(b.at.lo), s.at(b.at.hi)), glm::max(s.at(b.at.lo), s.at(b.at.hi)), backing);
  const Rect box = s.face.box;
  for (double m : s.plan.framing.at)
    s.line(s.plan.framing.upright ? dvec2(m, box.lo.y) : dvec2(box.lo.x, m), s.plan.framing.upright ? dvec2(m, box.hi.y) : dvec2(box.hi.x, m), pale, 0.12, {2.4, 0.8, 0.4, 0.8});
  auto opening = [&](const Rect& o, const std::string& name) {
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
    const JointLine& j = p->line;
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
    const dvec2 blank = cut_size(s.f, static_cast<int>(i));
    const std::string number = std::to_string(i + 1);
    std::string cut = s.text(blank.x) + " × " + s.text(blank.y);
    if (const Cut* c = cut_of(s.f, static_cast<int>(i)); c && c->offcut) cut += " offcut";
    const double w = piece->width() * s.mm_per_m_drawn, h = piece->height() * s.mm_per_m_drawn;
    auto long_of = [](const std::string& t, double tall) { return 0.6 * tall * static_cast<double>(t.size()); };
    const bool two = h >= 9 && w >= long_of(cut, type) + 1, level = two || w >= h;
    const double across = level ? h : w, along = level ? w : h;
    std::string shown = number + ": " + cut;
    double tall = two ? type : std::min({type, 0.75 * across, type * along / long_of(shown, type)});
    if (tall < 1.4) {  // a strip too small for more than its number; its size is in the list
      shown = number;
      tall = std::clamp(0.75 * across, 0.9, type);
    }
    const dvec2 half = two ? dvec2(0.5 * long_of(cut, type), 4) : level ? dvec2(0.5 * long_of(shown, tall), 0.5 * tall) : dvec2(0.5 * tall, 0.5 * long_of(shown, tall));
    dvec2 c = s.at(0.5 * (piece->lo + piece->hi));
    for (double share : {0.5, 0.6, 0.4, 0.68, 0.32, 0.78, 0.22}) {
      const dvec2 at = s.at(level && !two ? dvec2(piece->lo.x + share * piece->width(), 0.5 * (piece->lo.y + piece->hi.y))
                                          : dvec2(0.5 * (piece->lo.x + piece->hi.x), piece->lo.y + share * piece->height()));
      const bool inside = two ? std::abs(share - 0.5) * h <= 0.5 * h - half.y : std::abs(share - 0.5) * along <= 0.5 * along - (level ? half.x : half.y);
      if (!inside || !s.is_free({at - half, at + half})) continue;
      c = at;
      break;
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
  for (auto* list : {&studs, &uprights, &levels}) merge(*list);

  // below: members on the first line, joints and openings on the second
  const double foot = s.at(box.lo).y, left = s.at(box.lo).x, right = s.at({box.hi.x, box.lo.y}).x, head = s.at({box.lo.x, box.hi.y}).y;
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
  const dvec2 room = hi - lo - before - dvec2(beside, face.plan->framing.upright && !face.plan->framing.dabs ? two_rows : one_row);
  double scale = scales.back();
  for (double n : scales)
    if (surface.box.width() * mm_per_m / n <= room.x && surface.box.height() * mm_per_m / n <= room.y) {
      scale = n;
      break;
    }
  Sheets s{drawing, face, *face.study, *face.plan, surface, face.study->job.units};
  s.mm_per_m_drawn = mm_per_m / scale;
  s.origin = {lo.x + before.x, lo.y + before.y + surface.box.height() * s.mm_per_m_drawn};
  draw_board(s);
  const Relief relief = relief_of(face);
  draw_joints(s, relief);
  draw_names(s);
  draw_dimensions(s);
  return scale;
}

std::vector<SiteTable> site_tables(const SettingOut& f) {
  const Units units = f.study->job.units;
  const Surface& face = f.study->room.surfaces[static_cast<std::size_t>(f.plan->surface)];
  const dvec2 corner = face.box.lo;
  auto text = [&](double m) { return site_text(units, m); };
  SiteTable sheets{"Sheets", {{"sheet", "cut to", "left edge", "lower edge", "from stock", "work"}}};
  for (std::size_t i = 0; i < f.plan->layout.sheets.size(); ++i) {
    const Sheet& sheet = f.plan->layout.sheets[i];
    const dvec2 size = cut_size(f, static_cast<int>(i));
    std::string work, from = "–";
    if (const Cut* c = cut_of(f, static_cast<int>(i))) {
      auto add = [&](bool is, const char* what) { work += is ? (work.empty() ? "" : ", ") + std::string(what) : ""; };
      add(c->ripped, "rip");
      add(c->shortened, "cut to length");
      add(c->cut_out, "cut out");
      from = fmt::format("{}{}", c->stock, c->offcut ? " (offcut)" : "");
    }
    sheets.rows.push_back({std::to_string(i + 1), text(size.x) + " × " + text(size.y), text(sheet.outline.lo.x - corner.x), text(sheet.outline.lo.y - corner.y), from, work.empty() ? "full sheet" : work});
  }
  SiteTable joints{"Joints", {{"joint", "kind", "from left", "from floor", "length", "feather left", "feather right", "pulls", "verdict"}}};
  if (face.kind == Surface::Kind::ceiling) joints.rows[0][3] = "from lower edge";
  const Relief relief = relief_of(f);
  for (const PlacedJoint* p : placed(relief)) {
    const Feather feather = feather_of(*p, *f.study->job.finishing.tools);
    const std::optional<Verdict> v = verdict_of(f, p->line.id);
    joints.rows.push_back({short_id(p->line.id), kind_text(p->line.kind), text(p->line.from.x - corner.x), text(p->line.from.y - corner.y), text(p->line.length()),
                           text(feather.left), text(feather.right), feather.one_pull ? "one" : "each side", v ? verdict_text(*v) : "–"});
  }
  std::vector<SiteTable> out{sheets, joints};
  if (!f.plan->framing.at.empty()) {
    SiteTable members{f.plan->framing.upright ? "Members, from the left" : "Members, from the lower edge", {{"member", "centre", "mark"}}};
    for (std::size_t i = 0; i < f.plan->framing.at.size(); ++i)
      members.rows.push_back({std::to_string(i + 1), text(f.plan->framing.at[i] - (f.plan->framing.upright ? corner.x : corner.y)), face.kind == Surface::Kind::wall ? "floor and ceiling" : "both walls"});
    out.push_back(members);
  }
  SiteTable blocks{"Behind the board", {{"what", "from left", "from floor", "size"}}};
  for (const Block& b : f.plan->blocks)
    blocks.rows.push_back({b.what, text(b.at.lo.x - corner.x), text(b.at.lo.y - corner.y), text(b.at.width()) + " × " + text(b.at.height())});
  if (blocks.rows.size() > 1) out.push_back(blocks);
  SiteTable broken{"Rules broken", {{"rule", "where", "what"}}};
  for (const Breach& b : f.plan->breaches)
    broken.rows.push_back({std::string(b.rule->id) + (b.relaxed ? " (relaxed)" : ""), b.joint.empty() ? "–" : short_id(b.joint), b.what});
  if (broken.rows.size() > 1) out.push_back(broken);
  return out;
}

SiteTable stock_table(const Study& study, const Cutting& cutting) {
  SiteTable table{"Sheets to buy", {{"size", "count", "mass each", "lift"}}};
  const AccessSpec& a = study.job.access;
  for (const StockUse& use : cutting.stock) {
    const double kg = use.width * use.length * *a.board_mass;
    const int people = people_for(kg, *a.each_kg);
    table.rows.push_back({site_text(study.job.units, use.width) + " × " + site_text(study.job.units, use.length), std::to_string(use.count), fmt::format("{:.0f} kg", kg),
                          *a.hoist ? "hoist" : people == 0 ? "hoist only" : people == 1 ? "1 person" : fmt::format("{} people", people)});
  }
  table.rows.push_back({"hung again from offcuts", std::to_string(cutting.reused), "", ""});
  table.rows.push_back({"waste", fmt::format("{:.0f} %", 100 * cutting.waste()), "", "usual to order: 10 % on walls, 15 % on ceilings"});
  return table;
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

std::vector<Drawing> table_pages(const std::string& title, const std::vector<SiteTable>& tables, dvec2 paper) {
  std::vector<Drawing> out;
  constexpr double side = 12, row = 4.6, size = 2.7;
  double y = 1e9, x = side, column_end = 0;
  auto fresh = [&] {
    Drawing d;
    d.width = paper.x;
    d.height = paper.y;
    d.say({side, 13}, title + (out.empty() ? ": lists" : ": lists, continued"), 5, Words::Anchor::start, true);
    out.push_back(d);
    y = 24;
    x = side;
    column_end = 0;
  };
  for (const SiteTable& table : tables) {
    std::vector<double> widths;
    for (const auto& cells : table.rows)
      for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i >= widths.size()) widths.push_back(0);
        std::size_t shown = 0;
        for (char c : cells[i]) shown += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
        widths[i] = std::max(widths[i], (&cells == &table.rows[0] ? 0.68 : 0.6) * size * static_cast<double>(shown) + 3);
      }
    double width = 0;
    for (double w : widths) width += w;
    width = std::min(width, paper.x - 2 * side);
    const auto head = [&](bool continued) {
      Drawing& d = out.back();
      d.say({x, y}, table.title + (continued ? ", continued" : ""), 3.4, Words::Anchor::start, true);
      y += 1.3 * row;
    };
    auto next_column = [&] {
      if (!out.empty() && column_end > 0 && column_end + 10 + width <= paper.x - side) {
        x = column_end + 10;
        y = 24;
      } else {
        fresh();
      }
    };
    if (y + 4 * row > paper.y - 10) next_column();
    head(false);
    for (std::size_t r = 0; r < table.rows.size(); ++r) {
      if (y > paper.y - 10) {
        next_column();
        head(true);
      }
      double at = x;
      for (std::size_t i = 0; i < table.rows[r].size(); ++i) {
        std::string cell = table.rows[r][i];
        const auto room = static_cast<std::size_t>(std::max(4.0, (paper.x - side - at) / (0.56 * size)));
        if (cell.size() > room) {
          std::size_t end = room - 1;
          while (end > 0 && (static_cast<unsigned char>(cell[end]) & 0xC0u) == 0x80u) --end;
          cell = cell.substr(0, end) + "…";
        }
        out.back().say({at, y}, cell, size, Words::Anchor::start, r == 0);
        at += widths[i];
      }
      y += row;
    }
    column_end = std::max(column_end, x + width);
    y += row;
  }
  return out;
}

}  // namespace rakelight
