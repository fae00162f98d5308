// Whether the corners make a room at all.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "room/check.h"
#include "room/plan.h"
#include "room/say.h"

namespace rakelight {
namespace {

constexpr double least_height = 1.5, most_height = 20;    // m: below one no grown-up stands, above one it is no room
constexpr double least_extent = 0.5, most_extent = 200;   // m: beyond these the file's unit was mistaken

/// Where wall i is named, or the corners when its name is a default.
Span wall_place(const Job& job, std::size_t i) {
  const bool named = i < job.room.walls.size() && job.room.walls[i].given && job.room.walls[i].at.known();
  return named ? job.room.walls[i].at : job.room.corners.at;
}

/// Whether segments a–b and p–q come within `tolerance` of each other.
bool segments_meet(dvec2 a, dvec2 b, dvec2 p, dvec2 q, double tolerance) {
  const bool straddles_ab = (cross(b - a, p - a) > 0) != (cross(b - a, q - a) > 0);
  const bool straddles_pq = (cross(q - p, a - p) > 0) != (cross(q - p, b - p) > 0);
  if (straddles_ab && straddles_pq) return true;
  return std::min({distance_to_segment(a, p, q), distance_to_segment(b, p, q), distance_to_segment(p, a, b),
                   distance_to_segment(q, a, b)}) <= tolerance;
}

/// Reports crossing, touching and doubling back; returns whether the outline is simple.
bool check_simple(const Job& job, double tolerance, Diagnostics& diagnostics) {
  const std::vector<dvec2>& corners = *job.room.corners;
  const std::size_t n = corners.size();
  bool simple = true;
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j) {
      if (glm::length(corners[j] - corners[i]) > tolerance) continue;
      simple = false;
      diagnostics.error(job.room.corners.at,
                        fmt::format("corners {} and {} are the same point {}", i + 1, j + 1, point_text(job.units, corners[i])),
                        "each corner once; the last wall closes the outline by itself");
    }
  if (!simple) return false;
  for (std::size_t i = 0; i < n; ++i) {
    const dvec2 a = corners[i], b = corners[(i + 1) % n];
    for (std::size_t j = i + 1; j < n; ++j) {
      const dvec2 p = corners[j], q = corners[(j + 1) % n];
      const bool follows = j == i + 1, closes = i == 0 && j == n - 1;
      std::string how;
      if (follows || closes) {
        const dvec2 first = follows ? b - a : q - p, second = follows ? q - p : b - a;
        const double off = std::abs(cross(first, second)) / std::max(glm::length(first), glm::length(second));
        if (off <= tolerance && glm::dot(first, second) < 0) how = "doubles back onto";
      } else if (segments_meet(a, b, p, q, tolerance)) {
        how = "crosses or touches";
      }
      if (how.empty()) continue;
      simple = false;
      diagnostics.error(wall_place(job, i),
                        fmt::format("wall {} ({} to {}) {} wall {} ({} to {})", wall_name(job, i), point_text(job.units, a),
                                    point_text(job.units, b), how, wall_name(job, j), point_text(job.units, p),
                                    point_text(job.units, q)),
                        "corners in the order in which one walks round the room, meeting only at corners",
                        wall_place(job, j), fmt::format("wall {} is here", wall_name(job, j)));
    }
  }
  return simple;
}

}  // namespace

std::string wall_name(const Job& job, std::size_t i) {
  if (i < job.room.walls.size()) return *job.room.walls[i];
  std::string name(1, static_cast<char>('A' + i % 26));
  return i < 26 ? name : name + std::to_string(i / 26);
}

bool check_outline(const Job& job, Diagnostics& diagnostics) {
  const RoomSpec& spec = job.room;
  const std::vector<dvec2>& corners = *spec.corners;
  const double height = *spec.height;
  if (!(height >= least_height && height <= most_height))
    diagnostics.error(spec.height.at, fmt::format("the room is {} high", length_text(job.units, height)),
                      fmt::format("a height from {} to {}", length_text(job.units, least_height),
                                  length_text(job.units, most_height)));
  if (corners.size() < 3) {
    diagnostics.error(spec.corners.at, fmt::format("{} corners enclose no room", corners.size()), "three corners or more");
    return false;
  }
  if (!spec.walls.empty() && spec.walls.size() != corners.size()) {
    diagnostics.error(spec.walls.front().at, fmt::format("{} walls for {} corners", spec.walls.size(), corners.size()),
                      "one name per corner: wall i runs from corner i to the next", spec.corners.at, "the corners are here");
    return false;
  }
  dvec2 lo = corners.front(), hi = corners.front();
  bool finite = true;
  for (dvec2 p : corners) {
    lo = glm::min(lo, p);
    hi = glm::max(hi, p);
    finite = finite && std::isfinite(p.x) && std::isfinite(p.y);
  }
  if (!finite) {
    diagnostics.error(spec.corners.at, "a corner is not a finite number", "plan coordinates");
    return false;
  }
  const double extent = std::max(hi.x - lo.x, hi.y - lo.y);
  if (extent < least_extent || extent > most_extent) {
    diagnostics.error(spec.corners.at, fmt::format("the room is {} across", length_text(job.units, extent)),
                      fmt::format("from {} to {}; lengths are {}", length_text(job.units, least_extent),
                                  length_text(job.units, most_extent),
                                  job.units == Units::inch ? "inches" : "millimetres unless units = \"inch\""));
    if (extent <= 0) return false;
  }
  // 1e-6 m: corners closer than a micrometre are one corner on any drawing
  if (check_simple(job, 1e-6, diagnostics) && signed_area(corners) > 0)
    diagnostics.error(spec.corners.at, "the corners run counter-clockwise, so walls would run right to left seen from inside",
                      "walk the corners the other way: the same list in reverse order (and the walls' names with it)");
  return true;
}

}  // namespace rakelight
