// What the tables of a year say at one place of the sun.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "assess/looks.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "sight/sight.h"

namespace rakelight {
namespace {


double log_unit(const std::array<float, luminance_nodes>& k, double luminance) {
  static const double per_node = 1 / std::log(luminance_step);
  const double octaves = std::log(luminance / first_luminance);
  // below the filter's range V goes as the square root of luminance, as in sight
  if (octaves < 0) return k[0] + 0.5 * octaves;
  // through four nodes: K bends by some percent between two
  const double at = std::min(octaves * per_node, luminance_nodes - 1.0);
  const std::size_t i = std::min(static_cast<std::size_t>(std::max(at - 1, 0.0)), luminance_nodes - 4);
  const double t = at - static_cast<double>(i);
  return -(t - 1) * (t - 2) * (t - 3) / 6 * k[i] + t * (t - 2) * (t - 3) / 2 * k[i + 1] - t * (t - 1) * (t - 3) / 2 * k[i + 2] + t * (t - 1) * (t - 2) / 6 * k[i + 3];
}

double between(const std::array<float, cut_nodes>& values, double share) {
  const double at = std::clamp(share, 0.0, 1.0) * (cut_nodes - 1);
  const std::size_t i = std::min(static_cast<std::size_t>(at), cut_nodes - 2);
  const double t = at - static_cast<double>(i);
  return (1 - t) * values[i] + t * values[i + 1];
}

}  // namespace

SunNow YearModel::Parts::now(DaySun::Place place) const {
  SunNow n;
  n.sun = DaySun::position(latitude, place);
  if (n.sun.altitude < -17 * rad_per_deg) n.sun.altitude = n.sun.apparent_altitude = -17 * rad_per_deg;
  n.towards = sun_direction(site, n.sun);
  n.level = sky_level(site, n.sun, sky_type);
  n.slow = slow.stencil(place);
  n.middling = middling.stencil(place);
  n.beams = beams.stencil(place);
  n.fast = fast.stencil(place);
  double sum = 0;
  for (std::size_t i = 0; i < held.size(); ++i) {
    const dvec3 off = direction_of(place) - held[i];
    sum += n.held[i] = 1 / std::pow(glm::dot(off, off) + 1e-4, 2);  // after Shepard 1968
  }
  for (double& w : n.held) w /= sum > 0 ? sum : 1;
  n.over_skyline = n.level.direct_normal > 0 ? sun_over_skyline(around, n.towards) : 0;
  return n;
}

SkyState YearModel::Parts::sky_of(const SunNow& now) const {
  SkyState sky;
  sky.dark = false;
  sky.sun_up = now.level.direct_normal > 0;
  sky.sun = now.sun;
  sky.sun_direction = now.towards;
  sky.direct_normal = now.level.direct_normal;
  static_cast<Outskirts&>(sky) = around;
  return sky;
}

LightVector YearModel::Parts::smooth(const SunNow& now, int spot) const {
  std::array<double, 3> sky{}, bounced{}, beam_part{};
  fast_sky.mix(now.fast, 3 * spot, 3, sky.data());
  bounce.mix(now.middling, 3 * spot, 3, bounced.data());
  const double diffuse = now.diffuse(), direct = now.direct();
  if (direct > 0) beam_bounce.mix(now.beams, 3 * spot, 3, beam_part.data());
  return {diffuse * (sky[0] + bounced[0]) + direct * beam_part[0], diffuse * (sky[1] + bounced[1]) + direct * beam_part[1],
          std::max(0.0, diffuse * (sky[2] + bounced[2]) + direct * beam_part[2])};
}

LightVector YearModel::Parts::total(const SunNow& now, int spot) const {
  const Spot& s = spots[spot];
  LightVector e = smooth(now, spot);
  if (now.over_skyline <= 0) return e;
  const Frame& frame = study->room.surfaces[surfaces[s.face]].frame;
  const dvec3 sun = frame.surface_direction(now.towards);
  if (sun.z <= -kernel::sun_radius()) return e;
  const double lux = SunBeams(study->room, sky_of(now), glazing).at(s.world, -1).normal_illuminance;
  const double facing = kernel::disc_terminator(std::asin(std::clamp(sun.z, -1.0, 1.0)), kernel::sun_radius());
  e += LightVector{lux * sun.x, lux * sun.y, lux * facing};
  return e;
}

Sunlit YearModel::Parts::sunlit(const SunNow& now, const SunBeams& sun, const Spot& spot) const {
  Sunlit lit;
  if (glm::dot(study->room.surfaces[surfaces[spot.face]].frame.n, now.towards) <= -kernel::sun_radius()) return lit;
  const auto at = [&](double u) { return sun.at(spot.world + u * spot.across, -1).normal_illuminance; };
  const double left = at(spot.lo), right = at(spot.hi), ends = std::max(left, right);
  if (std::min(left, right) >= 0.99 * ends) {
    lit.beam = left > 0 ? 0.5 * (left + right) : at(0);
    return lit;
  }
  lit.beam = ends;
  lit.side = left > right ? -1 : 1;
  double lo = 0, hi = 1;
  for (int i = 0; i < 7; ++i) {
    const double middle = 0.5 * (lo + hi);
    const bool bright = at(spot.lo + middle * (spot.hi - spot.lo)) > 0.5 * ends;
    (bright == (lit.side < 0) ? lo : hi) = middle;
  }
  lit.edge = 0.5 * (lo + hi);
  return lit;
}

double YearModel::Parts::visibility(const SpotView& view, SlopeLight smooth, SlopeLight sun, const Sunlit& lit, double veil, double correction) const {
  SlopeLight bright = smooth;
  bright += sun;
  const double share = lit.side == 0 ? 1 : lit.side < 0 ? lit.edge : 1 - lit.edge;
  const double flat = smooth.flat + share * sun.flat, smooth_change = std::abs(smooth.change);
  if (flat <= darkest) return 0;
  double answer = std::abs(bright.change) / bright.flat;
  if (lit.side != 0) {
    const double dark = smooth.flat > 0 ? smooth_change / smooth.flat : 0;
    const auto& of_lit = lit.side < 0 ? view.left : view.right;
    const auto& of_dark = lit.side < 0 ? view.right : view.left;
    answer = std::pow(std::pow(answer * between(of_lit, lit.edge), pooling) + std::pow(dark * between(of_dark, lit.edge), pooling), 1 / pooling);
  }
  if (answer == 0) return 0;
  // the sun's own part is exact to the first order
  const double near = smooth_change > 0 ? smooth_change / (smooth_change + share * std::abs(sun.change)) : 0;
  return *study->job.verdict.gain * answer * flat / (flat + veil) * std::exp(log_unit(view.log_unit, flat + veil) + near * correction);
}

YearModel::YearModel(const Study& study, int sky_type) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.study = &study;
  p.site = study.job.site;
  p.around = outskirts(p.site);
  p.latitude = *p.site.latitude_deg * rad_per_deg;
  p.sky_type = sky_type;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[s].spec >= 0) p.surfaces.push_back(s);
  LightDetail detail;
  detail.patch = 0.5;
  p.basis = make_basis(study.job, study.room, detail);
  for (const Window& w : study.room.windows) p.glazing.push_back(make_glazing(w));
  make_year_tables(p);
}
YearModel::~YearModel() = default;
YearModel::YearModel(YearModel&&) noexcept = default;

