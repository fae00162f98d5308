// Work that is given up stops at once and leaves no thread behind, however deep its loops nest.
#include <catch2/catch.hpp>

#include <atomic>

#include "light/parallel.h"

namespace rakelight {

TEST_CASE("Loops that are asked to stop throw Stopped once all their threads are home, inner loops too") {
  Stop stop;
  std::atomic<int> begun{0}, late{0}, done{0};
  bool stopped = false;
  try {
    const StopScope scope(&stop);
    for_each_index(1000, [&](int i) {
      ++begun;
      late += stop.requested();
      if (i == 20) stop.request();
      for_each_index(100, [&](int) { ++done; });
    });
  } catch (const Stopped&) {
    stopped = true;
  }
  CHECK(stopped);
  CHECK(late <= 16);            // at most the one index that each thread had taken up already
  CHECK(done == 100 * begun);  // what was begun runs through
  // without a scope nothing stops
  done = 0;
  for_each_index(100, [&](int) { ++done; });
  CHECK(done == 100);
}

}  // namespace rakelight
