// Computes once what depends only on the room: unit light of every outside node and lamp, and where it bounces.
#include "light/basis.h"

#include <algorithm>
#include <cassert>

#include "light/gather.h"
#include "light/lamp.h"
#include "light/parallel.h"
#include "light/window_light.h"

namespace rakelight {
namespace {

/// Light vectors by outside node, gathered at one or more points.
struct Gathered {
  std::vector<dvec3> sum = std::vector<dvec3>(outside_nodes, dvec3(0));
  std::vector<bool> used = std::vector<bool>(outside_nodes, false);
  std::vector<int> nodes;
  void add(int node, dvec3 v) {
    if (!used[node]) {
      used[node] = true;
      nodes.push_back(node);
    }
    sum[node] += v;
  }
  void add_outside(const Ray& ray, double weight) {
    const dvec3 v = (weight * ray.solid) * ray.w;
    if (ray.band == Band::ground) return add(ground_node, v);
    if (ray.band == Band::skyline) return add(skyline_node, v);
    const Hats hats = sky_hats(ray.w);
    for (int k = 0; k < 4; ++k)
      if (hats.weight[k] > 0) add(hats.node[k], hats.weight[k] * v);
  }
  void sort() { std::sort(nodes.begin(), nodes.end()); }
};

std::vector<Glazing> glazing_of(const Room& room) {
  std::vector<Glazing> all;
  for (const Window& w : room.windows) all.push_back(make_glazing(w.glazing, w.transmittance));
  return all;
}

template <class Entry>
void flatten(const std::vector<std::vector<Entry>>& rows, std::vector<Run>& run, std::vector<Entry>& entry) {
  run.resize(rows.size());
  std::size_t total = 0;
  for (const auto& row : rows) total += row.size();
  entry.reserve(total);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    run[i].begin = static_cast<std::uint32_t>(entry.size());
    entry.insert(entry.end(), rows[i].begin(), rows[i].end());
    run[i].end = static_cast<std::uint32_t>(entry.size());
  }
}

void light_patches(const Job& job, const Room& room, double skyline, LightBasis& basis) {
  const auto glazing = glazing_of(room);
  std::vector<Lamp> specs;
  for (const LampSpec& spec : job.lamps) specs.push_back(make_lamp(spec, room));
  const std::vector<LampLight> lamps(specs.begin(), specs.end());
  std::vector<std::vector<UnitIlluminance>> rows(basis.patch.size());
  basis.lamp.assign(lamps.size(), std::vector<float>(basis.patch.size(), 0.0f));
  OutsideShape shape;
  shape.skyline = skyline;
  shape.nodes_per_rad = 4;  // sixteen points are averaged
  for_each_index(basis.count(), [&](int i) {
    const PatchPoints& points = basis.points[i];
    const Patch& patch = basis.patch[i];
    if (patch.area <= 0) return;
    Gathered got;
    for (int k = 0; k < points.count; ++k) {
      const Receiver receiver{points.at[k], patch.n, patch.window};
      for (int w = 0; w < static_cast<int>(room.windows.size()); ++w)
        through_window(room, w, glazing[w], receiver, shape, [&](const Ray& ray) { got.add_outside(ray, 1.0 / points.count); });
      for (std::size_t l = 0; l < lamps.size(); ++l) {
        const dvec3 e = lamps[l].at(receiver.p, receiver.n, [&](dvec3 at) { return open_between(room, receiver.p, receiver.window, at, -1); });
        basis.lamp[l][i] += static_cast<float>(glm::dot(e, patch.n) / points.count);
      }
    }
    got.sort();
    for (int node : got.nodes)
      rows[i].push_back({static_cast<std::uint16_t>(node), static_cast<float>(std::max(0.0, glm::dot(got.sum[node], patch.n)))});
  });
  flatten(rows, basis.run, basis.entry);
}

/// Nodes along one side for bounced light: close beside the corners, 0.2 m between.
std::vector<double> bounce_nodes(double from, double to) {
  const double near_corner[] = {0, 0.03, 0.08, 0.16, 0.28};
  std::vector<double> at;
  const double inner = to - from - 0.56;
  if (inner < 0.3) {
    const int n = std::max(4, static_cast<int>(std::ceil((to - from) / 0.07)));
    for (int i = 0; i <= n; ++i) at.push_back(from + i * (to - from) / n);
    return at;
  }
  for (double d : near_corner) at.push_back(from + d);
  const int n = static_cast<int>(std::ceil(inner / 0.2));
  for (int i = 1; i < n; ++i) at.push_back(from + 0.28 + i * inner / n);
  for (int i = 4; i >= 0; --i) at.push_back(to - near_corner[i]);
  return at;
}

void light_field(const Room& room, int surface, double skyline, LightBasis& basis) {
  const auto glazing = glazing_of(room);
  const Surface& s = room.surfaces[surface];
  UnitField& f = basis.field[surface];
  const auto nodes_over = [&](double length) { return std::max(4, static_cast<int>(std::ceil(length / basis.detail.grid - 1e-9)) + 1); };
  f.nx = nodes_over(s.box.width());
  f.ny = nodes_over(s.box.height());
  f.origin = s.box.lo;
  f.step = {s.box.width() / (f.nx - 1), s.box.height() / (f.ny - 1)};
  std::vector<std::vector<UnitVector>> rows(static_cast<std::size_t>(f.nx) * f.ny);
  OutsideShape shape;
  shape.skyline = skyline;
  shape.nodes_per_rad = 7;
  for_each_index(f.nx * f.ny, [&](int i) {
    const dvec2 p = settled(s, f.origin + dvec2(i % f.nx, i / f.nx) * f.step);
    const Receiver receiver{s.frame.world_from_surface(p), s.frame.n, -1};
    Gathered got;
    for (int w = 0; w < static_cast<int>(room.windows.size()); ++w)
      through_window(room, w, glazing[w], receiver, shape, [&](const Ray& ray) { got.add_outside(ray, 1); });
    got.sort();
    rows[i].reserve(got.nodes.size());
    for (int node : got.nodes) {
      const dvec3 e = s.frame.surface_direction(got.sum[node]);
      rows[i].push_back({static_cast<std::uint16_t>(node), static_cast<float>(e.x), static_cast<float>(e.y), static_cast<float>(e.z)});
    }
  });
  flatten(rows, f.run, f.entry);

  f.bounce_x = bounce_nodes(s.box.lo.x, s.box.hi.x);
  f.bounce_y = bounce_nodes(s.box.lo.y, s.box.hi.y);
  const int bx = static_cast<int>(f.bounce_x.size()), by = static_cast<int>(f.bounce_y.size());
  const std::size_t n = basis.patch.size();
  f.bounce.assign(static_cast<std::size_t>(bx) * by * n * 3, 0.0f);
  for_each_index(bx * by, [&](int i) {
    const dvec2 p = settled(s, {f.bounce_x[i % bx], f.bounce_y[i / bx]});
    const Receiver receiver{s.frame.world_from_surface(p), s.frame.n, -1};
    float* row = f.bounce.data() + i * n * 3;
    gather(room, basis, receiver, surface, [&](int j, const Gift& gift) {
      const dvec3 e = s.frame.surface_direction(gift.e);
      for (int k = 0; k < 3; ++k) row[3 * j + k] += static_cast<float>(e[k]);
    });
  });
}

}  // namespace

std::shared_ptr<const LightBasis> make_basis(const Job& job, const Room& room, const LightDetail& detail) {
  auto basis = std::make_shared<LightBasis>();
  basis->detail = detail;
  const double skyline = std::max(0.0, *job.site.skyline);
  make_patches(room, *basis);
  make_exchange(room, *basis);
  light_patches(job, room, skyline, *basis);
  basis->field.resize(room.surfaces.size());
  for (int surface : detail.fields) {
    assert(surface >= 0 && surface < static_cast<int>(room.surfaces.size()));
    light_field(room, surface, skyline, *basis);
  }
  return basis;
}

const std::vector<Patch>& patches(const LightBasis& basis) { return basis.patch; }
const PatchGrid& patch_grid(const LightBasis& basis, int surface) { return basis.grid[surface]; }
WindowParts window_parts(const LightBasis& basis, int window) { return basis.parts[window]; }

}  // namespace rakelight
