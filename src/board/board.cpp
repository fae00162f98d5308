#include "board/board.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"

namespace rakelight {
namespace {

/// "R1 to R5 and B1 to B4", as much of it as there is.
std::string numbers_of(const Layout& layout) {
  std::string out;
  for (auto [kind, letter] : {std::pair{JointKind::recessed, 'R'}, std::pair{JointKind::butt, 'B'}}) {
    const auto n = std::count_if(layout.joints.begin(), layout.joints.end(), [k = kind](const JointLine& j) { return j.kind == k; });
    if (n == 0) continue;
    out += fmt::format("{}{}1", out.empty() ? "" : " and ", letter);
    if (n > 1) out += fmt::format(" to {}{}", letter, n);
  }
  return out.empty() ? "no joints" : out;
}

void report_unmatched(const Job& job, const Room& room, const std::vector<Layout>& layouts, Diagnostics& diagnostics) {
  std::vector<std::string> ids;
  for (const Layout& layout : layouts)
    for (const JointLine& joint : layout.joints) ids.push_back(joint.id);
  for (const JointSpec& spec : job.joints) {
    const std::string& id = *spec.id;
    if (std::find(ids.begin(), ids.end(), id) != ids.end()) continue;
    const std::string near = nearest_word(id, ids);
    const int surface = room.find(id.substr(0, id.find('/')));
    std::string right = near.empty() ? "an id as assess prints it" : "did you mean " + near + "?";
    if (surface >= 0 && room.surfaces[surface].spec >= 0)
      right += fmt::format(" {} with sheets {} has {}", room.surfaces[surface].name, run_text(room, surface, layouts[surface].run),
                           numbers_of(layouts[surface]));
    else if (surface >= 0)
      right += fmt::format(" {} is not boarded", room.surfaces[surface].name);
    diagnostics.error(spec.id.at, fmt::format("there is no joint {}", id), right);
  }
}

}  // namespace

std::string run_text(const Room& room, int surface, Run run) {
  if (room.surfaces[surface].kind == Surface::Kind::wall) return run == Run::horizontal ? "horizontal" : "upright";
  // the wall that faces the long edges most squarely; of two alike the longer, then the first
  int best = 0;
  double best_facing = -1, best_length = 0;
  for (int i = 0; i < room.wall_count(); ++i) {
    const Surface& wall = room.surfaces[i];
    const double facing = std::abs(run == Run::horizontal ? wall.frame.n.x : wall.frame.n.y), length = wall.box.hi.x;
    if (facing < best_facing - 1e-9 || (facing <= best_facing + 1e-9 && length <= best_length + 1e-9)) continue;
    best = i;
    best_facing = facing;
    best_length = length;
  }
  return "towards " + room.surfaces[best].name;
}

Run requested_run(const Job& job, const Room& room, int surface) {
  const Surface& s = room.surfaces[surface];
  const SurfaceSpec& spec = job.surfaces[s.spec];
  switch (*spec.run) {
    case RunSpec::horizontal: return Run::horizontal;
    case RunSpec::upright: return Run::upright;
    case RunSpec::towards_wall: {
      const int wall = room.find(spec.run_wall);
      if (wall < 0 || wall >= room.wall_count()) break;
      const dvec3 n = room.surfaces[wall].frame.n;
      return std::abs(n.x) >= std::abs(n.y) ? Run::horizontal : Run::upright;
    }
    case RunSpec::automatic: break;
  }
  if (s.kind == Surface::Kind::wall) return Run::horizontal;
  return s.box.width() >= s.box.height() ? Run::horizontal : Run::upright;
}

std::vector<Layout> lay_all(const Job& job, const Room& room, Diagnostics& diagnostics) {
  std::vector<Layout> layouts(room.surfaces.size());
  for (std::size_t i = 0; i < room.surfaces.size(); ++i) {
    if (room.surfaces[i].spec < 0) continue;
    const int surface = static_cast<int>(i);
    layouts[i] = lay_sheets(job, room, surface, requested_run(job, room, surface));
  }
  report_unmatched(job, room, layouts, diagnostics);
  return layouts;
}

}  // namespace rakelight
