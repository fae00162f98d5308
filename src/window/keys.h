// The one table of keys: it makes the shortcuts and the help.
#pragma once
#include <span>
#include <string_view>

#include "window/input.h"

namespace rakelight {

enum class Action {
  none, question_1, question_2, question_3, question_4, worst, day_back, day_on, earlier, later, play, next_place, keep_place, face_next_wall, plan, sheet, walk,
  look_up, look_down, divider_left, divider_right, swap, compare, keep_right, relief, exaggerate, outline, figure, stipple, undo, redo, save, save_as, save_picture, print_paper, open, reread, drawer, controls, next_language, help, leave, quit
};

struct KeyBinding {
  Action action;
  int key;                 ///< GLFW's number
  bool ctrl = false, shift = false;
  bool repeats = false;    ///< while held
  std::string_view keys, words;   ///< for people, in English: phrase() has them in other languages
};
std::span<const KeyBinding> key_bindings();

/// Actions whose keys went down in this frame (or repeat), in the order of the table.
class KeyReader {
 public:
  std::vector<Action> read(const Input& input);

 private:
  std::bitset<512> before_;
  int repeating_ = 0;
  double next_repeat_ = 0;
};

}  // namespace rakelight
