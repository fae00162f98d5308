#include "report/ways.h"

#include <fmt/format.h>

#include "advice/advice.h"
#include "base/text.h"
#include "base/units.h"
#include "report/in_units.h"
#include "report/json_parts.h"
#include "report/words.h"

namespace rakelight {
namespace {

const Surface& face_of(const WaysReport& r, const FaceReport& f) { return r.study->room.surfaces[static_cast<std::size_t>(f.ways.surface)]; }

std::string breach_text(const Breach& b) {
  return fmt::format("{}{}: {}{} ({})", b.rule->id, b.joint.empty() ? "" : " at " + b.joint, b.what, b.relaxed ? ", which the job allows" : "", b.rule->source);
}

/// Of the tables: runs in metres or feet, areas in m² or ft².
std::string run_cell(Units units, double metres) { return units == Units::inch ? fixed_text(metres / 0.3048, 0) : fixed_text(metres, 1); }
std::string area_cell(Units units, double square_metres) { return units == Units::inch ? fixed_text(square_metres / (0.3048 * 0.3048), 0) : fixed_text(square_metres, 1); }

std::vector<std::string> option_row(const std::string& name, const Study& study, int surface, const WayOption& o) {
  const Units units = study.job.units;
  return {name, run_cell(units, o.visible), run_cell(units, o.long_metres), run_cell(units, o.end_metres), fixed_text(o.hours, 1), std::to_string(o.stock), area_cell(units, o.bought),
          std::to_string(o.breaches), way_text(study, surface, o.way)};
}

struct Sum { double visible = 0, hours = 0, bought = 0; int stock = 0, breaches = 0; };
Sum sum_of(const WaysReport& r, const WayOption& (*pick)(const FaceWays&)) {
  Sum s;
  for (const FaceReport& f : r.faces) {
    const WayOption& o = pick(f.ways);
    s.visible += o.visible;
    s.hours += o.hours;
    s.bought += o.bought;
    s.stock += o.stock;
    s.breaches += o.breaches;
  }
  return s;
}
const WayOption& best_of(const FaceWays& w) { return w.winner(); }
const WayOption& asked_of(const FaceWays& w) { return w.as_asked; }
const WayOption& usual_of(const FaceWays& w) { return w.usual; }

Json digits_mm(double m) { return rounded(m * mm_per_m); }
Json place(dvec2 p) { return Json::array({digits_mm(p.x), digits_mm(p.y)}); }

Json option_json(const WaysReport& r, const FaceReport& f, const WayOption& o) {
  const SurfaceSpec& spec = r.study->job.surfaces[static_cast<std::size_t>(face_of(r, f).spec)];
  Json firsts = Json::array();
  for (double m : o.way.first_sheets) firsts.push_back(digits_mm(m));
  Json j;
  j["run"] = run_text(r.study->room, f.ways.surface, o.way.run);
  j["sheet_mm"] = place({spec.sheet->x, o.way.length});
  j["first_row_mm"] = o.way.first_row > 0 ? digits_mm(o.way.first_row) : Json(nullptr);
  j["first_sheets_mm"] = firsts;
  j["visible_m"] = rounded(o.visible);
  j["long_joints_m"] = rounded(o.long_metres);
  j["butts_m"] = rounded(o.end_metres);
  j["hours"] = rounded(o.hours);
  j["pieces"] = o.pieces;
  j["sheets"] = o.stock;
  j["bought_m2"] = rounded(o.bought);
  j["breaches"] = o.breaches;
  return j;
}

Json sum_json(const Sum& s) {
  return {{"visible_m", rounded(s.visible)}, {"hours", rounded(s.hours)}, {"sheets", s.stock}, {"bought_m2", rounded(s.bought)}, {"breaches", s.breaches}};
}

Json face_json(const WaysReport& r, const FaceReport& f) {
  const Study& study = *r.study;
  Json j;
  j["name"] = face_of(r, f).name;
  j["level"] = f.ways.level;
  j["tested_system"] = f.ways.locked;
  j["layouts_tried"] = f.ways.tried;
  j["best"] = option_json(r, f, f.ways.winner());
  j["as_asked"] = option_json(r, f, f.ways.as_asked);
  j["usual"] = option_json(r, f, f.ways.usual);
  Json front = Json::array(), reasons = Json::array(), keys = Json::array(), moved = Json::array();
  for (const WayOption& o : f.ways.front) front.push_back(option_json(r, f, o));
  for (const std::string& s : f.ways.reasons) reasons.push_back(s);
  for (const std::string& s : way_keys(study, f.ways.surface, f.ways.winner().way)) keys.push_back(s);
  for (const std::string& s : entries_moved(study, f.ways.surface, f.plan.layout)) moved.push_back(s);
  j["front"] = front;
  j["reasons"] = reasons;
  j["job_keys"] = keys;
  j["entries_moved"] = moved;
  Json breaches = Json::array();
  for (const Breach& b : f.plan.breaches)
    breaches.push_back({{"rule", std::string(b.rule->id)}, {"says", rule_text(*b.rule, study.job.units)}, {"source", std::string(b.rule->source)},
                        {"joint", b.joint.empty() ? Json(nullptr) : Json(b.joint)}, {"what", b.what}, {"relaxed", b.relaxed}});
  Json sheets = Json::array(), joints = Json::array(), members = Json::array(), blocks = Json::array(), breaks = Json::array();
  for (const Cut& c : r.cutting.cuts) {
    if (c.surface != f.ways.surface) continue;
    const Rect o = f.plan.layout.sheets[static_cast<std::size_t>(c.sheet)].outline;
    sheets.push_back({{"number", c.sheet + 1}, {"from_mm", place(o.lo)}, {"to_mm", place(o.hi)}, {"cut_mm", place(c.size)}, {"stock", c.stock}, {"offcut", c.offcut},
                      {"cut_out", c.cut_out}});
  }
  for (const JointResult& joint : f.judged.joints) {
    const JointLine& line = joint.joint.line;
    if (!joins_sheets(line.kind)) continue;
    const Feather feather = feather_of(joint.joint, *study.job.finishing.tools);
    joints.push_back({{"id", line.id}, {"kind", kind_text(line.kind)}, {"from_mm", place(line.from)}, {"to_mm", place(line.to)}, {"feather_mm", place({feather.left, feather.right})},
                      {"verdict", joint.worst < 0 ? "hidden" : verdict_text(joint.seen[static_cast<std::size_t>(joint.worst)].judged.verdict)}, {"chance_shows", rounded(joint.chance_shows)}});
  }
  for (double m : f.plan.framing.at) members.push_back(digits_mm(m));
  for (const Block& b : f.plan.blocks) blocks.push_back({{"what", b.what}, {"from_mm", place(b.at.lo)}, {"to_mm", place(b.at.hi)}});
  for (const BreakLine& b : f.plan.breaks) breaks.push_back({{"from_mm", place(b.from)}, {"to_mm", place(b.to)}});
  Json plan;
  plan["run"] = run_text(study.room, f.ways.surface, f.plan.way.run);
  plan["breaches"] = breaches;
  plan["sheets"] = sheets;
  plan["joints"] = joints;
  plan["members"] = {{"along", f.plan.framing.upright ? "y" : "x"}, {"in_job", f.plan.framing.known}, {"at_mm", members}};
  plan["blocks"] = blocks;
  plan["breaks"] = breaks;
  j["plan"] = plan;
  return j;
}

}  // namespace

std::vector<SettingOut> settings_out(const WaysReport& report) {
  std::vector<SettingOut> out;
  for (const FaceReport& f : report.faces) out.push_back({report.study, &f.plan, &f.judged, &report.cutting});
  return out;
}

std::string ways_text(const WaysReport& r, bool colour) {
  const Study& study = *r.study;
  const Units units = study.job.units;
  const std::string run = units == Units::inch ? "ft" : "m", area = run + "²";
  std::string out;
  if (r.year_times > 0) out += fmt::format("The job's times and {} of the year's sun.\n\n", r.year_times);
  for (const FaceReport& f : r.faces) {
    out += face_of(r, f).name + "\n";
    for (const std::string& reason : f.ways.reasons) out += "  " + reason + "\n";
    std::vector<std::vector<std::string>> rows{{"", "shows " + run, "long " + run, "butts " + run, "hours", "sheets", area, "breaches", "way"}};
    rows.push_back(option_row("best", study, f.ways.surface, f.ways.winner()));
    rows.push_back(option_row("as asked", study, f.ways.surface, f.ways.as_asked));
    rows.push_back(option_row("usual", study, f.ways.surface, f.ways.usual));
    int others = 0;
    for (std::size_t i = 0; i < f.ways.front.size() && others < 4; ++i)
      if (static_cast<int>(i) != f.ways.best) rows.push_back(option_row(fmt::format("or {}", ++others), study, f.ways.surface, f.ways.front[i]));
    out += table(rows, "  ", colour, units);
    int shows = 0, faint = 0, all = 0;
    for (const JointResult& j : f.judged.joints) {
      if (!joins_sheets(j.joint.line.kind)) continue;
      ++all;
      if (j.worst < 0) continue;
      const Verdict v = j.seen[static_cast<std::size_t>(j.worst)].judged.verdict;
      shows += v == Verdict::shows;
      faint += v == Verdict::faint;
    }
    out += fmt::format("  {}, looked at in full: {} of {} joints between sheets show, {} faint; {} that any joint shows.\n", r.shown == "best" ? "The best" : r.shown == "asked" ? "As asked" : "The usual",
                       shows, all, faint, chance_text(f.judged.chance_any_shows));
    if (!(f.ways.winner().way == f.ways.as_asked.way)) {
      out += "  In the job, for the best:";
      for (const std::string& key : way_keys(study, f.ways.surface, f.ways.winner().way)) out += "  " + key;
      out += "\n";
    }
    for (const std::string& text : entries_moved(study, f.ways.surface, f.plan.layout)) out += "  [[joint]] " + text + "\n";
    if (!f.plan.breaches.empty()) out += fmt::format("  Rules that the {} breaks:\n", r.shown == "best" ? "best" : r.shown == "asked" ? "way asked for" : "usual way");
    for (const Breach& b : f.plan.breaches) out += "    " + breach_text(b) + "\n";
    out += "\n";
  }
  std::vector<std::vector<std::string>> rows{{"all faces", "shows " + run, "hours", "sheets", area, "breaches"}};
  for (const auto& [name, s] : {std::pair{"best", sum_of(r, best_of)}, std::pair{"as asked", sum_of(r, asked_of)}, std::pair{"usual", sum_of(r, usual_of)}})
    rows.push_back({name, run_cell(units, s.visible), fixed_text(s.hours, 1), std::to_string(s.stock), area_cell(units, s.bought), std::to_string(s.breaches)});
  out += table(rows, "", colour) + "\n";
  const SiteTable stock = stock_table(study, r.cutting);
  out += stock.title + "\n" + table(stock.rows, "  ", colour);
  out += "\nshows " + run + ": expected " + (units == Units::inch ? "feet" : "metres") + " of joint that show. Hours are an estimate: no labour rate was verified. A verdict is a prediction, not an acceptance;\n"
         "local codes, the board's own instructions and tested systems come first. Long and heavy sheets: lift as a team, or with a hoist.\n";
  return in_units(units, out);
}

std::string ways_json(const WaysReport& r, const std::string& job_name) {
  Json j = heading(&r.study->job);
  j["job"] = job_name;
  j["title"] = *r.study->job.title;
  j["set_out"] = r.shown;
  j["year_times"] = r.year_times;
  Json faces = Json::array();
  for (const FaceReport& f : r.faces) faces.push_back(face_json(r, f));
  j["surfaces"] = faces;
  j["all"] = {{"best", sum_json(sum_of(r, best_of))}, {"as_asked", sum_json(sum_of(r, asked_of))}, {"usual", sum_json(sum_of(r, usual_of))}};
  const AccessSpec& a = r.study->job.access;
  Json stock = Json::array();
  for (const StockUse& use : r.cutting.stock) {
    const double kg = use.width * use.length * *a.board_mass;
    const int people = people_for(kg, *a.each_kg);
    stock.push_back({{"sheet_mm", place({use.width, use.length})}, {"count", use.count}, {"mass_kg", rounded(kg)}, {"people", people > 0 ? Json(people) : Json(nullptr)}});
  }
  j["stock"] = stock;
  j["offcuts_reused"] = r.cutting.reused;
  j["waste"] = rounded(r.cutting.waste());
  return text_of(j);
}

}  // namespace rakelight
