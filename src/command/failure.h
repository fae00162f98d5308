// How a command fails: an exit code and what to print. Only main() turns it into a process exit.
#pragma once
#include <stdexcept>
#include <string>

namespace rakelight {

enum class Exit { done = 0, exceeded = 1, usage = 2, bad_input = 3, no_opengl = 4, cannot_read_or_write = 5 };

class Failure : public std::runtime_error {
 public:
  Failure(Exit code, const std::string& message) : std::runtime_error(message), code_(code) {}
  Exit code() const { return code_; }

 private:
  Exit code_;
};

}  // namespace rakelight
