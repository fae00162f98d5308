#include "advice/standing.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "advice/levers.h"
#include "assess/looks.h"
#include "base/text.h"
#include "base/units.h"
#include "light/lamp.h"
#include "light/parallel.h"
#include "light/standing.h"

namespace rakelight {
namespace {

constexpr double set_distances[] = {0.15, 0.3, 0.6};   // of the standing set's downlights, in its order
constexpr double further[] = {1.0, 1.8};
constexpr double worth_a_look = 0.3;                   // of what the joint shown most should come to
constexpr double guess_spacing = 0.1;                  // m along a joint; a lamp's light has its peak within some tenths
constexpr double bounce_spacing = 0.5;                 // m, of the bounced light beside it

/// The study with these lamps as its moments, one each, in the dark.
std::unique_ptr<Study> lit_by(const Study& study, ChangedLight& light, const std::vector<Lamp>& lamps) {
  auto lit = copy_of(study);
  lit->moments.clear();
  lit->lighting.clear();
  for (const Lamp& lamp : lamps) {
    Moment m;
    m.name = lamp.name;
    m.sky_text = "none";
    lit->lighting.push_back(make_lighting(study.job, study.room, coarse_basis(study, light), m, {lamp}));
    lit->moments.push_back(std::move(m));
  }
  return lit;
}

/// |E_t| across a joint over E_n at `steps` + 1 even places of it, in the dark: lamps exactly, bounced light linear between places half a
/// metre apart or less, over which it hardly changes.
std::vector<double> raked_across(const Lighting& lighting, int surface, const JointLine& line, double from, double to, int steps) {
  const Room& room = *lighting.room;
  const Frame& frame = room.surfaces[static_cast<std::size_t>(surface)].frame;
  const auto place = [&](double share) { return line.from + (from + share * (to - from)) * line.along(); };
  const int spans = std::max(1, static_cast<int>(std::ceil((to - from) / bounce_spacing)));
  std::vector<LightVector> bounced;
  for (int k = 0; k <= spans; ++k) bounced.push_back(smooth_light(lighting, surface, place(static_cast<double>(k) / spans)).e);
  const std::vector<LampLight> lamps(lighting.lamps.begin(), lighting.lamps.end());
  std::vector<double> out;
  for (int i = 0; i <= steps; ++i) {
    const double share = static_cast<double>(i) / steps, x = share * spans;
    const auto k = static_cast<std::size_t>(std::min(static_cast<int>(x), spans - 1));
    const double t = x - static_cast<double>(k);
    LightVector e = (1 - t) * bounced[k] + t * bounced[k + 1];
    const dvec3 p = frame.world_from_surface(place(share));
    for (const LampLight& lamp : lamps) {
      const dvec3 direct = frame.surface_direction(lamp.at(p, frame.n, [&](dvec3 q) { return room.convex || room.sees(p, q); }));
      e += {direct.x, direct.y, direct.z};
    }
    out.push_back(e.n > 0 ? std::abs(glm::dot(e.tangential(), line.across())) / e.n : 0);
  }
  return out;
}

std::vector<StandingLamp> looked_at(const Study& study, const SurfaceResult& surface, ChangedLight& light, const std::vector<Lamp>& lamps) {
  const auto lit = lit_by(study, light, lamps);
  int inspection = -1;
  for (int v = 0; v < static_cast<int>(study.viewers.size()); ++v)
    if (study.viewers[static_cast<std::size_t>(v)].only_surface == surface.surface) inspection = v;
  std::vector<std::vector<Focus>> focus(surface.joints.size());
  for (std::size_t l = 0; l < lamps.size(); ++l) {
    struct Guess { double v = 0, station = 0; };
    std::vector<Guess> guesses(surface.joints.size());
    double most = 0;
    for_each_index(static_cast<int>(surface.joints.size()), [&](int joint) {
      const auto j = static_cast<std::size_t>(joint);
      const JointResult& r = surface.joints[j];
      if (r.worst < 0) return;
      const Seen& seen = r.seen[static_cast<std::size_t>(r.worst)];
      // shade of its steepest slope over the contrast that is just seen; the light it was seen in may have been of another kind
      double steepest = 0;
      for (const double slope : r.joint.section.slope) steepest = std::max(steepest, std::abs(slope));
      if (!(seen.threshold > 0) || !std::isfinite(seen.threshold)) return;
      const double per_ratio = steepest / seen.threshold, end = std::min(0.15, 0.1 * r.joint.line.length());
      const int steps = std::max(1, static_cast<int>(std::ceil((r.joint.line.length() - 2 * end) / guess_spacing)));
      const std::vector<double> across = raked_across(lit->lighting[l], surface.surface, r.joint.line, end, r.joint.line.length() - end, steps);
      for (int i = 0; i <= steps; ++i)
        if (const double v = per_ratio * across[static_cast<std::size_t>(i)]; v > guesses[j].v) guesses[j] = {v, end + (r.joint.line.length() - 2 * end) * i / steps};
    });
    for (const Guess& g : guesses) most = std::max(most, g.v);
    for (std::size_t j = 0; j < guesses.size(); ++j) {
      if (guesses[j].v <= 0 || guesses[j].v < worth_a_look * most) continue;
      const JointResult& r = surface.joints[j];
      const int best = r.seen[static_cast<std::size_t>(r.worst)].viewer;
      focus[j].push_back({static_cast<int>(l), best, guesses[j].station});
      if (inspection >= 0 && inspection != best) focus[j].push_back({static_cast<int>(l), inspection, guesses[j].station});
    }
  }
  const SurfaceResult result = assess_surface_at(*lit, surface.surface, surface.finish, focus, false);
  std::vector<StandingLamp> out;
  const VerdictSpec& rules = study.job.verdict;
  for (std::size_t l = 0; l < lamps.size(); ++l) {
    StandingLamp& at = out.emplace_back();
    at.name = lamps[l].name;
    std::vector<std::vector<double>> spreads;
    for (std::size_t j = 0; j < result.joints.size(); ++j) {
      const Seen* best = nullptr;
      for (const Seen& s : result.joints[j].seen)
        if (s.moment == static_cast<int>(l) && (!best || s.judged.visibility > best->judged.visibility)) best = &s;
      if (!best) continue;
      // workmanship spreads V as at the joint's worst look
      const JointResult& r = surface.joints[j];
      const double share = best->judged.visibility / r.seen[static_cast<std::size_t>(r.worst)].judged.visibility;
      spreads.push_back(r.spread);
      for (double& v : spreads.back()) v *= share;
      if (best->judged.visibility <= at.judged.visibility) continue;
      at.judged = best->judged;
      at.joint = r.joint.line.id;
      at.viewer = study.viewers[static_cast<std::size_t>(best->viewer)].name;
    }
    std::vector<const std::vector<double>*> all;
    for (const auto& spread : spreads) all.push_back(&spread);
    at.chance = chance_any_over(all, {*rules.gain, *rules.band}, *rules.shows);
  }
  return out;
}

/// Where a chance that falls with the distance comes down to the aim.
double between(double near, double near_chance, double far, double far_chance, double aim) {
  const double a = std::log(near_chance), b = std::log(std::max(far_chance, 1e-6)), share = a > b ? (a - std::log(aim)) / (a - b) : 1;
  return near * std::pow(far / near, std::clamp(share, 0.0, 1.0));
}

}  // namespace

Standing under_standing_lamps(const Study& study, const SurfaceResult& surface, std::shared_ptr<ChangedLight> light) {
  if (!light) light = std::make_shared<ChangedLight>();
  Standing out;
  out.surface = surface.surface;
  out.aim = *study.job.verdict.chance;
  out.lamps = looked_at(study, surface, *light, standing_lamps(study.room, surface.surface));
  if (surface.surface >= study.room.wall_count()) return out;
  std::vector<std::pair<double, double>> chances;  // distance, chance
  for (std::size_t i = 0; i < std::size(set_distances); ++i) chances.emplace_back(set_distances[i], out.lamps[i].chance);
  for (const double d : further) {
    if (chances.back().second <= out.aim) break;
    const Lamp lamp = standing_downlight(study.room, surface.surface, d);
    // the room ends
    if (study.room.surfaces[surface.surface].frame.height_of(lamp.at) < d - 1e-3) break;
    out.lamps.push_back(looked_at(study, surface, *light, {lamp}).front());
    chances.emplace_back(d, out.lamps.back().chance);
  }
  out.farthest = chances.back().first;
  out.nearest = chances.front().first;
  out.answer = Standing::Nearest::any;
  // the last that is too near decides, should an odd one nearer pass
  for (std::size_t i = 0; i < chances.size(); ++i) {
    if (chances[i].second <= out.aim) continue;
    const bool last = i + 1 == chances.size();
    out.answer = last ? Standing::Nearest::none : Standing::Nearest::some;
    if (!last && chances[i + 1].second <= out.aim)
      out.nearest = std::ceil(between(chances[i].first, chances[i].second, chances[i + 1].first, chances[i + 1].second, out.aim) / 0.01) * 0.01;
  }
  return out;
}

std::string nearest_lamp_text(const Study& study, const Standing& s) {
  const Surface& face = study.room.surfaces[s.surface];
  const std::string name = face.kind == Surface::Kind::wall ? face.name + " wall" : face.name;
  const auto mm = [](double m) { return fixed_text(m * mm_per_m, 0); };
  const std::string kept = "the chance that a joint shows is within " + chance_text(s.aim);
  switch (s.answer) {
    case Standing::Nearest::any:
      return fmt::format("Good for downlights from {} mm off the {} on, the nearest looked at: {} (700 lm, beam 60°, each alone)", mm(s.nearest), name, kept);
    case Standing::Nearest::some:
      return fmt::format("Good for downlights no closer than {} mm to the {}: from there on {} (700 lm, beam 60°, each alone)", mm(s.nearest), name, kept);
    case Standing::Nearest::none:
      return fmt::format("Not good for downlights at any distance looked at, to {} mm off the {}: none keeps the chance that a joint shows within {} (700 lm, beam 60°, each alone)", mm(s.farthest), name, chance_text(s.aim));
    case Standing::Nearest::not_asked: break;
  }
  std::string over, within;
  for (const StandingLamp& l : s.lamps) {
    std::string& list = l.chance > s.aim ? over : within;
    list += (list.empty() ? "" : ", ") + l.name;
  }
  if (over.empty()) return fmt::format("Good for every lamp looked at that lights the {} ({}): {}", name, within, kept);
  return fmt::format("On the {} a joint may show under: {}{}; downlights let into it do not light it", name, over, within.empty() ? "" : "; not expected under: " + within);
}

}  // namespace rakelight
