#include "window/file_watch.h"

#include <chrono>

#include "window/keeper.h"

namespace rakelight {

FileWatch::FileWatch(std::function<void()> wake) : wake_(std::move(wake)), thread_([this] { watch(); }) {}

FileWatch::~FileWatch() {
  {
    const std::lock_guard lock(mutex_);
    ending_ = true;
  }
  changed_.notify_all();
  thread_.join();
}

void FileWatch::follow(const std::string& path) {
  {
    const std::lock_guard lock(mutex_);
    path_ = path;
    anew_ = true;
  }
  changed_.notify_all();
}

void FileWatch::watch() {
  const Disk disk;
  std::string before;
  std::unique_lock lock(mutex_);
  while (!ending_) {
    if (path_.empty()) {
      changed_.wait(lock, [this] { return ending_ || !path_.empty(); });
      continue;
    }
    const std::string path = path_;
    const bool first = std::exchange(anew_, false);
    lock.unlock();
    const std::string stamp = disk.stamp(path);  // a slow network must not hold up the window
    if (!first && stamp != before) wake_();
    before = stamp;
    lock.lock();
    changed_.wait_for(lock, std::chrono::seconds(1), [this] { return ending_ || anew_; });
  }
}

}  // namespace rakelight
