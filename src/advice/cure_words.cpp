#include "advice/cure_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>

#include "advice/reasons.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {


std::string mm_text(double metres) {
  const double mm = metres * mm_per_m;
  // thousands with a comma, as on the other papers
  if (mm < 1000) return fixed_text(mm, 0);
  const long n = std::lround(mm / 10) * 10;
  return fmt::format("{},{:03}", n / 1000, n % 1000);
}

/// Where the sheets met and where they meet now that the rows begin elsewhere.
std::string start_text(const Sketch& sketch, const Mix& mix) {
  Mix start{};
  at(start, Lever::layout) = at(mix, Lever::layout);
  const Run run = sketch.study().layouts[static_cast<std::size_t>(sketch.surface())].run;
  const bool wall = sketch.study().room.surfaces[sketch.surface()].kind == Surface::Kind::wall;
  const auto places = [&](const Mix& m, bool ends, double& most) {
    std::set<long> at;
    most = 0;
    for (const auto& [line, v] : sketch.lines(m)) {
      if (is_end(line.kind) != ends) continue;
      const bool along_x = std::abs(line.along().x) > 0.5;
      at.insert(std::lround((along_x ? line.from.y : line.from.x) * mm_per_m));
      most = std::max(most, v);
    }
    return fmt::format("{}", fmt::join(at, ", "));
  };
  std::string text = "Where the rows begin decides where sheets meet";
  for (const bool ends : {true, false}) {
    double was = 0, is = 0;
    const std::string before = places({}, ends, was), after = places(start, ends, is);
    if (before == after || before.empty() || after.empty()) continue;
    text += fmt::format("; {} at {} mm {}, seen up to V {}, come to {} mm, up to V {}", ends ? "butts" : "long joints", before,
                        !wall ? "from where the sheets start" : ends == (run == Run::horizontal) ? "from the left" : "from the floor", two_digits(was), after, two_digits(is));
  }
  return text;
}

/// "the hanger, the painter and the client".
std::string people_text(const std::vector<std::string>& people) {
  std::string text;
  for (std::size_t i = 0; i < people.size(); ++i) text += (i == 0 ? "the " : i + 1 < people.size() ? ", the " : " and the ") + people[i];
  return text;
}

bool moves(const Cure& c, Lever lever) { return at(c.mix, lever) != 0; }

}  // namespace

std::string mix_text(const Cure& cure) {
  if (cure.what.empty()) return "nothing";
  std::string text;
  for (std::size_t i = 0; i < cure.what.size(); ++i) text += (i == 0 ? "" : i + 1 < cure.what.size() ? ", " : ", and ") + cure.what[i];
  return text;
}

std::string hours_text(const Range& extra) {
  const double low = std::abs(extra.low) < 0.05 ? 0 : extra.low, high = std::abs(extra.high) < 0.05 ? 0 : extra.high;
  if (low == 0 && high == 0) return "no hours more";
  if (high <= 0) return fmt::format("{}–{} hours less", fixed_text(-high, 1), fixed_text(-low, 1));
  if (low < 0) return fmt::format("{} hours less to {} more", fixed_text(-low, 1), fixed_text(high, 1));
  return fmt::format("{}–{} hours more", fixed_text(low, 1), fixed_text(high, 1));
}

std::string outcome_text(const Study& study, const Outcome& o) {
  if (o.joint.empty()) return "no joint in sight";
  std::string text = (o.looked ? "" : "by the sketch ") + chance_text(o.chance) + " that a joint shows; the most visible is ";
  text += o.joint == "framing" ? "the framing" : o.joint;
  if (o.joint != "framing" && o.moment >= 0) text += fmt::format(" in \"{}\"", study.moments[static_cast<std::size_t>(o.moment)].name);
  return text + fmt::format(" (V {}, band {}–{})", two_digits(o.judged.visibility), two_digits(o.judged.low), two_digits(o.judged.high));
}

std::string least_work_text(const Study& study, const SurfaceCures& cures) {
  const std::string aim = chance_text(cures.aim);
  if (!cures.needed) return fmt::format("As it is, no joint here is expected to be noticed: {} (aim: {})", outcome_text(study, cures.now), aim);
  if (cures.mixes.empty()) return fmt::format("Nothing that can be changed here lowers it: {} (aim: {})", outcome_text(study, cures.now), aim);
  const Cure& c = cures.mixes.front();
  if (!c.reached)
    return fmt::format("No mix of these changes keeps the chance within {}; the least likely to show has {}: {} (now {})", aim, mix_text(c), outcome_text(study, c.outcome),
                       chance_text(cures.now.chance));
  return fmt::format("The least work after which no joint is expected to be noticed, {}: {}; {} (estimate), by {}; then {}; as it is {} (aim: {})", c.when, mix_text(c), hours_text(c.hours),
                     people_text(c.by), outcome_text(study, c.outcome), chance_text(cures.now.chance), aim);
}

std::string other_way_text(const SurfaceCures& cures) {
  if (!cures.needed) return "";
  const auto other = [](const Cure& c) {
    for (int lever = 0; lever < lever_count; ++lever)
      if (static_cast<Lever>(lever) != Lever::run && static_cast<Lever>(lever) != Lever::level && moves(c, static_cast<Lever>(lever))) return true;
    return false;
  };
  const auto c = std::find_if(cures.mixes.begin(), cures.mixes.end(), [&](const Cure& m) { return m.reached && other(m); });
  if (c == cures.mixes.end()) return "";
  return fmt::format("Or, {}: {}, {} (estimate); {} that a joint shows", c->when, mix_text(*c), hours_text(c->hours), chance_text(c->outcome.chance));
}

