// The coat's reflection: reciprocity, energy, and the table of slope gains.
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <vector>

#include "base/quadrature.h"
#include "base/random.h"
#include "base/units.h"
#include "base/vec.h"
#include "kernel/sheen.h"
#include "paint/paint.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

dvec3 at_elevation(double degrees, double azimuth = 0) {
  const double e = degrees * rad_per_deg;
  return {std::cos(e) * std::cos(azimuth), std::cos(e) * std::sin(azimuth), std::sin(e)};
}

dvec3 random_up(Random& random) {
  const double z = random.uniform(0.02, 1), turn = random.uniform(0, 2 * pi), r = std::sqrt(1 - z * z);
  return {r * std::cos(turn), r * std::sin(turn), z};
}

double polynomial(const std::array<double, 8>& c, double x) {
  double sum = 0;
  for (std::size_t k = 8; k-- > 0;) sum = sum * x + c[k];
  return sum;
}

struct Spot { double at, weight; };

/// Nodes over [lo, hi] that crowd about `peak` (x = peak + width tan t).
std::vector<Spot> crowded(double lo, double hi, double peak, double width) {
  std::vector<Spot> spots;
  const double from = std::atan((lo - peak) / width), to = std::atan((hi - peak) / width);
  for (int half = 0; half < 2; ++half)
    for (const Node& n : gauss_nodes(48)) {
      const double t = std::tan(from + (to - from) * 0.5 * (half + n.x));
      spots.push_back({peak + width * t, 0.5 * n.weight * (to - from) * width * (1 + t * t)});
    }
  return spots;
}

/// ∫ f_r μ dω over the half space in polar angles, the nodes crowded about the mirror direction but no lobe sampled.
double albedo_of(double mu, double alpha, const std::function<double(double)>& weight) {
  const dvec3 eye{std::sqrt(1 - mu * mu), 0, mu};
  double sum = 0;
  for (const Spot& theta : crowded(0, pi / 2, std::acos(mu), alpha))
    for (const Spot& turn : crowded(0, pi, pi, std::max(2 * alpha * mu, 0.002))) {
      const dvec3 light{std::sin(theta.at) * std::cos(turn.at), std::sin(theta.at) * std::sin(turn.at), std::cos(theta.at)};
      sum += 2 * theta.weight * turn.weight * std::sin(theta.at) * light.z * weight(light.z) *
             kernel::ggx_reflection(light, eye, alpha, 1.5);
    }
  return sum;
}

/// The three albedos of the kernel's Coat.
dvec3 albedo_by_angle(double mu, double alpha60, double alpha85) {
  const auto grazing = [](double m) { return kernel::grazing_share(m); };
  return {albedo_of(mu, alpha60, [&](double m) { return 1 - grazing(m); }), albedo_of(mu, alpha85, [](double) { return 1.0; }),
          albedo_of(mu, alpha85, grazing)};
}

}  // namespace

TEST_CASE("Fresnel at n = 1.5 and 1.567") {
  CHECK(kernel::fresnel(1.0, 1.5) == Approx(0.04).epsilon(1e-12));
  // black glass: 0.0490781, 0.1000560, 0.6191482 (reference/optics, ISO 2813 index)
  CHECK(kernel::fresnel(std::cos(20 * rad_per_deg), 1.567) == Approx(0.0490781).margin(6e-8));
  CHECK(kernel::fresnel(std::cos(60 * rad_per_deg), 1.567) == Approx(0.1000560).margin(6e-8));
  CHECK(kernel::fresnel(std::cos(85 * rad_per_deg), 1.567) == Approx(0.6191482).margin(6e-8));
}

