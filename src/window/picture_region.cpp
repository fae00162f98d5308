// The picture with what lies on it: caption, divider and chips, outlines, edges to drag, the plan inset.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/units.h"
#include "window/geometry.h"
#include "window/lamp_places.h"
#include "report/in_units.h"
#include "window/view.h"
#include "window/words.h"

namespace rakelight {
namespace {

constexpr double near_joint = 0.08;     // m: a click this near to a joint chooses it
constexpr float caption_high = 4.0f;    // em
constexpr double look_per_pixel = 0.004;  // rad

ImVec2 im(dvec2 v) { return {static_cast<float>(v.x), static_cast<float>(v.y)}; }

/// From the picture's pixels to the window.
struct OnScreen {
  ImVec2 at;
  double per_pixel_x, per_pixel_y;
  ImVec2 operator()(dvec2 pixel) const { return {at.x + static_cast<float>(pixel.x * per_pixel_x), at.y + static_cast<float>(pixel.y * per_pixel_y)}; }
  dvec2 pixel(dvec2 screen) const { return {(screen.x - at.x) / per_pixel_x, (screen.y - at.y) / per_pixel_y}; }
};

void face_line(ImDrawList* draw, const Sight& s, const OnScreen& to, int surface, dvec2 a, dvec2 b, ImU32 colour, float wide) {
  const auto p = pixel_on(s.pictures->camera, s.study()->room, surface, a), q = pixel_on(s.pictures->camera, s.study()->room, surface, b);
  if (p && q) draw->AddLine(to(*p), to(*q), colour, wide);
}

void outline_sheets(ImDrawList* draw, const Sight& s, const OnScreen& to, const Study& study, ImU32 colour) {
  for (const Layout& layout : study.layouts)
    for (const Sheet& sheet : layout.sheets)
      for (const auto& part : sheet.parts)
        for (std::size_t i = 0; i < part.size(); ++i) face_line(draw, s, to, sheet.surface, part[i], part[(i + 1) % part.size()], colour, 1);
}

void outline_joint(ImDrawList* draw, const Sight& s, const OnScreen& to, const Study& study, const std::string& id) {
  for (const Layout& layout : study.layouts)
    for (const JointLine& joint : layout.joints) {
      if (joint.id != id) continue;
      // two marks beside it: a line on it would hide what it shows
      const dvec2 aside = 0.22 * joint.across();
      for (const double side : {-1.0, 1.0}) face_line(draw, s, to, joint.surface, joint.from + side * aside, joint.to + side * aside, tone::accent, 1.5f);
    }
}

const JointLine* line_of(const Study& study, const std::string& id) {
  for (const Layout& layout : study.layouts)
    for (const JointLine& joint : layout.joints)
      if (joint.id == id) return &joint;
  return nullptr;
}

bool same_place(const Study& a, const Study& b, const std::string& id) {
  const JointLine *p = line_of(a, id), *q = line_of(b, id);
  return p && q && glm::length(p->from - q->from) < 1e-4 && glm::length(p->to - q->to) < 1e-4;
}

void choose_at(Sight& s, const FacePoint& hit) {
  const Study& study = *s.study();
  if (hit.surface < 0 || study.room.surfaces[hit.surface].spec < 0) return;
  s.model.surface = study.room.surfaces[hit.surface].name;
  const JointLine* best = nullptr;
  double nearest = near_joint;
  for (const JointLine& joint : study.layouts[hit.surface].joints) {
    const double along = std::clamp(glm::dot(hit.p - joint.from, joint.along()), 0.0, joint.length());
    const double distance = glm::length(hit.p - joint.from - along * joint.along());
    if (distance < nearest) nearest = distance, best = &joint;
  }
  if (best) s.model.joint = best->id;
}

/// Handles of window edges on the walls in sight; true while one is under the mouse or dragged.
bool drag_edges(Sight& s, const OnScreen& to) {
  const Study& study = *s.study();
  const Camera& camera = s.pictures->camera;
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const dvec2 mouse = s.input.mouse;
  bool any = false;
  for (std::size_t w = 0; w < study.room.windows.size(); ++w) {
    const Window& window = study.room.windows[w];
    const Rect& o = window.opening;
    const dvec2 middle = 0.5 * (o.lo + o.hi);
    struct Edge { const char* side; dvec2 at; bool upright; };
    const Edge edges[] = {{"left", {o.lo.x, middle.y}, true}, {"right", {o.hi.x, middle.y}, true}, {"sill", {middle.x, o.lo.y}, false}, {"head", {middle.x, o.hi.y}, false}};
    for (const Edge& edge : edges) {
      const std::string name = fmt::format("window {} {}", window.name, edge.side);
      const bool dragged = s.desk.drag && s.desk.drag->what == "picture " + name;
      const auto pixel = pixel_on(camera, study.room, window.surface, edge.at);
      if (!pixel && !dragged) continue;
      const ImVec2 at = pixel ? to(*pixel) : ImVec2(0, 0);
      const float r = 0.45f * s.em;
      s.mark("edge " + name, {at.x - r, at.y - r}, {at.x + r, at.y + r});
      const bool over = pixel && std::hypot(mouse.x - at.x, mouse.y - at.y) < 0.8 * s.em && ImGui::IsItemHovered();
      if (pixel) {
        draw->AddRectFilled({at.x - 0.5f * r, at.y - 0.5f * r}, {at.x + 0.5f * r, at.y + 0.5f * r}, over || dragged ? tone::accent : tone::white);
        draw->AddRect({at.x - 0.5f * r, at.y - 0.5f * r}, {at.x + 0.5f * r, at.y + 0.5f * r}, tone::ink);
      }
      if (over && ImGui::IsMouseClicked(0) && !s.desk.drag) s.desk.drag = Drag{"picture " + name, "", mouse, mouse, false};
      any = any || over || dragged;
      if (!dragged) continue;
      s.desk.drag->moved = s.desk.drag->moved || glm::length(mouse - s.desk.drag->from) > 3;
      if (!s.desk.drag->moved) continue;
      // the wall's own plane, so that an edge may leave the picture
      const dvec3 direction = camera.corner + to.pixel(mouse).x * camera.step_x + to.pixel(mouse).y * camera.step_y;
      const Frame& f = study.room.surfaces[window.surface].frame;
      const double towards = glm::dot(direction, f.n);
      if (std::abs(towards) > 1e-12) {
        const dvec2 p = f.surface_from_world(camera.eye + glm::dot(f.origin - camera.eye, f.n) / towards * direction);
        const double v = snapped(edge.upright ? p.x : p.y, ImGui::GetIO().KeyAlt, study.job.units);
        const Units units = study.job.units;
        std::vector<Edit> edits;
        const std::string side = edge.side;
        const auto put = [&](const char* key, double metres) { edits.push_back({"window", window.name, key, length_value(units, metres)}); };
        constexpr double least = 0.1;  // m of opening
        const bool roof = study.room.in_roof(window);
        const auto place = [&](dvec2 lo) { edits.push_back({"window", window.name, "place", place_value(units, lo)}); };
        if (side == "left" && v < o.hi.x - least && (roof || v >= 0)) roof ? place({v, o.lo.y}) : put("from_left", v), put("width", o.hi.x - v);
        if (side == "right" && v > o.lo.x + least) put("width", v - o.lo.x);
        if (side == "sill" && v < o.hi.y - least && (roof || v >= 0)) roof ? place({o.lo.x, v}) : put("sill", v), put("height", o.hi.y - v);
        if (side == "head" && v > o.lo.y + least) put("height", v - o.lo.y);
        if (!edits.empty()) s.model.attempt(edits);
        s.model.moving = true;
        s.desk.drag->said = in_units(units, roof ? say("{} {:.0f} mm on plan", edge.upright ? "x" : "y", v * mm_per_m)
                            : side == "left" ? say("{:.0f} mm from the wall's left end", v * mm_per_m)
                            : side == "right" ? say("{:.0f} mm to the wall's right end", (study.room.surfaces[window.surface].box.hi.x - v) * mm_per_m)
                                              : say("{:.0f} mm above the floor", v * mm_per_m));
        s.desk.drag->at = mouse;
      }
    }
  }
  return any;
}

/// Handles of the hand lamps that are lit, on the face that is looked at square on: they move along it and keep their distance from it. True
/// while one is under the mouse or dragged.
bool drag_hand_lamps(Sight& s, const OnScreen& to) {
  const Study& study = *s.study();
  const Camera& camera = s.pictures->camera;
  const int face = study.room.find(s.model.place->facing);
  if (face < 0) return false;
  const Surface& surface = study.room.surfaces[face];
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const dvec2 mouse = s.input.mouse;
  bool any = false;
  for (const LampSpec& lamp : study.job.lamps) {
    if (*lamp.kind != LampKind::hand || !lamp_lit(lamp, s.model.moment)) continue;
    const dvec3 place = lamp_place(lamp, s.model.moment);
    const double off = surface.frame.height_of(place);
    const dvec2 foot = surface.frame.surface_from_world(place);
    const std::string name = "picture lamp " + *lamp.name;
    const bool dragged = s.desk.drag && s.desk.drag->what == name;
    const auto pixel = pixel_on(camera, study.room, face, foot);
    if (off < 0 || ((!pixel || !surface.contains(foot)) && !dragged)) continue;
    const ImVec2 at = pixel ? to(*pixel) : ImVec2(0, 0);
    const float r = 0.5f * s.em;
    s.mark(name, {at.x - r, at.y - r}, {at.x + r, at.y + r});
    const bool over = pixel && std::hypot(mouse.x - at.x, mouse.y - at.y) < 0.9 * s.em && ImGui::IsItemHovered();
    if (pixel) {
      draw->AddCircleFilled(at, 0.8f * r, over || dragged ? tone::accent : tone::white, 20);
      draw->AddCircle(at, 0.8f * r, tone::ink, 20, 1.5f);
      draw->AddLine({at.x - 1.3f * r, at.y}, {at.x + 1.3f * r, at.y}, tone::ink, 1.5f);
      draw->AddLine({at.x, at.y - 1.3f * r}, {at.x, at.y + 1.3f * r}, tone::ink, 1.5f);
    }
    if (over && ImGui::IsMouseClicked(0) && !s.desk.drag) {
      s.desk.drag = Drag{name, "", mouse, mouse, false};
      s.desk.chosen = "lamp " + *lamp.name;
    }
    any = any || over || dragged;
    if (!dragged) continue;
    s.desk.drag->moved = s.desk.drag->moved || glm::length(mouse - s.desk.drag->from) > 3;
    if (!s.desk.drag->moved) continue;
    const dvec3 direction = camera.corner + to.pixel(mouse).x * camera.step_x + to.pixel(mouse).y * camera.step_y;
    const double towards = glm::dot(direction, surface.frame.n);
    if (std::abs(towards) < 1e-12) continue;
    dvec2 p = surface.frame.surface_from_world(camera.eye + glm::dot(surface.frame.origin - camera.eye, surface.frame.n) / towards * direction);
    const bool free = ImGui::GetIO().KeyAlt;
    p = glm::clamp(dvec2(snapped(p.x, free, study.job.units), snapped(p.y, free, study.job.units)), surface.box.lo, surface.box.hi);
    if (!surface.contains(p)) continue;
    s.model.attempt(lamp_moved(study.job, lamp, s.model.moment, surface.frame.world_from_surface(p, off)));
    s.model.moving = true;
    const Units units = study.job.units;
    s.desk.drag->said = surface.kind == Surface::Kind::wall ? say("{} from the left end, {} above the floor, {} off the wall", length_words(units, p.x), length_words(units, p.y), length_words(units, off))
                                                            : say("{}, {} on plan, {} off the face", length_words(units, p.x), length_words(units, p.y), length_words(units, off));
    s.desk.drag->at = mouse;
  }
  return any;
}

void look_round(Sight& s, dvec2 turn, dvec2 wheel) {
  Standpoint& p = *s.model.place;
  const Room& room = s.study()->room;
  if (p.only_facing()) return;
  dvec3 towards = glm::normalize(p.target - p.eye);
  const double yaw = -turn.x * look_per_pixel;
  towards = {std::cos(yaw) * towards.x - std::sin(yaw) * towards.y, std::sin(yaw) * towards.x + std::cos(yaw) * towards.y, towards.z};
  double pitch = std::asin(std::clamp(towards.z, -1.0, 1.0)) + turn.y * look_per_pixel;
  pitch = std::clamp(pitch, -1.4, 1.4);
  const dvec2 flat = glm::length(dvec2(towards)) > 1e-6 ? glm::normalize(dvec2(towards)) : dvec2(1, 0);
  towards = {flat.x * std::cos(pitch), flat.y * std::cos(pitch), std::sin(pitch)};
  const dvec2 to = dvec2(p.eye) + 0.25 * wheel.y * flat + 0.25 * wheel.x * dvec2(flat.y, -flat.x);
  if (room.contains(to)) p.eye = {to.x, to.y, p.eye.z};
  p.target = p.eye + towards;
  p.viewer = "here";
}

/// A line shortened to the region, whole as its tooltip then.
void fitted_text(const std::string& words) {
  const std::string fits = shortened(words, ImGui::GetContentRegionAvail().x);
  text(fits);
  if (fits != words) tip(words);
}
void soft_line(const std::string& words) {
  ImGui::PushStyleColor(ImGuiCol_Text, tone::soft);
  fitted_text(words.empty() ? " " : words);
  ImGui::PopStyleColor();
}

constexpr float chip_high = 9.5f, chip_least = 15, chip_most = 21;  // em

/// What one half is, above it: what shows is read first, then what it takes.
void chip(Sight& s, const Found* found, const HereFound* here, const std::string& name, ImVec2 at, float width) {
  if (!found) return;
  const auto words = chip_words(*found, here, s.model.surface);
  if (!words) return;
  ImGui::SetCursorScreenPos(at);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ImGui::ColorConvertU32ToFloat4(IM_COL32(168, 168, 168, 235)));
  ImGui::BeginChild(name.c_str(), {width, chip_high * s.em}, false, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_AlwaysUseWindowPadding);
  s.mark("chip " + name, at, {at.x + width, at.y + chip_high * s.em});
  if (words->verdict) {
    disc(s, *words->verdict);
    ImGui::SameLine(0, 0.4f * s.em);
  }
  fitted_text(words->shows);
  tip(say("From the worst of the job's times and places to stand."));
  fitted_text(words->what);
  soft_line(words->sheets);
  soft_line(words->hours);
  tip(say("Taping, coats and sanding of this face: an estimate, no labour rate was verified."));
  soft_line(words->here);
  if (button(s, "keep " + name, say("Keep this side"))) s.model.keep_side(name == "right");
  tip(name == "right" ? say("Makes the right half the job, as one step (K).") : say("Takes the right half away, as one step (C)."));
  ImGui::EndChild();
  ImGui::PopStyleColor();
}

/// The two chips beside the divider, clear of each other and of the plan at the top left.
void chips(Sight& s, ImVec2 at, ImVec2 size, float plan_right, float plan_foot) {
  const float x = at.x + static_cast<float>(s.model.divider) * size.x, gap = 0.6f * s.em, least = chip_least * s.em;
  const float wide = std::min(chip_most * s.em, std::max(least, 0.5f * (size.x - 3 * gap) - (plan_right - at.x)));
  const Found *left = s.found(), *right = s.work.right.get();
  const HereFound *left_here = s.work.left_here.get(), *right_here = s.work.right_here.get();
  if (s.model.swapped) std::swap(left, right), std::swap(left_here, right_here);
  const float right_lo = std::max(std::min(x + gap, at.x + size.x - wide - gap), plan_right + gap);
  float hi = std::min(x, right_lo) - gap, lo = std::max(hi - wide, plan_right + gap), top = at.y + gap;
  if (hi - lo < least) {
    lo = std::max(at.x + gap, hi - wide);
    hi = std::max(hi, lo + least);
    top = std::max(plan_foot, top + (hi > right_lo ? chip_high * s.em : 0)) + gap;
  }
  if (top + chip_high * s.em < at.y + size.y) chip(s, left, left_here, s.model.swapped ? "right" : "left", {lo, top}, hi - lo);
  chip(s, right, right_here, s.model.swapped ? "left" : "right", {right_lo, at.y + gap}, std::min(wide, at.x + size.x - right_lo));
}

/// The chosen joint's name beside its middle, where that is in sight.
void name_joint(ImDrawList* draw, const Sight& s, const OnScreen& to, const Study& study, const std::string& id, ImVec2 lo, ImVec2 hi) {
  const JointLine* joint = line_of(study, id);
  if (!joint) return;
  // beside the right-hand mark, clear of what the joint shows
  std::optional<ImVec2> p;
  for (const double side : {-1.0, 1.0})
    if (const auto pixel = pixel_on(s.pictures->camera, study.room, joint->surface, 0.5 * (joint->from + joint->to) + side * 0.22 * joint->across())) {
      const ImVec2 mark = to(*pixel);
      if (!p || mark.x > p->x) p = mark;
    }
  if (!p) return;
  const auto slash = id.rfind('/');
  const std::string name = slash == std::string::npos ? id : id.substr(slash + 1);
  const float pad = 0.3f * s.em;
  const ImVec2 size = ImGui::CalcTextSize(name.c_str()), q{p->x + 2 * pad, p->y - 0.5f * size.y};
  if (q.x - pad < lo.x || q.x + size.x + pad > hi.x || q.y < lo.y || q.y + size.y > hi.y) return;
  draw->AddRectFilled({q.x - pad, q.y}, {q.x + size.x + pad, q.y + size.y}, IM_COL32(168, 168, 168, 200));
  draw->AddText(q, tone::ink, name.c_str());
}

}  // namespace

