// The chosen joint, opened: its section coat by coat, the light on it, four sliders, what a rule says.
#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

#include "advice/measure.h"
#include "base/text.h"
#include "base/units.h"
#include "paint/paint.h"
#include "window/measured.h"
#include "report/in_units.h"
#include "window/view.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr float section_high = 7.5f;                 // em
constexpr std::array<double, 5> exaggerations{100, 50, 20, 10, 5};
constexpr std::array<ImU32, 5> coat_tones{IM_COL32(96, 90, 82, 255), IM_COL32(122, 115, 105, 255), IM_COL32(147, 140, 129, 255), IM_COL32(171, 164, 153, 255), IM_COL32(194, 188, 178, 255)};
constexpr ImU32 board = IM_COL32(222, 220, 216, 255);

std::string mm(double metres, int digits) {
  std::string text = fixed_text(metres * mm_per_m, digits);
  return text[0] == '-' ? "−" + text.substr(1) : text;
}

void draw_section(Sight& s, const JointResult& joint) {
  const Section& section = joint.joint.section;
  const ImVec2 at = ImGui::GetCursorScreenPos(), size{std::max(1.0f, ImGui::GetContentRegionAvail().x), section_high * s.em};
  ImGui::Dummy(size);
  s.mark("section", at, {at.x + size.x, at.y + size.y});
  if (section.height.size() < 2) return;
  ImDrawList* draw = ImGui::GetWindowDrawList();
  draw->PushClipRect(at, {at.x + size.x, at.y + size.y}, true);
  // smoothed edges of neighbouring pieces would show as stripes
  const ImDrawListFlags smooth = draw->Flags;
  draw->Flags &= ~ImDrawListFlags_AntiAliasedFill;
  draw->AddRectFilled(at, {at.x + size.x, at.y + size.y}, tone::raised);
  const double from = std::min(section.first, section.left - 0.02), to = std::max(section.last(), section.right + 0.02);
  const double scale = size.x / (to - from);
  double highest = 0.0001, lowest = -0.0001;
  for (double h : section.height) highest = std::max(highest, h), lowest = std::min(lowest, h);
  for (double h : section.bare) lowest = std::min(lowest, std::max(h, -0.0022));
  double tall = exaggerations.back();
  for (const double e : exaggerations)
    if (e * scale * (highest - lowest) <= size.y - 3.2 * s.em) {
      tall = e;
      break;
    }
  const float zero = at.y + 1.9f * s.em + static_cast<float>(highest * scale * tall);
  const auto x = [&](double u) { return at.x + static_cast<float>((u - from) * scale); };
  const auto y = [&](double h) { return zero - static_cast<float>(std::max(h, -0.0022) * scale * tall); };
  const std::size_t n = section.height.size(), stride = std::max<std::size_t>(1, static_cast<std::size_t>(static_cast<double>(n) / std::max(1.0f, size.x)));
  const auto layer = [&](const std::vector<double>* below, const std::vector<double>& above, ImU32 colour) {
    for (std::size_t i = 0; i + stride < n; i += stride) {
      const double u0 = section.first + section.step * static_cast<double>(i), u1 = section.first + section.step * static_cast<double>(i + stride);
      const float b0 = below ? y((*below)[i]) : at.y + size.y, b1 = below ? y((*below)[i + stride]) : at.y + size.y;
      if (below && std::abs(b0 - y(above[i])) < 0.3f && std::abs(b1 - y(above[i + stride])) < 0.3f) continue;
      draw->AddQuadFilled({x(u0), b0}, {x(u0), y(above[i])}, {x(u1), y(above[i + stride])}, {x(u1), b1}, colour);
    }
  };
  draw->AddRectFilled({at.x, zero}, {x(section.first), at.y + size.y}, board);
  draw->AddRectFilled({x(section.last()), zero}, {at.x + size.x, at.y + size.y}, board);
  layer(nullptr, section.bare, board);
  const std::vector<double>* below = &section.bare.items();
  for (std::size_t k = 0; k < section.coats.size(); ++k) {
    if (section.coats[k].size() != n) continue;
    layer(below, section.coats[k], coat_tones[std::min(k, coat_tones.size() - 1)]);
    below = &section.coats[k].items();
  }
  draw->Flags = smooth;
  for (std::size_t i = 0; i + stride < n; i += stride)
    draw->AddLine({x(section.first + section.step * static_cast<double>(i)), y(section.height[i])}, {x(section.first + section.step * static_cast<double>(i + stride)), y(section.height[i + stride])}, tone::ink, 1.2f);
  draw->AddLine({at.x, zero}, {at.x + size.x, zero}, IM_COL32(92, 92, 92, 120), 1);
  // the light across the joint, at its true angle
  if (s.desk.ray_normal > 0) {
    const double side = s.desk.ray_across >= 0 ? 1 : -1, length = std::hypot(s.desk.ray_across, s.desk.ray_normal);
    const ImVec2 d{static_cast<float>(s.desk.ray_across / length), static_cast<float>(-s.desk.ray_normal / length)};
    const ImVec2 foot{at.x + 0.5f * size.x + static_cast<float>(side) * 0.3f * size.x, zero - 0.2f * s.em};
    const float far = 3.2f * s.em, h = 0.4f * s.em;
    draw->AddLine(foot, {foot.x + far * d.x, foot.y + far * d.y}, tone::accent, 1.5f);
    draw->AddTriangleFilled(foot, {foot.x + h * (d.x - 0.5f * d.y), foot.y + h * (d.y + 0.5f * d.x)}, {foot.x + h * (d.x + 0.5f * d.y), foot.y + h * (d.y - 0.5f * d.x)}, tone::accent);
  }
  draw->PopClipRect();
  const std::string legend = in_units(s.assessed->study->job.units, joint.crown < 0 ? say("{} mm wide, hollow {} mm · heights ×{}", mm(joint.width, 0), mm(-joint.crown, 2), number_text(tall)) : say("{} mm wide, crown {} mm · heights ×{}", mm(joint.width, 0), mm(joint.crown, 2), number_text(tall)));
  draw->AddText({at.x + 0.3f * s.em, at.y + 0.1f * s.em}, tone::ink, in_units(s.assessed->study->job.units, legend).c_str());
}

