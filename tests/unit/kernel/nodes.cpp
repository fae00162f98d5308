// Spread nodes: the spacing is the one that the kernel's text promises.
#include <catch2/catch.hpp>

#include "kernel/nodes.h"

using namespace rakelight;

TEST_CASE("nodes stand closer near the ends of a side, by the rule") {
  const kernel::NodeSpread s{0.01, 0.25, 0.2};
  // least + growth d = most at d = 0.76 m
  for (const double side : {0.3, 1.4, 2.65, 6.2}) {
    const double all = kernel::node_of_place(s, side, side);
    CHECK(kernel::node_of_place(s, 0, side) == 0);
    CHECK(kernel::node_of_place(s, 0.5 * side, side) == Approx(0.5 * all));
    for (double x = 0.013; x < side; x += 0.0371) {
      const double u = kernel::node_of_place(s, x, side), d = std::min(x, side - x);
      CHECK(kernel::place_of_node(s, u, side) == Approx(x).epsilon(1e-9));
      // the far end is as the near one
      CHECK(kernel::node_of_place(s, side - x, side) == Approx(all - u).epsilon(1e-9));
      // dx/du by a central difference; its kink where the spacing stops growing is met by the margin
      const double step = 1e-4, spacing = 2 * step / (kernel::node_of_place(s, x + step, side) - kernel::node_of_place(s, x - step, side));
      if (d > step && x + step < side) CHECK(spacing == Approx(std::min(s.least + s.growth * d, s.most)).epsilon(2e-3));
    }
    // places off the side are kept on it
    CHECK(kernel::place_of_node(s, -1, side) == 0);
    CHECK(kernel::place_of_node(s, all + 1, side) == Approx(side));
  }
}
