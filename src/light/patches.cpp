// Cuts a room's faces and its windows' recesses into patches.
#include <algorithm>
#include <array>
#include <cmath>

#include "base/units.h"
#include "base/wide.h"
#include "light/basis.h"

namespace rakelight {
namespace {

int steps_over(double length, double most) { return std::max(1, static_cast<int>(std::ceil(length / most - 1e-9))); }

/// The part of a polygon within an upright rectangle (Sutherland & Hodgman 1974).
std::vector<dvec2> cut(std::vector<dvec2> polygon, const Rect& r) {
  for (int side = 0; side < 4; ++side) {
    const auto inside_by = [&](dvec2 p) {
      switch (side) {
        case 0: return p.x - r.lo.x;
        case 1: return r.hi.x - p.x;
        case 2: return p.y - r.lo.y;
        default: return r.hi.y - p.y;
      }
    };
    std::vector<dvec2> out;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const dvec2 a = polygon[i], b = polygon[(i + 1) % polygon.size()];
      const double da = inside_by(a), db = inside_by(b);
      if (da >= 0) out.push_back(a);
      if ((da < 0) != (db < 0)) out.push_back(a + (da / (da - db)) * (b - a));
    }
    polygon = std::move(out);
  }
  return polygon;
}

double area_of(const std::vector<dvec2>& p) {
  double sum = 0;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const dvec2 a = p[i], b = p[(i + 1) % p.size()];
    sum += a.x * b.y - b.x * a.y;
  }
  return 0.5 * std::abs(sum);
}

Rect overlap(const Rect& a, const Rect& b) {
  Rect r{glm::max(a.lo, b.lo), glm::min(a.hi, b.hi)};
  r.hi = glm::max(r.lo, r.hi);
  return r;
}

double area_of(const Rect& r) { return r.width() * r.height(); }

/// What remains of a cell when a hole covers it from one side to the other; else the cell itself.
Rect without(Rect cell, const Rect& hole) {
  const Rect o = overlap(cell, hole);
  if (area_of(o) <= 0) return cell;
  const bool whole_height = o.height() >= cell.height() - 1e-9, whole_width = o.width() >= cell.width() - 1e-9;
  if (whole_height && o.lo.x <= cell.lo.x + 1e-9) cell.lo.x = o.hi.x;
  else if (whole_height && o.hi.x >= cell.hi.x - 1e-9) cell.hi.x = o.lo.x;
  else if (whole_width && o.lo.y <= cell.lo.y + 1e-9) cell.lo.y = o.hi.y;
  else if (whole_width && o.hi.y >= cell.hi.y - 1e-9) cell.hi.y = o.lo.y;
  return cell;
}

void add(LightBasis& basis, const Patch& patch, double area) {
  const double whole = glm::length(glm::cross(patch.u, patch.v));
  basis.patch.push_back(patch);
  basis.patch.back().area = area;
  basis.coverage.push_back(whole > 0 ? std::min(1.0, area / whole) : 0);
}

