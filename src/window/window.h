// The interactive program: one window, driven by GLFW or by a script.
#pragma once
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include "base/image.h"
#include "window/view.h"

namespace rakelight {

/// There is no display, or none with OpenGL 4.1 core; says what to do instead.
struct NoWindow : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct WindowOptions {
  std::string job;                     ///< a path; "" = a copy of the demo at its worst time
  int width = 1440, height = 900;
  bool visible = true;
  int picture_pixel = 1;               ///< pixels of the window, each way, to one of the picture at its finest: more where drawing is slow
  std::string state_folder;            ///< where the recent jobs are kept; "" = nowhere
  std::string language = "en";         ///< a code of languages(); one that is not there is English
};

/// Where recent jobs are kept: $XDG_STATE_HOME/rakelight or ~/.local/state/rakelight; "" without a home.
std::string usual_state_folder();

/// The job cannot be read from the disk.
struct NoJob : std::runtime_error {
  using std::runtime_error::runtime_error;
};

class AppWindow {
 public:
  /// Throws NoWindow, NoJob.
  explicit AppWindow(const WindowOptions& options);
  ~AppWindow();
  AppWindow(const AppWindow&) = delete;
  AppWindow& operator=(const AppWindow&) = delete;

  /// Until it is closed. Sleeps while nothing happens.
  void run();

  // what a script needs
  /// One frame from an input of the script's own.
  void frame(const Input& input);
  /// Nothing is being worked out or drawn any more.
  bool idle() const;
  /// What stands in the window after the last frame.
  Image screen();
  const Model& model() const;
  const Found* found() const;
  const Pictures* pictures() const;
  std::optional<Spot> spot(const std::string& name) const;
  /// Of the last frame, all that can be pointed at, by name.
  const std::map<std::string, Spot>& spots() const;
  /// OpenGL's complaints so far, and long work that was begun on the window's thread; "" = none.
  std::string complaints() const;
  long frames_drawn() const;
  /// How long run() sleeps before its next frame when nothing happens; s, infinity at rest.
  double rest() const;
  /// Ends run(), whatever is not saved; from any thread.
  void end();
  /// Whether run() sleeps until something happens; from any thread.
  bool asleep() const;
  /// Of the frames so far, the most time that one kept this thread working, the wait for the driver not counted; s.
  double longest_frame() const;
  double first_picture() const;        ///< s from the opening to the first picture; below 0: none yet; from any thread

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace rakelight
