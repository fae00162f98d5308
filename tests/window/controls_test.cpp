// What can be done without a mouse, and what is said of a control that is pointed at.
#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <imgui.h>
#include <imgui_internal.h>

#include <fstream>
#include <set>

#include "base/say.h"
#include "script.h"
#include "small_job.h"
#include "window/keys.h"

namespace rakelight {
namespace {

/// All that a key may change, as text.
std::string stand_of_things(const Script& s) {
  const Model& m = s.window.model();
  std::string text = fmt::format("{} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {} {}|{}|{}|{}", static_cast<int>(m.question), m.surface, m.joint, m.divider, m.swapped, m.amplify, m.relief, m.outlines, m.figure, m.stipple, m.playing, m.walking,
                                 m.controls, m.sheet, m.plan_grown, m.help, m.drawer, m.opening, m.history.can_undo(), m.history.can_redo(), m.quit, s.window.spot("file name").has_value(), language(), m.notice, m.history.now().text);
  if (m.place) text += fmt::format("|{} {} {} {} {} {} {} {}", m.place->viewer, m.place->facing, m.place->eye.x, m.place->eye.y, m.place->eye.z, m.place->target.x, m.place->target.y, m.place->target.z);
  text += "|" + stand_of(m).key();
  for (const Edit& e : m.history.now().variation) text += "|" + edit_text(e);
  if (s.window.spot("place name")) text += "|naming a place";
  return text;
}

bool tooltip_shown() {
  for (const ImGuiWindow* w : ImGui::GetCurrentContext()->Windows)
    if ((w->Flags & ImGuiWindowFlags_Tooltip) != 0 && w->Active) return true;
  return false;
}

/// What is marked for scripts and is no control: words, drawings, regions, things in plan and picture, whose own tooltip is the plan's.
bool no_control(const std::string& name) {
  static constexpr const char* begins[] = {"answer", "caption", "picture", "section", "chip ", "notice", "trouble", "wall ", "viewer ", "plan ", "edge ", "corner ", "divider", "job sheet", "sheet ", "lamp "};
  if (name.starts_with("answer ") || name.starts_with("lamp switch") || name == "plan inset") return false;
  return std::any_of(std::begin(begins), std::end(begins), [&](const char* begin) { return name.starts_with(begin); });
}

/// Points at every control that was not spoken of before, when it may lie under what is open now; returns those of which nothing is said.
std::string silent_controls(Script& s, std::set<std::string>& spoken_of) {
  std::string silent;
  std::vector<std::pair<std::string, Spot>> controls;
  for (const auto& [name, spot] : s.window.spots())
    if (!no_control(name) && !spoken_of.contains(name)) controls.emplace_back(name, spot);
  for (const auto& [name, spot] : controls) {
    if (spot.middle().y < 0 || spot.middle().y > s.in.height) continue;
    s.move(dvec2(-1));
    s.move(spot.middle());
    if (tooltip_shown()) spoken_of.insert(name);
    else silent += (silent.empty() ? "" : ", ") + name;
  }
  s.move(dvec2(-1));
  return silent;
}

}  // namespace

TEST_CASE("Every key of the table does something that can be seen") {
  const JobFile job("key-table");
  std::unique_ptr<Script> s;
  for (const KeyBinding& b : key_bindings()) {
    if (b.action == Action::none) continue;
    INFO(b.keys << ": " << b.words);
    if (!s) {
      s = std::make_unique<Script>(job.path(), 960, 640, "en", 16);
      s->until([&] { return judged(*s); });
    }
    // what the key is for has to be there
    switch (b.action) {
      case Action::question_1: s->key('2'); break;
      case Action::worst: s->key(press::right); break;
      case Action::swap:
      case Action::keep_right:
      case Action::divider_left:
      case Action::divider_right: s->key('2'); break;
      case Action::undo: s->key('2'); break;
      case Action::redo:
        s->key('2');
        s->key('Z', true);
        break;
      case Action::keep_place:
        s->key('G');
        s->key(press::up);
        break;
      case Action::next_place: s->key('F'); break;
      case Action::leave: s->key(press::f1); break;
      case Action::save: s->key(press::escape); break;
      default: break;
    }
    const std::string before = stand_of_things(*s);
    s->in.keys[press::ctrl] = b.ctrl;
    s->in.keys[press::shift] = b.shift;
    s->in.keys[static_cast<std::size_t>(b.key)] = true;
    s->frame();
    const std::string held = stand_of_things(*s);
    s->in.keys.reset();
    s->frames(2);
    CHECK((held != before || stand_of_things(*s) != before));
    CHECK(s->window.complaints() == "");
    // back to where all keys find their things
    while (language() != "en") s->key('L', true);
    for (int i = 0; i < 6; ++i) s->key(press::escape);
    s->key('1');
    s->until([&] { return judged(*s); });
    if (b.action == Action::quit || b.action == Action::print_paper) s.reset();  // one is over, the other busy
  }
}

TEST_CASE("In the grown plan, Tab and the arrows reach what chooses a thing, and the thing is chosen without a mouse") {
  const JobFile job("plan-keys", with_hand_lamp());
  Script s(job.path(), 1100, 700, "en", 16);
  s.until([&] { return judged(s); });
  s.key('P');
  s.key(press::tab);
  s.frames(3);
  for (int i = 0; i < 3 && !s.window.spot("thing room"); ++i) {
    s.key(press::space);
    s.frames(2);
    if (!s.window.spot("thing room")) s.key(press::up);
  }
  REQUIRE(s.window.spot("thing room"));
  s.key(press::down);
  s.key(press::space);
  s.frames(2);
  CHECK_FALSE(s.window.spot("thing room"));
  // what the room has none of and a window has
  CHECK(s.window.spot("window W1 width"));
}

TEST_CASE("Whatever can be pressed, slid or typed into says what it is for when it is pointed at") {
  const JobFile job("tips", with_hand_lamp());
  std::ofstream(job.folder / "lamp.ies") << small_lamp_file;
  Script s(job.path(), 1440, 1600, "en", 16);
  s.until([&] { return judged(s) && s.window.found()->advice; });
  std::set<std::string> spoken_of;
  CHECK(silent_controls(s, spoken_of) == "");
  CHECK(spoken_of.size() > 30);
  s.key('P');
  CHECK(silent_controls(s, spoken_of) == "");
  s.click("chosen thing");
  s.click("thing window W1");
  CHECK(silent_controls(s, spoken_of) == "");
  s.key('P');
  s.key(press::f1);
  CHECK(silent_controls(s, spoken_of) == "");
  s.key(press::escape);
  s.key('O', true);
  CHECK(silent_controls(s, spoken_of) == "");
  s.key('O', true);
  s.key('S', true, true);
  CHECK(silent_controls(s, spoken_of) == "");
  s.key(press::escape);
  s.click("start my room");
  for (int i = 0; i < 20; ++i) {
    silent_controls(s, spoken_of);
    s.move(dvec2(s.in.width / 2, s.in.height / 2));
    s.in.wheel = {0, -1};
    s.frame();
    s.frame();
  }
  // its questions go on under its lower edge, so none is asked for but after all were scrolled past
  std::string silent;
  for (const auto& [name, spot] : s.window.spots())
    if (name.starts_with("room ") && !no_control(name) && !spoken_of.contains(name)) silent += name + " ";
  CHECK(silent == "");
  s.key(press::escape);
  s.in.dropped = {(job.folder / "lamp.ies").string()};
  s.frame();
  CHECK(silent_controls(s, spoken_of) == "");
  s.key(press::escape);
  s.key('G');
  s.key(press::up);
  s.key('N');
  CHECK(silent_controls(s, spoken_of) == "");
  s.key(press::escape);
  s.key('4');
  s.fill("measured csv", "section.csv");
  CHECK(silent_controls(s, spoken_of) == "");
  s.key('3');
  s.until([&] { return s.window.found()->ways && s.window.spot("chip right"); });
  CHECK(silent_controls(s, spoken_of) == "");
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
