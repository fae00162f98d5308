// The glossmeter of ISO 2813 / ASTM D523, simulated: flux of a dielectric specimen through the receptor's aperture
// against that of polished black glass (n = 1.567), source image 0.75° × 2.5°, receptors (in the plane of incidence ×
// across it) 1.80° × 3.60° at 20°, 4.40° × 11.70° at 60°, 4.00° × 6.00° at 85°, all nominal.
#include <array>
#include <cassert>
#include <cmath>

#include "base/quadrature.h"
#include "base/units.h"
#include "base/vec.h"
#include "kernel/sheen.h"
#include "paint/paint.h"

namespace rakelight {
namespace {

struct Meter { double angle, receptor_in_plane, receptor_across, diffuse_share; };

// Diffuse shares in gloss units per reflectance: the receptor's projected solid angle over π and the glass's
// reflectance, 0.0490781, 0.1000560 and 0.6191482 (computed, reference table gloss_roughness).
Meter meter_of(int degrees) {
  assert(degrees == 20 || degrees == 60 || degrees == 85);
  if (degrees == 20) return {20, 1.80, 3.60, 1.2025};
  if (degrees == 60) return {60, 4.40, 11.70, 2.4841};
  return {85, 4.00, 6.00, 0.0327};
}

// A direction `in_plane` from the normal in the plane of incidence and `across` out of that plane, rad.
dvec3 direction(double in_plane, double across) {
  return {std::sin(in_plane) * std::cos(across), std::sin(across), std::cos(in_plane) * std::cos(across)};
}

struct Spot { double at, weight; };
constexpr int receptor_nodes = 16;

// Nodes over [lo, hi] that crowd about `peak` as x = peak + width tan t: a lobe of GGX form becomes smooth in t.
std::array<Spot, receptor_nodes> crowded(double lo, double hi, double peak, double width) {
  std::array<Spot, receptor_nodes> spots;
  const double from = std::atan((lo - peak) / width), to = std::atan((hi - peak) / width);
  const auto& nodes = gauss_nodes(receptor_nodes);
  for (std::size_t i = 0; i < spots.size(); ++i) {
    const double t = std::tan(from + (to - from) * nodes[i].x);
    spots[i] = {peak + width * t, nodes[i].weight * (to - from) * width * (1 + t * t)};
  }
  return spots;
}

}  // namespace

// The source and the receptor are alike on either side of the plane of incidence: light from one side of it counts twice and stands for
// the other, and of light within it the half of the receptor.
double simulated_gloss(double alpha, int meter_deg, double index) {
  assert(alpha > 0 && index > 1);
  const Meter meter = meter_of(meter_deg);
  const double angle = meter.angle * rad_per_deg;
  const double half_in = 0.5 * meter.receptor_in_plane * rad_per_deg, half_across = 0.5 * meter.receptor_across * rad_per_deg;
  const double width = std::min(2 * alpha, 1.0);
  double specimen = 0, sent = 0;
  for (const Node& u : gauss_nodes(3))
    for (int side = 0; side < 2; ++side) {
      const Node& v = gauss_nodes(3)[static_cast<std::size_t>(side)];
      const bool within = side == 1;
      const double tilt = (u.x - 0.5) * 0.75 * rad_per_deg, turn = (v.x - 0.5) * 2.5 * rad_per_deg;
      const dvec3 light = direction(-(angle + tilt), turn);
      const double share = (within ? 1 : 2) * u.weight * v.weight * std::cos(turn) * light.z;
      sent += share;
      // the image of the source lies mirrored in the receptor
      const auto in_plane = crowded(-half_in, half_in, tilt, width);
      // across the plane the microfacets need tilt by 1/cos as much, so the lobe is narrower
      const auto across = crowded(-half_across, half_across, -turn, width * std::cos(angle));
      double flux = 0;
      for (const Spot& a : in_plane)
        for (std::size_t i = 0; i < (within ? across.size() / 2 : across.size()); ++i) {
          const Spot& b = across[i];
          const dvec3 eye = direction(angle + a.at, b.at);
          flux += (within ? 2 : 1) * a.weight * b.weight * std::cos(b.at) * eye.z * kernel::ggx_reflection(light, eye, alpha, index);
        }
      specimen += share * flux;
    }
  return 100 * specimen / (sent * kernel::fresnel(std::cos(angle), 1.567));
}

double roughness_from_gloss(double gloss_units, int meter_deg, double reflectance, double index) {
  const double wanted = gloss_units - meter_of(meter_deg).diffuse_share * reflectance;
  constexpr double smoothest = 0.003, roughest = 1;
  // readings fall monotonically with roughness; what a rough or a mirror coat cannot reach stays at that end
  const double lowest = simulated_gloss(roughest, meter_deg, index);
  if (wanted <= lowest) return roughest;
  const double highest = simulated_gloss(smoothest, meter_deg, index);
  if (wanted >= highest) return smoothest;
  double lo = std::log(smoothest), hi = std::log(roughest), f_lo = std::log(highest / wanted), f_hi = std::log(lowest / wanted);
  // Illinois rule: false position that halves a stuck end
  for (int step = 0; step < 60 && hi - lo > 1e-6; ++step) {
    const double mid = (lo * f_hi - hi * f_lo) / (f_hi - f_lo);
    const double f = std::log(simulated_gloss(std::exp(mid), meter_deg, index) / wanted);
    if (std::abs(f) < 1e-6) return std::exp(mid);
    if (f > 0) {
      lo = mid;
      f_lo = f;
      f_hi *= 0.5;
    } else {
      hi = mid;
      f_hi = f;
      f_lo *= 0.5;
    }
  }
  return std::exp(0.5 * (lo + hi));
}

}  // namespace rakelight
