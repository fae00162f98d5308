// Wakes the window when a file is changed by somebody else; the window itself sleeps.
#pragma once
#include <condition_variable>
#include <functional>
#include <mutex>
#include <string>
#include <thread>

namespace rakelight {

class FileWatch {
 public:
  /// `wake` is called from a thread of the watch's own, at most once a second.
  explicit FileWatch(std::function<void()> wake);
  ~FileWatch();
  FileWatch(const FileWatch&) = delete;
  FileWatch& operator=(const FileWatch&) = delete;
  /// The file to watch from now on; "" = none.
  void follow(const std::string& path);

 private:
  void watch();
  std::function<void()> wake_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::string path_;
  bool anew_ = true, ending_ = false;
  std::thread thread_;
};

}  // namespace rakelight
