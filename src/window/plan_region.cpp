// The room in plan: an inset to choose a wall or a place by, and grown over the picture to move things in.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include <imgui.h>
#include <imgui_stdlib.h>

#include "base/inches.h"
#include "base/units.h"
#include "job/tree.h"
#include "job/values.h"
#include "window/geometry.h"
#include "window/lamp_places.h"
#include "window/view.h"
#include "window/words.h"

namespace rakelight {
namespace {

struct OnPlan {
  ImVec2 at;
  double scale;
  dvec2 lo, hi;
  ImVec2 operator()(dvec2 p) const { return {at.x + static_cast<float>((p.x - lo.x) * scale), at.y + static_cast<float>((hi.y - p.y) * scale)}; }
  dvec2 plan(dvec2 screen) const { return {lo.x + (screen.x - at.x) / scale, hi.y - (screen.y - at.y) / scale}; }
};

OnPlan fit(const Room& room, const Region& r, float margin) {
  dvec2 lo(1e30), hi(-1e30);
  for (dvec2 p : room.plan) lo = glm::min(lo, p), hi = glm::max(hi, p);
  const double scale = std::max(1e-6, std::min((r.size.x - 2 * margin) / (hi.x - lo.x), (r.size.y - 2 * margin) / (hi.y - lo.y)));
  const ImVec2 at{r.at.x + 0.5f * (r.size.x - static_cast<float>((hi.x - lo.x) * scale)), r.at.y + 0.5f * (r.size.y - static_cast<float>((hi.y - lo.y) * scale))};
  return {at, scale, lo, hi};
}

/// Eaves and fins before a window, cut off at a little more than the room where they have no end.
void draw_shades(ImDrawList* draw, const OnPlan& to, const Room& room, const Window& w, float line) {
  const Frame& f = room.surfaces[w.surface].frame;
  const WindowShades& shades = w.shades;
  const double past = 0.6;  // m drawn past the opening
  const auto at = [&](double x, double out) { return to(dvec2(f.world_from_surface({x, 0}, -w.reveal - out))); };
  if (shades.eaves > 0) {
    const double lo = std::max(shades.eaves_lo, w.opening.lo.x - past), hi = std::min(shades.eaves_hi, w.opening.hi.x + past);
    draw->AddLine(at(lo, shades.eaves), at(hi, shades.eaves), tone::soft, line);
    draw->AddLine(at(lo, 0), at(lo, shades.eaves), tone::soft, line);
    draw->AddLine(at(hi, 0), at(hi, shades.eaves), tone::soft, line);
  }
  if (shades.left > 0) draw->AddLine(at(shades.left_x, 0), at(shades.left_x, shades.left), tone::ink, 2 * line);
  if (shades.right > 0) draw->AddLine(at(shades.right_x, 0), at(shades.right_x, shades.right), tone::ink, 2 * line);
}

/// The room's outline, openings, lamps, sun; walls and places that can be clicked.
void draw_plan(Sight& s, const OnPlan& to, bool grown) {
  const Study& study = *s.study();
  const Room& room = study.room;
  const Model& m = s.model;
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const float line = std::max(1.5f, 0.14f * s.em);
  for (int i = 0; i < room.wall_count(); ++i) {
    const dvec2 a = room.plan[static_cast<std::size_t>(i)], b = room.plan[static_cast<std::size_t>((i + 1) % room.wall_count())];
    const bool faced = m.place && m.place->facing == room.surfaces[i].name, subject = m.surface == room.surfaces[i].name;
    draw->AddLine(to(a), to(b), faced || subject ? tone::accent : tone::ink, faced ? 2.5f * line : line);
    const ImVec2 p = to(a), q = to(b);
    const float pad = 0.5f * s.em;
    if (grown) {
      const std::string name = fmt::format("{} {}", room.surfaces[i].name, length_words(study.job.units, glm::length(b - a)));
      const ImVec2 size = ImGui::CalcTextSize(name.c_str()), middle{p.x + 0.8f * (q.x - p.x), p.y + 0.8f * (q.y - p.y)};  // the sun's arrow points at the middle
      const dvec3 out = -room.surfaces[i].frame.n;
      const float off = 0.7f * s.em;
      const ImVec2 centre{middle.x + static_cast<float>(out.x) * (0.5f * size.x + off), middle.y - static_cast<float>(out.y) * (0.5f * size.y + off)};
      draw->AddText({centre.x - 0.5f * size.x, centre.y - 0.5f * size.y}, tone::soft, name.c_str());
    }
    s.mark("wall " + room.surfaces[i].name, {std::min(p.x, q.x) - pad, std::min(p.y, q.y) - pad}, {std::max(p.x, q.x) + pad, std::max(p.y, q.y) + pad});
  }
  const auto on_wall = [&](int surface, double x) {
    const dvec3 w = room.surfaces[surface].frame.world_from_surface({x, 0});
    return dvec2(w.x, w.y);
  };
  for (const Window& w : room.windows) {
    if (room.in_roof(w)) {
      // over the room: dashed, as what lies above the cut of a plan
      const dvec2 c[] = {w.opening.lo, {w.opening.hi.x, w.opening.lo.y}, w.opening.hi, {w.opening.lo.x, w.opening.hi.y}};
      for (int i = 0; i < 4; ++i) {
        const dvec2 a = c[i], b = c[(i + 1) % 4];
        const int dashes = std::max(2, static_cast<int>(glm::length(b - a) * to.scale / (0.5 * s.em)));
        for (int k = 0; k < dashes; ++k) draw->AddLine(to(a + (b - a) * (k / double(dashes))), to(a + (b - a) * ((k + 0.6) / dashes)), tone::ink, 0.6f * line);
      }
      continue;
    }
    draw_shades(draw, to, room, w, 0.6f * line);
    draw->AddLine(to(on_wall(w.surface, w.opening.lo.x)), to(on_wall(w.surface, w.opening.hi.x)), tone::white, 2.2f * line);
    draw->AddLine(to(on_wall(w.surface, w.opening.lo.x)), to(on_wall(w.surface, w.opening.hi.x)), tone::ink, 0.6f * line);
  }
  for (const Door& d : room.doors) draw->AddLine(to(on_wall(d.surface, d.opening.lo.x)), to(on_wall(d.surface, d.opening.hi.x)), tone::line, 2.2f * line);
  for (const LampSpec& lamp : study.job.lamps) {
    const dvec3 at = lamp_place(lamp, m.moment);
    const ImVec2 p = to({at.x, at.y});
    const float r = 0.3f * s.em;
    draw->AddLine({p.x - r, p.y}, {p.x + r, p.y}, tone::ink, 1.5f);
    draw->AddLine({p.x, p.y - r}, {p.x, p.y + r}, tone::ink, 1.5f);
    draw->AddCircle(p, 0.75f * r, tone::ink, 12);
    s.mark("lamp " + *lamp.name, {p.x - r, p.y - r}, {p.x + r, p.y + r});
    if (grown) draw->AddText({p.x + 0.5f * s.em, p.y - 0.5f * s.em}, tone::ink, lamp.name->c_str());
  }
  for (const Viewer& v : study.viewers) {
    const ImVec2 p = to({v.eye.x, v.eye.y});
    const bool here = m.place && m.place->viewer == v.name && glm::length(m.place->eye - v.eye) < 1e-3;
    const float r = 0.3f * s.em;
    draw->AddCircleFilled(p, r, here ? tone::accent : tone::soft, 12);
    s.mark(fmt::format("viewer {}{}", v.name, v.only_surface >= 0 ? " " + room.surfaces[v.only_surface].name : ""), {p.x - r, p.y - r}, {p.x + r, p.y + r});
    if (grown && v.only_surface < 0) {
      const float wide = ImGui::CalcTextSize(v.name.c_str()).x;
      const bool room_right = p.x + 0.5f * s.em + wide < to(to.hi).x;
      draw->AddText({room_right ? p.x + 0.5f * s.em : p.x - 0.5f * s.em - wide, p.y - 0.5f * s.em}, tone::ink, v.name.c_str());
    }
  }
  if (m.place) {
    const ImVec2 p = to({m.place->eye.x, m.place->eye.y});
    const dvec2 towards = dvec2(m.place->target) - dvec2(m.place->eye);
    if (glm::length(towards) > 1e-6) {
      const dvec2 d = glm::normalize(towards);
      const float far = 1.4f * s.em;
      draw->AddCircleFilled(p, 0.32f * s.em, tone::accent, 12);
      for (const double turn : {-0.5, 0.5}) {
        const dvec2 e{std::cos(turn) * d.x - std::sin(turn) * d.y, std::sin(turn) * d.x + std::cos(turn) * d.y};
        draw->AddLine(p, {p.x + far * static_cast<float>(e.x), p.y - far * static_cast<float>(e.y)}, tone::accent, 1.5f);
      }
    }
  }
  // where the sun comes from
  if (s.work.left_here && s.work.left_here->moment && s.work.left_here->moment->sky.sun_up) {
    const dvec3 sun = s.work.left_here->moment->sky.sun_direction;
    const dvec2 d = glm::length(dvec2(sun)) > 1e-9 ? glm::normalize(dvec2(sun)) : dvec2(0, 1);
    const dvec2 middle = 0.5 * (to.lo + to.hi);
    const ImVec2 c = to(middle);
    const dvec2 half = 0.5 * (to.hi - to.lo);  // to the room's edge, and a little on
    const float reach = static_cast<float>(to.scale * std::min(half.x / std::max(1e-9, std::abs(d.x)), half.y / std::max(1e-9, std::abs(d.y)))) + (grown ? 1.7f : 0.5f) * s.em;  // clear of the walls' names
    const ImVec2 tail{c.x + (reach + 1.2f * s.em) * static_cast<float>(d.x), c.y - (reach + 1.2f * s.em) * static_cast<float>(d.y)};
    const ImVec2 tip_at{c.x + reach * static_cast<float>(d.x), c.y - reach * static_cast<float>(d.y)};
    draw->AddLine(tail, tip_at, tone::ink, 1.5f);
    const ImVec2 u{static_cast<float>(d.x), -static_cast<float>(d.y)}, n{-u.y, u.x};
    const float h = 0.5f * s.em;
    draw->AddTriangleFilled(tip_at, {tip_at.x + h * u.x + 0.5f * h * n.x, tip_at.y + h * u.y + 0.5f * h * n.y}, {tip_at.x + h * u.x - 0.5f * h * n.x, tip_at.y + h * u.y - 0.5f * h * n.y}, tone::ink);
    draw->AddCircle(tail, 0.4f * s.em, tone::ink, 12);
  }
}

void click_plan(Sight& s, const OnPlan& to) {
  const Study& study = *s.study();
  Model& m = s.model;
  const dvec2 mouse = s.input.mouse;
  for (const Viewer& v : study.viewers) {
    const ImVec2 p = to({v.eye.x, v.eye.y});
    if (std::hypot(mouse.x - p.x, mouse.y - p.y) < 0.6 * s.em) {
      m.place = place_of(study, v);
      m.walking = false;
      return;
    }
  }
  const dvec2 p = to.plan(mouse);
  const int wall = study.room.nearest_wall(p);
  const Frame& f = study.room.surfaces[wall].frame;
  if (std::abs(f.height_of({p.x, p.y, 0})) * to.scale > 1.2 * s.em) return;
  m.place = facing_place(study, wall);
  if (study.room.surfaces[wall].spec >= 0) m.surface = study.room.surfaces[wall].name, m.joint.clear();
}

/// "window W1", "lamp spot", "viewer doorway" for people.
std::string chosen_words(const std::string& chosen) {
  const std::string name = chosen.substr(chosen.find(' ') + 1);
  return chosen.starts_with("window ") ? say("window {}", name) : chosen.starts_with("lamp ") ? say("lamp {}", name) : say("place {}", name);
}

/// The next field beside the last, or below it where it would be cut off.
void field_place(const Sight& s, const char* label) {
  const float wide = 6.5f * s.em + ImGui::GetStyle().ItemInnerSpacing.x + ImGui::CalcTextSize(std::string(phrase(label)).c_str()).x;
  beside_or_below(wide, ImGui::GetWindowPos().x + ImGui::GetWindowWidth() - 0.8f * s.em);
}

/// In a job in inches: typed and shown in feet and inches.
bool inches_field(Sight& s, const std::string& name, const char* label, double& metres) {
  auto& typed = s.desk.sheet.typed;
  const auto now = typed.find(name);
  std::string words = now == typed.end() ? feet_text(metres, 64) : now->second[0];
  field_place(s, label);
  ImGui::SetNextItemWidth(6.5f * s.em);
  const bool entered = ImGui::InputText(fmt::format("{}###{}", phrase(label), name).c_str(), &words, ImGuiInputTextFlags_EnterReturnsTrue);
  s.mark(name);
  if (ImGui::IsItemActive()) typed[name] = {words};
  else typed.erase(name);
  tip(say("Feet and inches, as 4' 11-1/2\", or inches alone; Enter takes it."));
  if (!entered) return false;
  typed.erase(name);
  const auto node = parse_value(words);
  const auto inches = node && node->is_number() ? std::optional(node->number) : inches_from_text(words);
  if (inches) metres = *inches * mm_per_inch * m_per_mm;
  return inches.has_value();
}

bool number_field(Sight& s, const std::string& name, const char* label, double& metres, double most) {
  if (s.study()->job.units == Units::inch) return inches_field(s, name, label, metres);
  double mm = metres * mm_per_m;
  field_place(s, label);
  ImGui::SetNextItemWidth(6.5f * s.em);
  const bool entered = ImGui::InputDouble(fmt::format("{}###{}", phrase(label), name).c_str(), &mm, 0, 0, "%.0f", ImGuiInputTextFlags_EnterReturnsTrue);
  s.mark(name);
  tip(say("Millimetres; Enter takes it."));
  if (!entered || !std::isfinite(mm)) return false;
  metres = std::clamp(mm, -most, most) * m_per_mm;
  return true;
}

/// The chosen thing's numbers, each of which can be typed.
void typed_numbers(Sight& s) {
  const Study& study = *s.study();
  Model& m = s.model;
  const Units units = study.job.units;
  constexpr double most = 1e6;
  const auto length = [&](const char* table, const std::string& name, const char* key, const char* label, double now) {
    double v = now;
    if (number_field(s, fmt::format("{} {} {}", table, name, key), label, v, most)) m.edit({{table, name, key, length_value(units, v)}});
  };
  if (s.desk.chosen.starts_with("window ")) {
    for (const Window& w : study.room.windows) {
      if ("window " + w.name != s.desk.chosen) continue;
      ImGui::AlignTextToFramePadding();
      text(units == Units::inch ? say("{}, inches:", chosen_words(s.desk.chosen)) : say("{}, mm:", chosen_words(s.desk.chosen)));
      const bool roof = study.room.in_roof(w);
      if (roof) {
        dvec2 at = w.opening.lo;
        bool entered = number_field(s, fmt::format("{} x", s.desk.chosen), "x", at.x, most);
        entered = number_field(s, fmt::format("{} y", s.desk.chosen), "y", at.y, most) || entered;
        if (entered) m.edit({{"window", w.name, "place", place_value(units, at)}});
      } else {
        length("window", w.name, "from_left", later("from left"), w.opening.lo.x);
      }
      length("window", w.name, "width", later("wide"), w.opening.width());
      if (!roof) length("window", w.name, "sill", later("sill"), w.opening.lo.y);
      length("window", w.name, "height", later("high"), w.opening.height());
      length("window", w.name, "reveal", later("reveal"), w.reveal);
    }
  } else if (s.desk.chosen.starts_with("lamp ") || s.desk.chosen.starts_with("viewer ")) {
    const bool lamp = s.desk.chosen.starts_with("lamp ");
    const std::string name = s.desk.chosen.substr(lamp ? 5 : 7);
    std::optional<dvec3> p;
    const LampSpec* spec = nullptr;
    for (const LampSpec& l : study.job.lamps)
      if (lamp && *l.name == name) spec = &l, p = lamp_place(l, m.moment);
    for (const ViewerSpec& v : study.job.viewers)
      if (!lamp && *v.name == name) p = *v.eye;
    if (!p) return;
    dvec3 q = *p;
    ImGui::AlignTextToFramePadding();
    text(units == Units::inch ? say("{}, inches:", chosen_words(s.desk.chosen)) : say("{}, mm:", chosen_words(s.desk.chosen)));
    bool entered = false;
    static constexpr const char* labels[] = {"x", "y", later("above the floor")};
    for (int i = 0; i < 3; ++i) entered = number_field(s, fmt::format("{} {}", s.desk.chosen, labels[i]), labels[i], q[i], most) || entered;
    if (entered) m.edit(spec ? lamp_moved(study.job, *spec, m.moment, q) : std::vector<Edit>{{"viewer", name, "eye", point_value(units, q)}});
  } else {
    ImGui::AlignTextToFramePadding();
    double height = study.room.height;
    text(units == Units::inch ? say("the room, inches:") : say("the room, mm:"));
    if (number_field(s, "room height now", later("high"), height, most)) m.edit({{"room", "", "height", length_value(units, height)}});
    double bearing = *study.job.site.north * deg_per_rad;
    field_place(s, later("bearing of up on the plan, degrees"));
    ImGui::SetNextItemWidth(6.5f * s.em);
    if (ImGui::InputDouble((say("bearing of up on the plan, degrees") + "###north").c_str(), &bearing, 0, 0, "%.0f", ImGuiInputTextFlags_EnterReturnsTrue) && std::isfinite(bearing))
      m.edit({{"site", "", "north", fmt::format("{:.1f}", std::clamp(bearing, 0.0, 359.9))}});
    s.mark("north");
    tip(say("North is 0, east 90, south 180, west 270: the way that the plan's upper edge looks."));
  }
}

/// What the numbers are of: the room, or any window, lamp or place, without a mouse too.
void chooser(Sight& s) {
  const Study& study = *s.study();
  std::vector<std::string> things{""};
  for (const Window& w : study.room.windows) things.push_back("window " + w.name);
  for (const LampSpec& lamp : study.job.lamps) things.push_back("lamp " + *lamp.name);
  for (const ViewerSpec& viewer : study.job.viewers) things.push_back("viewer " + *viewer.name);
  if (std::find(things.begin(), things.end(), s.desk.chosen) == things.end()) s.desk.chosen.clear();
  const auto words = [](const std::string& thing) { return thing.empty() ? say("the room") : chosen_words(thing); };
  ImGui::SetNextItemWidth(12 * s.em);
  if (ImGui::BeginCombo("###chosen thing", words(s.desk.chosen).c_str())) {
    for (const std::string& thing : things) {
      if (ImGui::Selectable((words(thing) + "###thing " + thing).c_str(), thing == s.desk.chosen)) s.desk.chosen = thing;
      s.mark("thing " + (thing.empty() ? "room" : thing));
    }
    ImGui::EndCombo();
  }
  s.mark("chosen thing");
  tip(say("Whose numbers stand below: a click on a thing in the plan chooses it too."));
}

/// Things that can be dragged in the grown plan. A window: its ends move, its middle moves it.
void drag_things(Sight& s, const OnPlan& to) {
  const Study& study = *s.study();
  Model& m = s.model;
  const Units units = study.job.units;
  const dvec2 mouse = s.input.mouse;
  const bool free = ImGui::GetIO().KeyAlt;
  ImDrawList* draw = ImGui::GetWindowDrawList();
  const auto handle = [&](const std::string& name, dvec2 at, bool square) {
    const ImVec2 p = to(at);
    const float r = 0.4f * s.em;
    const bool over = std::hypot(mouse.x - p.x, mouse.y - p.y) < 0.7 * s.em, dragged = s.desk.drag && s.desk.drag->what == "plan " + name;
    if (square) {
      draw->AddRectFilled({p.x - 0.6f * r, p.y - 0.6f * r}, {p.x + 0.6f * r, p.y + 0.6f * r}, over || dragged ? tone::accent : tone::white);
      draw->AddRect({p.x - 0.6f * r, p.y - 0.6f * r}, {p.x + 0.6f * r, p.y + 0.6f * r}, tone::ink);
    } else if (over || dragged) {
      draw->AddCircle(p, 1.3f * r, tone::accent, 16, 2);
    }
    s.mark("plan " + name, {p.x - r, p.y - r}, {p.x + r, p.y + r});
    if (over && ImGui::IsMouseClicked(0) && !s.desk.drag) {
      s.desk.drag = Drag{"plan " + name, "", mouse, mouse, false};
      s.desk.chosen = name;
      if (const auto side = name.rfind(' '); name.starts_with("window ") && (name.ends_with(" left") || name.ends_with(" right"))) s.desk.chosen = name.substr(0, side);
    }
    if (!s.desk.drag || s.desk.drag->what != "plan " + name || !s.input.buttons[0]) return false;
    s.desk.drag->moved = s.desk.drag->moved || glm::length(mouse - s.desk.drag->from) > 3;
    return s.desk.drag->moved;
  };
  const dvec2 p = to.plan(mouse);
  for (const Window& w : study.room.windows) {
    if (study.room.in_roof(w)) {
      if (!handle("window " + w.name, 0.5 * (w.opening.lo + w.opening.hi), true)) continue;
      const dvec2 half = 0.5 * (w.opening.hi - w.opening.lo), lo{snapped(p.x - half.x, free, units), snapped(p.y - half.y, free, units)};
      m.attempt({{"window", w.name, "place", place_value(units, lo)}});
      m.moving = true;
      s.desk.chosen = "window " + w.name;
      s.desk.drag->said = fmt::format("{}, {}", length_words(units, lo.x), length_words(units, lo.y));
      s.desk.drag->at = mouse;
      continue;
    }
    const Surface& wall = study.room.surfaces[w.surface];
    const auto at = [&](double x) {
      const dvec3 v = wall.frame.world_from_surface({x, 0});
      return dvec2(v.x, v.y);
    };
    const double along = wall.frame.surface_from_world({p.x, p.y, 0}).x;
    const auto put = [&](double from, double width, const std::string& said) {
      from = std::clamp(from, 0.0, wall.box.hi.x - 0.1);
      m.attempt({{"window", w.name, "from_left", length_value(units, from)}, {"window", w.name, "width", length_value(units, std::clamp(width, 0.1, wall.box.hi.x - from))}});
      m.moving = true;
      s.desk.drag->said = said;
      s.desk.drag->at = mouse;
      s.desk.chosen = "window " + w.name;
    };
    const double v = snapped(along, free, units);
    if (handle("window " + w.name + " left", at(w.opening.lo.x), true) && v < w.opening.hi.x - 0.1) put(v, w.opening.hi.x - v, say("{} from the left end", length_words(units, v)));
    if (handle("window " + w.name + " right", at(w.opening.hi.x), true) && v > w.opening.lo.x + 0.1)
      put(w.opening.lo.x, v - w.opening.lo.x, say("{} wide, {} from the right end", length_words(units, v - w.opening.lo.x), length_words(units, wall.box.hi.x - v)));
    if (handle("window " + w.name, at(0.5 * (w.opening.lo.x + w.opening.hi.x)), true)) {
      const double from = std::clamp(snapped(along - 0.5 * w.opening.width(), free, units), 0.0, wall.box.hi.x - w.opening.width());
      put(from, w.opening.width(), say("{} from the left end", length_words(units, from)));
    }
  }
  const auto inside = [&](dvec2 q) { return study.room.contains(q); };
  for (const LampSpec& lamp : study.job.lamps) {
    const dvec3 now = lamp_place(lamp, m.moment);
    if (handle("lamp " + *lamp.name, {now.x, now.y}, false)) {
      const dvec2 q{snapped(p.x, free, units), snapped(p.y, free, units)};
      s.desk.chosen = "lamp " + *lamp.name;
      m.moving = true;
      if (inside(q)) {
        const int wall = study.room.nearest_wall(q);
        m.attempt(lamp_moved(study.job, lamp, m.moment, {q.x, q.y, now.z}));
        s.desk.drag->said = say("{} off the {} wall", length_words(units, std::abs(study.room.surfaces[wall].frame.height_of({q.x, q.y, 0}))), study.room.surfaces[wall].name);
      }
      s.desk.drag->at = mouse;
    }
  }
  for (const ViewerSpec& viewer : study.job.viewers)
    if (handle("viewer " + *viewer.name, {viewer.eye->x, viewer.eye->y}, false)) {
      const dvec2 q{snapped(p.x, free, units), snapped(p.y, free, units)};
      s.desk.chosen = "viewer " + *viewer.name;
      m.moving = true;
      if (inside(q)) {
        m.attempt({{"viewer", *viewer.name, "eye", point_value(units, {q.x, q.y, viewer.eye->z})}});
        s.desk.drag->said = fmt::format("{}, {}", length_words(units, q.x), length_words(units, q.y));
      }
      s.desk.drag->at = mouse;
    }
  // corners: walls along the plan's axes stay so, unless Shift takes the corner alone
  const std::vector<dvec2>& corners = *study.job.room.corners;
  const std::size_t n = corners.size();
  for (std::size_t i = 0; i < n; ++i) {
    if (!handle(fmt::format("corner {}", i + 1), corners[i], true)) continue;
    const dvec2 q{snapped(p.x, free, units), snapped(p.y, free, units)};
    const auto edit = [&](std::size_t k, dvec2 at) { return Edit{"room", "", fmt::format("corners[{}]", k), place_value(units, at)}; };
    std::vector<Edit> edits{edit(i, q)};
    for (const std::size_t k : {(i + n - 1) % n, (i + 1) % n}) {
      const dvec2 other = corners[k], side = glm::abs(other - corners[i]);
      if (ImGui::GetIO().KeyShift) continue;
      if (side.x < 1e-6) edits.push_back(edit(k, {q.x, other.y}));
      else if (side.y < 1e-6) edits.push_back(edit(k, {other.x, q.y}));
    }
    m.moving = true;
    if (m.attempt(edits)) {
      const auto wall = [&](std::size_t k) { return study.room.surfaces[static_cast<int>(k)].name; };
      const dvec2 before = corners[(i + n - 1) % n], after = corners[(i + 1) % n];
      const auto size = [&](dvec2 other) {
        const dvec2 side = glm::abs(other - corners[i]);
        return ImGui::GetIO().KeyShift ? glm::length(other - q) : side.x < 1e-6 ? std::abs(other.y - q.y) : side.y < 1e-6 ? std::abs(other.x - q.x) : glm::length(other - q);
      };
      s.desk.drag->said = fmt::format("{} {}, {} {}", wall((i + n - 1) % n), length_words(units, size(before)), wall(i), length_words(units, size(after)));
    }
    s.desk.drag->at = mouse;
  }
}

}  // namespace

void plan_inset(Sight& s, const Region& r) {
  if (!s.study()) return;
  ImGui::SetCursorScreenPos(r.at);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ImGui::ColorConvertU32ToFloat4(IM_COL32(168, 168, 168, 235)));
  ImGui::BeginChild("plan", r.size, false, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse);
  ImGui::SetCursorScreenPos(r.at);
  const bool pressed = ImGui::InvisibleButton("plan inset", r.size);
  tip(say("Click a wall to face it, a dot to stand there. The arrow is the sun's. P grows the plan over the picture."));
  s.mark("plan inset", r.at, {r.at.x + r.size.x, r.at.y + r.size.y});
  const OnPlan to = fit(s.study()->room, r, 2.7f * s.em);
  draw_plan(s, to, false);
  if (pressed && ImGui::IsMouseReleased(0)) click_plan(s, to);  // the keyboard presses it nowhere
  ImGui::EndChild();
  ImGui::PopStyleColor();
}

