// The client's two pages: what is expected to be noticed, when and from where, what each level costs, what is agreed.
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "base/text.h"
#include "base/units.h"
#include "report/paper_parts.h"

namespace rakelight {
namespace {

constexpr std::size_t most_rows = 6;

struct Noticed { const SurfaceResult* surface; const JointResult* joint; };

/// What shows, the most visible first; where nothing does, what is found by someone who looks for it.
std::vector<Noticed> noticed(const PaperFacts& f) {
  std::vector<Noticed> all;
  for (const SurfaceResult& s : f.source.assessment.surfaces)
    for (const JointResult& j : s.joints)
      if (j.worst >= 0 && j.seen[static_cast<std::size_t>(j.worst)].judged.verdict != Verdict::hidden) all.push_back({&s, &j});
  const auto v = [](const Noticed& n) { return n.joint->seen[static_cast<std::size_t>(n.joint->worst)].judged.visibility; };
  std::stable_sort(all.begin(), all.end(), [&](const Noticed& a, const Noticed& b) { return v(a) > v(b); });
  return all;
}

/// The hours of daylight in a swept year.
double daylight(const Year& year) {
  double hours = 0;
  for (const YearDay& d : year.days)
    if (std::isfinite(d.sunrise) && std::isfinite(d.sunset) && d.sunset > d.sunrise) hours += 24 * (d.sunset - d.sunrise);
    else if (d.light) hours += 24;
  return hours;
}

const YearJoint* in_year(const PaperFacts& f, int surface, const std::string& id) {
  if (!f.source.year) return nullptr;
  for (const YearFace& face : f.source.year->year.faces)
    if (face.surface == surface)
      for (const YearJoint& j : face.joints)
        if (j.id == id) return &j;
  return nullptr;
}

std::string hours_words(double hours) { return hours < 9.5 ? fmt::format("about {} hours", fixed_text(std::max(hours, 0.1), hours < 1.95 ? 1 : 0)) : fmt::format("about {} hours", fixed_text(std::round(hours / 10) * 10, 0)); }

/// "21 Jun, about 20:40".
std::string peak_words(const PaperFacts& f, double at) {
  constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const ClockTime t = clock_time(f.job.site, at);
  return fmt::format("{} {}, about {}", t.day, months[static_cast<std::size_t>(t.month - 1)], clock_text(std::round(t.hours * 6) / 6));
}

/// How often in the year, under skies that are always clear.
std::string year_words(const PaperFacts& f, const YearJoint& j) {
  if (j.shows_hours < 0.05) return j.faint_hours < 0.05 ? "not by daylight" : "by daylight found if looked for";
  const double all = daylight(f.source.year->year);
  const std::string often = all > 0 && j.shows_hours > 0.5 * all ? fmt::format("through most of the day all year ({} of {} hours of daylight)", fixed_text(std::round(j.shows_hours / 100) * 100, 0), fixed_text(std::round(all / 100) * 100, 0))
                                                                   : hours_words(j.shows_hours) + " in the year";
  return often + ", strongest " + peak_words(f, j.worst_at);
}

Grid noticed_table(const PaperFacts& f, const std::vector<Noticed>& all) {
  Grid g{{"what", "expected", "when it is worst", "seen from", "in the year, skies clear"}, {}, {}};
  if (!f.source.year) g.head.pop_back();
  for (std::size_t i = 0; i < std::min(all.size(), most_rows); ++i) {
    const JointResult& j = *all[i].joint;
    const Seen& seen = j.seen[static_cast<std::size_t>(j.worst)];
    std::vector<std::string> row{fmt::format("{}: {} joint {}", j.joint.line.id, kind_text(j.joint.line.kind), place_text(f, j.joint.line)),
                                 seen.judged.verdict == Verdict::shows ? "noticed in ordinary use" : "found if looked for",
                                 when_text(f.study.moments[static_cast<std::size_t>(seen.moment)]), stand_text(f.study, seen.viewer)};
    if (f.source.year) {
      const YearJoint* y = in_year(f, all[i].surface->surface, j.joint.line.id);
      row.push_back(y ? year_words(f, *y) + (y->shows_hours >= 0.05 ? "; from " + stand_text(f.study, y->worst.viewer) : "") : "–");
    }
    g.rows.push_back(std::move(row));
  }
  return g;
}

/// Joints that show, and that are faint, among the looks that `take` takes.
struct Count { int shows = 0, faint = 0, joints = 0; };
template <class Take> Count count(const PaperFacts& f, Take&& take) {
  Count c;
  for (const SurfaceResult& s : f.source.assessment.surfaces)
    for (const JointResult& j : s.joints) {
      Verdict most = Verdict::hidden;
      bool any = false;
      for (const Seen& seen : j.seen) {
        if (!take(seen)) continue;
        any = true;
        most = std::max(most, seen.judged.verdict);
      }
      c.joints += any;
      c.shows += most == Verdict::shows;
      c.faint += most == Verdict::faint;
    }
  return c;
}

std::string count_words(const Count& c) { return fmt::format("{} of {} joints shown, {} faint", c.shows, c.joints, c.faint); }

/// The published guides' position against living in the room.
std::string positions(const PaperFacts& f) {
  const auto inspects = [&](const Seen& s) { return f.study.viewers[static_cast<std::size_t>(s.viewer)].only_surface >= 0; };
  // no sun and little raking: what the guides mean by ordinary light
  const auto even = [&](const Seen& s) { return inspects(s) && !f.study.moments[static_cast<std::size_t>(s.moment)].sky.sun_up && s.raking_ratio < 2.5; };
  const Count inspection = count(f, inspects), ordinary = count(f, even), living = count(f, [&](const Seen& s) { return !inspects(s); });
  std::string text = "Where it is judged. Published guides look from 1.5 to 2 m, square on, in even light without glancing sun or lamps, and count what shows only in glancing light as no poor work. ";
  if (inspection.joints == 0) return text + "This job names its own places to stand, so that position was not looked at.";
  if (ordinary.joints > 0) text += fmt::format("From there and so lit: {}. ", count_words(ordinary));
  text += fmt::format("From there in the light of this room at its worst: {}. ", count_words(inspection));
  return text + fmt::format("Living in the room, from its door, its seats and along its walls: {}.", count_words(living));
}

PaperBlock levels_block(const PaperFacts& f, const SurfaceAdvice& advice) {
  const std::vector<int> offered = offers(advice);
  const PaperFacts::Alternative base{hours_of(f.visits), count_of(f.visits), f.prices};
  Photos photos;
  Grid g{{"level", "any joint shows", "hours, whole job", "visits"}, {}, {}};
  if (!f.prices.prices.empty()) g.head.push_back("price");
  for (std::size_t k = 0; k < offered.size(); ++k) {
    const Option& o = advice.options[static_cast<std::size_t>(offered[k])];
    const PaperFacts::Alternative a = offered[k] == advice.as_asked ? base : f.with(advice.surface, o.finish);
    std::string name = level_text(f.study, advice.surface, o.finish);
    if (offered[k] == advice.best) name += " – recommended";
    if (offered[k] == advice.as_asked) name += " – as asked";
    std::vector<std::string> beside{fmt::format("{} of {} joints shown, {} faint.", o.showing, o.joints, o.faint), expectation(o.chance_any_shows, *f.job.verdict.chance) + "."};
    beside[1][0] = static_cast<char>(std::toupper(static_cast<unsigned char>(beside[1][0])));
    const Range hours = a.hours;
    std::string cost = fmt::format("Whole job {} hours in {} visits", range_text(hours), a.visits);
    if (offered[k] != advice.as_asked) {
      const double low = a.hours.low - base.hours.low, high = a.hours.high - base.hours.high;
      const double least = std::min(std::abs(low), std::abs(high)), most = std::max(std::abs(low), std::abs(high));
      cost += fmt::format(" ({} {} than as asked)", range_text({least, most}), low + high >= 0 ? "more" : "fewer");
    }
    beside.push_back(cost + ", estimates.");
    std::string price;
    if (!a.prices.prices.empty()) {
      price = money_text(a.prices.currency, a.prices.total);
      beside.push_back("Price " + price + ".");
    }
    g.rows.push_back({name, chance_text(o.chance_any_shows), range_text(hours), std::to_string(a.visits)});
    if (!price.empty()) g.rows.back().push_back(price);
    if (k < f.source.pictures.levels.size()) {
      Photo photo = f.source.pictures.levels[k];
      photo.heading = name;
      photo.beside = beside;
      photos.photos.push_back(std::move(photo));
    }
  }
  if (photos.photos.size() < offered.size()) return g;
  photos.caption = f.source.pictures.levels_caption;
  return photos;
}

std::string recommendation(const PaperFacts& f, const SurfaceAdvice& a) {
  if (a.best < 0) return "";
  const Option& best = a.options[static_cast<std::size_t>(a.best)];
  std::string face = f.face(a.surface);
  face[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(face[0])));
  const std::string what = level_text(f.study, a.surface, best.finish);
  // what is asked for and good enough stays
  if (a.as_asked >= 0 && a.as_asked != a.best && a.options[static_cast<std::size_t>(a.as_asked)].chance_any_shows <= *f.job.verdict.chance) {
    const Option& asked = a.options[static_cast<std::size_t>(a.as_asked)];
    std::string kept = fmt::format("{}: as asked, {}: {}", face, level_text(f.study, a.surface, asked.finish), expectation(asked.chance_any_shows, *f.job.verdict.chance));
    const double less = asked.cost.hours.low + asked.cost.hours.high - best.cost.hours.low - best.cost.hours.high;
    if (less > 0.05 * (asked.cost.hours.low + asked.cost.hours.high)) kept += fmt::format(". With {} it would be less work ({} instead of {} hours) and as good", what, range_text(best.cost.hours), range_text(asked.cost.hours));
    return kept + ".";
  }
  const std::string expected = expectation(best.chance_any_shows, *f.job.verdict.chance);
  if (a.best == a.as_asked) return fmt::format("{}: as asked, {}: {}.", face, what, expected);
  std::string text = fmt::format("{}: {} instead of {}: {}", face, what, level_text(f.study, a.surface, a.options[static_cast<std::size_t>(a.as_asked)].finish), expected);
  if (!a.reached) text += ", which is the least that direction and level alone reach; light, paint or lamps would have to change too";
  return text + ".";
}

std::vector<std::string> lamp_lines(const PaperFacts& f) {
  std::vector<std::string> out;
  int number = 0;
  for (const LampSpec& lamp : f.job.lamps) {
    ++number;
    const dvec3 p = *lamp.position;
    const int wall = f.study.room.nearest_wall(dvec2(p));
    const double off = f.study.room.surfaces[static_cast<std::size_t>(wall)].frame.height_of(p);
    out.push_back(fmt::format("L{} {}: {} from the {}, {} above the floor", number, *lamp.name, f.measures.length(off), f.face(wall), f.measures.length(p.z)));
  }
  return out;
}

}  // namespace

