// Long work that another thread may give up.
#pragma once
#include <atomic>

namespace rakelight {

/// Thrown out of work that was given up; what it had begun is dropped.
struct Stopped {};

/// Asks work to stop, from any thread.
class Stop {
 public:
  void request() { asked_ = true; }
  bool requested() const { return asked_; }

 private:
  std::atomic<bool> asked_{false};
};

/// While it lives, for_each_index (light/parallel.h) on this thread asks `stop` before every index and throws Stopped once it
/// was requested. Scopes nest; the innermost counts. Null: work is not given up.
class StopScope {
 public:
  explicit StopScope(const Stop* stop) : before_(current()) { current() = stop; }
  ~StopScope() { current() = before_; }
  StopScope(const StopScope&) = delete;
  StopScope& operator=(const StopScope&) = delete;
  static const Stop*& current() {
    thread_local const Stop* stop = nullptr;
    return stop;
  }

 private:
  const Stop* before_;
};

}  // namespace rakelight
