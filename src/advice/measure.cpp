#include "advice/measure.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "advice/cure_words.h"
#include "assess/looks.h"
#include "base/long_work.h"
#include "base/text.h"
#include "base/units.h"
#include "joint/film.h"
#include "joint/measured.h"

namespace rakelight {
namespace {

constexpr double least_crown = -0.005, most_crown = 0.010;  // m, as the job file's key allows
constexpr double width_known = 0.2;                         // share of a joint's width
constexpr double least_base = 0.002;                        // m, as read_rule takes it

// hours of work on one joint, from memory: set-up, a coat per metre, a film per m² over a metre either side
constexpr Range set_up{0.3, 0.6}, coat_hours{0.02, 0.05}, film_hours{0.08, 0.20};

double gap_with(const PlacedJoint& joint, double crown, const RuleGap& gap, double width_share) {
  SectionFigures figures = joint.figures;
  figures.crown = crown;
  Recipe recipe = joint.recipe;
  if (width_share != 1) recipe.width = width_share * joint.section.width();
  return read_rule(face_of(make_section(recipe, figures)), gap.hollow ? Held::bridging : Held::balanced, gap.base, 0).gap;
}

std::optional<double> crown_with(const PlacedJoint& joint, const RuleGap& gap, double width_share) {
  if (!std::isfinite(gap.gap) || !std::isfinite(gap.base) || gap.gap < 0 || gap.base < least_base) return std::nullopt;
  double lo = gap.hollow ? least_crown : 0, hi = gap.hollow ? 0 : most_crown;
  const auto off = [&](double crown) { return (gap.hollow ? -1 : 1) * (gap_with(joint, crown, gap, width_share) - gap.gap); };
  if (off(lo) > 0 || off(hi) < 0) return std::nullopt;
  // to a micrometre
  for (int i = 0; i < 14; ++i) {
    const double middle = 0.5 * (lo + hi);
    (off(middle) < 0 ? lo : hi) = middle;
  }
  return 0.5 * (lo + hi);
}

/// The section over the same crown, `share` times as wide.
FittedSection stretched(FittedSection fit, double share) {
  fit.face.first *= share;
  fit.face.step *= share;
  for (double& s : fit.face.slope) s /= share;
  return fit;
}

/// The crown one way or the other, the shape kept.
FittedSection scaled(FittedSection fit, double share) {
  for (double& h : fit.face.height) h *= share;
  for (double& s : fit.face.slope) s *= share;
  fit.crown *= share;
  return fit;
}

/// A film drawn over the joint and the face beside it.
FittedSection filmed(FittedSection fit, double reach, double thickness, double shrinkage) {
  HeightCurve wide(fit.face.first - reach, fit.face.offset(fit.face.size() - 1) + reach, fit.face.step);
  for (int i = 0; i < wide.size(); ++i) {
    wide.height[static_cast<std::size_t>(i)] = fit.face.height_at(wide.offset(i));
    wide.slope[static_cast<std::size_t>(i)] = fit.face.slope_at(wide.offset(i));
  }
  fit.face = drawn_film(wide, reach, thickness, shrinkage);
  fit.crown = 0;
  for (const double h : fit.face.height)
    if (std::abs(h) > std::abs(fit.crown)) fit.crown = h;
  return fit;
}

void put_section(Job& job, const std::string& id, const FittedSection& fit) {
  std::erase_if(job.joints, [&](const JointSpec& j) { return *j.id == id; });
  JointSpec& spec = job.joints.emplace_back();
  spec.id.value = id;
  spec.id.given = true;
  spec.section = std::make_shared<const FittedSection>(fit);
}

/// The inspection position before a place of the face: 2 m square on, or as far as the room goes.
Viewer inspection_of(const Study& study, int surface, dvec2 place) {
  for (const Viewer& v : study.viewers)
    if (v.only_surface == surface && v.name == "inspection") return v;
  const Surface& face = study.room.surfaces[surface];
  Viewer v;
  v.name = "inspection";
  v.only_surface = surface;
  const dvec2 foot = face.kind == Surface::Kind::wall ? dvec2(place.x, std::min(1.6, 0.9 * study.room.height)) : place;
  double off = 2;
  while (off > 0.2 && (face.kind == Surface::Kind::wall ? !study.room.contains(dvec2(face.frame.world_from_surface(foot, off))) : off > study.room.height - 0.3)) off -= 0.1;
  v.eye = face.frame.world_from_surface(foot, off);
  return v;
}

/// The study of this joint alone, as measured.
std::unique_ptr<Study> alone(const Study& study, int surface, const JointLine& line, const FittedSection& fit) {
  auto copy = copy_of(study);
  put_section(copy->job, line.id, fit);
  copy->layouts[surface].joints = {line};
  const Viewer inspection = inspection_of(study, surface, 0.5 * (line.from + line.to));
  if (std::none_of(copy->viewers.begin(), copy->viewers.end(), [&](const Viewer& v) { return v.only_surface == surface && v.name == inspection.name; })) copy->viewers.push_back(inspection);
  return copy;
}

SeenFrom seen_from(const Study& study, const JointResult& r, const JointResult& less, const JointResult& more, int surface, bool inspection) {
  SeenFrom out;
  const auto counts = [&](const Seen& s) {
    const Viewer& v = study.viewers[static_cast<std::size_t>(s.viewer)];
    return (v.only_surface == surface && v.name == "inspection") == inspection;
  };
  const auto best = [&](const JointResult& j) {
    const Seen* found = nullptr;
    for (const Seen& s : j.seen)
      if (counts(s) && (!found || s.judged.visibility > found->judged.visibility)) found = &s;
    return found;
  };
  const Seen* s = best(r);
  if (!s || r.worst < 0) return out;
  out.seen = true;
  out.judged = s->judged;
  const Seen *a = best(less), *b = best(more);
  out.low = a ? a->judged : s->judged;
  out.high = b ? b->judged : s->judged;
  if (out.low.visibility > out.high.visibility) std::swap(out.low, out.high);
  out.across = std::abs(s->across_ratio);
  out.moment = study.moments[static_cast<std::size_t>(s->moment)].name;
  out.viewer = study.viewers[static_cast<std::size_t>(s->viewer)].name;
  const VerdictSpec& rules = study.job.verdict;
  const double worst = r.seen[static_cast<std::size_t>(r.worst)].judged.visibility;
  // the spread is that of the worst look; shape keeps
  if (worst > 0) out.chance = chance_over(r.spread, {*rules.gain * s->judged.visibility / worst, *rules.band}, *rules.shows);
  return out;
}

/// Levers of work on the finished joint, and those of paint and light that hold for the face.
std::vector<LeverSettings> levers_on_site(const Study& study, const JointLine& line, const FittedSection& fit, const SurfaceAdvice& advice) {
  std::vector<LeverSettings> levers = levers_of(study, advice);
  for (const Lever l : {Lever::framing, Lever::run, Lever::layout, Lever::level, Lever::width}) levers[static_cast<std::size_t>(l)].settings.resize(1);
  std::vector<Setting>& work = levers[static_cast<std::size_t>(Lever::width)].settings;
  const double width = fit.face.offset(fit.face.size() - 1) - fit.face.first, length = line.length();
  const std::string id = line.id;
  const auto setting = [&](const std::string& text, Range hours, const FittedSection& then) {
    Setting s;
    s.text = text;
    s.by = "finisher";
    s.hours = hours;
    s.look = true;
    s.value = static_cast<double>(work.size()) + 1;
    s.set = [id, then](Job& job) { put_section(job, id, then); };
    work.push_back(std::move(s));
  };
  const auto coats = [&](int n, double wider) { return Range{set_up.low + n * wider * coat_hours.low * length, set_up.high + n * wider * coat_hours.high * length}; };
  const Level* film = nullptr;
  for (const Level& l : study.scheme.levels)
    if (l.skim > 0 && l.film != "coat" && !film) film = &l;
  const double room = std::min(widest_joint, line.room_left + line.room_right);
  if (fit.crown < 0) setting("the hollow filled again, a quarter of it left", coats(2, 1), scaled(fit, 0.25));
  for (const double share : {1.5, 2.0, 3.0}) {
    const double then = std::min(std::round(share * width / 0.01) * 0.01, room);
    if (then < 1.1 * width) continue;
    const std::string text = fmt::format("this joint feathered out to {} mm over the same {}", fixed_text(then * mm_per_m, 0), fit.crown < 0 ? "hollow" : "crown");
    if (!work.empty() && work.back().text == text) continue;
    setting(text, coats(2, then / width), stretched(fit, then / width));
  }
  if (film)
    setting(fmt::format("a film of {} mm drawn over it and a metre of face either side", number_text(film->skim * mm_per_m)),
            {set_up.low + film_hours.low * 2 * length, set_up.high + film_hours.high * 2 * length}, filmed(fit, film->film_reach, film->skim, 0.25));
  return levers;
}

/// Where a hand lamp in the dark crosses the joint as the worst daylight does.
LampHold lamp_for(const Study& study, int surface, const SurfaceResult& result) {
  LampHold out;
  const JointResult& r = result.joints.front();
  const Seen* worst = nullptr;
  for (const Seen& s : r.seen)
    if (!study.moments[static_cast<std::size_t>(s.moment)].sky.dark && std::isfinite(s.across_ratio) && (!worst || s.judged.visibility > worst->judged.visibility)) worst = &s;
  if (!worst || std::abs(worst->across_ratio) < 0.3) return out;
  const Surface& face = study.room.surfaces[surface];
  const JointLine& line = r.joint.line;
  out.joint_at = line.from + worst->station * line.along();
  const LightVector e = total_light(study.lighting[static_cast<std::size_t>(worst->moment)], surface, out.joint_at);
  const dvec2 to_light = (glm::dot(e.tangential(), line.across()) < 0 ? -1.0 : 1.0) * line.across();
  out.across = std::abs(worst->across_ratio);
  out.visibility = worst->judged.visibility;
  out.moment = study.moments[static_cast<std::size_t>(worst->moment)].name;
  out.viewer = study.viewers[static_cast<std::size_t>(worst->viewer)].name;
  if (std::abs(to_light.x) > std::abs(to_light.y)) out.side = to_light.x < 0 ? "left" : "right";
  else out.side = to_light.y < 0 ? "below" : "above";

  auto dark = copy_of(study);
  dark->moments.resize(1);
  dark->moments[0] = Moment();
  dark->moments[0].name = "hand lamp";
  dark->lighting.resize(1);
  LampSpec spec;
  spec.name.value = "hand lamp";
  spec.kind.value = LampKind::hand;
  spec.flux.value = 500;
  spec.beam.value = 120 * rad_per_deg;
  spec.size.value = 0.05;
  spec.dim.value = 1;
  spec.turn.value = 0;
  spec.aim.given = true;
  const dvec3 target = face.frame.world_from_surface(out.joint_at);
  for (double along : {1.0, 0.7, 0.5, 0.35}) {
    const dvec2 foot = out.joint_at + along * to_light;
    const dvec3 wall = face.frame.world_from_surface(foot, 0.02);
    if (!face.contains(foot) || !study.room.contains(dvec2(wall))) continue;
    // nearer the face it rakes harder; its own bounce takes some of that back
    double lo = 0.03, hi = along / std::max(out.across, 0.3) + 0.1;
    for (int i = 0; i < 12; ++i) {
      const double off = 0.5 * (lo + hi);
      spec.position.value = face.frame.world_from_surface(foot, off);
      if (!study.room.contains(dvec2(*spec.position))) {
        hi = off;
        continue;
      }
      spec.aim.value = target - *spec.position;
      dark->lighting[0] = make_lighting(study.job, study.room, study.basis, dark->moments[0], {make_lamp(spec, study.room)});
      const LightVector lit = total_light(dark->lighting[0], surface, out.joint_at);
      const double across = lit.n > 0 ? std::abs(glm::dot(lit.tangential(), line.across())) / lit.n : 0;
      out.off = off;
      out.at = *spec.position;
      out.lamp_across = across;
      if (std::abs(across / out.across - 1) < 0.02) break;
      (across > out.across ? lo : hi) = off;
    }
    if (std::abs(out.lamp_across / out.across - 1) > 0.25) continue;
    out.along = along;
    out.found = true;
    const SurfaceResult again = assess_surface_at(*dark, surface, result.finish, {{{0, worst->viewer, worst->station}}}, false);
    if (again.joints.front().worst >= 0) out.lamp_visibility = again.joints.front().seen.front().judged.visibility;
    break;
  }
  return out;
}

/// V of the worst look were the joint made as the job says, with the crown that was measured.
double with_usual_marks(const Study& study, int surface, const JointLine& line, const FittedSection& fit, const SurfaceResult& asked) {
  Job job = study.job;
  std::erase_if(job.joints, [&](const JointSpec& j) { return *j.id == line.id && j.section; });
  Layout layout = study.layouts[surface];
  layout.joints = {line};
  PlacedJoint joint = make_relief(job, layout, *study.scheme.find(asked.finish.level), study.work).joints.front();
  joint.figures.crown = fit.crown;
  FittedSection made;
  made.face = face_of(make_section(joint.recipe, joint.figures));
  made.crown = fit.crown;
  made.sd.assign(made.face.height.size(), 0.0);
  const SurfaceResult looked = assess_surface_at(*alone(study, surface, line, made), surface, asked.finish, focus_of(asked), false);
  const JointResult& r = looked.joints.front();
  return r.worst < 0 ? 0 : r.seen[static_cast<std::size_t>(r.worst)].judged.visibility;
}

std::string mm(double metres, int decimals = 0) { return fixed_text(metres * mm_per_m, decimals); }
std::string digits(double v) { return fixed_text(v, v < 9.95 ? 1 : 0); }

std::vector<std::string> words(const Study& study, const Measured& m) {
  std::vector<std::string> out;
  const FittedSection& fit = *m.fit;
  const char* what = fit.crown < 0 ? "hollow" : "crown";
  if (m.gap) {
    out.push_back(fmt::format("{} mm under a rule of {} mm, {}: a {} of {} ± {} mm, were the joint made as the job says and {} mm wide", mm(m.gap->gap, 2), mm(m.gap->base),
                              m.gap->hollow ? "bridging" : "balanced on the crown", what, mm(std::abs(fit.crown), 2), mm(fit.crown_sd, 2), mm(m.width)));
    if (m.rule_too_short)
      out.push_back(fmt::format("The rule is shorter than the joint, so it never reaches the board: one of {} mm, or points across it, would say more", mm(std::ceil(m.width / 0.1) * 0.1 + 0.1)));
  } else {
    out.push_back(fmt::format("{} points over {} mm, up to {} mm apart, readings {} mm out (one standard deviation): a {} of {} ± {} mm; marks narrower than {} mm are not in it", fit.points,
                              mm(m.width), mm(fit.spacing, 1), mm(fit.noise, 2), what, mm(std::abs(fit.crown), 2), mm(fit.crown_sd, 2), mm(2 * fit.spacing)));
  }
  const auto column = [&](const SeenFrom& s, const char* where) {
    if (!s.seen) return std::string(where) + ": not in sight";
    return fmt::format("{}: {}, V {} (band {}–{}; {}–{} by the measurement's own uncertainty), {} that it shows, in \"{}\" from {}, light across it at {} to 1", where, verdict_text(s.judged.verdict),
                       digits(s.judged.visibility), digits(s.judged.low), digits(s.judged.high), digits(s.low.visibility), digits(s.high.visibility), chance_text(s.chance), s.moment, s.viewer, digits(s.across));
  };
  out.push_back(column(m.inspection, "At the inspection position"));
  out.push_back(column(m.living, "Living in the room"));
  if (m.with_fine_marks > 0)
    out.push_back(fmt::format("Lap marks and tape edges are too fine for readings {} mm apart: with those that these hands usually leave V would be about {}; read every 2 mm where they may be, or look with the lamp",
                              mm(fit.spacing, 1), digits(m.with_fine_marks)));
  if (!m.needed) {
    out.push_back(std::string(m.with_fine_marks > 0 ? "As measured, leave it" : "Leave it") + ": it is within the aim of " + chance_text(m.aim));
  } else if (!m.cures.empty()) {
    const Cure& c = m.cures.front();
    out.push_back(c.reached ? fmt::format("The least work: {}, {} (estimate), by {}; then {}", mix_text(c), hours_text(c.hours), fmt::join(c.by, ", "), outcome_text(study, c.outcome))
                            : fmt::format("No mix of up to two of these changes is enough; the least likely to show has {}: {}", mix_text(c), outcome_text(study, c.outcome)));
  }
  const LampHold& l = m.lamp;
  if (l.found) {
    const bool wall = study.room.surfaces[m.surface].kind == Surface::Kind::wall;
    out.push_back(fmt::format("To see what \"{}\" will show from {}: in the dark hold a lamp {} mm {} of the place {} mm along and {} mm {}, {} mm off the face, aimed at it; it crosses the joint at {} to 1 "
                              "(then: {}), V {} (then: {})",
                              l.moment, l.viewer, mm(l.along), l.side == "left" || l.side == "right" ? "to the " + l.side : l.side, mm(l.joint_at.x), mm(l.joint_at.y), wall ? "up" : "across", mm(l.off),
                              digits(l.lamp_across), digits(l.across), digits(l.lamp_visibility), digits(l.visibility)));
  }
  out.push_back(when_to_check());
  return out;
}

}  // namespace

std::string when_to_check() {
  return "When to check: after the sealer coat and before the finish paint (common practice): bare board and compound differ in colour, which hides slopes and shows bands; and guides judge in ordinary light "
         "from 1.5 to 2 m, so a lamp held along the wall is no test for handing over unless that was agreed";
}

std::optional<double> crown_from_gap(const PlacedJoint& joint, const RuleGap& gap) { return crown_with(joint, gap, 1); }

std::optional<FittedSection> section_from_gap(const PlacedJoint& joint, const RuleGap& gap) {
  long_work("fitting a section");
  const auto crown = crown_with(joint, gap, 1);
  if (!crown) return std::nullopt;
  SectionFigures figures = joint.figures;
  figures.crown = *crown;
  const Section section = make_section(joint.recipe, figures);
  FittedSection fit;
  fit.face = face_of(section);
  fit.crown = section.crown;
  fit.noise = feeler_sd;
  const auto off = [&](const std::optional<double>& other) { return other ? std::abs(*other - *crown) : std::abs(*crown); };
  const double read = off(crown_with(joint, {gap.gap + feeler_sd, gap.base, gap.hollow}, 1));
  const double wide = 0.5 * (off(crown_with(joint, gap, 1 - width_known)) + off(crown_with(joint, gap, 1 + width_known)));
  fit.crown_sd = std::hypot(read, wide);
  fit.sd.assign(fit.face.height.size(), fit.crown_sd);
  return fit;
}

Measured measure_joint(const Study& study, int surface, const JointLine& line, const FittedSection& section, const std::optional<RuleGap>& gap) {
  long_work("judging a measured joint");
  assert(joins_sheets(line.kind));
  Measured m;
  m.surface = surface;
  m.line = line;
  m.fit = std::make_shared<const FittedSection>(section);
  m.gap = gap;
  m.width = section.face.offset(section.face.size() - 1) - section.face.first;
  m.rule_too_short = gap && gap->base < m.width;
  const auto own = alone(study, surface, line, section);
  const Finish finish = requested_finish(*own, surface);
  const SurfaceResult asked = assess_surface(*own, surface, finish);
  const JointResult& r = asked.joints.front();
  m.straightedge = r.straightedge;
  m.rules = r.rules;
  const auto by = [&](double crown) {
    const double share = std::abs(section.crown) > 1e-6 ? crown / section.crown : 1;
    return assess_surface_at(*alone(study, surface, line, scaled(section, share)), surface, finish, focus_of(asked), false);
  };
  const SurfaceResult less = by(section.crown - section.crown_sd), more = by(section.crown + section.crown_sd);
  // looks that focus_of left out have no less and more of their own
  m.inspection = seen_from(*own, r, less.joints.front(), more.joints.front(), surface, true);
  m.living = seen_from(*own, r, less.joints.front(), more.joints.front(), surface, false);
  // a mark takes two readings
  if (!gap && r.worst >= 0 && 2 * section.spacing > study.work.lap_width) {
    const double v = with_usual_marks(study, surface, line, section, asked);
    if (v > 1.2 * r.seen[static_cast<std::size_t>(r.worst)].judged.visibility) m.with_fine_marks = v;
  }
  m.aim = *study.job.verdict.chance;
  m.needed = r.chance_shows > m.aim;
  m.lamp = lamp_for(*own, surface, asked);

  SurfaceAdvice advice;
  advice.surface = surface;
  advice.results = {asked};
  if (m.needed) {
    Sketch sketch(*own, advice, asked, levers_on_site(*own, line, section, advice));
    m.now = sketch.expected(Mix{});
    Cure least = least_work(sketch, m.aim, {}, 3, 2);
    m.cures.push_back(least);
    for (const LeverSettings& lever : sketch.levers())
      for (int s = 1; s < static_cast<int>(lever.settings.size()); ++s) {
        Mix mix{};
        at(mix, lever.lever) = s;
        if (mix == least.mix) continue;
        Cure c = cure_of(sketch, mix, m.aim);
        if (c.outcome.judged.visibility < 0.97 * m.now.judged.visibility) m.cures.push_back(std::move(c));
      }
    std::stable_sort(m.cures.begin() + 1, m.cures.end(), [](const Cure& a, const Cure& b) { return a.outcome.judged.visibility < b.outcome.judged.visibility; });
    for (Cure& c : m.cures) c.when = "on site";
  } else {
    m.now.chance = r.chance_shows;
    if (r.worst >= 0) m.now = {r.chance_shows, r.seen[static_cast<std::size_t>(r.worst)].judged, line.id, r.seen[static_cast<std::size_t>(r.worst)].moment, true, {}};
  }
  m.reasons = words(*own, m);
  return m;
}

}  // namespace rakelight
