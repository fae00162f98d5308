#include "advice/show_field.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "assess/looks.h"
#include "board/rows.h"

namespace rakelight {
namespace {

constexpr double cell = 0.025;          // m
constexpr double look_length = 0.5;     // m
constexpr double inset = 0.15;          // m of the first node from the face's edge
constexpr int most_along = 7, most_up = 4;

std::vector<double> nodes(double lo, double hi, int most) {
  const double from = std::min(lo + inset, 0.5 * (lo + hi)), to = std::max(hi - inset, 0.5 * (lo + hi));
  const int count = std::clamp(static_cast<int>(std::ceil((to - from) / 1.0)) + 1, 2, most);
  std::vector<double> out;
  for (int i = 0; i < count; ++i) out.push_back(from + (to - from) * i / (count - 1));
  return out;
}

/// The place of v among ascending nodes: index and share.
std::pair<int, double> between(const std::vector<double>& at, double v) {
  int i = 0;
  while (i + 2 < static_cast<int>(at.size()) && at[i + 1] < v) ++i;
  const double step = at[i + 1] - at[i];
  return {i, step > 0 ? std::clamp((v - at[i]) / step, 0.0, 1.0) : 0.0};
}

bool boarded_at(const Room& room, int surface, dvec2 p) {
  if (!room.surfaces[surface].contains(p)) return false;
  for (const Window& w : room.windows)
    if (w.surface == surface && w.opening.contains(p)) return false;
  for (const Door& d : room.doors)
    if (d.surface == surface && d.opening.contains(p)) return false;
  return true;
}

}  // namespace

SurfaceResult assess_layout(const Study& study, int surface, const Layout& layout, const std::string& level, bool at_middles) {
  Study own = study;  // its light still points into the first one's room
  own.layouts[static_cast<std::size_t>(surface)] = layout;
  const std::string prefix = study.room.surfaces[static_cast<std::size_t>(surface)].name + "/";
  std::erase_if(own.job.joints, [&](const JointSpec& joint) { return joint.id->starts_with(prefix); });
  const Finish finish{layout.run, level};
  if (!at_middles) return assess_surface(own, surface, finish);
  std::vector<std::vector<Focus>> focus;
  for (const JointLine& line : layout.joints) {
    auto& looks = focus.emplace_back();
    for (int m = 0; m < static_cast<int>(study.moments.size()); ++m)
      for (const int v : viewers_of(study, surface)) looks.push_back({m, v, 0.5 * line.length()});
  }
  return assess_surface_at(own, surface, finish, focus);
}

ShowField::ShowField(const Study& study, int surface, const std::string& level) {
  const Surface& face = study.room.surfaces[surface];
  const SurfaceSpec& spec = study.job.surfaces[face.spec];
  const bool backed = *spec.backing == BackingSpec::butts || *spec.backing == BackingSpec::both;
  const std::vector<double> xs = nodes(face.box.lo.x, face.box.hi.x, most_along), ys = nodes(face.box.lo.y, face.box.hi.y, most_up);
  std::array<std::vector<double>, 4> at;
  for (int k = 0; k < 4; ++k) {
    const bool end = k >= 2, along_x = k % 2 == 0;
    Layout layout;
    layout.run = along_x != end ? Run::horizontal : Run::upright;
    std::vector<std::size_t> node;
    for (std::size_t j = 0; j < ys.size(); ++j)
      for (std::size_t i = 0; i < xs.size(); ++i) {
        const dvec2 p{xs[i], ys[j]};
        if (!boarded_at(study.room, surface, p)) continue;
        const dvec2 half = 0.5 * look_length * (along_x ? dvec2(1, 0) : dvec2(0, 1));
        JointLine line;
        line.id = face.name + "/?" + std::to_string(layout.joints.size() + 1);
        line.surface = surface;
        line.kind = end ? (backed ? JointKind::backed_butt : JointKind::butt) : kind_of_edges(*spec.edge);
        line.from = glm::max(p - half, face.box.lo);
        line.to = glm::min(p + half, face.box.hi);
        line.room_left = line.room_right = 10;
        layout.joints.push_back(line);
        node.push_back(j * xs.size() + i);
      }
    const SurfaceResult result = assess_layout(study, surface, layout, level, true);
    looks_ += static_cast<int>(layout.joints.size());
    std::vector<double>& chance = at[static_cast<std::size_t>(k)];
    chance.assign(xs.size() * ys.size(), -1);
    for (std::size_t n = 0; n < node.size(); ++n) chance[node[n]] = result.joints[n].worst < 0 ? 0 : result.joints[n].chance_shows;
    const std::vector<double> known = chance;
    for (std::size_t a = 0; a < known.size(); ++a) {
      double nearest = std::numeric_limits<double>::infinity();
      for (std::size_t b = 0; known[a] < 0 && b < known.size(); ++b) {
        const dvec2 apart{xs[a % xs.size()] - xs[b % xs.size()], ys[a / xs.size()] - ys[b / xs.size()]};
        if (known[b] < 0 || glm::length(apart) >= nearest) continue;
        nearest = glm::length(apart);
        chance[a] = known[b];
      }
      chance[a] = std::max(chance[a], 0.0);
    }
  }
  fill(face.box, [&](JointClass c, bool along_x, dvec2 p) {
    const std::vector<double>& v = at[index(c, along_x)];
    const auto [i, s] = between(xs, p.x);
    const auto [j, t] = between(ys, p.y);
    auto node = [&](int a, int b) { return v[static_cast<std::size_t>(b) * xs.size() + static_cast<std::size_t>(a)]; };
    return (1 - t) * ((1 - s) * node(i, j) + s * node(i + 1, j)) + t * ((1 - s) * node(i, j + 1) + s * node(i + 1, j + 1));
  });
}

ShowField::ShowField(Rect box, const Chance& chance) { fill(box, chance); }

void ShowField::fill(Rect box, const Chance& chance) {
  box_ = box;
  for (const JointClass c : {JointClass::long_edge, JointClass::end})
    for (const bool along_x : {true, false}) {
      Table& t = tables_[index(c, along_x)];
      t.start = along_x ? box.lo.x : box.lo.y;
      t.first = along_x ? box.lo.y : box.lo.x;
      t.cells = std::max(1, static_cast<int>(std::ceil((along_x ? box.width() : box.height()) / cell)));
      t.lines = static_cast<int>(std::ceil((along_x ? box.height() : box.width()) / cell)) + 1;
      t.sums.assign(static_cast<std::size_t>(t.lines) * (t.cells + 1), 0);
      for (int l = 0; l < t.lines; ++l)
        for (int i = 0; i < t.cells; ++i) {
          const double along = t.start + (i + 0.5) * cell, across = t.first + l * cell;
          double* row = t.sums.data() + static_cast<std::size_t>(l) * (t.cells + 1);
          row[i + 1] = row[i] + cell * chance(c, along_x, along_x ? dvec2(along, across) : dvec2(across, along));
        }
    }
}

double ShowField::sum(JointClass c, bool along_x, double across, double from, double to) const {
  const Table& t = table(c, along_x);
  const int line = std::clamp(static_cast<int>((across - t.first) / cell + 0.5), 0, t.lines - 1);
  const double* row = t.sums.data() + static_cast<std::size_t>(line) * (t.cells + 1);
  auto up_to = [&](double s) {
    const double at = std::clamp((s - t.start) / cell, 0.0, static_cast<double>(t.cells));
    const int i = std::min(static_cast<int>(at), t.cells - 1);
    return row[i] + (at - i) * (row[i + 1] - row[i]);
  };
  return up_to(to) - up_to(from);
}

double ShowField::of(const JointLine& line) const {
  const JointClass c = is_end(line.kind) ? JointClass::end : JointClass::long_edge;
  return std::abs(line.along().x) > 0.5 ? along_x(c, line.from.y, line.from.x, line.to.x) : along_y(c, line.from.x, line.from.y, line.to.y);
}

double ShowField::mean(JointClass c, bool along_x) const {
  const Table& t = table(c, along_x);
  double total = 0;
  for (int l = 0; l < t.lines; ++l) total += t.sums[static_cast<std::size_t>(l) * (t.cells + 1) + static_cast<std::size_t>(t.cells)];
  return total / (t.lines * t.cells * cell);
}

}  // namespace rakelight
