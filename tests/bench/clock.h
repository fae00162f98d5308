// Time taken, by the wall and of all threads.
#pragma once
#include <chrono>
#include <sys/resource.h>

namespace rakelight::bench {

using Clock = std::chrono::steady_clock;

inline double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

/// CPU seconds of all threads so far, user and system.
inline double cpu_seconds() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  const auto seconds = [](const timeval& t) { return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec); };
  return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

}  // namespace rakelight::bench
