// Quantities, the figures behind the paper, cautions.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "base/checksum.h"
#include "base/text.h"
#include "base/units.h"
#include "report/paper_parts.h"
#include "report/words.h"

namespace rakelight {

PaperSection quantities_section(const PaperFacts& f) {
  PaperSection section{"Quantities", {}, 0};
  const Quantities& q = f.quantities;
  section.blocks.push_back(Para{fmt::format("{} of board, {} of joints. Ranges hold sources that disagree; all are estimates.", f.measures.area(q.boarded_m2), f.measures.metres(q.joint_m, 0))});
  Grid g{{"what", "amount", "reckoned"}, {}, {false, true, false}};
  for (const Item& item : q.items) {
    std::vector<std::string> from;
    for (const Reckoning& r : item.from) from.push_back(fmt::format("{}: {}", r.basis, f.measures.amount(r.amount, item.unit)));
    std::string name = item.name;
    if (item.size) name += fmt::format(", {} by {}", f.measures.length(item.size->x), f.measures.length(item.size->y));
    g.rows.push_back({name, f.measures.amount(item.amount, item.unit), fmt::format("{}", fmt::join(from, "; "))});
  }
  section.blocks.push_back(g);
  section.blocks.push_back(Points{q.notes, false});
  section.blocks.push_back(Headline{"Hours by visit", 2});
  Grid hours{{"what"}, {}, {false}};
  std::vector<std::string> tasks;
  for (const Visit& visit : f.visits) {
    if (visit.by_painter) continue;
    hours.head.push_back(visit.name);
    hours.right.push_back(true);
    for (const Task& task : visit.tasks)
      if (std::find(tasks.begin(), tasks.end(), task.what) == tasks.end()) tasks.push_back(task.what);
  }
  hours.head.push_back("all");
  hours.right.push_back(true);
  const auto add_row = [&](const std::string& what, auto&& hours_in) {
    std::vector<std::string> row{what};
    Range sum;
    for (const Visit& visit : f.visits) {
      if (visit.by_painter) continue;
      const Range here = hours_in(visit);
      row.push_back(here.high > 0 ? range_text(here) : "–");
      sum = sum + here;
    }
    row.push_back(range_text(sum));
    hours.rows.push_back(std::move(row));
  };
  for (const std::string& what : tasks)
    add_row(what, [&](const Visit& visit) {
      for (const Task& task : visit.tasks)
        if (task.what == what) return task.hours;
      return Range{};
    });
  add_row("all", [](const Visit& visit) { return visit.hours(); });
  section.blocks.push_back(hours);
  section.blocks.push_back(Para{"No labour rate was verified: hours per area are from memory of cost data, by hand at the upper end, with trade tools at the lower; ceilings take 1.25 to 1.4 times as long; over 3 m (10 ft) up to 40 % more, as an estimator has it for boarding. Set-up, clean-down, protection, the check under the lamp and touching up are plain estimates.", false, true});
  if (!f.prices.prices.empty()) {
    section.blocks.push_back(Headline{"Price by the finisher's rates", 2});
    Grid prices{{"what", "price"}, {}, {false, true}};
    for (const Price& p : f.prices.prices) prices.rows.push_back({p.what, money_text(f.prices.currency, p.amount)});
    prices.rows.push_back({"together", money_text(f.prices.currency, f.prices.total)});
    section.blocks.push_back(prices);
    if (!f.prices.unpriced.empty()) section.blocks.push_back(Para{fmt::format("Without a rate, and not in it: {}.", fmt::join(f.prices.unpriced, ", "))});
  }
  return section;
}

namespace {
/// A measure without its unit, which the column's head has.
std::string plain(const std::string& measure) { return measure.substr(0, measure.find(' ')); }
}  // namespace

PaperSection figures_section(const PaperFacts& f) {
  PaperSection section{"The figures behind it", {}, 0};
  std::vector<PaperBlock>& out = section.blocks;
  out.push_back(Headline{"Times looked at", 2});
  Grid times{{"time", "when", "sky", "sun high", "sun at"}, {}, {false, false, false, true, true}};
  for (const Moment& m : f.study.moments)
    times.rows.push_back({m.name, m.at_text.empty() ? "–" : m.at_text, m.sky.dark ? "lamps only" : m.sky_text, m.sky.dark ? "–" : fixed_text(m.sky.sun.apparent_altitude * deg_per_rad, 1) + "°",
                          m.sky.dark ? "–" : fixed_text(m.sky.sun.azimuth * deg_per_rad, 0) + "°"});
  out.push_back(times);
  for (const SurfaceResult& s : f.source.assessment.surfaces) {
    out.push_back(Headline{f.face(s.surface) + ", " + level_text(f.study, s.surface, s.finish), 2});
    std::vector<const JointResult*> order;
    for (const JointResult& j : s.joints) order.push_back(&j);
    const auto v = [](const JointResult* j) { return j->worst < 0 ? -1.0 : j->seen[static_cast<std::size_t>(j->worst)].judged.visibility; };
    std::stable_sort(order.begin(), order.end(), [&](auto* a, auto* b) { return v(a) > v(b); });
    Grid g{{"joint", "verdict", "V", "band", "shade", "raked across", "light", "time", "seen", f.measures.inches ? "crown, in" : "crown, mm", f.measures.inches ? "width, in" : "width, mm", "chance"}, {}, {false, false, true, true, true, true, true, false, false, true, true, true}};
    std::size_t unseen = 0;
    for (const JointResult* j : order) {
      if (j->worst < 0) {
        ++unseen;
        continue;
      }
      const Seen& seen = j->seen[static_cast<std::size_t>(j->worst)];
      const std::string& id = j->joint.line.id;
      g.rows.push_back({id.substr(id.find('/') + 1), verdict_text(seen.judged.verdict) + (seen.judged.borderline ? "*" : ""), two_digits(seen.judged.visibility), band_text(seen.judged),
                        fixed_text(100 * std::abs(seen.contrast), 1) + " %", std::isfinite(seen.across_ratio) ? fixed_text(seen.across_ratio, 1) : "–", fixed_text(seen.flat_luminance, seen.flat_luminance < 10 ? 1 : 0),
                        f.study.moments[static_cast<std::size_t>(seen.moment)].name, f.study.viewers[static_cast<std::size_t>(seen.viewer)].name, plain(f.measures.fine(j->crown)), plain(f.measures.inches ? fixed_text(j->width * mm_per_m / mm_per_inch, 1) : fixed_text(j->width * mm_per_m, 0)),
                        j->chance_shows < 0.005 ? "< 1 %" : j->chance_shows > 0.99 ? "> 99 %" : fixed_text(100 * j->chance_shows, 0) + " %"});
    }
    if (!g.rows.empty()) out.push_back(g);
    if (unseen > 0) out.push_back(Para{fmt::format("{} joints are in sight from none of the places to stand.", unseen)});
  }
  out.push_back(Para{"V counts just-noticeable steps. Its band is what is not known of the observer; * : the band crosses a limit. Hidden: all of the band under 1; shows: V from 4; faint between. Shade: the largest change of luminance across the joint. Raked across: light along the face, across the joint, against light square to it. Light: luminance of the face beside it, cd/m². Chance: that it shows, over workmanship and observer.", false, true});
  out.push_back(Headline{"Assumed", 2});
  Grid assumptions{{"key", "value", "why"}, {}, {}};
  std::vector<Assumed> all = assumed(f.job);
  for (const Assumed& a : assumed_for_paper(f.job)) all.push_back(a);
  for (const Assumed& a : all) assumptions.rows.push_back({a.key, a.value, a.why});
  if (!assumptions.rows.empty()) out.push_back(assumptions);
  out.push_back(Headline{"Made with", 2});
  out.push_back(Points{{fmt::format("Rakelight {}, scheme {} ({})", program_version(), f.study.scheme.id, f.study.scheme.source), fmt::format("job {}, {} bytes, SHA-256 {}", f.source.job_name, f.source.job_text.size(), sha256(f.source.job_text))}, false});
  return section;
}

PaperSection cautions_section() {
  PaperSection section{"Cautions", {}, 0};
  section.blocks.push_back(Points{{
      "Sanding dust: dust from joint compound was measured at up to ten times the limit for total dust (NIOSH 99-113), with silica in some compounds. Sand wet or with a vacuum (it cuts exposure by 80 to 97 %), wear a respirator, keep others out, clean with a vacuum and not a broom.",
      "Old walls and ceilings: compound and textured coatings from before about 1990 may hold asbestos, paint from before 1978 lead; elsewhere other years hold. Have them tested before anything is sanded, scraped or cut.",
      "Heights: use a platform, not a stack of boxes; ceilings and stair voids need a scaffold with guard rails. Local rules say from which height (in the US 6 ft, in Australia 2 m).",
      "Lifting: a sheet of 1.2 by 3 m (4 by 10 ft) weighs 25 to 40 kg. Two people, a trolley, a sheet lifter for ceilings.",
      "Lamps: a work lamp gets hot and has a least distance to what it lights; so has every recessed lamp to insulation and board. A hole for a lamp in a fire-rated or acoustic ceiling breaks it unless the tested system allows it.",
      "Sun in the eyes: a low sun that rakes a wall also dazzles whoever looks along it, or stands on a ladder.",
      "Fire, acoustic, bracing and wet-area systems: direction, joints, fixing and compound come from the tested system, not from this paper.",
      "Local codes and licensed trades decide: this paper takes the place of neither.",
      "It is a prediction, not an acceptance ruling. In tolerance under a straightedge and invisible are two answers. What is judged hidden is not expected to be noticed; that is a chance and no promise."}, false});
  return section;
}

double strip_tone(int strip, int step) {
  if (strip == 0) return step / (tone_steps - 1.0);
  const double luminance = 0.55 * (1 + 0.01 * (step % 2 == 0 ? 1 : -1) * (1 + step / 2));
  return 1.055 * std::pow(luminance, 1 / 2.4) - 0.055;  // the sRGB curve, IEC 61966-2-1
}

std::string tone_words() {
  return "To test the print or screen: the upper strip must show eleven greys. In the lower one each border is a finer shade than the next, from about 2 % at the left to 11 % at the right: those that cannot be told are lost in the pictures as well.";
}

}  // namespace rakelight
