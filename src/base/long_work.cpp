#include "base/long_work.h"

#include <ctime>

namespace rakelight {
namespace {
thread_local std::string* noted = nullptr;
}

QuickThread::QuickThread(std::string& notes) { noted = &notes; }
QuickThread::~QuickThread() { noted = nullptr; }

double thread_seconds() {
  timespec t{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

void long_work(const char* what) {
  if (noted) *noted += std::string(what) + " was begun on a thread that somebody waits for\n";
}

}  // namespace rakelight