TEST_CASE("slope gains of every row of the table, without the diffuse reduction") {
  test::Validated found("sheen: how luminance answers to slope", "72 rows computed apart", "2e-5 of the row, 2e-5");
  int rows = 0;
  for (const auto& row : reference::table("sheen_slope_gain.csv")) {
    const double alpha = row.number("alpha_GGX"), in = row.number("el_in_deg"), out = row.number("el_out_deg");
    INFO(row.text("finish") << ", light " << in << ", eye " << out);
    // light from -x; a positive slope turns the facet towards it
    const auto luminance = [&](double slope) {
      const double c = 1 / std::sqrt(1 + slope * slope), s = slope * c;
      const auto turned = [&](dvec3 w) { return dvec3(w.x * c + w.z * s, w.y, -w.x * s + w.z * c); };
      const dvec3 light = turned(at_elevation(in, pi)), eye = turned(at_elevation(out));
      const double sheen = alpha > 0 ? kernel::ggx_reflection(light, eye, alpha, 1.5) : 0;
      return light.z * (0.8 / pi + sheen);
    };
    const double step = 1e-5;
    const double slope = (std::log(luminance(step)) - std::log(luminance(-step))) / (2 * step);
    const double diffuse = std::sin(in * rad_per_deg) * 0.8 / pi;
    // five decimals in the table; 2e-5 of the largest slopes for their printed digits
    CHECK(luminance(0) / diffuse - 1 == Approx(row.number("spec_over_diffuse")).epsilon(2e-5).margin(1e-6));
    found.off((slope - row.number("dlnL_dslope")) / std::max(1.0, std::abs(row.number("dlnL_dslope"))));
    CHECK(slope == Approx(row.number("dlnL_dslope")).epsilon(2e-5).margin(2e-5));
    CHECK(slope * std::tan(in * rad_per_deg) == Approx(row.number("gain_vs_lambert")).epsilon(2e-5).margin(1e-5));
    ++rows;
  }
  CHECK(rows == 72);
}

TEST_CASE("the blend of both lobes is reciprocal") {
  Random random(7);
  for (int i = 0; i < 200; ++i) {
    const dvec3 a = random_up(random), b = random_up(random);
    const double alpha = random.uniform(0.02, 0.7);
    CHECK(kernel::ggx_reflection(a, b, alpha, 1.5) == Approx(kernel::ggx_reflection(b, a, alpha, 1.5)).epsilon(1e-12));
    CHECK(kernel::grazing_weight(kernel::grazing_share(a.z), kernel::grazing_share(b.z)) ==
          Approx(kernel::grazing_weight(kernel::grazing_share(b.z), kernel::grazing_share(a.z))));
  }
  // the meters see one lobe each: 60 degrees is 30 of elevation, 85 is 5
  CHECK(kernel::grazing_share(std::sin(30 * rad_per_deg)) == Approx(0).margin(1e-12));
  CHECK(kernel::grazing_share(std::sin(5 * rad_per_deg)) == 1);
}

TEST_CASE("the coat's albedo against plain quadrature, and never above 1") {
  test::Validated found("coat's albedo", "plain quadrature, 4 paints × 7 elevations",
                        "0.6 points, from 10° up 0.3, of a matt paint 0.1", " points", 100);
  struct Case { double alpha60, alpha85, high, low; };
  // matt, low sheen, eggshell, satin (gloss_inverse). The tolerances from 10 degrees up and below are those that
  // coat_albedo states: a polynomial of degree 7 cannot follow the turn that a smooth coat makes within alpha of grazing
  for (const Case c : {Case{0.4389, 0.1579, 1e-3, 1e-3}, Case{0.1906, 0.0658, 3e-3, 6e-3}, Case{0.1038, 0.0551, 3e-3, 6e-3},
                       Case{0.0608, 0.0407, 3e-3, 6e-3}}) {
    const CoatAlbedo albedo = coat_albedo(c.alpha60, c.alpha85, 1.5);
    for (const double elevation : {3.0, 5.0, 10.0, 20.0, 35.0, 60.0, 90.0}) {
      const double mu = std::sin(elevation * rad_per_deg);
      const dvec3 expected = albedo_by_angle(mu, c.alpha60, c.alpha85);
      const double tolerance = elevation < 10 ? c.low : c.high;
      INFO("alpha " << c.alpha60 << ", elevation " << elevation);
      CHECK(found.near(polynomial(albedo.a60, 1 - mu), expected.x) == Approx(expected.x).margin(tolerance));
      CHECK(found.near(polynomial(albedo.b85, 1 - mu), expected.y) == Approx(expected.y).margin(tolerance));
      CHECK(found.near(polynomial(albedo.c85, 1 - mu), expected.z) == Approx(expected.z).margin(tolerance));
      CHECK(expected.x + expected.y < 1);
    }
    // a smooth dielectric of n = 1.5 sends back 0.0918 of even light (Duntley's 0.092, from memory); rough ones less
    CHECK(albedo.mean > 0.04);
    CHECK(albedo.mean < 0.10);
    CHECK(albedo.mean + base_reflectance(0.82, albedo) * (1 - albedo.mean) == Approx(0.82));
  }
}

