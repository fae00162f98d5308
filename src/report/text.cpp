// The same findings as JSON, for people: worst first, one line a joint, reasons in sentences.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "base/inches.h"
#include "base/text.h"
#include "base/units.h"
#include "joint/dates.h"
#include "report/cures.h"
#include "report/in_units.h"
#include "report/report.h"
#include "report/words.h"

namespace rakelight {
namespace {

std::string percent(double share) {
  const double p = share * 100;
  // never "nothing shows", never "all do"
  if (p < 1) return "< 1 %";
  if (p > 99) return "> 99 %";
  return fmt::format("{:.0f} %", p);
}

std::string tolerance_text(const JointResult& r) {
  const auto failed = std::count_if(r.straightedge.begin(), r.straightedge.end(), [](const StraightedgeReading& s) { return !s.ok; });
  if (r.straightedge.empty()) return "–";
  return failed == 0 ? fmt::format("in ({} limits)", r.straightedge.size()) : fmt::format("out of {} of {}", failed, r.straightedge.size());
}

std::string verdict_with_mark(const Judged& j) { return verdict_text(j.verdict) + (j.borderline ? ", borderline" : ""); }

std::string range_text(const Range& r, int decimals) {
  return fmt::format("{}–{}", fixed_text(r.low, decimals), fixed_text(r.high, decimals));
}

std::string joined(const std::vector<std::string>& parts, const char* between) { return fmt::format("{}", fmt::join(parts, between)); }

/// How the joint reads under rules, and by which published limits it is out: the first of the two answers.
void describe_rules(std::string& out, const Study& study, const JointResult& r) {
  if (r.rules.empty()) return;
  const Units units = study.job.units;
  const auto gap = [&](double metres) { return units == Units::inch ? fixed_text(metres * mm_per_m / mm_per_inch, 3) : fixed_text(metres * mm_per_m, 1); };
  std::vector<std::string> readings, broken, own;
  for (const RuleReadings& rule : r.rules)
    readings.push_back(fmt::format("{}: balanced {}, rocked {}, bridging {}, on feet {}", in_units(units, fixed_text(rule.base * mm_per_m, 0) + " mm"), gap(rule.balanced), gap(rule.rocked),
                                   gap(rule.bridging), gap(rule.feet)));
  for (const StraightedgeReading& s : r.straightedge) {
    if (!s.ok) broken.push_back(fmt::format("{} ({}, {})", s.limit->text, s.limit->country, s.limit->ground.confidence));
    if (s.own) own.push_back(s.limit->text + (s.ok ? ": in" : ": out"));
  }
  out += fmt::format("  Under a rule {} reads, in {}, {}.\n", r.joint.line.id, units == Units::inch ? "inches" : "mm", joined(readings, "; "));
  out += broken.empty() ? fmt::format("  In tolerance: inside all {} published limits looked at. ", r.straightedge.size())
                        : fmt::format("  Out of tolerance by {}. ", joined(broken, ", "));
  out += own.empty() ? fmt::format("Scheme {} names none at this level.\n", study.scheme.id) : fmt::format("Those of scheme {}: {}.\n", study.scheme.id, joined(own, "; "));
}

/// What the paint makes of paper beside compound.
void describe_banding(std::string& out, const Study& study, const SurfaceResult& s) {
  const JointResult* strongest = nullptr;
  int governed = 0, visible = 0, in_sight = 0;
  for (const JointResult& r : s.joints) {
    in_sight += r.worst >= 0;
    if (!r.banding) continue;
    governed += r.banding_governs();
    visible += r.banding->band.verdict != Verdict::hidden;
    if (!strongest || r.banding->band.visibility > strongest->banding->band.visibility) strongest = &r;
  }
  if (!strongest) return;
  const Banded& b = *strongest->banding;
  const PaintSpec& paint = study.job.surfaces[study.room.surfaces[s.surface].spec].paint;
  out += fmt::format("  Banding: {} {} over compound than over paper there; V {} by the band alone, {} by its relief alone. ", strongest->joint.line.id,
                     b.contrast > 0 ? fmt::format("is {} % lighter", fixed_text(100 * b.contrast, 1)) : fmt::format("is {} % darker", fixed_text(-100 * b.contrast, 1)),
                     two_digits(b.band.visibility), two_digits(b.relief.visibility));
  const bool painted = study.stage == PaintStage::painted;
  const char* what = painted ? "paint" : "colour of paper beside compound";
  if (governed > 0) out += fmt::format("At {} of {} joints the {} shows more than the filling does", governed, in_sight, what);
  else if (visible > 0) out += fmt::format("The filling shows more than the {} everywhere", what);
  else out += fmt::format("The {} by itself is hidden at each of them", what);
  if (!painted) out += study.stage == PaintStage::bare ? " (no paint yet)" : " (sealed, not painted)";
  else if (governed > 0) {
    const SealerSpec sealer = *paint.sealer;
    out += sealer == SealerSpec::none ? ": a coat of sealer cuts it to a third, " : sealer == SealerSpec::one_coat ? ": a second coat of sealer cuts it to a third, " : ": ";
    out += "a film over the whole face ends it";
  }
  out += ".\n";
}

std::string in_mm(double metres) { return number_text(std::round(metres * mm_per_m * 100) / 100); }

/// What the framing adds, and what may come later.
void describe_more(std::string& out, const Study& study, const SurfaceResult& s) {
  const auto v = [](const JointResult& r) { return r.seen[r.worst].judged.visibility; };
  double alone = 0, together = 0, now = 0;
  int governed = 0;
  for (const JointResult& r : s.joints) {
    if (r.worst < 0) continue;
    now = std::max(now, v(r));
    governed += r.framing_governs();
    if (r.framing) {
      alone = std::max(alone, r.framing->alone.visibility);
      together = std::max(together, r.framing->together.visibility);
    }
  }
  if (s.substrate) {
    const dvec2 flatness = *study.job.framing.flatness;
    out += fmt::format("  Over framing that just keeps to {} mm under {} mm: worst V {} without it, {} with it, {} from the framing alone.", fixed_text(flatness.x * mm_per_m, 1),
                       fixed_text(flatness.y * mm_per_m, 0), two_digits(now), two_digits(together), two_digits(alone));
    out += governed > 0 ? fmt::format(" The framing governs at {} of {} joints: plane the studs that stand proud and pack the hollow ones before boarding; no joint width or film cures it.\n",
                                      governed, s.joints.size())
                        : " The joints govern.\n";
  }
  if (s.movements.empty()) return;
  out += fmt::format("  After the first heating season, a risk and not a promise (worst V {} now; {} that any shows should all joints peak as usual):\n", two_digits(now),
                     percent(s.chance_any_shows_later));
  for (const MovementResult& m : s.movements)
    out += fmt::format("    - {}: {}. At {} mm V {}, at {} mm V {}{}. What helps: {}.\n", m.what, m.movement->text, in_mm(m.movement->usual),
                       two_digits(m.usual.visibility), in_mm(m.movement->bad), two_digits(m.bad.visibility),
                       m.what == "sag" || m.what == "truss lift" ? " by itself" : "", m.movement->cure);
}

void describe_surface(std::string& out, const Study& study, const SurfaceResult& s, bool colour) {
  const Surface& surface = study.room.surfaces[s.surface];
  int count[3] = {0, 0, 0};
  for (const JointResult& r : s.joints)
    if (r.worst >= 0) ++count[static_cast<int>(r.seen[r.worst].judged.verdict)];
  out += fmt::format("\n{}{} · level {} · {} · {} paint: {} joints, {} show, {} faint, {} hidden{}\n", colour ? "\033[1m" : "",
                     surface.kind == Surface::Kind::ceiling ? "ceiling" : surface.name + " wall", s.finish.level,
                     run_text(study.room, s.surface, s.finish.run), study.paints[s.surface].name,
                     s.joints.size(), count[2], count[1], count[0], colour ? "\033[0m" : "");
  std::vector<const JointResult*> order;
  for (const JointResult& r : s.joints) order.push_back(&r);
  auto v = [](const JointResult* r) { return r->worst < 0 ? -1.0 : r->seen[r->worst].judged.visibility; };
  std::stable_sort(order.begin(), order.end(), [&](auto* a, auto* b) { return v(a) > v(b); });
  const bool painted = study.stage == PaintStage::painted;
  const bool banded = std::any_of(s.joints.begin(), s.joints.end(), [](const JointResult& r) { return r.banding.has_value(); });
  std::vector<std::vector<std::string>> rows{{"joint", "verdict", "V", "band", "shade", "raked", "when", "seen from", "crown", "width", "tolerance", "chance"}};
  for (const JointResult* r : order) {
    const std::string& id = r->joint.line.id;
    const std::string crown = fixed_text(r->crown * mm_per_m, 1) + (r->joint.measured ? " mm, measured" : " mm"), width = fixed_text(r->width * mm_per_m, 0) + " mm";
    if (r->worst < 0) {
      rows.push_back({id, "not in sight", "–", "–", "–", "–", "–", "–", crown, width, tolerance_text(*r), "–"});
      continue;
    }
    const Seen& seen = r->seen[r->worst];
    rows.push_back({id, verdict_with_mark(seen.judged), two_digits(seen.judged.visibility), band_text(seen.judged),
                    fmt::format("{} %", fixed_text(std::abs(seen.contrast) * 100, 1)),
                    std::isfinite(seen.across_ratio) ? fmt::format("{} across, {}", fixed_text(seen.across_ratio, 1), raking_word(seen.raking_ratio)) : "no light",
                    study.moments[seen.moment].name, study.viewers[seen.viewer].name,
                    crown, width, tolerance_text(*r), painted ? percent(r->chance_shows) : "–"});
  }
  if (banded) {
    rows[0].push_back("V of banding");
    for (std::size_t i = 0; i < order.size(); ++i) rows[i + 1].push_back(order[i]->banding ? two_digits(order[i]->banding->band.visibility) : "–");
  }
  out += table(rows, "  ", colour, study.job.units);
  if (!order.empty()) describe_rules(out, study, *order.front());
  describe_banding(out, study, s);
  if (painted) describe_more(out, study, s);
}

void describe_advice(std::string& out, const Study& study, const SurfaceAdvice& a, bool colour) {
  if (a.best >= 0) {
    const Option& best = a.options[a.best];
    out += fmt::format("  Recommended: {}, level {}{}\n", run_text(study.room, a.surface, best.finish.run), best.finish.level,
                       a.best == a.as_asked ? " (as the job has it)" : "");
  }
  for (const std::string& reason : a.reasons) out += "    - " + reason + "\n";
  std::vector<std::vector<std::string>> rows{{"sheets", "level", "joints", "length", "worst V", "verdict", "chance any shows", "hours*", "compound*", ""}};
  for (std::size_t i = 0; i < a.options.size(); ++i) {
    const Option& o = a.options[i];
    rows.push_back({run_text(study.room, a.surface, o.finish.run), o.finish.level, fmt::format("{}", o.joints),
                    fixed_text(o.joint_metres, 1) + " m", two_digits(o.judged.visibility), verdict_with_mark(o.judged), percent(o.chance_any_shows),
                    range_text(o.cost.hours, 1), range_text(o.cost.compound_kg, 0) + " kg",
                    static_cast<int>(i) == a.best ? "← recommended" : static_cast<int>(i) == a.as_asked ? "← as asked" : ""});
  }
  out += table(rows, "    ", colour, study.job.units);
}

/// What a reader needs before all else: the chance, and what to do about each face.
void describe_short(std::string& out, const Study& study, const Assessment& assessment, const Advice& advice, const Counsel& counsel) {
  if (study.stage != PaintStage::painted) return;
  out += fmt::format("Chance that any joint of the job shows: {} (aim: at most {}).\n", percent(assessment.chance_any_shows), percent(*study.job.verdict.chance));
  for (const SurfaceAdvice& a : advice.surfaces) {
    if (a.best < 0 || a.as_asked < 0) continue;
    const Option &best = a.options[static_cast<std::size_t>(a.best)], &asked = a.options[static_cast<std::size_t>(a.as_asked)];
    const Surface& face = study.room.surfaces[static_cast<std::size_t>(a.surface)];
    out += fmt::format("  {}: ", face.kind == Surface::Kind::ceiling ? "ceiling" : face.name + " wall");
    const SurfaceCounsel* c = counsel.of(a.surface);
    if (c && !c->cures.needed) {
      out += fmt::format("good as asked, {}, level {}: {} that any shows.\n", run_text(study.room, a.surface, asked.finish.run), asked.finish.level, percent(asked.chance_any_shows));
      continue;
    }
    out += fmt::format("{} that any shows as asked; {}, level {}: {}{}.", percent(asked.chance_any_shows), run_text(study.room, a.surface, best.finish.run), best.finish.level, percent(best.chance_any_shows),
                       a.reached ? "" : ", the least that sheets and level alone reach");
    if (const std::string way = c ? other_way_text(c->cures) : ""; !way.empty()) out += " " + way + ".";
    out += "\n";
  }
}

/// Where documents disagree or are silent, and which reading was taken.
void describe_sources(std::string& out, const Study& study, const Assessment& assessment) {
  out += fmt::format("Levels: {} ({}).\n", study.scheme.title, study.scheme.id);
  for (const Reading& r : study.scheme.readings) {
    const auto asked = [&](const SurfaceResult& s) { return std::find(r.levels.begin(), r.levels.end(), s.finish.level) != r.levels.end(); };
    if (std::none_of(assessment.surfaces.begin(), assessment.surfaces.end(), asked)) continue;
    out += fmt::format("  Sources disagree on {}: taken is {}; the other reading, {}, {}.\n", r.about, r.chosen ? r.says : r.taken, r.chosen ? r.taken : r.says,
                       r.chosen ? "is the usual one" : fmt::format("is by {} ({}): readings = [\"{}\"]", r.ground.source, r.ground.confidence, r.id));
  }
  for (const Silence& s : silent_documents()) out += fmt::format("  {} ({}, {}).\n", s.text, s.country, s.ground.confidence);
}

}  // namespace

std::string assess_text(const Study& study, const Assessment& assessment, const Advice& advice, const Counsel& counsel, bool colour) {
  std::string out = *study.job.title + "\n";
  if (study.stage != PaintStage::painted) out += stage_caution(study.stage) + "\n";
  const JointResult* worst = nullptr;
  for (const SurfaceResult& s : assessment.surfaces)
    if (const JointResult* w = s.worst())
      if (!worst || w->seen[w->worst].judged.visibility > worst->seen[worst->worst].judged.visibility) {
        worst = w;
      }
  if (worst) {
    const Seen& seen = worst->seen[worst->worst];
    const Moment& moment = study.moments[seen.moment];
    out += fmt::format("Worst: {} {} in \"{}\"{}, seen from: {} (V {}, band {}). It is {} across there{}.\n", worst->joint.line.id,
                       verdict_text(seen.judged.verdict), moment.name, moment.at_text.empty() ? "" : " (" + moment.at_text + ")",
                       study.viewers[seen.viewer].name, two_digits(seen.judged.visibility), band_text(seen.judged),
                       std::isfinite(seen.across_ratio) ? fmt::format("raked {} to 1", fixed_text(seen.across_ratio, 1)) : "not lit",
                       seen.mirrored() ? " and seen by what the paint mirrors more than by shade" : "");
  } else {
    out += "No joint is in sight at these moments.\n";
  }
  describe_short(out, study, assessment, advice, counsel);
  out += "Times looked at:\n";
  for (const Moment& m : study.moments) {
    out += fmt::format("  {}: {}{}", m.name, m.at_text.empty() ? "" : m.at_text + ", ", m.sky.dark ? "lamps only" : m.sky_text + " sky");
    if (!m.sky.dark) out += fmt::format(", sun {}° high at {}°", fixed_text(m.sky.sun.apparent_altitude * deg_per_rad, 1), fixed_text(m.sky.sun.azimuth * deg_per_rad, 0));
    out += m.sky.note.empty() ? "\n" : fmt::format(" ({})\n", m.sky.note);
  }
  for (const SurfaceResult& s : assessment.surfaces) {
    describe_surface(out, study, s, colour);
    for (const SurfaceAdvice& a : advice.surfaces)
      if (a.surface == s.surface) describe_advice(out, study, a, colour);
    if (const SurfaceCounsel* c = counsel.of(s.surface)) out += cures_text(study, *c, colour);
  }
  const bool painted = study.stage == PaintStage::painted;
  out += "\n";
  describe_sources(out, study, assessment);
  if (std::any_of(counsel.surfaces.begin(), counsel.surfaces.end(), [](const SurfaceCounsel& c) { return c.cures.needed; }))
    out += fmt::format("With the first cure of every face: {}.\n", percent(counsel.chance_after));
  out += "V counts just-noticeable steps: the whole band under 1 = hidden, from 4 = shows, between = faint. Bands, not digits, are the answer.\n";
  if (painted) out += "* hours and material are estimates; no labour rate was verified.\n";
  out += "A prediction, not an acceptance ruling. In tolerance under a straightedge and invisible are two answers.\n"
         "Sanding: wet or vacuum-sand and wear a respirator (silica); old walls may hold asbestos or lead: test first; local codes and licensed trades decide.\n";
  const std::vector<Assumed> defaults = assumed(study.job);
  if (!defaults.empty()) {
    out += fmt::format("{} values were assumed (listed by --json and in docs/user/job-file.md), such as ", defaults.size());
    for (std::size_t i = 0; i < std::min<std::size_t>(4, defaults.size()); ++i) out += fmt::format("{}{} = {}", i ? ", " : "", defaults[i].key, defaults[i].value);
    out += ".\n";
  }
  return in_units(study.job.units, out);
}

std::string probe_text(const Study& study, int surface, dvec2 p, int moment) {
  const Moment& m = study.moments[moment];
  const std::vector<SourceShare> shares = light_by_source(study.lighting[moment], surface, p);
  LightVector total;
  for (const SourceShare& s : shares) total += s.e;
  const double tangential = glm::length(total.tangential());
  const auto place = [&](double metres) { return study.job.units == Units::inch ? feet_text(metres) : fixed_text(metres * mm_per_m, 0); };
  std::string out = fmt::format("{} at {}, {}{}, \"{}\"\n", study.room.surfaces[surface].name, place(p.x), place(p.y), study.job.units == Units::inch ? "" : " mm", m.name);
  out += fmt::format("  {} lx; raking ratio {} ({}), light {}° above the face, from {}° (from x towards y)\n", fixed_text(total.n, 1),
                     total.n > 0 ? fixed_text(tangential / total.n, 2) : "–", total.n > 0 ? raking_word(tangential / total.n) : "no light",
                     fixed_text(std::atan2(total.n, tangential) * deg_per_rad, 1), fixed_text(std::atan2(total.y, total.x) * deg_per_rad, 0));
  std::vector<std::vector<std::string>> rows{{"source", "lx", "along x", "along y"}};
  for (const SourceShare& s : shares) rows.push_back({s.name, fixed_text(s.e.n, 1), fixed_text(s.e.x, 1), fixed_text(s.e.y, 1)});
  return out + table(rows, "  ", false);
}

std::string sight_text(double luminance, double width, double distance) {
  const LeastContrast least = least_contrast(luminance, width, distance);
  return fmt::format("{} mm wide seen from {} mm at {} cd/m²: {} cycles per degree; least contrast seen {} %\n", fixed_text(width * mm_per_m, 0),
                     fixed_text(distance * mm_per_m, 0), fixed_text(luminance, 1), number_text(std::round(least.cycles_per_degree * 1e4) / 1e4),
                     std::isfinite(least.threshold) ? fixed_text(least.threshold * 100, 2) : "none: too fine or too dark,");
}

std::string profile_csv(const Section& section) {
  std::string out = "offset_mm,bare_mm";
  for (std::size_t k = 0; k < section.coats.size(); ++k) out += fmt::format(",coat{}_mm", k + 1);
  out += ",finished_mm,slope\n";
  for (std::size_t i = 0; i < section.height.size(); ++i) {
    out += fixed_text((section.first + section.step * static_cast<double>(i)) * mm_per_m, 3) + "," + fixed_text(section.bare[i] * mm_per_m, 5);
    for (const auto& coat : section.coats) out += "," + fixed_text(coat[i] * mm_per_m, 5);
    out += "," + fixed_text(section.height[i] * mm_per_m, 5) + "," + fixed_text(section.slope[i], 7) + "\n";
  }
  return out;
}

std::string profile_text(const Section& section, const std::string& heading, const std::vector<std::string>& notes, Units units) {
  double steepest = 0, at = 0;
  for (std::size_t i = 0; i < section.slope.size(); ++i)
    if (std::abs(section.slope[i]) > std::abs(steepest)) {
      steepest = section.slope[i];
      at = section.first + section.step * static_cast<double>(i);
    }
  std::string out = fmt::format("{}\n  finished crown {} mm over {} mm, steepest slope {} mm per m at {} mm from the joint\n", heading,
                                fixed_text(section.crown * mm_per_m, 2), fixed_text(section.width() * mm_per_m, 0), fixed_text(steepest * 1e3, 1),
                                fixed_text(at * mm_per_m, 0));
  std::vector<std::vector<std::string>> rows{{"stage", "highest", "lowest"}};
  auto stage = [&](const std::string& name, const std::vector<double>& h) {
    if (h.empty()) return;
    const auto [low, high] = std::minmax_element(h.begin(), h.end());
    rows.push_back({name, fixed_text(*high * mm_per_m, 2) + " mm", fixed_text(*low * mm_per_m, 2) + " mm"});
  };
  // a section that was measured has neither coats nor anything beneath them
  const bool flat = std::all_of(section.bare.begin(), section.bare.end(), [](double h) { return h == 0; });
  if (!section.coats.empty() || !flat) stage("bare", section.bare);
  for (std::size_t k = 0; k < section.coats.size(); ++k) stage(k < section.coat_names.size() ? section.coat_names[k] : fmt::format("coat {}", k + 1), section.coats[k]);
  stage("finished", section.height);
  out += table(rows, "  ", false, units);
  for (const std::string& note : notes) out += "  " + note + "\n";
  return in_units(units, out) + "  --csv gives every point.\n";
}

}  // namespace rakelight
