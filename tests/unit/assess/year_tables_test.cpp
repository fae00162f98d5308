// What a year's tables are read with: grids of the sun's courses, and V of many views at once.
#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

#include "assess/sun_grid.h"
#include "assess/year_parts.h"
#include "base/random.h"

using namespace rakelight;

TEST_CASE("nodes of grids stand where they are said to") {
  const SunGrid coarse(24, 5), close(96, 13), slow(12, 3);
  for (const SunGrid* grid : {&coarse, &slow})
    for (int node = 0; node < grid->count(); ++node) {
      const DaySun::Place a = grid->place(node), b = close.place(grid->same_in(close, node));
      CHECK(a.hour_angle == Approx(b.hour_angle).margin(1e-12));
      CHECK(a.declination == Approx(b.declination).margin(1e-12));
    }
  for (int node = 0; node < close.count(); ++node) {
    const DaySun::Place a = close.place(node), b = close.place(close.mirrored(node));
    CHECK(std::cos(a.hour_angle) == Approx(std::cos(b.hour_angle)).margin(1e-12));
    CHECK(std::sin(a.hour_angle) == Approx(-std::sin(b.hour_angle)).margin(1e-12));
    CHECK(a.declination == b.declination);
    CHECK(close.mirrored(close.mirrored(node)) == node);
  }
}

// The same by one number after the other, as Grouped has it in words.
TEST_CASE("rows are blended by cubics, and straight where these go astray") {
  Random random(3);
  int straight = 0, cubic = 0;
  for (const std::size_t width : {0u, 2u, 3u})
    for (const bool apart : {false, true})
      for (const std::size_t count : {6u, 18u, 96u, 102u}) {
        std::array<std::vector<float>, 4> rows;
        std::array<const float*, 4> row{};
        for (std::size_t i = 0; i < 4; ++i) {
          for (std::size_t k = 0; k < count; ++k) rows[i].push_back(static_cast<float>(random.uniform(0, 1) < 0.2 ? random.uniform(0, 30) : random.uniform(1, 2)));
          row[i] = rows[i].data();
        }
        SunGrid::Line line;
        line.x = 1 + random.uniform(0, 1);
        const std::size_t at = width > 0 ? width - 1 : 0;
        std::vector<float> found(count);
        blend(row, line, count, {width, at, apart}, found.data());
        const std::array<double, 4> weight = SunGrid::lagrange(line);
        const auto by_cubic = [&](std::size_t k) { return weight[0] * row[0][k] + weight[1] * row[1][k] + weight[2] * row[2][k] + weight[3] * row[3][k]; };
        const std::size_t groups = width > 0 ? count / width : 0;
        for (std::size_t k = 0; k < count; ++k) {
          bool astray = false;
          if (width > 0) {
            const std::size_t group = apart ? k % groups : k / width, decides = apart ? at * groups + group : group * width + at;
            const double there = by_cubic(decides), a = row[1][decides], b = row[2][decides];
            astray = there < 0.5 * std::min(a, b) || there > 1.5 * std::max(a, b);
          }
          (astray ? straight : cubic) += 1;
          const double t = line.x - 1, expected = astray ? (1 - t) * row[1][k] + t * row[2][k] : by_cubic(k);
          CAPTURE(width, apart, count, k);
          CHECK(found[k] == Approx(expected).epsilon(1e-5).margin(1e-5));
        }
      }
  CHECK(straight > 20);
  CHECK(cubic > 200);
}

TEST_CASE("V of many views at once is V of each") {
  Random random(5);
  std::vector<UnitVisibility> views(83);
  for (UnitVisibility& view : views) {
    for (float& log : view.log_unit) log = static_cast<float>(random.uniform(-2, 5));
    for (float& log : view.log_exact) log = static_cast<float>(random.uniform(-0.9, 0.9));
  }
  const VisibilityTable table(views);
  const std::size_t room = whole_eights(views.size());
  std::vector<float> contrast(room, 0.0f), luminance(room, 1.0f), smooth(room, 1.0f), v, all_smooth;
  for (std::size_t i = 0; i < views.size(); ++i) {
    contrast[i] = static_cast<float>(random.uniform(0, 10));
    luminance[i] = static_cast<float>(std::exp(random.uniform(std::log(1e-4), std::log(1e5))));  // below and above all nodes too
    smooth[i] = static_cast<float>(random.uniform(0, 1));
  }
  const std::array<double, held_places> held{0.3, 0.7};
  table.find(contrast, luminance, smooth, held, v);
  table.find(contrast, luminance, {}, held, all_smooth);
  for (std::size_t i = 0; i < views.size(); ++i) {
    const auto& exact = views[i].log_exact;
    const double correction = held[0] * exact[0] + held[1] * exact[1], first = visibility_of(views[i], {contrast[i], luminance[i], 1});
    CAPTURE(i, luminance[i]);
    CHECK(v[i] == Approx(first * std::exp(smooth[i] * correction)).epsilon(1e-4));  // of logarithms of some tens in float
    CHECK(all_smooth[i] == Approx(first * std::exp(correction)).epsilon(1e-4));
  }
}

TEST_CASE("light on views is mixed from rows, and answered under the veil") {
  Random random(9);
  constexpr std::size_t views = 21;
  ViewRows rows;
  rows.make(views);
  for (std::size_t k = 0; k < 2 * views; ++k) {
    rows.sky[k] = static_cast<float>(random.uniform(k < views ? 0 : -1, 1));
    rows.beam[k] = static_cast<float>(random.uniform(k < views ? 0 : -1, 1));
  }
  for (std::size_t k = 0; k < views; ++k) rows.veil[k] = static_cast<float>(random.uniform(-0.2, 1));
  rows.sky[4] = rows.beam[4] = 0;  // darkest
  ViewLight light;
  light.mix(rows, views, 100, 30);
  std::vector<float> contrast, luminance;
  light.answers(2, contrast, luminance);
  REQUIRE(contrast.size() == 24);
  for (std::size_t k = 0; k < views; ++k) {
    const double flat = 100.0 * rows.sky[k] + 30.0 * rows.beam[k], change = 100.0 * rows.sky[views + k] + 30.0 * rows.beam[views + k], veil = 100 * std::max(0.0f, rows.veil[k]);
    CAPTURE(k);
    CHECK(light.flat[k] == Approx(flat).margin(1e-4));
    CHECK(light.veil[k] == Approx(veil).margin(1e-4));
    CHECK(luminance[k] == Approx(std::max(flat, darkest) + veil).epsilon(1e-5));
    CHECK(contrast[k] == Approx(flat > darkest ? 2 * std::abs(change) / (flat + veil) : 0).epsilon(1e-4).margin(1e-6));
  }
}
