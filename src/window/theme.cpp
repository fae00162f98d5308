// How the window looks: a neutral mid-grey surround (colour or black around a wall shifts the contrast that is perceived in
// it), panels a little lighter, dark ink, one accent.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>

#include <fmt/format.h>

#include "base/lines.h"
#include "window/view.h"

namespace rakelight {
namespace {

ImVec4 vec(ImU32 colour) { return ImGui::ColorConvertU32ToFloat4(colour); }

constexpr float larger = 1.3f;
constexpr const char* font_file = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf";

}  // namespace

void set_theme(float em) {
  ImGuiStyle& style = ImGui::GetStyle();
  style = ImGuiStyle();
  style.WindowRounding = style.FrameRounding = style.GrabRounding = style.ScrollbarRounding = style.PopupRounding = style.ChildRounding = 0;
  style.WindowBorderSize = 0;
  style.FrameBorderSize = 0;
  style.PopupBorderSize = 1;
  style.WindowPadding = {0.8f * em, 0.5f * em};
  style.FramePadding = {0.5f * em, 0.25f * em};
  style.ItemSpacing = {0.5f * em, 0.35f * em};
  style.ItemInnerSpacing = {0.4f * em, 0.3f * em};
  style.ScrollbarSize = 0.8f * em;
  style.GrabMinSize = 0.8f * em;
  style.WindowMinSize = {1, 1};
  ImVec4* c = style.Colors;
  for (int i = 0; i < ImGuiCol_COUNT; ++i) c[i] = vec(tone::raised);
  c[ImGuiCol_Text] = vec(tone::ink);
  c[ImGuiCol_TextDisabled] = vec(tone::soft);
  c[ImGuiCol_WindowBg] = vec(tone::panel);
  c[ImGuiCol_ChildBg] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_PopupBg] = vec(tone::pressed);
  c[ImGuiCol_Border] = vec(tone::line);
  c[ImGuiCol_BorderShadow] = ImVec4(0, 0, 0, 0);
  c[ImGuiCol_FrameBg] = vec(tone::raised);
  c[ImGuiCol_FrameBgHovered] = vec(tone::pressed);
  c[ImGuiCol_FrameBgActive] = vec(tone::white);
  c[ImGuiCol_Button] = vec(tone::raised);
  c[ImGuiCol_ButtonHovered] = vec(tone::pressed);
  c[ImGuiCol_ButtonActive] = vec(tone::white);
  c[ImGuiCol_Header] = vec(tone::raised);
  c[ImGuiCol_HeaderHovered] = vec(tone::pressed);
  c[ImGuiCol_HeaderActive] = vec(tone::white);
  c[ImGuiCol_SliderGrab] = vec(tone::white);  // the value stands over it
  c[ImGuiCol_SliderGrabActive] = vec(tone::accent);
  c[ImGuiCol_CheckMark] = vec(tone::accent);
  c[ImGuiCol_ScrollbarBg] = vec(tone::panel);
  c[ImGuiCol_ScrollbarGrab] = vec(tone::line);
  c[ImGuiCol_ScrollbarGrabHovered] = vec(tone::soft);
  c[ImGuiCol_ScrollbarGrabActive] = vec(tone::soft);
  c[ImGuiCol_Separator] = vec(tone::line);
  c[ImGuiCol_NavHighlight] = vec(tone::accent);
  c[ImGuiCol_TextSelectedBg] = vec(IM_COL32(196, 84, 20, 90));
  c[ImGuiCol_ModalWindowDimBg] = ImVec4(0, 0, 0, 0);
}

void load_font(float em_pixels) {
  static const ImWchar ranges[] = {0x20, 0x17F, 0x2013, 0x2014, 0x2018, 0x201E, 0x2026, 0x2026, 0x2190, 0x2193, 0x2212, 0x2212, 0x2248, 0x2248, 0x2264, 0x2265, 0};
  ImGuiIO& io = ImGui::GetIO();
  io.Fonts->Clear();
  for (const float size : {em_pixels, std::floor(larger * em_pixels + 0.5f)}) {
    if (std::filesystem::exists(font_file)) io.Fonts->AddFontFromFileTTF(font_file, size, nullptr, ranges);
    else {
      ImFontConfig plain;
      plain.SizePixels = size;
      io.Fonts->AddFontDefault(&plain);
    }
  }
}

void begin_large() { ImGui::PushFont(ImGui::GetIO().Fonts->Fonts[1]); }
void end_large() { ImGui::PopFont(); }

void begin_region(const char* name, const Region& r, ImU32 ground, bool scrolls, bool over) {
  ImGui::SetNextWindowPos(r.at);
  ImGui::SetNextWindowSize({std::max(1.0f, r.size.x), std::max(1.0f, r.size.y)});
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ground);
  ImGuiWindowFlags flags = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoCollapse | ImGuiWindowFlags_NoSavedSettings;
  // of windows with this flag the first made lies on top, of others the last
  if (!over) flags |= ImGuiWindowFlags_NoBringToFrontOnFocus;
  if (!scrolls) flags |= ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse;
  ImGui::Begin(name, nullptr, flags);
}

