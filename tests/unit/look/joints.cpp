// Contrast of single joints in collimated light, against closed forms.
#include <catch2/catch.hpp>
#include <cmath>

#include "support/csv.h"
#include "unit/look/stage.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

constexpr double half_width = 0.275, crown = 1e-3;

PlacedJoint profile_named(const std::string& name, dvec2 from, dvec2 to) {
  if (name == "raised_cosine" || name == "raised cosine") return raised_cosine(0, from, to, crown, half_width);
  if (name == "tent")
    return shaped_joint(0, from, to, half_width, 0.5e-3, [](double u) {
      return HeightAndSlope{crown * (1 - std::abs(u) / half_width), std::abs(u) < 1e-9 ? 0 : (u < 0 ? crown : -crown) / half_width};
    });
  REQUIRE(name == "parabola");
  return shaped_joint(0, from, to, half_width, 0.5e-3, [](double u) {
    return HeightAndSlope{crown * (1 - u * u / (half_width * half_width)), -2 * crown * u / (half_width * half_width)};
  });
}

/// On wall A (x = 0, frame x along plan +y, n along plan +x): a beam at `elevation` over the face, from the face's +x
/// turned by `turn` towards +y.
dvec3 beam(double elevation, double turn) {
  const dvec3 face{std::cos(elevation) * std::cos(turn), std::cos(elevation) * std::sin(turn), std::sin(elevation)};
  return {face.z, face.x, face.y};
}

constexpr dvec2 upright_from{3, 0.2}, upright_to{3, 2.4};
const dvec3 square_on{2, 3, 1.3};

}  // namespace

TEST_CASE("contrast of every row of the joint table, through the whole path") {
  test::Validated found("contrast across a joint through the whole path", "closed forms: raised cosine, tent, parabola at 5 to 30°, 12 rows",
                        "4e-4, parabola 4e-3");
  Stage stage;
  int rows = 0;
  for (const auto& row : reference::table("joint_contrast.csv")) {
    const double elevation = row.number("elevation_deg") * rad_per_deg;
    stage.reliefs[0].joints = {profile_named(row.text("profile"), upright_from, upright_to)};
    stage.lighting.lamps = {far_lamp(beam(elevation, 0))};
    const auto profiles = stage.profiles(0, {1.1}, square_on);
    REQUIRE(profiles.size() == 1);
    const Extremes e = extremes(profiles[0]);
    INFO(row.text("profile") << " at " << row.text("elevation_deg"));
    // cells of 1 mm: the parabola's outermost one holds the slope 0.5 mm within its edge, 0.2 % less, and the
    // section's last sample is drawn by a cubic; the others are there to 0.02 % and the table's seven decimals
    const double tolerance = row.text("profile") == "parabola" ? 4e-3 : 4e-4;
    CHECK(found.share(e.most, row.number("exact_facing")) == Approx(row.number("exact_facing")).epsilon(tolerance));
    CHECK(found.share(e.least, row.number("exact_away")) == Approx(row.number("exact_away")).epsilon(tolerance));
    // to first order the slope times the cotangent, halfway between both
    CHECK(0.5 * (e.most - e.least) == Approx(row.number("linear_contrast")).epsilon(tolerance));
    CHECK(profiles[0].raking_ratio == Approx(1 / std::tan(elevation)).epsilon(1e-4));
    CHECK(profiles[0].across_ratio == Approx(1 / std::tan(elevation)).epsilon(1e-4));
    ++rows;
  }
  CHECK(rows == 12);
}

TEST_CASE("the worked figures: 1 mm over 550 mm in light at 5, 10, 15 and 30 degrees") {
  test::Validated found("1 mm over 550 mm at 5, 10, 15 and 30°", "worked by hand: 6.5, 3.2, 2.1, 1.0 %", "0.05 points", " points");
  // docs/physics: 6.5, 3.2, 2.1 and 1.0 % either way for a raised cosine; along the joint nothing
  Stage stage;
  stage.reliefs[0].joints = {raised_cosine(0, upright_from, upright_to, crown, half_width)};
  struct Figure { double elevation, percent; };
  for (const Figure f : {Figure{5, 6.5}, Figure{10, 3.2}, Figure{15, 2.1}, Figure{30, 1.0}}) {
    stage.lighting.lamps = {far_lamp(beam(f.elevation * rad_per_deg, 0))};
    const auto across = stage.profiles(0, {1.1}, square_on).at(0);
    // half of the last digit printed
    CHECK(found.near(100 * extremes(across).most, f.percent) == Approx(f.percent).margin(0.05));
    CHECK(found.near(100 * extremes(across).least, -f.percent) == Approx(-f.percent).margin(0.05));
    CHECK(std::abs(across.peak_offset) == Approx(half_width / 2).margin(0.02));
    stage.lighting.lamps = {far_lamp(beam(f.elevation * rad_per_deg, pi / 2))};
    const auto along = stage.profiles(0, {1.1}, square_on).at(0);
    // what is left is the facet's 1/sqrt(1 + slope²): 1.6e-5 at 5.7 mrad
    CHECK(std::abs(along.peak) < 2e-5);
    // the lamp stands at 1000 km, not at infinity: seen from 3 m beside its axis, 3e-6 times the cotangent
    CHECK(along.across_ratio < 1e-4);
    CHECK(along.raking_ratio == Approx(1 / std::tan(f.elevation * rad_per_deg)).epsilon(1e-4));
  }
}