/// Light at the place seen worst; worked out once for a joint and a time.
void find_ray(Sight& s, const JointResult& joint, const SurfaceResult& surface) {
  if (joint.worst < 0) {
    s.desk.ray_normal = 0;
    return;
  }
  const Seen& seen = joint.seen[joint.worst];
  const std::string key = fmt::format("{}|{}|{}|{}", joint.joint.line.id, seen.moment, s.assessed->generation, s.assessed->text);
  if (key == s.desk.ray_key) return;
  s.desk.ray_key = key;
  const JointLine& line = joint.joint.line;
  const LightVector e = total_light(s.assessed->study->lighting[static_cast<std::size_t>(seen.moment)], surface.surface, line.from + seen.station * line.along());
  s.desk.ray_across = glm::dot(e.tangential(), line.across());
  s.desk.ray_normal = e.n;
}

/// One undo step, when the slider is let go.
void slid(Sight& s, bool changed, const std::vector<Edit>& edits) {
  if (changed) {
    s.model.attempt(edits);
    s.model.moving = true;
  }
}

void sliders(Sight& s, const JointResult& joint, const SurfaceResult& surface) {
  const Study& study = *s.assessed->study;
  // while something is dragged, its own value is the latest
  const Study& now = s.study() ? *s.study() : study;
  const int index = now.room.find(study.room.surfaces[surface.surface].name);
  const int place = index >= 0 ? now.room.surfaces[index].spec : -1;
  if (place < 0) return;
  const SurfaceSpec& spec = now.job.surfaces[place];
  const JointLine& line = joint.joint.line;
  const std::string face = *spec.name;
  ImGui::PushItemWidth(10 * s.em);
  static constexpr ImGuiSliderFlags typed_too = ImGuiSliderFlags_AlwaysClamp;
  if (joins_sheets(line.kind)) {
    const bool inches = now.job.units == Units::inch;
    const double unit = inches ? mm_per_inch * m_per_mm : m_per_mm;
    double wide = joint.width;
    for (const JointSpec& j : now.job.joints)
      if (*j.id == line.id && j.width.given) wide = *j.width;
    auto width = static_cast<float>(wide / unit);
    const double step = inches ? 0.5 : 10;
    const bool widened = ImGui::SliderFloat(((inches ? say("width, in") : say("width, mm")) + "###width").c_str(), &width, inches ? 4.0f : 100.0f, inches ? 48.0f : 1200.0f, inches ? "%.1f" : "%.0f", typed_too);
    slid(s, widened, {{"joint", line.id, "width", length_value(now.job.units, std::round(static_cast<double>(width) / step) * step * unit)}});
    s.mark("slider width");
    tip(say("How wide this joint is feathered. Ctrl and click to type it."));
    const bool recess = is_recess(line.kind);
    auto crown = static_cast<float>(joint.crown / unit);
    const MeasuredSpec measured = now.job.finishing.measured.value_or(MeasuredSpec{});
    const std::vector<double>& list = recess ? *measured.recessed_crown : *measured.butt_crown;
    if (!list.empty()) crown = static_cast<float>(std::accumulate(list.begin(), list.end(), 0.0) / static_cast<double>(list.size()) / unit);
    // one number would throw away what was measured on several joints
    ImGui::BeginDisabled(list.size() > 1);
    const double fine = inches ? 1000 : 100;
    const bool raised = ImGui::SliderFloat(((inches ? say("crown, in") : say("crown, mm")) + "###crown").c_str(), &crown, inches ? -0.04f : -1.0f, inches ? 0.12f : 3.0f, inches ? "%.3f" : "%.2f", typed_too);
    slid(s, raised, {{"finishing", "", "workmanship", workmanship_value(now.job, crown_measured(line.kind, std::round(static_cast<double>(crown) * fine) / fine * unit), Take::instead)}});
    ImGui::EndDisabled();
    s.mark("slider crown");
    tip(list.size() > 1 ? say("The mean of what was measured on several joints; the file has them all.")
        : recess        ? say("What these hands leave on recessed joints: holds for all of them.")
                        : say("What these hands leave on butt joints: holds for all of them."));
  }
  static constexpr const char* backings[] = {"none", "butts", "recessed", "both"};
  static constexpr const char* shown_backings[] = {later("none"), later("butts"), later("recessed joints"), later("both")};
  int backing = static_cast<int>(*spec.backing);
  slid(s, ImGui::SliderInt((say("backing") + "###backing").c_str(), &backing, 0, 3, std::string(phrase(shown_backings[std::clamp(backing, 0, 3)])).c_str(), typed_too | ImGuiSliderFlags_NoInput), {{"surface", face, "backing", text_value(backings[std::clamp(backing, 0, 3)])}});
  s.mark("slider backing");
  tip(say("A board behind: butts pulled in against it leave a recess to fill; behind recessed joints it holds the first season's peaking down."));
  const std::vector<std::string> paints = paint_ids();
  const auto found = std::find(paints.begin(), paints.end(), *spec.paint.name);
  int sheen = found == paints.end() ? 0 : static_cast<int>(found - paints.begin());
  const std::string name = found == paints.end() ? say("own gloss") : std::string(phrase(*found));
  const bool changed = ImGui::SliderInt((say("sheen") + "###sheen").c_str(), &sheen, 0, static_cast<int>(paints.size()) - 1, name.c_str(), typed_too | ImGuiSliderFlags_NoInput);
  slid(s, changed, {{"surface", face, spec.paint.klass.given ? "paint.class" : "paint", text_value(paints[static_cast<std::size_t>(std::clamp(sheen, 0, static_cast<int>(paints.size()) - 1))])}});
  s.mark("slider sheen");
  tip(say("The paint: gloss adds a shine that a slope turns away from the eye."));
  ImGui::PopItemWidth();
}

