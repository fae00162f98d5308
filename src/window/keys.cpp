#include "window/keys.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <array>

namespace rakelight {
namespace {

constexpr double first_repeat = 0.35, then_every = 0.08;  // s

constexpr std::array bindings{
    KeyBinding{Action::question_1, '1', false, false, false, "1", "When does it show?"},
    KeyBinding{Action::question_2, '2', false, false, false, "2", "Which finish?"},
    KeyBinding{Action::question_3, '3', false, false, false, "3", "Which way round?"},
    KeyBinding{Action::question_4, '4', false, false, false, "4", "I measured a joint"},
    KeyBinding{Action::worst, 'W', false, false, false, "W", "the worst time, and where you stand then"},
    KeyBinding{Action::day_back, GLFW_KEY_LEFT, false, false, true, "Left", "a day back (walking: turn left)"},
    KeyBinding{Action::day_on, GLFW_KEY_RIGHT, false, false, true, "Right", "a day on (walking: turn right)"},
    KeyBinding{Action::earlier, GLFW_KEY_UP, false, false, true, "Up", "five minutes earlier (walking: forward)"},
    KeyBinding{Action::later, GLFW_KEY_DOWN, false, false, true, "Down", "five minutes later (walking: back)"},
    KeyBinding{Action::play, 'T', false, false, false, "T", "let the time run, and stop it"},
    KeyBinding{Action::next_place, 'V', false, false, false, "V", "the next place to stand"},
    KeyBinding{Action::face_next_wall, 'F', false, false, false, "F", "face the next wall or the ceiling, square on"},
    KeyBinding{Action::walk, 'G', false, false, false, "G", "walk and look with the arrow keys, and stop walking"},
    KeyBinding{Action::plan, 'P', false, false, false, "P", "the plan over the picture, to move windows, lamps and places"},
    KeyBinding{Action::compare, 'C', false, false, false, "C", "a second job at the right, and away with it"},
    KeyBinding{Action::swap, GLFW_KEY_SPACE, false, false, false, "Space", "hold: the halves change places"},
    KeyBinding{Action::keep_right, 'K', false, false, false, "K", "keep the right side"},
    KeyBinding{Action::relief, 'R', false, false, false, "R", "with the relief, and as if every joint were flat"},
    KeyBinding{Action::exaggerate, 'X', false, false, false, "X", "the relief's shade true, ×2, ×5, ×10"},
    KeyBinding{Action::outline, 'O', false, false, false, "O", "sheets and joints outlined"},
    KeyBinding{Action::drawer, 'J', false, false, false, "J", "the findings, where the window is narrow"},
    KeyBinding{Action::undo, 'Z', true, false, true, "Ctrl Z", "undo"},
    KeyBinding{Action::redo, 'Z', true, true, true, "Ctrl Shift Z", "redo"},
    KeyBinding{Action::redo, 'Y', true, false, true, "Ctrl Y", "redo"},
    KeyBinding{Action::save, 'S', true, false, false, "Ctrl S", "save the job"},
    KeyBinding{Action::save_as, 'S', true, true, false, "Ctrl Shift S", "save the job under another name"},
    KeyBinding{Action::save_picture, 'P', true, false, false, "Ctrl P", "save the picture, or the pair, as PNG"},
    KeyBinding{Action::print_paper, 'P', true, true, false, "Ctrl Shift P", "make the paper for client and site, as PDF beside the job"},
    KeyBinding{Action::open, 'O', true, false, false, "Ctrl O", "open a job, or one of the last"},
    KeyBinding{Action::reread, 'R', true, false, false, "Ctrl R", "read the file again, if it was changed elsewhere"},
    KeyBinding{Action::controls, GLFW_KEY_TAB, false, false, false, "Tab", "arrow keys go from control to control, Space presses, Enter types; Ctrl Tab to the next region"},
    KeyBinding{Action::help, GLFW_KEY_F1, false, false, false, "F1", "these keys"},
    KeyBinding{Action::leave, GLFW_KEY_ESCAPE, false, false, false, "Esc", "leave what is open, or what is being dragged"},
    KeyBinding{Action::quit, 'Q', true, false, false, "Ctrl Q", "close the window"},
};

}  // namespace

std::span<const KeyBinding> key_bindings() { return bindings; }

std::vector<Action> KeyReader::read(const Input& input) {
  const bool ctrl = input.keys[GLFW_KEY_LEFT_CONTROL] || input.keys[GLFW_KEY_RIGHT_CONTROL];
  const bool shift = input.keys[GLFW_KEY_LEFT_SHIFT] || input.keys[GLFW_KEY_RIGHT_SHIFT];
  std::vector<Action> actions;
  if (repeating_ != 0 && !input.keys[static_cast<std::size_t>(repeating_)]) repeating_ = 0;
  for (const KeyBinding& b : bindings) {
    const auto key = static_cast<std::size_t>(b.key);
    if (!input.keys[key] || b.ctrl != ctrl || b.shift != shift) continue;
    if (!before_[key]) {
      actions.push_back(b.action);
      repeating_ = b.repeats ? b.key : 0;
      next_repeat_ = input.time + first_repeat;
    } else if (b.repeats && repeating_ == b.key && input.time >= next_repeat_) {
      actions.push_back(b.action);
      next_repeat_ = input.time + then_every;
    }
  }
  before_ = input.keys;
  return actions;
}

}  // namespace rakelight