void end_region() {
  ImGui::End();
  ImGui::PopStyleColor();
}

void Sight::mark(const std::string& name) const { mark(name, ImGui::GetItemRectMin(), ImGui::GetItemRectMax()); }
void Sight::mark(const std::string& name, ImVec2 lo, ImVec2 hi) const { spots[name] = {{lo.x, lo.y}, {hi.x, hi.y}}; }

void disc(const Sight& s, Verdict verdict) {
  const float d = 0.72f * s.em;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const ImVec2 c{at.x + 0.5f * d, at.y + 0.5f * ImGui::GetTextLineHeight()};
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const float radius = 0.5f * d - 1, pi_f = 3.14159265f;
  if (verdict == Verdict::shows) draw->AddCircleFilled(c, radius, tone::ink, 24);
  if (verdict == Verdict::faint) {
    draw->PathArcTo(c, radius, 0.5f * pi_f, 1.5f * pi_f, 16);
    draw->PathFillConvex(tone::ink);
  }
  draw->AddCircle(c, radius, tone::ink, 24, std::max(1.0f, 0.09f * s.em));
  ImGui::Dummy({d, ImGui::GetTextLineHeight()});
}

bool word(const Sight& s, const std::string& name, const std::string& text) {
  const ImVec2 at = ImGui::GetCursorScreenPos(), size = ImGui::CalcTextSize(text.c_str());
  const bool pressed = ImGui::InvisibleButton(name.c_str(), {std::max(1.0f, size.x), std::max(1.0f, size.y)});
  s.mark(name);
  const bool lit = ImGui::IsItemHovered() || ImGui::IsItemFocused();
  ImDrawList* draw = ImGui::GetWindowDrawList();
  draw->AddText(at, tone::ink, text.c_str());
  draw->AddLine({at.x, at.y + size.y}, {at.x + size.x, at.y + size.y}, lit ? tone::accent : tone::line, lit ? 2.0f : 1.0f);
  return pressed;
}

bool button(const Sight& s, const std::string& name, const std::string& text, bool on) {
  const bool pressed = ImGui::Button((text + "###" + name).c_str());
  s.mark(name);
  if (on) {
    const ImVec2 lo = ImGui::GetItemRectMin(), hi = ImGui::GetItemRectMax();
    ImGui::GetWindowDrawList()->AddRectFilled({lo.x, hi.y - 0.15f * s.em}, hi, tone::accent);
  }
  return pressed;
}

void text(std::string_view words) { ImGui::TextUnformatted(words.data(), words.data() + words.size()); }

void soft_text(std::string_view words) {
  ImGui::PushStyleColor(ImGuiCol_Text, tone::soft);
  text(words);
  ImGui::PopStyleColor();
}

void wrapped_text(std::string_view words, float wide) {
  if (wide <= 0) wide = ImGui::GetContentRegionAvail().x;
  ImGui::PushTextWrapPos(ImGui::GetCursorPosX() + wide);  // a word wider than that is broken inside
  const std::vector<std::string> lines = in_lines(words, wide, [](std::string_view part) { return static_cast<double>(ImGui::CalcTextSize(part.data(), part.data() + part.size()).x); });
  text(fmt::format("{}", fmt::join(lines, "\n")));
  ImGui::PopTextWrapPos();
}

void soft_wrapped_text(std::string_view words, float wide) {
  ImGui::PushStyleColor(ImGuiCol_Text, tone::soft);
  wrapped_text(words, wide);
  ImGui::PopStyleColor();
}

std::string shortened(std::string text, float wide) {
  if (ImGui::CalcTextSize(text.c_str()).x <= wide) return text;
  const auto continuation = [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; };
  while (!text.empty() && ImGui::CalcTextSize((text + "…").c_str()).x > wide) {
    while (text.size() > 1 && continuation(text.back())) text.pop_back();
    text.pop_back();
  }
  while (text.ends_with(' ')) text.pop_back();
  return text + "…";
}

void beside_or_below(float wide, float right) {
  ImGui::SameLine();
  if (ImGui::GetCursorScreenPos().x + wide > right) ImGui::NewLine();
}

float button_wide(std::string_view words) {
  const ImGuiStyle& style = ImGui::GetStyle();
  return ImGui::CalcTextSize(words.data(), words.data() + words.size()).x + 2 * style.FramePadding.x + style.ItemSpacing.x;
}

void tip(std::string_view words) {
  if (!ImGui::IsItemHovered()) return;
  ImGui::BeginTooltip();
  wrapped_text(words, 24 * ImGui::GetFontSize());
  ImGui::EndTooltip();
}

}  // namespace rakelight