void face_patches(const Room& room, int surface, LightBasis& basis) {
  const Surface& s = room.surfaces[surface];
  std::vector<Rect> holes;
  for (const Window& w : room.windows)
    if (w.surface == surface) holes.push_back(w.opening);
  PatchGrid grid;
  grid.first = basis.count();
  grid.box = s.box;
  grid.nx = steps_over(s.box.width(), basis.detail.patch);
  grid.ny = steps_over(s.box.height(), basis.detail.patch);
  for (int j = 0; j < grid.ny; ++j)
    for (int i = 0; i < grid.nx; ++i) {
      Rect cell;
      cell.lo = s.box.lo + dvec2(i * s.box.width() / grid.nx, j * s.box.height() / grid.ny);
      cell.hi = s.box.lo + dvec2((i + 1) * s.box.width() / grid.nx, (j + 1) * s.box.height() / grid.ny);
      double area = area_of(cell);
      bool whole = true;
      if (s.kind != Surface::Kind::wall) {
        const auto part = cut(s.outline, cell);
        area = area_of(part);
        whole = area >= (1 - 1e-12) * area_of(cell);
        if (area > 1e-9 && area < area_of(cell) - 1e-9) {
          cell = {part[0], part[0]};
          for (dvec2 p : part) cell = {glm::min(cell.lo, p), glm::max(cell.hi, p)};
        }
      }
      double holes_area = 0;
      for (const Rect& hole : holes) holes_area += area_of(overlap(cell, hole));
      const double full = area_of(cell);
      area = std::max(0.0, area - holes_area);
      if (area <= 1e-9 * full) area = 0;
      double reflectance = s.reflectance;
      for (const Door& d : room.doors)
        if (d.surface == surface && area > 0)
          reflectance += (d.reflectance - s.reflectance) * std::min(1.0, area_of(overlap(cell, d.opening)) / area);
      if (area > 0)
        for (const Rect& hole : holes) cell = without(cell, hole);
      Patch p;
      p.corner = s.frame.world_from_surface(cell.lo);
      p.u = cell.width() * s.frame.x;
      p.v = cell.height() * s.frame.y;
      p.n = s.frame.n;
      p.reflectance = reflectance;
      p.surface = surface;
      add(basis, p, area);

      std::array<bool, cells> there{};
      int count = 0;
      for (int k = 0; k < cells && area > 0; ++k) {
        const dvec2 q = cell.lo + dvec2((k % 4 + 0.5) / 4 * cell.width(), (k / 4 + 0.5) / 4 * cell.height());
        there[k] = s.kind == Surface::Kind::wall || s.contains(q);
        for (const Rect& hole : holes) there[k] = there[k] && !hole.contains(q);
        count += there[k];
      }
      for (int k = 0; k < cells; ++k) {
        const dvec2 q = cell.lo + dvec2((k % 4 + 0.5) / 4 * cell.width(), (k / 4 + 0.5) / 4 * cell.height());
        double rho = s.reflectance;
        for (const Door& d : room.doors)
          if (d.surface == surface && d.opening.contains(q)) rho = d.reflectance;
        // a sliver that holds no cell's middle counts as all of them
        basis.cell_share.push_back(area <= 0 ? 0.0f : count == 0 ? 1.0f / cells : there[k] ? 1.0f / static_cast<float>(count) : 0.0f);
        basis.cell_reflectance.push_back(static_cast<float>(rho));
      }
      basis.whole.push_back(whole && holes_area == 0 && count == cells);
    }
  basis.grid.push_back(grid);
}

/// Where the patches of a reveal end, as shares of its depth from the room to the glass. Light from outside lands on it more
/// unevenly over that depth than along it, and what lands deep leaves for the room less easily: with one patch over the depth
/// a room gets up to half a percent of its light too much.
constexpr std::array<double, 4> reveal_depths{0, 0.45, 0.8, 1};

/// A flat part of a recess, cut into patches of twice the rooms' size (they are seen through the opening only) row by
/// row: nu along u, nv along v. into: the side of the two that runs from the room to the glass.
enum class Into { neither, u, v };
void part_patches(int window, dvec3 corner, dvec3 u, dvec3 v, dvec3 n, double reflectance, LightBasis& basis, Into into = Into::neither) {
  const auto ends_along = [&](dvec3 side, bool deep) {
    if (deep) return std::vector<double>(reveal_depths.begin(), reveal_depths.end());
    const int count = steps_over(glm::length(side), 2 * basis.detail.patch);
    std::vector<double> ends;
    for (int i = 0; i <= count; ++i) ends.push_back(static_cast<double>(i) / count);
    return ends;
  };
  const std::vector<double> along_u = ends_along(u, into == Into::u), along_v = ends_along(v, into == Into::v);
  for (std::size_t j = 0; j + 1 < along_v.size(); ++j)
    for (std::size_t i = 0; i + 1 < along_u.size(); ++i) {
      Patch p;
      p.u = (along_u[i + 1] - along_u[i]) * u;
      p.v = (along_v[j + 1] - along_v[j]) * v;
      p.corner = corner + along_u[i] * u + along_v[j] * v;
      p.n = n;
      p.reflectance = reflectance;
      p.window = window;
      const double area = glm::length(glm::cross(p.u, p.v));
      add(basis, p, area < 1e-9 ? 0 : area);
      basis.cell_share.insert(basis.cell_share.end(), cells, area < 1e-9 ? 0.0f : 1.0f / cells);
      basis.cell_reflectance.insert(basis.cell_reflectance.end(), cells, static_cast<float>(reflectance));
    }
}

