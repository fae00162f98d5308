// Work shared between threads so that results do not depend on how many there are.
#pragma once
#include <algorithm>
#include <thread>
#include <vector>

namespace rakelight {

/// Calls work(i) for every i in [0, count). Each call must write only what belongs to i; then the result is the same
/// for any number of threads. Indices are dealt out in turns, because neighbours cost alike.
template <class Work>
void for_each_index(int count, Work&& work) {
  const int threads = std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, 16);
  if (threads == 1 || count < 2 * threads) {
    for (int i = 0; i < count; ++i) work(i);
    return;
  }
  std::vector<std::thread> pool;
  for (int t = 1; t < threads; ++t)
    pool.emplace_back([&work, t, threads, count] {
      for (int i = t; i < count; i += threads) work(i);
    });
  for (int i = 0; i < count; i += threads) work(i);
  for (auto& thread : pool) thread.join();
}

}  // namespace rakelight