TEST_CASE("a face that turns away further than the light stands is black, and its shadow is h cot(elevation) long") {
  // a step of 1 mm that falls over 2 mm away from light at 5 degrees
  Stage stage;
  const double elevation = 5 * rad_per_deg, fall = 2e-3;
  stage.reliefs[0].joints = {shaped_joint(0, upright_from, upright_to, 0.2, 0.25e-3, [=](double u) {
    if (u <= -0.15) return HeightAndSlope{0, 0};
    if (u < 0) {
      const double t = (u + 0.15) / 0.15;
      return HeightAndSlope{crown * t * t * (3 - 2 * t), crown * 6 * t * (1 - t) / 0.15};
    }
    if (u < fall) {
      const double t = u / fall;
      return HeightAndSlope{crown * (1 - t * t * (3 - 2 * t)), -crown * 6 * t * (1 - t) / fall};
    }
    return HeightAndSlope{0, 0};
  })};
  // light from the side of negative u; across = along turned right: along +y of the face, across +x
  stage.lighting.lamps = {far_lamp(beam(elevation, pi))};
  const auto p = stage.profiles(0, {1.1}, square_on).at(0);
  const double shadow_end = crown / std::tan(elevation);
  int black = 0, lit = 0;
  for (std::size_t i = 0; i < p.offset.size(); ++i) {
    const double u = p.offset[i];
    // attached: the slope 0.75 mm/mm at the middle of the fall is far above tan 5 degrees
    if (u > 0.7e-3 && u < 1.5e-3) {
      CHECK(p.contrast[i] == Approx(-1).margin(1e-9));
      ++black;
    }
    // cast: from the edge's rounding, at most 0.4 mm wide where it still counts, to h cot; the march looks back in
    // sixteen steps of about a millimetre, so the end is known to 1.5 mm
    if (u > fall && u < shadow_end - 1.5e-3) {
      CHECK(p.contrast[i] == Approx(-1).margin(1e-9));
      ++black;
    }
    if (u > shadow_end + 1.5e-3 && u < 0.2) {
      CHECK(p.contrast[i] == Approx(0).margin(1e-9));
      ++lit;
    }
  }
  CHECK(black > 7);
  CHECK(lit > 100);
}

TEST_CASE("figures' sensitivities are the derivative of the contrast") {
  Stage stage;
  PlacedJoint j = raised_cosine(0, upright_from, upright_to, crown, half_width);
  // the crown as figure: the section is proportional to it
  for (Section& c : j.change) c = j.section;
  std::vector<double> height = j.section.height, slope = j.section.slope;
  for (auto& v : height) v /= crown;
  for (auto& v : slope) v /= crown;
  j.change[0].height = std::move(height);
  j.change[0].slope = std::move(slope);
  for (std::size_t f = 1; f < 4; ++f) {
    j.change[f].height = j.change[f].slope = std::vector<double>(j.section.height.size(), 0.0);
  }
  stage.paint(Stage::named("matt", 0.82));
  stage.lighting.lamps = {far_lamp(beam(10 * rad_per_deg, 0.4))};
  stage.even_light(20);
  stage.reliefs[0].joints = {j};
  const dvec3 eye{0.8, 5, 1.6};
  const auto base = stage.profiles(0, {1.1}, eye).at(0);
  const double more = 2e-5;
  stage.reliefs[0].joints = {raised_cosine(0, upright_from, upright_to, crown + more, half_width)};
  const auto changed = stage.profiles(0, {1.1}, eye).at(0);
  double worst = 0, largest = 0;
  for (std::size_t i = 0; i < base.contrast.size(); ++i) {
    worst = std::max(worst, std::abs((changed.contrast[i] - base.contrast[i]) / more - base.change[0][i]));
    largest = std::max(largest, std::abs(base.change[0][i]));
    CHECK(base.change[1][i] == 0);
  }
  CHECK(largest > 10);
  // a one-sided difference over a fiftieth of the crown: second order in the slope, under 1 %
  CHECK(worst < 0.01 * largest);
}

TEST_CASE("stations that the eye cannot see are left out") {
  // an L: from the far leg the near wall's far end is hidden
  Stage stage({}, {{0, 0}, {0, 6}, {4, 6}, {4, 4}, {2, 4}, {2, 0}});
  stage.reliefs[0].joints = {raised_cosine(0, {0.5, 1.2}, {5.5, 1.2}, crown, 0.2)};
  stage.even_light();
  CHECK(stage.profiles(0, {0.3, 4.5}, {3.8, 5, 1.5}).size() == 1);
  CHECK(stage.profiles(0, {0.3, 4.5}, {1, 5, 1.5}).size() == 2);
  CHECK(stage.profiles(0, {0.3}, {-1, 5, 1.5}).empty());
}