void picture_region(Sight& s, const Region& r) {
  begin_region("picture", r, tone::surround);
  Model& m = s.model;
  const float foot = std::min(caption_high * s.em, 0.4f * r.size.y);
  const ImVec2 at{r.at.x + 0.5f * s.em, r.at.y + 0.5f * s.em}, size{std::max(1.0f, r.size.x - s.em), std::max(1.0f, r.size.y - foot - 0.5f * s.em)};
  s.mark("picture", at, {at.x + size.x, at.y + size.y});
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const bool pair = m.right_text().has_value();
  ImGui::SetCursorScreenPos(at);
  ImGui::SetItemAllowOverlap();
  ImGui::InvisibleButton("the picture", size);
  ImGui::SetItemAllowOverlap();
  const bool hovered = ImGui::IsItemHovered(), active = ImGui::IsItemActive(), pressed = ImGui::IsItemClicked(0);
  if (s.pictures && s.left) {
    const Pictures& p = *s.pictures;
    ImTextureID left = s.left, right = pair && s.right ? s.right : s.left;
    if (m.swapped) std::swap(left, right);
    const float split = pair ? static_cast<float>(m.divider) : 1;
    const float x = at.x + split * size.x;
    draw->AddImage(left, at, {x, at.y + size.y}, {0, 0}, {split, 1});
    if (pair) draw->AddImage(right, {x, at.y}, {at.x + size.x, at.y + size.y}, {split, 0}, {1, 1});
    const OnScreen to{at, static_cast<double>(size.x) / p.view.width, static_cast<double>(size.y) / p.view.height};
    draw->PushClipRect(at, {at.x + size.x, at.y + size.y}, true);
    const Study* study = s.study();
    const Study* other = s.work.right ? s.work.right->study.get() : study;
    if (study) {
      if (m.outlines) {
        draw->PushClipRect(at, {x, at.y + size.y}, true);
        outline_sheets(draw, s, to, m.swapped && other ? *other : *study, IM_COL32(30, 30, 30, 150));
        draw->PopClipRect();
        if (pair && other) {
          draw->PushClipRect({x, at.y}, {at.x + size.x, at.y + size.y}, true);
          outline_sheets(draw, s, to, m.swapped ? *study : *other, IM_COL32(30, 30, 30, 150));
          draw->PopClipRect();
        }
      }
      // a joint of the other half may be another under the same name
      const auto mark_joint = [&](const Study& half, float from, float until) {
        draw->PushClipRect({from, at.y}, {until, at.y + size.y}, true);
        outline_joint(draw, s, to, half, m.joint);
        name_joint(draw, s, to, half, m.joint, {from, at.y}, {until, at.y + size.y});
        draw->PopClipRect();
      };
      if (!m.joint.empty()) {
        mark_joint(m.swapped && other ? *other : *study, at.x, x);
        if (pair && other && same_place(*study, *other, m.joint)) mark_joint(m.swapped ? *study : *other, x, at.x + size.x);
      }
      ImGui::SetCursorScreenPos(at);
      const bool lamp = m.place && m.place->only_facing() && drag_hand_lamps(s, to);
      const bool edge = m.place && m.place->only_facing() && !pair && drag_edges(s, to);
      if (pressed && !edge && !lamp && !s.desk.drag) {
        const bool divides = pair && std::abs(s.input.mouse.x - x) < 0.6 * s.em;
        s.desk.drag = Drag{divides ? "divider" : "look", "", s.input.mouse, s.input.mouse, false};
      }
      if (s.desk.drag && s.desk.drag->what == "divider") m.divider = std::clamp((s.input.mouse.x - at.x) / size.x, 0.05, 0.95);
      if (s.desk.drag && s.desk.drag->what == "look" && active) {
        const ImVec2 delta = ImGui::GetIO().MouseDelta;
        if (ImGui::IsMouseDragging(0, 3) && (delta.x != 0 || delta.y != 0) && m.place) {
          look_round(s, {delta.x, delta.y}, dvec2(0));
          m.moving = !m.place->only_facing();
          s.desk.drag->said = "look";
        }
      }
      if (hovered && (s.input.wheel.x != 0 || s.input.wheel.y != 0) && m.place) look_round(s, dvec2(0), s.input.wheel);
      if (s.desk.drag && !s.input.buttons[0] && s.desk.drag->what == "look" && s.desk.drag->said.empty())
        choose_at(s, face_at(p.camera, study->room, to.pixel(s.input.mouse)));
    }
    if (pair) {
      draw->AddRectFilled({x - 1, at.y}, {x + 1, at.y + size.y}, tone::ink);
      draw->AddRectFilled({x - 0.35f * s.em, at.y + 0.5f * size.y - s.em}, {x + 0.35f * s.em, at.y + 0.5f * size.y + s.em}, tone::ink);
      s.mark("divider", {x - 0.35f * s.em, at.y + 0.5f * size.y - s.em}, {x + 0.35f * s.em, at.y + 0.5f * size.y + s.em});
    }
    draw->PopClipRect();
    // the caption, which goes into exports too
    if (study) {
      float y = at.y + size.y + 0.35f * s.em;
      ImGui::PushClipRect({at.x, y}, {at.x + size.x, r.at.y + r.size.y}, true);
      const float free = size.x - (stands_free(m) && !m.plan_grown ? button_wide(say("Keep this place")) : 0);
      auto lines = caption_lines(*study, p);
      if (p.coarseness > 1) lines[0] += " · " + (s.picture_busy ? say("coarse picture, getting finer …") : say("coarse picture"));
      else if (s.picture_busy) lines[0] += " · " + say("drawing …");
      for (const std::string& line : lines) {
        draw->AddText({at.x, y}, tone::ink, shortened(line, free).c_str());
        y += 1.15f * s.em;
      }
      s.mark("caption", {at.x, at.y + size.y}, {at.x + size.x, y});
      ImGui::PopClipRect();
      if (stands_free(m) && !m.plan_grown) {
        const std::string keep = say("Keep this place");
        ImGui::SetCursorScreenPos({std::max(at.x, at.x + size.x - button_wide(keep)), at.y + size.y + 0.5f * s.em});
        if (button(s, "keep this place", keep, s.desk.placing)) act(s, Action::keep_place);
        tip(say("Makes it one of the job's places to stand, with a name, as one undo step (N)."));
      }
    }
  } else {
    std::string text = s.work.doing.empty() ? say("Drawing the first picture …") : upper_first(s.work.doing) + " …";
    // what the picture waits for once the room's light is there
    if (s.study() && s.preparing.done < s.preparing.all) text = say("Getting the graphics card ready: {} of {} …", s.preparing.done, s.preparing.all);
    if (s.found() && s.found()->broken()) text.clear();
    draw->AddText({at.x + std::max(0.0f, 0.5f * (size.x - ImGui::CalcTextSize(text.c_str()).x)), at.y + 0.5f * size.y}, tone::ink, text.c_str());
  }
  if (s.desk.drag && !s.desk.drag->said.empty() && s.desk.drag->said != "look") {
    const ImVec2 p = im(s.desk.drag->at), wide = ImGui::CalcTextSize(s.desk.drag->said.c_str());
    ImDrawList* over = ImGui::GetForegroundDrawList();
    const ImVec2 q{std::min(p.x + s.em, at.x + size.x - wide.x - s.em), p.y - 2 * s.em};
    over->AddRectFilled({q.x - 0.4f * s.em, q.y - 0.2f * s.em}, {q.x + wide.x + 0.4f * s.em, q.y + wide.y + 0.2f * s.em}, tone::ink);
    over->AddText(q, tone::white, s.desk.drag->said.c_str());
  }
  const bool found = s.found() && !s.found()->broken();
  constexpr float inset = 11, margin = 0.6f;  // em
  const bool plan = size.x > 30 * s.em && size.y > 14 * s.em;
  if (m.plan_grown) {
    plan_grown(s, {at, size});
  } else {
    if (plan) plan_inset(s, {{at.x + margin * s.em, at.y + margin * s.em}, {inset * s.em, inset * s.em}});
    const ImVec2 corner{at.x + (plan ? margin + inset : 0) * s.em, at.y + (plan ? margin + inset : 0) * s.em};
    if (found && pair && r.size.x > 40 * s.em && size.y > (chip_high + 1) * s.em) chips(s, at, size, corner.x, corner.y);
  }
  end_region();
}

}  // namespace rakelight
