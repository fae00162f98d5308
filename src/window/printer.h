// Makes the paper beside the window: one at a time, on a thread and an OpenGL context of its own.
#pragma once
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "base/stop.h"
#include "window/work.h"

namespace rakelight {

class PaperPrinter {
 public:
  /// `ready` is called from the printer's thread when a paper is there or failed.
  explicit PaperPrinter(std::function<void()> ready);
  ~PaperPrinter();
  PaperPrinter(const PaperPrinter&) = delete;
  PaperPrinter& operator=(const PaperPrinter&) = delete;

  /// Starts on the paper of a job whose study is there; what has not been found yet is worked out. False while another is made.
  bool print(std::shared_ptr<const Found> found, const std::string& job_name, const std::string& path);
  bool busy() const;
  /// What came of it, for people, once: "room-paper.pdf written", or why not.
  std::optional<std::string> said();

 private:
  std::function<void()> ready_;
  mutable std::mutex mutex_;
  bool busy_ = false;
  std::optional<std::string> said_;
  Stop stop_;
  std::thread thread_;
};

}  // namespace rakelight
