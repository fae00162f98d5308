#include "light/alike.h"

#include <algorithm>
#include <array>

namespace rakelight {

AlikePairs::Face AlikePairs::face_of(const Room& room, const LightBasis& basis, int surface) {
  const PatchGrid& grid = basis.grid[static_cast<std::size_t>(surface)];
  const Frame& frame = room.surfaces[static_cast<std::size_t>(surface)].frame;
  return {frame.world_from_surface(grid.box.lo), grid.box.width() / grid.nx * frame.x, grid.box.height() / grid.ny * frame.y, frame.n, surface, grid.nx, grid.ny};
}

Patch AlikePairs::patch_at(const Face& face, int column, int row) {
  Patch p;
  p.corner = face.corner + static_cast<double>(column) * face.u + static_cast<double>(row) * face.v;
  p.u = face.u;
  p.v = face.v;
  p.n = face.n;
  p.area = glm::length(glm::cross(face.u, face.v));
  p.surface = face.surface;
  return p;
}

AlikePairs::AlikePairs(const Room& room, const LightBasis& basis, int a, int b) : a_(face_of(room, basis, a)), b_(face_of(room, basis, b)) {
  const std::array<dvec3, 2> along_a{a_.u, a_.v}, along_b{b_.u, b_.v};
  const std::array<int, 2> size_a{a_.nx, a_.ny}, size_b{b_.nx, b_.ny};
  std::array<bool, 2> taken{};
  const auto same = [](dvec3 p, dvec3 q) { return glm::dot(p - q, p - q) < 1e-20 * glm::dot(p, p); };
  for (int t = 0; t < 2; ++t) {
    Axis axis;
    axis.b = t;
    axis.size = size_b[static_cast<std::size_t>(t)];
    for (int s = 0; s < 2; ++s)
      for (const int sign : {1, -1})
        if (!taken[static_cast<std::size_t>(s)] && axis.a < 0 && same(along_a[static_cast<std::size_t>(s)], static_cast<double>(sign) * along_b[static_cast<std::size_t>(t)])) {
          axis.a = s;
          axis.sign = sign;
          axis.size += size_a[static_cast<std::size_t>(s)] - 1;
          taken[static_cast<std::size_t>(s)] = true;
        }
    axes_.push_back(axis);
  }
  for (int s = 0; s < 2; ++s)
    if (!taken[static_cast<std::size_t>(s)]) {
      axes_.emplace_back().a = s;
      axes_.back().size = size_a[static_cast<std::size_t>(s)];
    }
  for (Axis& axis : axes_) {
    axis.stride = static_cast<int>(count_);
    count_ *= static_cast<std::size_t>(axis.size);
  }
  // along an axis of both faces count B's step less A's, or both together where they run against each other
  for (int row = 0; row < a_.ny; ++row)
    for (int column = 0; column < a_.nx; ++column) {
      std::ptrdiff_t sum = 0;
      for (const Axis& axis : axes_)
        if (axis.a >= 0) {
          const int at = axis.a == 0 ? column : row;
          sum += static_cast<std::ptrdiff_t>(axis.stride) * (axis.b >= 0 && axis.sign > 0 ? size_a[static_cast<std::size_t>(axis.a)] - 1 - at : at);
        }
      from_a_.push_back(sum);
    }
  for (int row = 0; row < b_.ny; ++row)
    for (int column = 0; column < b_.nx; ++column) {
      std::ptrdiff_t sum = 0;
      for (const Axis& axis : axes_)
        if (axis.b >= 0) sum += static_cast<std::ptrdiff_t>(axis.stride) * (axis.b == 0 ? column : row);
      from_b_.push_back(sum);
    }
}

AlikePairs::Pair AlikePairs::example(std::size_t kind) const {
  std::array<int, 2> at_a{}, at_b{};
  const std::array<int, 2> size_a{a_.nx, a_.ny}, size_b{b_.nx, b_.ny};
  for (const Axis& axis : axes_) {
    const int steps = static_cast<int>(kind / static_cast<std::size_t>(axis.stride) % static_cast<std::size_t>(axis.size));
    if (axis.b < 0) {
      at_a[static_cast<std::size_t>(axis.a)] = steps;
    } else if (axis.a < 0) {
      at_b[static_cast<std::size_t>(axis.b)] = steps;
    } else {
      const int other = std::min(steps, size_b[static_cast<std::size_t>(axis.b)] - 1), rest = steps - other;
      at_b[static_cast<std::size_t>(axis.b)] = other;
      at_a[static_cast<std::size_t>(axis.a)] = axis.sign > 0 ? size_a[static_cast<std::size_t>(axis.a)] - 1 - rest : rest;
    }
  }
  return {patch_at(a_, at_a[0], at_a[1]), patch_at(b_, at_b[0], at_b[1])};
}

}  // namespace rakelight