void rule_answer(Units units, const JointResult& joint) {
  if (joint.rules.empty()) return;
  std::string line = say("A straightedge over it, level:") + " ";
  for (const RuleReadings& r : joint.rules) line += in_units(units, say("{} mm under {} mm", mm(r.balanced, 1), mm(r.base, 0))) + (&r == &joint.rules.back() ? "." : ", ");
  wrapped_text(line);
  int in = 0, judged = 0;
  const StraightedgeReading* out = nullptr;
  for (const StraightedgeReading& r : joint.straightedge) {
    if (!r.limit) continue;
    ++judged;
    in += r.ok;
    if (!r.ok && (!out || r.own)) out = &r;
  }
  if (judged > 0) {
    std::string said = say("Within {} of {} published limits", in, judged);
    if (out) said += say("; over {}: {} mm where {} mm is allowed under {} mm", out->limit->id.starts_with(out->limit->country) ? out->limit->id : out->limit->country + " " + out->limit->id, mm(out->gap, 1), mm(out->limit->gap, 1), mm(out->limit->base, 0));
    wrapped_text(in_units(units, said + "."));
  }
}

}  // namespace

void joint_details(Sight& s, const JointResult& joint, const SurfaceResult& surface) {
  const Study& study = *s.assessed->study;
  find_ray(s, joint, surface);
  draw_section(s, joint);
  if (joint.worst >= 0) {
    const Seen& seen = joint.seen[joint.worst];
    wrapped_text(say("{}, worst {}, seen {}. The light rakes {}× ({}× across it).", upper_first(kind_words(joint.joint.line.kind)), when_text(study.job.moments[static_cast<std::size_t>(seen.moment)]),
                                       where_text(study.viewers[static_cast<std::size_t>(seen.viewer)].name), fixed_text(seen.raking_ratio, 1), fixed_text(std::abs(seen.across_ratio), 1)));
    if (seen.mirrored()) wrapped_text(say("Seen by what the paint mirrors more than by shade: a flatter paint lessens it."));
    if (button(s, "go to worst", say("Go there and then"))) {
      s.model.moment = study.job.moments[static_cast<std::size_t>(seen.moment)];
      s.model.place = place_of(study, study.viewers[static_cast<std::size_t>(seen.viewer)]);
    }
    tip(say("The time and place at which this joint is seen worst."));
  }
  sliders(s, joint, surface);
  rule_answer(study.job.units, joint);
}

