// rakelight and rakelight JOB: the window.
#include <fmt/format.h>

#include "command/commands.h"
#include "command/failure.h"
#include "window/window.h"

namespace rakelight {

void window_command(const std::string& job, const std::string& language) {
  try {
    WindowOptions options;
    options.job = job;
    options.language = language;
    options.state_folder = usual_state_folder();
    AppWindow window(options);
    window.run();
  } catch (const NoWindow& none) {
    throw Failure(Exit::no_opengl, std::string(none.what()) + "\n");
  } catch (const NoJob& error) {
    throw Failure(Exit::cannot_read_or_write, std::string(error.what()) + "\n");
  }
}

}  // namespace rakelight
