// How the window is laid out, at every size that people have, in every language: read back from what is drawn, glyph by glyph.
#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <imgui.h>

#include <cmath>
#include <fstream>
#include <span>

#include "base/say.h"
#include "script.h"
#include "small_job.h"

namespace rakelight {
namespace {

struct Box { float x0, y0, x1, y1; };
struct Glyph { Box at, clip; int list; bool marked = false; };

float overlap(const Box& a, const Box& b) { return std::max(0.0f, std::min(a.x1, b.x1) - std::max(a.x0, b.x0)) * std::max(0.0f, std::min(a.y1, b.y1) - std::max(a.y0, b.y0)); }

/// Every letter that is drawn and not painted over afterwards. A glyph is a quad of two triangles over four vertices whose
/// texture coordinates span some of the font's picture; all else is drawn with its one white texel.
struct Drawn {
  std::vector<Glyph> glyphs;
  int cut = 0, piled = 0;
  std::string worst;
};

Drawn read_drawn() {
  Drawn drawn;
  const ImDrawData* data = ImGui::GetDrawData();
  const ImTextureID font = ImGui::GetIO().Fonts->TexID;
  for (int l = 0; l < data->CmdListsCount; ++l) {
    const ImDrawList& list = *data->CmdLists[l];
    for (const ImDrawCmd& command : list.CmdBuffer) {
      if (command.UserCallback) continue;
      const Box clip{command.ClipRect.x, command.ClipRect.y, command.ClipRect.z, command.ClipRect.w};
      for (unsigned i = 0; i + 5 < command.ElemCount; ) {
        const ImDrawIdx* index = &list.IdxBuffer[static_cast<int>(command.IdxOffset + i)];
        const auto at = [&](int k) -> const ImDrawVert& { return list.VtxBuffer[static_cast<int>(command.VtxOffset + index[k])]; };
        // PrimRectUV: 0 1 2, 0 2 3
        const bool quad = index[0] == index[3] && index[2] == index[4] && index[1] == index[0] + 1 && index[2] == index[0] + 2 && index[5] == index[0] + 3 && at(0).pos.y == at(1).pos.y &&
                          at(1).pos.x == at(2).pos.x && at(2).pos.y == at(5).pos.y && at(5).pos.x == at(0).pos.x;
        if (!quad) {
          i += 3;
          continue;
        }
        i += 6;
        const Box box{std::min(at(0).pos.x, at(2).pos.x), std::min(at(0).pos.y, at(2).pos.y), std::max(at(0).pos.x, at(2).pos.x), std::max(at(0).pos.y, at(2).pos.y)};
        const bool glyph = command.TextureId == font && at(0).uv.x != at(2).uv.x;
        if (glyph) {
          drawn.glyphs.push_back({box, clip, l});
        } else {
          // a ground that hides what lies under it
          const Box seen{std::max(box.x0, clip.x0), std::max(box.y0, clip.y0), std::min(box.x1, clip.x1), std::min(box.y1, clip.y1)};
          if ((at(0).col >> IM_COL32_A_SHIFT) < 200) continue;
          std::erase_if(drawn.glyphs, [&](const Glyph& g) { return overlap(g.at, seen) > 0.5f * (g.at.x1 - g.at.x0) * (g.at.y1 - g.at.y0); });
          // of a letter under its edge what is outside can be seen
          for (Glyph& g : drawn.glyphs) {
            if (overlap(g.at, seen) <= 0) continue;
            if (seen.x0 <= g.at.x0 && seen.x1 >= g.at.x1) (seen.y0 <= g.at.y0 ? g.at.y0 : g.at.y1) = seen.y0 <= g.at.y0 ? seen.y1 : seen.y0;
            else if (seen.y0 <= g.at.y0 && seen.y1 >= g.at.y1) (seen.x0 <= g.at.x0 ? g.at.x0 : g.at.x1) = seen.x0 <= g.at.x0 ? seen.x1 : seen.x0;
          }
        }
      }
    }
  }
  const float wide = data->DisplaySize.x, high = data->DisplaySize.y;
  for (const Glyph& g : drawn.glyphs) {
    const float x0 = std::max(0.0f, g.clip.x0), x1 = std::min(wide, g.clip.x1), y0 = std::max(0.0f, g.clip.y0), y1 = std::min(high, g.clip.y1);
    const bool inside_height = g.at.y1 > y0 && g.at.y0 < y1;  // what has been scrolled away is no fault
    if (inside_height && (g.at.x0 < x0 - 0.6f || g.at.x1 > x1 + 0.6f) && g.at.x1 > x0 && g.at.x0 < x1) {
      ++drawn.cut;
      drawn.worst = fmt::format("a letter at {:.0f}, {:.0f} is cut off at the side", g.at.x0, g.at.y0);
    }
  }
  for (std::size_t i = 0; i < drawn.glyphs.size(); ++i)
    for (std::size_t k = i + 1; k < drawn.glyphs.size(); ++k) {
      Box a = drawn.glyphs[i].at, b = drawn.glyphs[k].at;
      const auto within = [](Box& box, const Box& clip) { box = {std::max(box.x0, clip.x0), std::max(box.y0, clip.y0), std::min(box.x1, clip.x1), std::min(box.y1, clip.y1)}; };
      within(a, drawn.glyphs[i].clip), within(b, drawn.glyphs[k].clip);
      const float smaller = std::min((a.x1 - a.x0) * (a.y1 - a.y0), (b.x1 - b.x0) * (b.y1 - b.y0));
      if (a.x1 <= a.x0 || b.x1 <= b.x0 || a.y1 <= a.y0 || b.y1 <= b.y0) continue;
      // neighbours of one word may reach into each other by a side bearing
      if (overlap(a, b) > 0.35f * smaller && smaller > 6) {
        ++drawn.piled;
        drawn.worst = fmt::format("letters on each other at {:.0f}, {:.0f}", b.x0, b.y0);
      }
    }
  return drawn;
}

constexpr int widest = 1600, highest = 1200;
struct Size { int wide, high; double scale; };
// the smallest first: what lies over the questions for a while is looked at there alone, and on a display of high density
constexpr Size sizes[] = {{960, 640, 1}, {1600, 1200, 2}, {1024, 720, 1}, {1280, 800, 1}, {1600, 1000, 1.5}, {1600, 1200, 1}};

/// At every size, in every language: no letter cut off at a side, none on another, no chip on the plan or on its fellow.
void check_everywhere(Script& s, const std::string& what, std::size_t at_most = std::size(sizes)) {
  const Input before = s.in;
  s.in.mouse = dvec2(-1);
  for (const Language& l : languages()) {
    while (language() != l.code) s.key('L', true);
    for (const Size& size : std::span(sizes).first(at_most)) {
      s.in.width = s.in.pixels_wide = size.wide;
      s.in.height = s.in.pixels_high = size.high;
      s.in.scale = size.scale;
      s.frames(2);
      const Drawn drawn = read_drawn();
      INFO(what << ", " << l.code << ", " << size.wide << " x " << size.high << " at scale " << size.scale << ": " << drawn.worst);
      CHECK(drawn.glyphs.size() > 100);
      CHECK(drawn.cut == 0);
      CHECK(drawn.piled == 0);
      const auto box = [&](const char* name) -> std::optional<Box> {
        const auto at = s.window.spot(name);
        if (!at) return std::nullopt;
        return Box{static_cast<float>(at->lo.x), static_cast<float>(at->lo.y), static_cast<float>(at->hi.x), static_cast<float>(at->hi.y)};
      };
      static constexpr std::pair<const char*, const char*> apart[] = {{"plan inset", "chip left"}, {"plan inset", "chip right"}, {"chip left", "chip right"}, {"notice", "chip right"}, {"notice", "plan inset"}};
      for (const auto& [a, b] : apart)
        if (box(a) && box(b)) {
          INFO(a << " and " << b);
          CHECK(overlap(*box(a), *box(b)) == 0);
        }
    }
  }
  while (language() != "en") s.key('L', true);
  s.in = before;
  s.frames(3);
}

}  // namespace

TEST_CASE("No word is cut off and none lies on another, for every question and what lies over it, at six sizes, in every language") {
  const JobFile job("layout", with_hand_lamp());
  std::ofstream(job.folder / "lamp.ies") << small_lamp_file;
  Script s(job.path(), widest, highest, "en", 16);
  s.until([&] { return judged(s); });
  check_everywhere(s, "when");
  s.key(press::f1);
  check_everywhere(s, "keys", 2);
  s.key(press::escape);
  s.key('P');
  check_everywhere(s, "plan");
  s.click("chosen thing");
  s.click("thing window W1");
  check_everywhere(s, "plan, a window's numbers", 2);
  s.key('P');
  s.key('O', true);
  check_everywhere(s, "open", 2);
  s.key('O', true);
  s.key('S', true, true);
  check_everywhere(s, "save under a name", 2);
  s.key(press::escape);
  s.click("start my room");
  check_everywhere(s, "first room", 2);
  s.key(press::escape);
  s.in.dropped = {(job.folder / "lamp.ies").string()};
  s.frame();
  check_everywhere(s, "photometric file", 2);
  s.key(press::escape);
  s.key('G');
  s.key(press::up);
  s.key('N');
  check_everywhere(s, "keep a place", 2);
  s.key(press::escape);
  s.key(press::escape);
  s.key('J');
  s.key('4');
  check_everywhere(s, "measured");
  s.key('J');
  for (const char* question : {"question 2", "question 3"}) {
    s.click(question);
    s.until([&] { return s.window.spot("chip right") && s.window.found()->advice; });
    check_everywhere(s, question);
  }
  s.until([&] { return s.window.found()->ways != nullptr; });
  check_everywhere(s, "ways of laying");
  // the divider where it leaves a chip little room
  for (int i = 0; i < 9; ++i) s.key(press::left, false, true);
  check_everywhere(s, "divider at the left", 2);
  for (int i = 0; i < 18; ++i) s.key(press::right, false, true);
  check_everywhere(s, "divider at the right", 2);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("The layout's check finds a word that is cut off and one on another") {
  const JobFile job("layout-breach");
  Script s(job.path(), 960, 640, "en", 16);
  s.frames(3);
  const Drawn before = read_drawn();
  CHECK(before.cut + before.piled == 0);
  // on the display's own foreground, as a region would
  ImGui::NewFrame();
  ImDrawList* draw = ImGui::GetForegroundDrawList();
  draw->AddText({300, 300}, IM_COL32_BLACK, "some words");
  draw->AddText({306, 303}, IM_COL32_BLACK, "other words");
  draw->PushClipRect({100, 400}, {150.5f, 420});
  draw->AddText({100, 400}, IM_COL32_BLACK, "words that go on");
  draw->PopClipRect();
  ImGui::Render();
  const Drawn after = read_drawn();
  CHECK(after.piled > 0);
  CHECK(after.cut > 0);
}

}  // namespace rakelight
