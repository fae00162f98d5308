// Pairs of patches that lie alike.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

#include "light/alike.h"
#include "rooms.h"

using namespace rakelight;

namespace {

/// Whether two pairs lie alike: b's corner from a's, the sides of both and how they face. Coordinates of metres are added in another
/// order: some units in the 16th digit.
bool lie_alike(const Patch& a, const Patch& b, const Patch& like_a, const Patch& like_b) {
  double off = glm::length((b.corner - a.corner) - (like_b.corner - like_a.corner));
  for (const auto& [own, like] : {std::pair{a.u, like_a.u}, {a.v, like_a.v}, {b.u, like_b.u}, {b.v, like_b.v}, {a.n, like_a.n}, {b.n, like_b.n}})
    off = std::max(off, glm::length(own - like));
  return off < 1e-14 && std::abs(like_a.area / a.area - 1) < 1e-12 && std::abs(like_b.area / b.area - 1) < 1e-12;
}

struct Counted { std::size_t pairs = 0, whole = 0, alike = 0, kinds = 0; };

/// Every whole pair of every two faces beside its kind's example.
Counted count_alike(const Job& job) {
  const Room room = testing::room_of(job);
  LightDetail detail;
  detail.patch = 0.5;
  const auto basis = make_basis(job, room, detail);
  Counted counted;
  const int faces = static_cast<int>(room.surfaces.size());
  for (int a = 0; a < faces; ++a)
    for (int b = 0; b < faces; ++b) {
      if (a == b) continue;
      const AlikePairs alike(room, *basis, a, b);
      counted.kinds += alike.count();
      const PatchGrid &from = basis->grid[a], &to = basis->grid[b];
      for (int i = 0; i < from.nx * from.ny; ++i)
        for (int j = 0; j < to.nx * to.ny; ++j) {
          ++counted.pairs;
          const std::size_t kind = alike.kind(static_cast<std::size_t>(i), static_cast<std::size_t>(j));
          if (kind >= alike.count()) continue;
          if (!basis->whole[from.first + i] || !basis->whole[to.first + j]) continue;
          ++counted.whole;
          const AlikePairs::Pair pair = alike.example(kind);
          counted.alike += lie_alike(basis->patch[from.first + i], basis->patch[to.first + j], pair.a, pair.b);
        }
    }
  return counted;
}

}  // namespace

TEST_CASE("whole patches lie as their pair's kind says, in rooms of any plan", "[light]") {
  const Counted box = count_alike(testing::demo_job());
  // 9 × 13 patches of the floor, walls 6 high: facing faces have 17 · 25, 17 · 11 and 25 · 11 kinds, twelve corners one long axis in common
  CHECK(box.kinds == 2 * (17 * 25 + 17 * 11 + 25 * 11 + 4 * (17 * 13 * 6) + 4 * (25 * 9 * 6) + 4 * (11 * 9 * 13)));
  CHECK(box.alike == box.whole);
  CHECK(box.pairs > 6 * box.kinds);
  CHECK(box.whole > box.pairs / 2);
  const Counted corner = count_alike(testing::plan_job({{0, 0}, {0, 6}, {2.5, 6}, {2.5, 3.2}, {5.2, 3.2}, {5.2, 0}}, 2.5));
  CHECK(corner.alike == corner.whole);
  CHECK(corner.kinds < corner.pairs);
  CHECK(corner.whole > corner.pairs / 2);
  const Counted skew = count_alike(testing::plan_job({{0, 0}, {0.5, 3.6}, {4.2, 4.1}, {4, -0.3}}, 2.4));
  CHECK(skew.alike == skew.whole);
  CHECK(skew.kinds < skew.pairs);
  CHECK(skew.whole > skew.pairs / 4);
}
