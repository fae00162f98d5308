// Work shared between threads so that results do not depend on how many there are.
#pragma once
#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

#include "base/stop.h"

namespace rakelight {

/// Whether this thread works in a loop that has every core.
inline bool& cores_taken() {
  thread_local bool taken = false;
  return taken;
}

/// Calls work(i) for every i in [0, count). Each call must write only what belongs to i; then the result is the same
/// for any number of threads. Whoever is free takes the next index. Throws Stopped when the
/// thread's work is given up (base/stop.h). Inside a loop that has every core it goes on alone: a thread more would only cost its
/// own beginning.
template <class Work>
void for_each_index(int count, Work&& work) {
  // (asking how many cores there are reads a file)
  const int cores = cores_taken() ? 1 : std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, 16), threads = std::min(count, cores);
  const Stop* stop = StopScope::current();
  const auto go_on = [stop] { return !stop || !stop->requested(); };
  if (!go_on()) throw Stopped();
  // this loop alone throws, once its threads have come home; those inside it run through
  const StopScope inside(nullptr);
  if (threads <= 1) {
    for (int i = 0; i < count && go_on(); ++i) work(i);
    if (!go_on()) throw Stopped();
    return;
  }
  std::atomic<int> next{0};
  const auto take = [&work, &go_on, &next, count, all = threads == cores] {
    struct Taken {
      explicit Taken(bool now) { cores_taken() = now; }
      ~Taken() { cores_taken() = false; }
    } const taken(all);
    for (int i = next++; i < count && go_on(); i = next++) work(i);
  };
  std::vector<std::thread> pool;
  for (int t = 1; t < threads; ++t) pool.emplace_back(take);
  take();
  for (auto& thread : pool) thread.join();
  if (!go_on()) throw Stopped();
}

}  // namespace rakelight
