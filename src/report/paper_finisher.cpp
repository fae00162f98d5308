// The finisher's pages: where joints lie, how wide and in how many coats they are made, when, and how to look at them.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>

#include "base/text.h"
#include "base/units.h"
#include "joint/make_up.h"
#include "report/paper_parts.h"
#include "report/setting_out.h"

namespace rakelight {
namespace {

/// "150 mm (one pull of 150)".
std::string coat_words(const PaperFacts& f, const PlacedJoint& joint, const Section& s, std::size_t k) {
  if (k >= s.blades.size() || s.blades[k].empty()) return "–";
  double from = 1e9, to = -1e9, widest = 0;
  for (const BladeEnds& pull : s.blades[k]) {
    from = std::min(from, pull.from);
    to = std::max(to, pull.to);
    widest = std::max(widest, pull.to - pull.from);
  }
  // the blade that was taken: the shortest owned that reaches across the widest pull
  double blade = joint.recipe.tools.empty() ? widest : joint.recipe.tools.back();
  for (auto t = joint.recipe.tools.rbegin(); t != joint.recipe.tools.rend(); ++t)
    if (*t >= widest - 0.0005) blade = *t;
  const std::size_t pulls = s.blades[k].size();
  return fmt::format("{}, {} × {}", f.measures.length(to - from), pulls, f.measures.length(blade));
}

struct Make { std::string kind; std::vector<std::string> coats; std::string backing; };
bool operator<(const Make& a, const Make& b) { return std::tie(a.kind, a.backing, a.coats) < std::tie(b.kind, b.backing, b.coats); }

/// "R1–R4, R7" of ids that share their face and letter.
std::string ids_words(const std::vector<std::string>& ids) {
  std::vector<std::string> out;
  std::string last_letter;
  int first = 0, last = -2;
  const auto flush = [&] {
    if (last >= first && !last_letter.empty()) out.push_back(first == last ? fmt::format("{}{}", last_letter, first) : fmt::format("{0}{1}–{0}{2}", last_letter, first, last));
  };
  for (const std::string& id : ids) {
    const std::string own = id.substr(id.find('/') + 1), letter = own.substr(0, own.find_first_of("0123456789"));
    const int number = std::atoi(own.c_str() + letter.size());
    if (letter == last_letter && number == last + 1) {
      last = number;
      continue;
    }
    flush();
    last_letter = letter;
    first = last = number;
  }
  flush();
  return fmt::format("{}", fmt::join(out, ", "));
}

std::string backing_words(const PaperFacts& f, const JointLine& line) {
  if (line.kind == JointKind::backed_butt) return "board behind, ends pulled in";
  const int spec = f.study.room.surfaces[static_cast<std::size_t>(line.surface)].spec;
  const BackingSpec backing = *f.job.surfaces[static_cast<std::size_t>(spec)].backing;
  if (is_long(line.kind) && (backing == BackingSpec::recessed || backing == BackingSpec::both)) return "blocks behind";
  if (line.kind == JointKind::butt) return "on framing";
  return "–";
}

/// The face's sheets as the job has them, with what stays visible on floor and ceiling to find them by.
Plate setting_out(const PaperFacts& f, const SurfaceResult& s, const Cutting& cutting) {
  const Plan plan = plan_as_asked(f.study, s.surface);
  Plate plate;
  plate.drawing.width = 180;
  // low and long faces leave the rest of the page to others
  const Rect box = f.study.room.surfaces[static_cast<std::size_t>(s.surface)].box;
  plate.drawing.height = box.width() > 9 ? 160 : box.width() > 2 * box.height() ? 96 : 112;  // over 9 m in two lengths
  const double scale = draw_setting_out(plate.drawing, {0, 0}, {plate.drawing.width, plate.drawing.height}, {&f.study, &plan, &s, &cutting});
  plate.caption = fmt::format("Setting out the {}, 1 : {}; running dimensions from {}. Sheets are numbered in the order in which they are hung. Joints: full disc shows, half faint, empty hidden.",
                              f.face(s.surface), number_text(std::round(scale)), f.study.room.surfaces[static_cast<std::size_t>(s.surface)].kind == Surface::Kind::wall ? "its left corner and the floor" : "the plan's corner");
  plate.alt = "setting out of the " + f.face(s.surface);
  plate.most_height = plate.drawing.height > 112 ? 200 : 112;
  return plate;
}

PaperBlock joints_table(const PaperFacts& f, const SurfaceResult& s) {
  struct Group { std::vector<std::string> ids; double metres = 0; };
  std::map<Make, Group> groups;
  std::vector<Make> order;
  std::size_t most = 0;
  for (const JointResult& j : s.joints) {
    const JointLine& line = j.joint.line;
    const Section built = j.joint.measured ? make_section(j.joint.recipe, j.joint.figures) : Section();
    const Section& section = j.joint.measured ? built : j.joint.section;
    Make make{kind_text(line.kind), {}, backing_words(f, line)};
    const auto coats = static_cast<std::size_t>(coats_on(j.joint.recipe.level, line.kind));
    for (std::size_t k = 0; k < coats; ++k) make.coats.push_back(coat_words(f, j.joint, section, k));
    most = std::max(most, coats);
    const auto [at, fresh] = groups.try_emplace(make);
    if (fresh) order.push_back(make);
    at->second.ids.push_back(line.id);
    at->second.metres += line.length();
  }
  Grid g{{"joints", "kind", "length"}, {}, {false, false, true}};
  for (std::size_t k = 0; k < most; ++k) g.head.push_back(coat_name(static_cast<int>(k)) + ": width, pulls × blade");
  g.head.push_back("backing");
  for (const Make& make : order) {
    const Group& group = groups[make];
    std::vector<std::string> row{ids_words(group.ids), make.kind, f.measures.metres(group.metres)};
    for (std::size_t k = 0; k < most; ++k) row.push_back(k < make.coats.size() ? make.coats[k] : "–");
    row.push_back(make.backing);
    g.rows.push_back(std::move(row));
  }
  return g;
}

PaperBlock programme_table(const PaperFacts& f) {
  Grid g{{"done", "visit", "what", "hours", "planned", "at best", "then wait"}, {}, {}};
  for (std::size_t i = 0; i < f.programme.planned.size(); ++i) {
    const Step &plan = f.programme.planned[i], &best = f.programme.at_best[i];
    const Visit& visit = f.visits[static_cast<std::size_t>(plan.visit)];
    std::vector<std::string> what;
    if (!visit.compound.empty()) what.push_back(visit.compound + " compound");
    for (const Task& task : visit.tasks) what.push_back(fmt::format("{} {} h", task.what, range_text(task.hours)));
    if (visit.by_painter) what.push_back("by whoever paints");
    const auto days = [&](const Step& s) { return s.first == s.last ? f.short_day(s.first) : f.short_day(s.first) + " to " + f.short_day(s.last); };
    std::string wait = plan.wait_for.empty() ? "–" : fmt::format("{} h, {}", range_text(plan.wait), plan.wait_for);
    if (plan.thick) wait += "; thick, the upper end a guess";
    g.rows.push_back({"☐", fmt::format("{}. {}", i + 1, visit.name), fmt::format("{}", fmt::join(what, ", ")), visit.by_painter ? "–" : range_text(plan.hours), days(plan), days(best), wait});
  }
  return g;
}

PaperBlock ticks_table(const PaperFacts& f) {
  Grid g{{"face"}, {}, {}};
  for (const Visit& visit : f.visits) g.head.push_back(visit.name);
  for (const SurfaceResult& s : f.source.assessment.surfaces) {
    std::vector<std::string> row{f.face(s.surface)};
    for (const Visit& visit : f.visits) row.push_back(std::find(visit.surfaces.begin(), visit.surfaces.end(), f.study.room.surfaces[static_cast<std::size_t>(s.surface)].name) == visit.surfaces.end() ? "–" : "☐");
    g.rows.push_back(std::move(row));
  }
  return g;
}

/// Where to hold a lamp so that it rakes a face as its worst moment does.
std::string lamp_words(const PaperFacts& f, const SurfaceResult& s) {
  const JointResult* worst = s.worst();
  if (!worst) return f.face(s.surface) + ": no joint is in sight at the times looked at; walk it with the lamp flat along the face all the same.";
  const Seen& seen = worst->seen[static_cast<std::size_t>(worst->worst)];
  std::string text = fmt::format("{}: worst is {} ({}) in \"{}\", seen {}. ", f.face(s.surface), worst->joint.line.id, place_text(f, worst->joint.line), when_text(f.study.moments[static_cast<std::size_t>(seen.moment)]),
                                 stand_text(f.study, seen.viewer));
  const double across = std::abs(seen.across_ratio);
  if (seen.mirrored())
    return text + "It is seen by what the paint mirrors more than by shade, so a lamp on bare compound shows less of it: look along the face from there again once the first finish coat is dry.";
  if (!std::isfinite(across) || across < 0.2) return text + "Light hardly crosses it; hold the lamp square to the joint all the same and look along the wall.";
  const double off = std::round(std::clamp(1 / across, 0.05, 2.0) * 100) / 100;
  return text + fmt::format("Hold the lamp beside it, on the side the light comes from, {} from the joint and {} off the face: it then rakes the joint as that moment does ({} to 1).", f.measures.length(1.0), f.measures.length(off),
                            fixed_text(across, 1));
}

}  // namespace

PaperSection finisher_section(const PaperFacts& f) {
  PaperSection section{"For the finisher", {}, 0};
  std::vector<PaperBlock>& out = section.blocks;
  const FinishingSpec& finishing = f.job.finishing;
  std::vector<std::string> blades;
  for (double t : *finishing.tools) blades.push_back(f.measures.length(t));
  constexpr const char* tapes[] = {"Paper tape", "Mesh tape", "Fleece tape", "No tape"};
  out.push_back(Para{fmt::format("{}. Compound coat by coat: {}. {}. Blades owned: {}. Widths are those of the level, or as the job asks for single joints.", f.study.scheme.title, fmt::join(*finishing.compound, ", "),
                                 tapes[static_cast<int>(*finishing.tape)], fmt::join(blades, ", "))});
  const Cutting cutting = cut_sheets(cutting_faces(f.study, all_of(f.source.assessment.surfaces)));
  for (const SurfaceResult& s : f.source.assessment.surfaces) {
    const Surface& face = f.study.room.surfaces[static_cast<std::size_t>(s.surface)];
    const SurfaceSpec& spec = f.job.surfaces[static_cast<std::size_t>(face.spec)];
    out.push_back(Headline{f.face(s.surface), 2});
    out.push_back(Para{fmt::format("Level {}, sheets {} by {}, {}; {}; {} paint.", s.finish.level, f.measures.length(spec.sheet->x), f.measures.length(spec.sheet->y), run_text(f.study.room, s.surface, s.finish.run),
                                   f.measures.area(boarded_area(s.layout)), f.study.paints[static_cast<std::size_t>(s.surface)].name), false, false, true});
    out.push_back(setting_out(f, s, cutting));
    if (!s.joints.empty()) out.push_back(joints_table(f, s));
    if (const Level* level = f.study.scheme.find(s.finish.level); level && level->skim > 0)
      out.push_back(Para{fmt::format("Then a film of {} over the whole face ({}).", f.measures.fine(level->skim), level->film)});
    if (const SurfaceCounsel* c = f.source.counsel.of(s.surface); c && c->cures.needed) {
      out.push_back(Para{"What would make it good, the least work first", true, false, true});
      Points ways;
      for (std::size_t i = 0; i < std::min(c->cures.reasons.size(), std::max<std::size_t>(1, c->cures.mixes.size())); ++i) ways.items.push_back(c->cures.reasons[i] + ".");
      out.push_back(ways);
    }
  }
  out.push_back(Headline{"Sanding", 2});
  out.push_back(Para{"Only what is dry: set is not dry. 120 to 150 grit before the last coat, the last with 180 paper or 220 mesh and light pressure: paper beside the joint scuffs (AU practice). Sand with a vacuum or wet, in a respirator."});
  out.push_back(Headline{"Programme", 2});
  const Programme& p = f.programme;
  out.push_back(Para{fmt::format("Air at {} and {} % relative humidity, {} at work {} hours a day, {} days a week. Planned with the longest hours and waits; at best with the shortest.{}", f.measures.temperature(p.air.celsius),
                                 fixed_text(100 * p.air.humidity, 0), *f.job.paper.hands == 1 ? "one finisher" : fixed_text(*f.job.paper.hands, 0) + " finishers", number_text(*f.job.paper.day_hours), fixed_text(*f.job.paper.days_a_week, 0),
                                 p.dated ? "" : " Day 1 is a Monday; days are counted through weekends.")});
  out.push_back(programme_table(f));
  if (p.paint_known)
    out.push_back(Para{fmt::format("Paint no earlier than {} (at best {}).", f.day(p.paint_planned), f.day(p.paint_at_best)), true});
  out.push_back(Para{"Drying compound by the trade's table for one coat of 1.6 mm (1/16 in), from memory, with 12 % either way; thicker fills from in proportion to their thickness up to its square, which is a guess; at least 24 h between coats in one practice, which the upper ends keep to. "
                     "Setting compound takes the next coat once it has set (20 to 210 minutes by its class) and dries like any other. At least 24 h after the last coat before paint (common practice). No air under 10 °C (50 °F) from two days before until all is dry.", false, true});
  out.push_back(Headline{"Done, face by face", 2});
  out.push_back(ticks_table(f));
  out.push_back(Headline{"How to inspect", 2});
  Points how;
  how.items.push_back("After the sealer, before paint: what shows then can still be filled. Mark what the lamp finds with pencil, fill it, let it dry, seal it again.");
  for (const SurfaceResult& s : f.source.assessment.surfaces) how.items.push_back(lamp_words(f, s));
  how.items.push_back("A lamp held along the wall is a means of finding marks. It is no acceptance test unless its place was agreed beforehand.");
  out.push_back(how);
  return section;
}

}  // namespace rakelight