void measured_details(Sight& s, const JointResult& joint, const SurfaceResult& surface) {
  Model& m = s.model;
  ImGui::Spacing();
  text(say("What was measured"));
  ImGui::Separator();
  const Units units = s.assessed->study->job.units;
  const bool inches = units == Units::inch;
  const double unit = inches ? mm_per_inch * m_per_mm : m_per_mm;
  double gap = m.gap / unit, base = m.base / unit;
  ImGui::PushItemWidth(6 * s.em);
  ImGui::InputDouble(((inches ? say("gap, in") : say("gap, mm")) + "###gap").c_str(), &gap, 0, 0, inches ? "%.3f" : "%.2f");
  s.mark("measured gap");
  tip(say("The largest gap between straightedge and wall, by feeler gauge or wedge."));
  ImGui::InputDouble(((inches ? say("under a rule of, in") : say("under a rule of, mm")) + "###base").c_str(), &base, 0, 0, inches ? "%.1f" : "%.0f");
  s.mark("measured base");
  tip(say("How long the straightedge is; it lies across the joint, level, its middle on the joint."));
  ImGui::PopItemWidth();
  if (std::isfinite(gap)) m.gap = std::clamp(gap * unit, 0.0, 0.010);
  if (std::isfinite(base)) m.base = std::clamp(base * unit, 0.050, 2.5);
  ImGui::Checkbox((say("a hollow: the gap is in the middle") + "###hollow").c_str(), &s.desk.hollow);
  s.mark("measured hollow");
  tip(say("Ticked: the straightedge rests on both sides and gaps over the joint. Else it rocks on the crown and gaps at its ends."));
  const auto judge = [&](const std::optional<RuleGap>& under_rule, const std::string& csv) {
    s.wishes.measure = MeasureOrder{s.assessed->study, s.assessed->text, surface.surface, joint.joint, under_rule, csv};
  };
  if (button(s, "use gap", say("Judge this gap"))) judge(RuleGap{m.gap, m.base, s.desk.hollow}, "");
  tip(say("Finds the crown that gives this gap, and judges every joint of the kind with it."));
  text(say("or a cross-section, the path of a CSV file:"));
  ImGui::SetNextItemWidth(-1);
  ImGui::InputText("##csv", &m.profile_path);
  s.mark("measured csv");
  tip(say("Heading offset_mm,height_mm, at least 7 points from left to right, the joint at 0."));
  if (!m.profile_path.empty()) {
    if (button(s, "use csv", say("Judge this section"))) judge(std::nullopt, m.profile_path);
    tip(say("Takes this joint's own shape, and judges every joint of the kind with its crown."));
  }
  if (s.desk.measured_joint != joint.joint.line.id) return;
  for (const std::string& said : s.desk.measured_said) wrapped_text(in_units(units, said + "."));
}

}  // namespace rakelight