std::vector<std::string> cure_words(const Study& study, const SurfaceAdvice&, const SurfaceResult& asked, const SurfaceCures& cures, const Sketch* sketch) {
  std::vector<std::string> out{least_work_text(study, cures)};
  if (!cures.needed) return out;
  for (std::size_t i = 1; i < cures.mixes.size(); ++i) {
    const Cure& c = cures.mixes[i];
    out.push_back(fmt::format("{}{}: {}, {} (estimate); {}{}", c.reached ? "Instead, " : "Not enough, but what can still be done ", c.when, mix_text(c), hours_text(c.hours),
                              outcome_text(study, c.outcome), c.reached ? "" : ", over the aim"));
  }
  const auto said = [&](Lever lever) {
    return std::any_of(cures.mixes.begin(), cures.mixes.end(), [&](const Cure& c) { return moves(c, lever); });
  };

  // what the levers that were chosen do, in their own terms
  const Surface& face = study.room.surfaces[asked.surface];
  const JointResult* worst = asked.worst();
  if (worst) {
    const Seen& seen = worst->seen[static_cast<std::size_t>(worst->worst)];
    const std::string noticed = std::isfinite(seen.threshold) ? fixed_text(100 * seen.threshold * *study.job.verdict.shows, 1) : "–";
    if (seen.mirrored())
      out.push_back(fmt::format("Why it shows: less by shade than by sheen. The slopes of {}, {} mm over {} mm, mirror another part of the room or of the window than the flat face beside them; seen {} m along it that makes {} % of "
                                "difference, where shade alone could make {} %; from {} % on it is noticed in ordinary use. A flatter paint lessens it",
                                worst->joint.line.id, fixed_text(worst->crown * mm_per_m, 1), mm_text(worst->width), fixed_text(seen.station, 1),
                                fixed_text(100 * std::abs(seen.contrast), 1), fixed_text(100 * seen.shade, 1), noticed));
    else if (std::isfinite(seen.across_ratio) && std::abs(seen.across_ratio) > 0)
      out.push_back(fmt::format("Why it shows: light crosses {} at {} to 1, {}° above the face; its crown of {} mm over {} mm makes {} % of shade there; from {} % on it is noticed in ordinary use",
                                worst->joint.line.id, two_digits(std::abs(seen.across_ratio)), fixed_text(std::atan(1 / std::abs(seen.across_ratio)) * deg_per_rad, 0),
                                fixed_text(worst->crown * mm_per_m, 1), mm_text(worst->width), fixed_text(100 * std::abs(seen.contrast), 1),
                                noticed));
  }
  if (said(Lever::layout) || said(Lever::run))
    out.push_back("Sheets come first: a butt that is not there, lies along the light or fills like a recess needs neither width nor film");
  for (const Cure& c : cures.mixes)
    if (sketch && sketch->levers()[static_cast<std::size_t>(Lever::layout)].settings[static_cast<std::size_t>(at(c.mix, Lever::layout))].own_run) {
      out.push_back(start_text(*sketch, c.mix));
      break;
    }
  for (const Cure& c : cures.mixes)
    if (moves(c, Lever::lamp) && sketch) {
      const Setting& s = sketch->levers()[static_cast<std::size_t>(Lever::lamp)].settings[static_cast<std::size_t>(at(c.mix, Lever::lamp))];
      double nearest = s.value;
      for (const LampSpec& l : study.job.lamps)
        if (const double off = face.frame.height_of(*l.position); *l.kind != LampKind::hand && off > 1e-3) nearest = std::min(nearest, off);
      if (!(s.value > nearest)) continue;
      // the limiting form a = z tan α at z = 1 m
      out.push_back(fmt::format("A lamp {} mm off the {} rakes it 1 m away at {}° above the face, one {} mm off at {}°", mm_text(nearest), face.kind == Surface::Kind::wall ? "wall" : "ceiling",
                                fixed_text(std::atan(nearest) * deg_per_rad, 0), mm_text(s.value), fixed_text(std::atan(s.value) * deg_per_rad, 0)));
      break;
    }
  if (!cures.no_width.empty()) {
    const auto hardest = std::max_element(cures.no_width.begin(), cures.no_width.end(), [](const WidthLimit& a, const WidthLimit& b) { return a.needed < b.needed; });
    std::vector<std::string> ids;
    for (const WidthLimit& w : cures.no_width) ids.push_back(w.joint);
    out.push_back(fmt::format("No width alone cures {}: {} mm wide it still has V {} or so, {} that it shows. {} has a crown of {} mm that the light crosses at {} to 1; to leave no more than the 2 % of shade that a casual eye lets pass it would "
                              "have to be some {} mm wide: back it, move it, take a longer sheet or another light",
                              fmt::join(ids, ", "), mm_text(hardest->width), two_digits(hardest->visibility), chance_text(hardest->chance), hardest->joint, fixed_text(hardest->crown * mm_per_m, 1),
                              two_digits(hardest->across), mm_text(hardest->needed)));
  }
  if (cures.now.joint == "framing") out.push_back("The framing is seen more than any joint: neither width nor film cures that, only straighter members, sheets turned or another light");
  if (sketch && study.room.surfaces[asked.surface].kind == Surface::Kind::ceiling && said(Lever::lamp))
    out.push_back("New or moved lamps in a ceiling that is part of a fire or acoustic system: only as that system and local codes allow");
  if (face.kind == Surface::Kind::ceiling && said(Lever::layout))
    out.push_back("Where the ceiling is part of a tested system its sheets, backing and fixings come from that system first");
  return out;
}

}  // namespace rakelight
