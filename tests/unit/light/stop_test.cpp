// Work that is given up stops at once and leaves no thread behind, however deep its loops nest.
#include <catch2/catch.hpp>

#include <atomic>

#include "light/parallel.h"

namespace rakelight {

TEST_CASE("Loops that are asked to stop throw Stopped once all their threads are home, inner loops too") {
  Stop stop;
  std::atomic<int> done{0};
  bool stopped = false;
  try {
    const StopScope scope(&stop);
    for_each_index(1000, [&](int i) {
      if (i == 20) stop.request();
      for_each_index(100, [&](int) { ++done; });
    });
  } catch (const Stopped&) {
    stopped = true;
  }
  CHECK(stopped);
  CHECK(done < 300 * 100);  // index 20 comes within as many as there are threads after the twenty before it
  // without a scope nothing stops
  done = 0;
  for_each_index(100, [&](int) { ++done; });
  CHECK(done == 100);
}

}  // namespace rakelight
