// One thing at a time done beside the window, and what is to be done with it in the window afterwards.
#pragma once
#include <functional>
#include <mutex>
#include <thread>

#include "base/stop.h"

namespace rakelight {

class Errand {
 public:
  /// What remains to be done on the window's thread.
  using Then = std::function<void()>;
  /// `ready` is called from another thread when an errand is done.
  explicit Errand(std::function<void()> ready);
  /// Gives up what is under way.
  ~Errand();
  Errand(const Errand&) = delete;
  Errand& operator=(const Errand&) = delete;

  /// Begins `work` on a thread of its own; an exception is handed to `failed` on the window's thread. False while another is under way.
  bool run(std::function<Then()> work, std::function<void(const std::string& why)> failed);
  bool busy() const;
  /// For the window's thread, once a frame: does what remains of an errand that is done.
  void finish();

 private:
  std::function<void()> ready_;
  mutable std::mutex mutex_;
  bool busy_ = false;
  Then then_;
  Stop stop_;
  std::thread thread_;
};

}  // namespace rakelight
