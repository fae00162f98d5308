#include "assess/few_of.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "base/random.h"

using namespace rakelight;

TEST_CASE("mixtures of three fields are told by three of them") {
  Random random(3);
  std::vector<std::vector<double>> base(3, std::vector<double>(40)), fields;
  for (auto& field : base)
    for (double& x : field) x = random.uniform(0, 1);
  std::vector<double> weight(40);
  for (double& w : weight) w = random.uniform(0.1, 2);
  for (int i = 0; i < 25; ++i) {
    auto& field = fields.emplace_back(40, 0.0);
    for (const auto& b : base) {
      const double share = random.uniform(0.1, 1);
      for (std::size_t k = 0; k < 40; ++k) field[k] += share * b[k];
    }
  }
  const FewOf few = few_of(fields, weight, 1e-6);
  REQUIRE(few.chosen.size() == 3);
  for (std::size_t i = 0; i < fields.size(); ++i)
    for (std::size_t k = 0; k < 40; ++k) {
      double sum = 0;
      for (std::size_t c = 0; c < 3; ++c) sum += few.share[i][c] * fields[static_cast<std::size_t>(few.chosen[c])][k];
      CHECK(sum == Approx(fields[i][k]).epsilon(1e-6));  // normal equations of three like fields lose some six digits
    }
  // with a wide tolerance none is missed by more than it
  const FewOf fewer = few_of(fields, weight, 0.3);
  CHECK(fewer.chosen.size() < 3);
  double largest = 0, missed = 0;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    double whole = 0, left = 0;
    for (std::size_t k = 0; k < 40; ++k) {
      double sum = 0;
      for (std::size_t c = 0; c < fewer.chosen.size(); ++c) sum += fewer.share[i][c] * fields[static_cast<std::size_t>(fewer.chosen[c])][k];
      whole += weight[k] * fields[i][k] * fields[i][k];
      left += weight[k] * (fields[i][k] - sum) * (fields[i][k] - sum);
    }
    largest = std::max(largest, std::sqrt(whole));
    missed = std::max(missed, std::sqrt(left));
  }
  CHECK(missed <= 0.3 * largest);
}