const std::vector<int>& YearModel::surfaces() const { return parts_->surfaces; }
const std::vector<std::vector<PlacedJoint>>& YearModel::joints() const { return parts_->joints; }

void YearModel::look(DaySun::Place place, std::vector<std::vector<YearLook>>& looks) const {
  const Parts& p = *parts_;
  const Study& study = *p.study;
  looks.resize(p.surfaces.size());
  for (std::size_t f = 0; f < looks.size(); ++f) looks[f].assign(p.joints[f].size(), {});
  const SunNow now = p.now(place);
  if (now.level.total <= 0 || now.sun.altitude < lowest_sun) return;
  const int views = static_cast<int>(p.views.size());
  thread_local std::vector<double> sky, beam, veil;
  sky.resize(2 * p.views.size());
  beam.assign(2 * p.views.size(), 0.0);
  veil.resize(p.views.size());
  p.view_sky.mix(now.fast, 0, 2 * views, sky.data());
  p.view_veil.mix(now.slow, 0, views, veil.data());
  const double diffuse = now.diffuse(), direct = now.direct();
  const SunBeams beams(study.room, p.sky_of(now), p.glazing);
  const bool enters = beams.any();
  thread_local std::vector<double> eye_beam;
  eye_beam.assign(study.viewers.size(), 0.0);
  if (enters) {
    p.view_beam.mix(now.beams, 0, 2 * views, beam.data());
    for (std::size_t v = 0; v < study.viewers.size(); ++v) eye_beam[v] = beams.at(study.viewers[v].eye, -1).normal_illuminance;
  }
  for (const Spot& s : p.spots) {
    if (s.views == 0) continue;
    const Sunlit lit = enters ? p.sunlit(now, beams, s) : Sunlit{};
    YearLook& joint = looks[s.face][s.joint];
    for (int v = s.first_view; v < s.first_view + s.views; ++v) {
      const SpotView& view = p.views[v];
      const SlopeLight smooth{diffuse * sky[2 * v] + direct * beam[2 * v], diffuse * sky[2 * v + 1] + direct * beam[2 * v + 1]};
      double glare = diffuse * std::max(0.0, veil[v]);
      if (eye_beam[view.viewer] > 0) glare += veil_at({{now.towards, eye_beam[view.viewer], "sun"}}, study.viewers[view.viewer].eye, s.world, *study.job.verdict.age);
      const SlopeLight sun = lit.beam > 0 ? view.eye.sun(now.towards, lit.beam) : SlopeLight{};
      const double visibility = p.visibility(view, smooth, sun, lit, glare, now.correction(view));
      if (visibility <= joint.visibility) continue;
      joint.visibility = visibility;
      joint.viewer = view.viewer;
      joint.station = static_cast<int>(&s - p.spots.data()) - p.first_spot[s.face][s.joint];
    }
  }
}

LightVector YearModel::light(DaySun::Place place, int face, int joint, int station) const {
  const SunNow now = parts_->now(place);
  if (now.level.total <= 0) return {};
  return parts_->total(now, parts_->first_spot[face][joint] + station);
}

}  // namespace rakelight