void window_patches(const Room& room, int window, LightBasis& basis) {
  const Window& w = room.windows[window];
  const Frame& f = room.surfaces[w.surface].frame;
  const Rect o = w.opening, g = w.glass();
  const dvec3 in = -w.reveal * f.n, x = o.width() * f.x, y = o.height() * f.y;
  const auto face = [&](dvec2 p) { return f.world_from_surface(p); };
  const double r = w.reveal_reflectance;
  WindowParts parts;
  parts.left = basis.count();
  part_patches(window, face(o.lo), in, y, f.x, r, basis, Into::u);
  parts.right = basis.count();
  part_patches(window, face({o.hi.x, o.lo.y}), in, y, -f.x, r, basis, Into::u);
  parts.sill = basis.count();
  part_patches(window, face(o.lo), x, in, f.y, r, basis, Into::v);
  parts.head = basis.count();
  part_patches(window, face({o.lo.x, o.hi.y}), x, in, -f.y, r, basis, Into::v);
  // the frame is taken to be painted like its reveal
  parts.frame = basis.count();
  part_patches(window, face(o.lo) + in, w.frame * f.x, y, f.n, r, basis);
  part_patches(window, face({g.hi.x, o.lo.y}) + in, w.frame * f.x, y, f.n, r, basis);
  part_patches(window, face({g.lo.x, o.lo.y}) + in, g.width() * f.x, w.frame * f.y, f.n, r, basis);
  part_patches(window, face({g.lo.x, g.hi.y}) + in, g.width() * f.x, w.frame * f.y, f.n, r, basis);
  parts.pane = basis.count();
  const double glass = diffuse_reflectance(make_glazing(w.glazing, w.transmittance)), passes = w.cover.direct + w.cover.scatter;
  // what the cover lets out to the glass comes back through it in part
  const double pane = w.cover.there() ? w.cover.reflectance + passes * passes * glass / (1 - w.cover.reflectance * glass) : glass;
  part_patches(window, face(g.lo) + in, g.width() * f.x, g.height() * f.y, f.n, pane, basis);
  parts.end = basis.count();
  basis.parts.push_back(parts);
}

}  // namespace

namespace {

/// Side of the patches of a room's faces. Exchange takes four bytes and a few operations for every pair: 6,000 patches are
/// 144 MB. Rooms with more than 375 m² of faces get larger patches than 0.25 m, which are as small beside such rooms.
double affordable_side(const Room& room, double asked) {
  constexpr double most_patches = 6000;
  double area = 0;
  for (const Surface& s : room.surfaces) {
    double twice = 0;
    for (std::size_t i = 0; i < s.outline.size(); ++i) {
      const dvec2 a = s.outline[i], b = s.outline[(i + 1) % s.outline.size()];
      twice += a.x * b.y - b.x * a.y;
    }
    area += 0.5 * std::abs(twice);
  }
  return std::max(asked, std::sqrt(area / most_patches));
}

}  // namespace

void make_patches(const Room& room, LightBasis& basis) {
  basis.detail.patch = affordable_side(room, basis.detail.patch);
  for (int s = 0; s < static_cast<int>(room.surfaces.size()); ++s) face_patches(room, s, basis);
  for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) window_patches(room, w, basis);
  for (const Patch& p : basis.patch)
    basis.far.push_back({p.centre(), p.n, p.area / pi, std::max(glm::dot(p.u, p.u), glm::dot(p.v, p.v))});
  for (FarTable* table : {&basis.far_patches, &basis.far_cells}) {
    const std::size_t count = table == &basis.far_cells ? cells * basis.patch.size() : basis.patch.size() + four;
    for (std::vector<double>* list : {&table->x, &table->y, &table->z, &table->area, &table->size2}) list->reserve(count);
  }
  const auto put = [](FarTable& table, dvec3 at, double area, double size2) {
    table.x.push_back(at.x);
    table.y.push_back(at.y);
    table.z.push_back(at.z);
    table.area.push_back(area);
    table.size2.push_back(size2);
  };
  for (int j = 0; j < basis.count(); ++j) {
    const FarPatch& far = basis.far[j];
    put(basis.far_patches, far.centre, far.area_over_pi, far.size2);
    for (int k = 0; k < cells; ++k) put(basis.far_cells, basis.cell_centre(j, k), far.area_over_pi * basis.cell_share[cells * j + k], 0);
  }
  for (int more = 0; more < four - 1; ++more) put(basis.far_patches, basis.far.empty() ? dvec3(0) : basis.far.back().centre, 0, 1);
}

}  // namespace rakelight