TEST_CASE("the share of mirroring microfacets integrates the lobe over a rectangle of sky") {
  test::Validated found("sheen of a rectangle of sky", "1,600 nodes, 60 random places", "3 %", " %", 100);
  // all slopes: a polygon far larger than the lobe
  const double far = 1e4;
  CHECK(kernel::slope_share({-far, -far}, {far, -far}, {far, far}, {-far, far}) == Approx(1).margin(1e-7));
  // half a plane of slopes beyond distance 1: (1 - 1/sqrt(2))/2, from the closed form of the density's marginal
  CHECK(kernel::slope_share({1, -far}, {far, -far}, {far, far}, {1, far}) == Approx(0.5 * (1 - 1 / std::sqrt(2.0))).margin(1e-7));

  Random random(3);
  for (int i = 0; i < 60; ++i) {
    const double alpha = random.uniform(0.03, 0.45);
    const dvec3 eye = random_up(random), middle = random_up(random);
    if (eye.z < 0.1 || middle.z < 0.2) continue;
    const dvec3 x = 0.05 * glm::normalize(glm::cross(middle, dvec3(0, 0, 1))), y = 0.05 * glm::cross(glm::normalize(x), middle);
    const auto slope = [&](double sx, double sy) { return kernel::mirror_slope(glm::normalize(middle + sx * x + sy * y), eye, alpha); };
    const double share = kernel::slope_share(slope(-1, -1), slope(1, -1), slope(1, 1), slope(-1, 1));
    // roundings only: the same sum, edge by edge
    CHECK(share == Approx(kernel::slope_share_by_edges(slope(-1, -1), slope(1, -1), slope(1, 1), slope(-1, 1))).epsilon(1e-10));
    const double got = share * kernel::share_factor(middle, eye, alpha, 1.5);
    double expected = 0;
    for (const Node& u : gauss_nodes(40))
      for (const Node& v : gauss_nodes(40)) {
        const dvec3 w = middle + (2 * u.x - 1) * x + (2 * v.x - 1) * y;
        const double l = glm::length(w);
        const dvec3 light = w / l;
        expected += u.weight * v.weight * 0.01 / (l * l * l) * kernel::ggx_reflection(light, eye, alpha, 1.5) * light.z;
      }
    INFO("alpha " << alpha << " eye " << eye.z << " middle " << middle.z);
    // the factor is taken at the middle of 0.1 rad: its change over the part, seen through a lopsided lobe, is 3 % at most
    CHECK(found.share(got, expected) == Approx(expected).epsilon(0.03));
  }
}

TEST_CASE("the fixed nodes mirror each other and average to the albedo") {
  const dvec3 eye = at_elevation(25);
  for (const double alpha : {0.06, 0.16, 0.44}) {
    double mean = 0;
    for (int k = 0; k < 32; ++k) {
      const auto node = kernel::lobe_node(k, eye, alpha, 1.5);
      // turns stand at half steps in even rings, at whole steps in odd ones
      const int ring = k / 8, turn = k % 8, mirrored = ring % 2 ? (8 - turn) % 8 : 7 - turn;
      const auto twin = kernel::lobe_node(8 * ring + mirrored, eye, alpha, 1.5);
      CHECK(node.light.y == Approx(-twin.light.y).margin(1e-12));
      CHECK(node.light.x == Approx(twin.light.x));
      mean += node.weight / 32;
    }
    // the nodes only place the lobe; the shading normalises them by the albedo, so a few per cent are enough here
    CHECK(mean == Approx(albedo_by_angle(eye.z, 0.5, alpha).y).epsilon(0.06));
  }
}
