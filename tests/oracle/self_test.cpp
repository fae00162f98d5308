// The oracle against closed forms and published tables, and laws of light that the program must keep as well.
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "oracle/measure.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace oracle;

namespace {

/// A closed room without windows, one reflectance, a lamp in the middle.
Scene closed_room() {
  Scene s{"closed room", {}, {}};
  s.plan.corners = {{0, 0}, {0, 3}, {2.5, 3}, {2.5, 0}};
  s.plan.height = 2.4;
  s.plan.floor_reflectance = s.plan.wall_reflectance = s.plan.ceiling_reflectance = 0.6;
  Disc lamp;
  lamp.name = "L1";
  lamp.at = {1.25, 1.5, 1.8};
  lamp.size = 0.1;
  lamp.flux = 1000;
  lamp.beam = 90 * pi / 180;
  s.plan.lamps = {lamp};
  s.patches = {{0, dvec2(0), {3, 2.4}}};
  return s;
}

double area(const Face& f) { return f.outline.empty() ? f.size.x * f.size.y : 2.5 * 3; }

}  // namespace

TEST_CASE("the oracle's glass is the published one", "[oracle]") {
  test::Validated found("path tracer: its glass", "Duffie & Beckman ch. 5, 14 angles", "six decimals");
  // six decimals are printed
  int rows = 0;
  for (const auto& row : reference::table("glazing_transmittance.csv")) {
    const double c = std::cos(row.number("theta_deg") * pi / 180);
    CHECK(found.near(Glass{1}.at(c).passed, row.number("T1_KL0.012")) == Approx(row.number("T1_KL0.012")).margin(6e-7));
    CHECK(found.near(Glass{2}.at(c).passed, row.number("T2_KL0.012")) == Approx(row.number("T2_KL0.012")).margin(6e-7));
    CHECK(found.near(Glass{1}.at(c).thrown_back, row.number("R1_KL0.012")) == Approx(row.number("R1_KL0.012")).margin(6e-7));
    CHECK(found.near(Glass{2}.at(c).thrown_back, row.number("R2_KL0.012")) == Approx(row.number("R2_KL0.012")).margin(6e-7));
    ++rows;
  }
  CHECK(rows == 14);
}

TEST_CASE("the oracle's sky is the published one", "[oracle]") {
  test::Validated found("path tracer: its sky", "ISO 15469:2004, 6 rows", "six decimals");
  // ISO 15469:2004, types 1 and 12, luminance over the zenith's in five directions; six decimals are printed
  int rows = 0;
  for (const auto& row : reference::table("iso15469_checks.csv")) {
    const int type = static_cast<int>(row.number("type"));
    if (type != 1 && type != 12) continue;
    Plan plan = closed_room().plan;
    Sky& s = plan.sky;
    s = Sky{};
    s.a = type == 1 ? 4 : -1;
    s.b = type == 1 ? -0.70 : -0.32;
    s.c = type == 1 ? 0 : 10;
    s.d = type == 1 ? -1 : -3;
    s.e = type == 1 ? 0 : 0.45;
    s.zenith = 1;
    const auto direction = [](double altitude_deg, double azimuth_deg) {
      const double h = altitude_deg * pi / 180, az = azimuth_deg * pi / 180;
      return dvec3(std::cos(h) * std::sin(az), std::cos(h) * std::cos(az), std::sin(h));
    };
    s.sun = direction(row.number("sun_elev_deg"), 0);
    const World world(plan);
    CHECK(found.near(world.outside(direction(15, 0)), row.number("L_el15_az0")) == Approx(row.number("L_el15_az0")).margin(6e-7));
    CHECK(found.near(world.outside(direction(15, 90)), row.number("L_el15_az90")) == Approx(row.number("L_el15_az90")).margin(6e-7));
    CHECK(found.near(world.outside(direction(15, 180)), row.number("L_el15_az180")) == Approx(row.number("L_el15_az180")).margin(6e-7));
    CHECK(found.near(world.outside(direction(45, 90)), row.number("L_el45_az90")) == Approx(row.number("L_el45_az90")).margin(6e-7));
    CHECK(found.near(world.outside(direction(45, 180)), row.number("L_el45_az180")) == Approx(row.number("L_el45_az180")).margin(6e-7));
    ++rows;
  }
  CHECK(rows == 6);
}

TEST_CASE("lamplight is as strong as its flux: mean illuminance of a closed room", "[oracle]") {
  test::Validated found("path tracer: mean illuminance of a closed room", "flux / (area (1 − ρ))", "4 standard errors and 0.3 %", " %", 100);
  // all surfaces together: E = flux / (area (1 - rho)), whatever the shape (energy balance)
  const Scene scene = closed_room();
  const World world(scene.plan);
  double whole = 0;
  for (const Face& f : world.faces) whole += area(f);
  const double expected = 1000 / (whole * (1 - 0.6));

  std::mt19937_64 bits(3);
  const auto uniform = [&] { return static_cast<double>(bits() >> 11u) * 0x1.0p-53; };
  std::vector<Spot> spots;
  for (std::size_t k = 0; k < world.faces.size(); ++k) {
    const Face& f = world.faces[k];
    const dvec2 size = f.outline.empty() ? f.size : dvec2(2.5, 3);
    // one point in every square of about 0.2 m
    const int nx = static_cast<int>(std::ceil(size.x / 0.2)), ny = static_cast<int>(std::ceil(size.y / 0.2));
    for (int j = 0; j < ny; ++j)
      for (int i = 0; i < nx; ++i)
        spots.push_back({static_cast<int>(k), size * dvec2((i + uniform()) / nx, (j + uniform()) / ny), 0, dvec2(0)});
  }
  Counts counts;
  counts.replicates = 4;
  counts.direct = counts.paths = 32;
  const std::vector<Sampled> points = sample(world, spots, counts, nullptr);
  const Program program(scene);
  double traced = 0, variance = 0, said = 0;
  std::vector<double> exact(points.size());
  on_two_threads(points.size(), [&](std::size_t i) {
    for (const dvec3& e : program.exact(spots[i].face, spots[i].at)) exact[i] += e.z;
  });
  std::vector<int> on_face(world.faces.size(), 0);
  for (const Spot& s : spots) ++on_face[static_cast<std::size_t>(s.face)];
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::size_t face = static_cast<std::size_t>(spots[i].face);
    const double weight = area(world.faces[face]) / on_face[face] / whole;
    traced += weight * points[i].total.z;
    variance += std::pow(weight * points[i].error.z, 2);
    said += weight * exact[i];
  }
  CAPTURE(expected, traced, std::sqrt(variance), said);
  // four standard errors of the paths, and 0.3 % for one point standing for each square
  found.off(traced / expected - 1);
  CHECK(std::abs(traced - expected) < 4 * std::sqrt(variance) + 0.003 * expected);
  CHECK(std::sqrt(variance) < 0.002 * expected);
  CHECK(said == Approx(expected).epsilon(0.005));
  CHECK(lost_rays() == 0);
}
