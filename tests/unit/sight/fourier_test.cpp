// The filter by Fourier transform against sums written out.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "base/random.h"
#include "base/units.h"
#include "sight/fourier.h"

using namespace rakelight;

TEST_CASE("values filtered by their transform are those of the sums it stands for") {
  Random random(11);
  for (const std::size_t n : {32u, 64u, 128u, 256u, 512u}) {
    std::vector<double> values, factors;
    for (std::size_t i = 0; i < n; ++i) values.push_back(random.uniform() - 0.5);
    for (std::size_t k = 0; k <= n / 2; ++k) factors.push_back(random.uniform());
    // the filter's answer to a single 1, by its cosines; then what it makes of the values, one by one
    std::vector<double> answer(n, 0.0);
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t k = 0; k <= n / 2; ++k)
        answer[i] += (k == 0 || k == n / 2 ? 1.0 : 2.0) * factors[k] * std::cos(2 * pi * static_cast<double>(i * k % n) / static_cast<double>(n)) / static_cast<double>(n);
    std::vector<double> filtered = values;
    filter_line(filtered, factors);
    double off = 0;
    for (std::size_t i = 0; i < n; ++i) {
      double sum = 0;
      for (std::size_t j = 0; j < n; ++j) sum += answer[(i + n - j) % n] * values[j];
      off = std::max(off, std::abs(sum - filtered[i]));
    }
    // rounding of sums of 512 numbers under 1
    CHECK(off < 1e-13);
    // by 1 at every frequency nothing is filtered, and a second use finds no trace of the first
    std::fill(factors.begin(), factors.end(), 1.0);
    filtered = values;
    filter_line(filtered, factors);
    for (std::size_t i = 0; i < n; ++i) off = std::max(off, std::abs(filtered[i] - values[i]));
    CHECK(off < 1e-13);
  }
}

TEST_CASE("a plane filtered by factors of one direction each is its rows and columns filtered") {
  constexpr int width = 32, height = 20;
  Random random(12);
  std::vector<double> plane, across(width / 2 + 1), up(height / 2 + 1);
  for (int i = 0; i < width * height; ++i) plane.push_back(random.uniform() - 0.5);
  const auto of_u = [](double u) { return std::exp(-20 * u * u); };
  const auto of_v = [](double v) { return 1 / (1 + 9 * v * v); };
  for (std::size_t k = 0; k < across.size(); ++k) across[k] = of_u(static_cast<double>(k) / width);
  for (std::size_t k = 0; k < up.size(); ++k) up[k] = of_v(static_cast<double>(k) / height);
  std::vector<double> line, expected = plane, filtered = plane;
  for (int y = 0; y < height; ++y) {
    line.assign(expected.begin() + y * width, expected.begin() + (y + 1) * width);
    filter_line(line, across);
    std::copy(line.begin(), line.end(), expected.begin() + y * width);
  }
  for (int x = 0; x < width; ++x) {
    line.clear();
    for (int y = 0; y < height; ++y) line.push_back(expected[static_cast<std::size_t>(y * width + x)]);
    filter_line(line, up);
    for (int y = 0; y < height; ++y) expected[static_cast<std::size_t>(y * width + x)] = line[static_cast<std::size_t>(y)];
  }
  filter_plane(filtered, width, height, [&](double u, double v) { return of_u(u) * of_v(v); });
  double off = 0;
  for (std::size_t i = 0; i < plane.size(); ++i) off = std::max(off, std::abs(filtered[i] - expected[i]));
  CHECK(off < 1e-14);
}