void plan_grown(Sight& s, const Region& r) {
  if (!s.study()) return;
  ImGui::SetCursorScreenPos(r.at);
  ImGui::PushStyleColor(ImGuiCol_ChildBg, ImGui::ColorConvertU32ToFloat4(IM_COL32(178, 178, 178, 246)));
  ImGui::BeginChild("grown plan", r.size, false, ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_AlwaysUseWindowPadding);
  const std::string close = say("Close"), hint = say("Drag corners, windows or their ends, lamps, places to stand; with Alt finely, with Shift a corner alone.");
  chooser(s);
  ImGui::SameLine();
  ImGui::AlignTextToFramePadding();
  const std::string fits = shortened(hint, r.size.x - ImGui::GetCursorPosX() - button_wide(close) - 1.5f * s.em);
  soft_text(fits);
  if (fits != hint) tip(hint);
  ImGui::SameLine(std::max(0.0f, r.size.x - button_wide(close) - s.em));
  if (button(s, "close plan", close)) s.model.plan_grown = false;
  tip(say("Back to the picture (P)"));
  typed_numbers(s);
  const float head = ImGui::GetCursorScreenPos().y - r.at.y;
  const OnPlan to = fit(s.study()->room, {{r.at.x + 5 * s.em, r.at.y + head}, {std::max(1.0f, r.size.x - 10 * s.em), std::max(1.0f, r.size.y - head)}}, 3.9f * s.em);
  draw_plan(s, to, true);
  drag_things(s, to);
  ImGui::EndChild();
  ImGui::PopStyleColor();
}

}  // namespace rakelight
