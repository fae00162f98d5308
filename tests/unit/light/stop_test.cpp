// Work that is given up stops at once and leaves no thread behind, however deep its loops nest.
#include <catch2/catch.hpp>

#include <array>
#include <atomic>
#include <vector>

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

TEST_CASE("Loops within loops do every index once, whoever helps with it") {
  // the outer loop ends in one long piece of work, which those that are done with the others take part in
  constexpr int outer = 7, inner = 40, rounds = 30;
  std::vector<int> times(outer * inner, 0);
  for_each_index(outer, [&](int i) {
    for (int round = 0; round < (i == outer - 1 ? rounds : 1); ++round)
      for_each_index(inner, [&](int j) {
        std::array<int, 3> done{};
        for_each_index(3, [&](int k) { done[static_cast<std::size_t>(k)] = k; });
        times[static_cast<std::size_t>(i * inner + j)] += done[1] + done[2] - 2;
      });
  });
  for (int i = 0; i < outer * inner; ++i) {
    CAPTURE(i);
    CHECK(times[static_cast<std::size_t>(i)] == (i / inner == outer - 1 ? rounds : 1));
  }
  CHECK(IdleCores::shared() == nullptr);
}

TEST_CASE("A core that is idle is taken once; who comes back to a core that was taken makes one thread too many, and no third") {
  IdleCores cores(1);
  CHECK(cores.take());
  CHECK(!cores.take());
  cores.leave();
  CHECK(cores.take());
  cores.come_back();
  cores.leave();
  CHECK(!cores.take());
  cores.leave();
  CHECK(cores.take());
}

}  // namespace rakelight