PaperSection client_section(const PaperFacts& f) {
  PaperSection section{"For the client: " + (f.job.title->empty() ? f.source.job_name : *f.job.title), {}, 2};
  std::vector<PaperBlock>& out = section.blocks;
  const PaperSpec& paper = f.job.paper;
  std::string date;
  if (paper.date.given) date = day_text(day_number(paper.date->year, paper.date->month, paper.date->day), false);
  std::string until;
  if (paper.date.given && paper.valid_days.given) until = day_text(day_number(paper.date->year, paper.date->month, paper.date->day) + static_cast<long>(*paper.valid_days), false);
  out.push_back(Blanks{{{"Client", *paper.client}, {"Date", date}, {"Site", *paper.site}, {"Valid until", until}, {"Finisher", *paper.finisher}, {"", ""}}});

  const std::vector<Noticed> all = noticed(f);
  const auto shown = std::count_if(all.begin(), all.end(), [](const Noticed& n) { return n.joint->seen[static_cast<std::size_t>(n.joint->worst)].judged.verdict == Verdict::shows; });
  const std::string statement = all.empty() ? fmt::format("As asked, no joint is expected to be noticed at the times and places looked at ({} that any shows).", chance_text(f.source.assessment.chance_any_shows))
                                            : fmt::format("As asked, {} of the job's joints would be noticed in ordinary use at the worst times, and {} more found if looked for: {} that any shows.", shown,
                                                          all.size() - static_cast<std::size_t>(shown), chance_text(f.source.assessment.chance_any_shows));
  std::vector<std::string> advice;
  for (const SurfaceAdvice& a : f.source.advice.surfaces)
    if (std::string text = recommendation(f, a); !text.empty()) {
      const SurfaceCounsel* c = f.source.counsel.of(a.surface);
      if (const std::string way = c ? other_way_text(c->cures) : ""; !way.empty()) text += " " + way + ".";
      advice.push_back(std::move(text));
    }
  const PaperPictures& pictures = f.source.pictures;
  // a room with many faces needs the width of the page for what is advised
  const bool beside = pictures.room.image.width > 0 && advice.size() <= 3;
  if (!pictures.why_none.empty()) out.push_back(Para{pictures.why_none, false, true});
  if (beside) {
    Photo room = pictures.room;
    room.heading = statement;
    room.beside = advice;
    if (!advice.empty()) room.beside.front() = "We recommend: " + room.beside.front();
    room.most_height = 0.3;
    out.push_back(Photos{{room}, pictures.room_caption, 1});
  } else {
    out.push_back(Para{statement, true});
    if (pictures.room.image.width > 0) out.push_back(Photos{{pictures.room}, pictures.room_caption, 1});
  }

  if (!all.empty()) {
    out.push_back(Headline{"What is expected to be noticed, as asked", 2});
    out.push_back(noticed_table(f, all));
    if (all.size() > most_rows) out.push_back(Para{fmt::format("And {} more, less than these: see the figures.", all.size() - most_rows), false, true});
  }
  if (!beside && !advice.empty()) {
    out.push_back(Headline{"We recommend", 2});
    out.push_back(Points{advice, false});
  }

  if (const SurfaceResult* worst = worst_face(f.source.assessment)) {
    if (const SurfaceAdvice* a = f.advice_of(worst->surface); a && !a->options.empty()) {
      out.push_back(Headline{fmt::format("The {} at its worst moment, in the levels on offer", f.face(worst->surface)), 2});
      out.push_back(levels_block(f, *a));
      if (pictures.levels.size() > 1) {
        const Photo &before = pictures.levels.front(), &after = pictures.levels.back();
        out.push_back(Slide{before, after, "Drag to compare. " + pictures.levels_caption});
        out.push_back(Tones{});
      }
    }
  }
  out.push_back(Para{positions(f)});
  std::vector<std::string> good_for;
  for (const SurfaceCounsel& c : f.source.counsel.surfaces)
    if (f.study.room.surfaces[static_cast<std::size_t>(c.later.surface)].kind == Surface::Kind::wall)
      if (const std::string text = nearest_lamp_text(f.study, c.later); !text.empty()) good_for.push_back(text + ".");
  if (!f.job.lamps.empty() || !good_for.empty()) {
    out.push_back(Headline{date.empty() ? "Lamps as planned" : "Lamps as planned on " + date, 2});
    Plate plan{plan_drawing(f), "", "plan of the room with its lamps", 64, lamp_lines(f)};
    plan.beside.insert(plan.beside.end(), good_for.begin(), good_for.end());
    plan.beside.push_back("As the job stands. A lamp that comes nearer to a wall than these rakes it harder and may show what is now hidden.");
    out.push_back(std::move(plan));
  }
  out.push_back(Headline{"Agreed", 2});
  Points boxes;
  boxes.ticks = true;
  boxes.items.push_back("Framing checked and accepted by: " + (paper.framing_by->empty() ? "______________________" : *paper.framing_by));
  boxes.items.push_back("Paint supplied and put on by: " + (paper.paint_by->empty() ? "______________________" : *paper.paint_by));
  const auto answer = [](const Key<bool>& k, const std::string& yes, const std::string& no, const std::string& open) { return !k.given ? open : *k ? yes : no; };
  boxes.items.push_back(answer(paper.heating, "The room is heated as in use before handover", "The room is not heated before handover: joints may still move", "Heated as in use before handover:  yes / no"));
  boxes.items.push_back(answer(paper.return_visit, "One return visit after the first heating season is part of this", "No return visit is part of this", "One return visit after the first heating season:  yes / no"));
  boxes.items.push_back("Judged from 2 m, square on, in the room's ordinary light; what shows only in glancing light as shown above is accepted at the level chosen: level ______");
  out.push_back(boxes);
  out.push_back(Blanks{{{"Client, signed", ""}, {"Finisher, signed", ""}, {"Date", ""}, {"Date", ""}}});
  out.push_back(Para{"A prediction from the room as it is described, not an acceptance ruling. Hours and quantities are estimates; money only from the finisher's own rates.", false, true});
  return section;
}

}  // namespace rakelight
