#include "window/errand.h"

#include <string>
#include <utility>

namespace rakelight {

Errand::Errand(std::function<void()> ready) : ready_(std::move(ready)) {}

Errand::~Errand() {
  stop_.request();
  if (thread_.joinable()) thread_.join();
}

bool Errand::run(std::function<Then()> work, std::function<void(const std::string&)> failed) {
  {
    const std::lock_guard lock(mutex_);
    if (busy_) return false;
    busy_ = true;
  }
  if (thread_.joinable()) thread_.join();
  thread_ = std::thread([this, work = std::move(work), failed = std::move(failed)] {
    Then then;
    try {
      const StopScope scope(&stop_);
      then = work();
    } catch (const Stopped&) {
      then = [] {};  // the window is being closed
    } catch (const std::exception& error) {
      then = [failed, why = std::string(error.what())] { failed(why); };
    }
    {
      const std::lock_guard lock(mutex_);
      then_ = std::move(then);
    }
    ready_();
  });
  return true;
}

bool Errand::busy() const {
  const std::lock_guard lock(mutex_);
  return busy_;
}

void Errand::finish() {
  Then then;
  {
    const std::lock_guard lock(mutex_);
    if (!busy_ || !then_) return;
    then = std::exchange(then_, nullptr);
    busy_ = false;
  }
  then();
}

}  // namespace rakelight
