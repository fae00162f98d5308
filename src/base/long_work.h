// Work that takes longer than a frame may, kept off the thread that draws a window: not by timing it, but by noting where it is begun.
#pragma once
#include <string>

namespace rakelight {

/// While it lives, long work begun on this thread is noted, a line for each, in `notes`. Not nested.
class QuickThread {
 public:
  explicit QuickThread(std::string& notes);
  ~QuickThread();
  QuickThread(const QuickThread&) = delete;
  QuickThread& operator=(const QuickThread&) = delete;
};

/// Processor time of this thread, s: what it works, not what it waits for a driver or another program.
double thread_seconds();

/// Said first thing by functions that may take more than a tenth of a second.
void long_work(const char* what);

}  // namespace rakelight
