#include "window/keys.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <array>

#include "base/say.h"

namespace rakelight {
namespace {

constexpr double first_repeat = 0.35, then_every = 0.08;  // s

constexpr std::array bindings{
    KeyBinding{Action::question_1, '1', false, false, false, "1", later("When does it show?")},
    KeyBinding{Action::question_2, '2', false, false, false, "2", later("Which finish?")},
    KeyBinding{Action::question_3, '3', false, false, false, "3", later("Which way round?")},
    KeyBinding{Action::question_4, '4', false, false, false, "4", later("I measured a joint")},
    KeyBinding{Action::worst, 'W', false, false, false, "W", later("the worst time, and where you stand then")},
    KeyBinding{Action::day_back, GLFW_KEY_LEFT, false, false, true, later("Left"), later("a day back (walking: turn left)")},
    KeyBinding{Action::day_on, GLFW_KEY_RIGHT, false, false, true, later("Right"), later("a day on (walking: turn right)")},
    KeyBinding{Action::earlier, GLFW_KEY_UP, false, false, true, later("Up"), later("five minutes earlier (walking: forward)")},
    KeyBinding{Action::later, GLFW_KEY_DOWN, false, false, true, later("Down"), later("five minutes later (walking: back)")},
    KeyBinding{Action::play, 'T', false, false, false, "T", later("let the time run, and stop it")},
    KeyBinding{Action::next_place, 'V', false, false, false, "V", later("the next place to stand")},
    KeyBinding{Action::keep_place, 'N', false, false, false, "N", later("keep the place where you stand as one of the job's, by name")},
    KeyBinding{Action::face_next_wall, 'F', false, false, false, "F", later("face the next wall or the ceiling, square on")},
    KeyBinding{Action::walk, 'G', false, false, false, "G", later("walk and look with the arrow keys, and stop walking")},
    KeyBinding{Action::look_up, GLFW_KEY_PAGE_UP, false, false, true, later("Page up"), later("look further up")},
    KeyBinding{Action::look_down, GLFW_KEY_PAGE_DOWN, false, false, true, later("Page down"), later("look further down")},
    KeyBinding{Action::plan, 'P', false, false, false, "P", later("the plan over the picture, to move windows, lamps and places")},
    KeyBinding{Action::sheet, 'E', false, false, false, "E", later("the whole job, to edit everything it holds")},
    KeyBinding{Action::compare, 'C', false, false, false, "C", later("a second job at the right, and away with it")},
    KeyBinding{Action::swap, GLFW_KEY_SPACE, false, false, false, later("Space"), later("hold: the halves change places")},
    KeyBinding{Action::divider_left, GLFW_KEY_LEFT, false, true, true, later("Shift Left"), later("the divider to the left")},
    KeyBinding{Action::divider_right, GLFW_KEY_RIGHT, false, true, true, later("Shift Right"), later("the divider to the right")},
    KeyBinding{Action::keep_right, 'K', false, false, false, "K", later("keep the right side")},
    KeyBinding{Action::relief, 'R', false, false, false, "R", later("with the relief, and as if every joint were flat")},
    KeyBinding{Action::exaggerate, 'X', false, false, false, "X", later("the relief's shade true, ×2, ×5, ×10")},
    KeyBinding{Action::outline, 'O', false, false, false, "O", later("sheets and joints outlined")},
    KeyBinding{Action::figure, 'M', false, false, false, "M", later("somebody 1.75 m tall in the room, for scale, and away")},
    KeyBinding{Action::stipple, 'S', false, false, false, "S", later("the paint's stipple, and without it")},
    KeyBinding{Action::drawer, 'J', false, false, false, "J", later("the findings, where the window is narrow")},
    KeyBinding{Action::undo, 'Z', true, false, true, later("Ctrl Z"), later("undo")},
    KeyBinding{Action::redo, 'Z', true, true, true, later("Ctrl Shift Z"), later("redo")},
    KeyBinding{Action::redo, 'Y', true, false, true, later("Ctrl Y"), later("redo")},
    KeyBinding{Action::save, 'S', true, false, false, later("Ctrl S"), later("save the job")},
    KeyBinding{Action::save_as, 'S', true, true, false, later("Ctrl Shift S"), later("save the job under another name")},
    KeyBinding{Action::save_picture, 'P', true, false, false, later("Ctrl P"), later("save the picture, or the pair, as PNG")},
    KeyBinding{Action::print_paper, 'P', true, true, false, later("Ctrl Shift P"), later("make the paper for client and site, as PDF beside the job")},
    KeyBinding{Action::open, 'O', true, false, false, later("Ctrl O"), later("open a job, or one of the last")},
    KeyBinding{Action::reread, 'R', true, false, false, later("Ctrl R"), later("read the file again, if it was changed elsewhere")},
    KeyBinding{Action::controls, GLFW_KEY_TAB, false, false, false, later("Tab"), later("arrow keys go from control to control, Space presses, Enter types; Ctrl Tab to the next region")},
    KeyBinding{Action::next_language, 'L', true, false, false, later("Ctrl L"), later("the next language")},
    KeyBinding{Action::help, GLFW_KEY_F1, false, false, false, "F1", later("these keys")},
    KeyBinding{Action::leave, GLFW_KEY_ESCAPE, false, false, false, later("Esc"), later("leave what is open, or what is being dragged")},
    KeyBinding{Action::quit, 'Q', true, false, false, later("Ctrl Q"), later("close the window")},
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
