#include "board/board.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"

namespace rakelight {
namespace {

constexpr std::array kinds{
    std::pair{JointKind::recessed, "recessed"},   std::pair{JointKind::half_round, "half-round"},
    std::pair{JointKind::square, "square"},       std::pair{JointKind::chamfered, "chamfered"},
    std::pair{JointKind::cut_to_recessed, "cut-to-recessed"}, std::pair{JointKind::cut_to_cut, "cut-to-cut"},
    std::pair{JointKind::butt, "butt"},           std::pair{JointKind::backed_butt, "backed butt"},
    std::pair{JointKind::internal_corner, "internal corner"}, std::pair{JointKind::square_set, "square-set"},
    std::pair{JointKind::external_corner, "external corner"}, std::pair{JointKind::bead, "bead"},
    std::pair{JointKind::shadow_line, "shadow-line"}, std::pair{JointKind::fixings, "fixings"}};

/// "R1 to R5 and B1 to B4", as much of it as there is.
std::string numbers_of(const Layout& layout) {
  std::vector<std::pair<char, int>> count;
  for (const JointLine& j : layout.joints) {
    const char letter = kind_letter(j.kind);
    auto at = std::find_if(count.begin(), count.end(), [&](const auto& c) { return c.first == letter; });
    if (at == count.end()) count.emplace_back(letter, 1);
    else ++at->second;
  }
  std::string out;
  for (auto [letter, n] : count) {
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

/// Gives joints the kind that their [[joint]] states; long edges cannot become ends, nor ends long edges.
void take_stated_kinds(const Job& job, std::vector<Layout>& layouts, Diagnostics& diagnostics) {
  for (const JointSpec& spec : job.joints) {
    if (!spec.kind.given) continue;
    const auto kind = kind_named(*spec.kind);
    for (Layout& layout : layouts)
      for (JointLine& joint : layout.joints) {
        if (joint.id != *spec.id || !kind) continue;
        if (is_end(*kind) == is_end(joint.kind)) joint.kind = *kind;
        else
          diagnostics.error(spec.kind.at, fmt::format("{} is a joint of sheets' {}, which cannot be {}", joint.id,
                                                      is_end(joint.kind) ? "ends" : "long edges", kind_text(*kind)),
                            is_end(joint.kind) ? "\"butt\" or \"backed butt\"" : "a kind of long edge, such as \"cut-to-recessed\"");
      }
  }
}

}  // namespace

std::string kind_text(JointKind kind) {
  for (const auto& [k, text] : kinds)
    if (k == kind) return text;
  return "";
}

std::optional<JointKind> kind_named(const std::string& text) {
  for (const auto& [kind, name] : kinds)
    if (name == text) return kind;
  return std::nullopt;
}

std::vector<std::string> kind_names() {
  std::vector<std::string> out;
  for (const auto& [kind, name] : kinds) out.emplace_back(name);
  return out;
}

char kind_letter(JointKind kind) {
  switch (kind) {
    case JointKind::recessed: return 'R';
    case JointKind::half_round: return 'H';
    case JointKind::square: return 'S';
    case JointKind::chamfered: return 'V';
    case JointKind::cut_to_recessed:
    case JointKind::cut_to_cut: return 'C';
    case JointKind::butt:
    case JointKind::backed_butt: return 'B';
    case JointKind::internal_corner: return 'I';
    case JointKind::square_set:
    case JointKind::shadow_line: return 'J';
    case JointKind::external_corner: return 'E';
    case JointKind::bead: return 'W';
    case JointKind::fixings: break;
  }
  return 'F';
}

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
  take_stated_kinds(job, layouts, diagnostics);
  return layouts;
}

}  // namespace rakelight
