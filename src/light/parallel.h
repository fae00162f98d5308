// Work shared between threads so that results do not depend on how many there are.
#pragma once
#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

#include "base/stop.h"

namespace rakelight {

/// Cores that have nothing to do, of those that a loop and all loops inside it share.
class IdleCores {
 public:
  /// Of the loop that this thread works in; null outside any.
  static IdleCores*& shared() {
    thread_local IdleCores* cores = nullptr;
    return cores;
  }
  explicit IdleCores(int count) : count_(count) {}
  /// One core less, if there is any.
  bool take() {
    int count = count_.load(std::memory_order_relaxed);
    while (count > 0)
      if (count_.compare_exchange_weak(count, count - 1)) return true;
    return false;
  }
  void leave() { ++count_; }
  /// Back to work of its own: where another loop has the core, there is one thread too many until that is done.
  void come_back() { --count_; }

 private:
  std::atomic<int> count_;
};

/// Calls work(i) for every i in [0, count). Each call must write only what belongs to i; then the result is the same
/// for any number of threads. Whoever is free takes the next index. Throws Stopped when the
/// thread's work is given up (base/stop.h). A loop inside another one has the cores that the other leaves idle: none while there
/// are indices for all, and more as the outer loop comes to its end.
template <class Work>
void for_each_index(int count, Work&& work) {
  const Stop* stop = StopScope::current();
  const auto go_on = [stop] { return !stop || !stop->requested(); };
  if (!go_on()) throw Stopped();
  // this loop alone throws, once its threads have come home; those inside it run through
  const StopScope inside(nullptr);
  IdleCores* const around = IdleCores::shared();
  // (asking how many cores there are reads a file)
  IdleCores own(around || count <= 1 ? 0 : std::clamp(static_cast<int>(std::thread::hardware_concurrency()), 1, 16) - 1);
  if (count <= 1) {
    if (count == 1) work(0);
    if (!go_on()) throw Stopped();
    return;
  }
  IdleCores& idle = around ? *around : own;
  struct Sharing {
    explicit Sharing(IdleCores* now) : before(IdleCores::shared()) { IdleCores::shared() = now; }
    ~Sharing() { IdleCores::shared() = before; }
    IdleCores* before;
  };
  std::atomic<int> next{0};
  const auto help = [&work, &go_on, &next, &idle, count] {
    const Sharing sharing(&idle);
    for (int i = next++; i < count && go_on(); i = next++) work(i);
    idle.leave();
  };
  const Sharing sharing(&idle);
  std::vector<std::thread> helpers;
  for (int i = next++; i < count && go_on(); i = next++) {
    while (next < count && idle.take()) helpers.emplace_back(help);
    work(i);
  }
  if (!helpers.empty()) {
    // loops within what the others are still at may have this core
    idle.leave();
    for (auto& helper : helpers) helper.join();
    idle.come_back();
  }
  if (!go_on()) throw Stopped();
}

}  // namespace rakelight
