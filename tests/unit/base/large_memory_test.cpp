// Vectors whose new elements are left as they are found.
#include <catch2/catch.hpp>

#include <cstdint>
#include <numeric>

#include "base/large_memory.h"

using namespace rakelight;

TEST_CASE("a table keeps what is written as it grows, and large ones begin at a large page") {
  Table<float> table;
  for (int i = 0; i < 3'000'000; ++i) table.push_back(static_cast<float>(i % 1000));
  const Table<float> copy = table;
  table.resize(1000);
  // 0 … 999, three thousand times
  CHECK(std::accumulate(copy.begin(), copy.end(), 0.0) == 3000 * 499500.0);
  CHECK(std::accumulate(table.begin(), table.end(), 0.0) == 499500.0);
  CHECK(reinterpret_cast<std::uintptr_t>(copy.data()) % (2u << 20) == 0);
  CHECK(Table<int>().empty());
  const Table<int> filled(5, 7);
  CHECK(std::accumulate(filled.begin(), filled.end(), 0) == 35);
  const auto shared = shared_table<double>(1 << 20);
  shared[(1 << 20) - 1] = 2.5;
  CHECK(shared[(1 << 20) - 1] == 2.5);
  CHECK(reinterpret_cast<std::uintptr_t>(shared.get()) % (2u << 20) == 0);
}
