// Computes once what depends only on the room: unit light of every outside node and lamp, and where it bounces.
#include "light/basis.h"

#include <algorithm>
#include <cassert>

#include "base/long_work.h"
#include "base/quadrature.h"
#include "light/covered.h"
#include "light/gather.h"
#include "light/lamp.h"
#include "light/parallel.h"
#include "light/window_light.h"

namespace rakelight {
namespace {

std::vector<Glazing> glazing_of(const Room& room) {
  std::vector<Glazing> all;
  for (const Window& w : room.windows) all.push_back(make_glazing(w));
  return all;
}

/// One table of all rows, copied in parallel.
template <class Entry>
void flatten(const std::vector<std::vector<Entry>>& rows, std::vector<Run>& run, Table<Entry>& entry) {
  run.resize(rows.size());
  std::size_t total = 0;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    run[i].begin = static_cast<std::uint32_t>(total);
    total += rows[i].size();
    run[i].end = static_cast<std::uint32_t>(total);
  }
  entry.resize(total);
  constexpr std::size_t at_once = 64;
  for_each_index(static_cast<int>((rows.size() + at_once - 1) / at_once), [&](int k) {
    const std::size_t first = static_cast<std::size_t>(k) * at_once;
    for (std::size_t i = first; i < std::min(rows.size(), first + at_once); ++i) std::copy(rows[i].begin(), rows[i].end(), entry.begin() + run[i].begin);
  });
}

/// The shape of what lies outside, for a basis: no sun, ground in strips.
OutsideShape shape_of(const Outskirts& outskirts, const EvenBands& bands, double nodes_per_rad) {
  OutsideShape shape;
  shape.outskirts = &outskirts;
  shape.reaches = bands.reaches();
  shape.nodes_per_rad = nodes_per_rad;
  return shape;
}

/// Direct unit light of every cell, from the sky at its middle.
void light_cells(const Job& job, const Room& room, const Outskirts& outskirts, LightBasis& basis) {
  const auto glazing = glazing_of(room);
  std::vector<Lamp> specs;
  for (const LampSpec& spec : job.lamps) specs.push_back(make_lamp(spec, room));
  const std::vector<LampLight> lamps(specs.begin(), specs.end());
  const std::size_t n = basis.patch.size();
  std::vector<std::vector<SkyIlluminance>> rows(n);  // per patch, cell by cell
  basis.run.resize(cells * n);
  const std::size_t bands = static_cast<std::size_t>(basis.bands.count());
  basis.even.resize(cells * n * bands);
  basis.lamp.assign(lamps.size(), std::vector<float>(cells * n, 0.0f));
  const OutsideShape shape = shape_of(outskirts, basis.bands, 4);  // sixteen cells are averaged
  for_each_index(basis.count(), [&](int j) {
    const Patch& patch = basis.patch[j];
    auto& row = rows[j];
    std::fill_n(basis.even.begin() + static_cast<std::ptrdiff_t>(cells * static_cast<std::size_t>(j) * bands), cells * bands, 0.0f);
    for (int k = 0; k < cells; ++k) {
      const int c = cells * j + k;
      basis.run[c].begin = static_cast<std::uint32_t>(row.size());
      if (patch.area > 0 && basis.cell_share[c] > 0) {
        const auto gather = [&](int w, const Glazing& through, const Receiver& receiver, double share) {
          through_window(room, w, through, receiver, shape, [&](const Ray& ray) {
            const double e = share * ray.solid * glm::dot(ray.w, receiver.n);
            if (e <= 0) return;
            if (ray.band == Band::sky) row.push_back({sky_place(ray.azimuth, ray.altitude), static_cast<float>(e)});
            else basis.even[static_cast<std::size_t>(c) * bands + static_cast<std::size_t>(even_band(basis.bands, w, ray))] += static_cast<float>(e);
          });
        };
        for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) gather(w, glazing[w], {basis.cell_centre(j, k), patch.n, patch.window}, 1);
        // a cover sends on what falls on it from outside
        if (const double share = cover_glow(room, basis, j); share > 0)
          gather(patch.window, make_glazing(room.windows[patch.window].glazing, room.windows[patch.window].transmittance),
                 {basis.cell_centre(j, k), -patch.n, patch.window, true}, share);
        for (std::size_t l = 0; l < lamps.size(); ++l)
          basis.lamp[l][c] = static_cast<float>(lamp_on_cell(room, basis, specs[l], lamps[l], j, k));
      }
      basis.run[c].end = static_cast<std::uint32_t>(row.size());
    }
  });
  std::vector<Run> whole;
  flatten(rows, whole, basis.sky);
  for (std::size_t c = 0; c < cells * n; ++c) {
    basis.run[c].begin += whole[c / cells].begin;
    basis.run[c].end += whole[c / cells].begin;
  }
}

/// Nodes along one side for bounced light: close beside the corners, 0.2 m apart for a metre, 0.3 m in the middle. Halfway between
/// them others that count along the corners only: light from an edge of sunlight on the face across changes there within decimetres.
struct BounceNodes {
  std::vector<double> at;
  std::vector<int> through;    ///< those that go on from edge to edge
  std::vector<bool> beside;    ///< within 0.28 m of a corner
};
BounceNodes bounce_nodes(double from, double to) {
  BounceNodes nodes;
  const auto add = [&](double at, bool through, bool beside) {
    if (through) nodes.through.push_back(static_cast<int>(nodes.at.size()));
    nodes.at.push_back(at);
    nodes.beside.push_back(beside);
  };
  const double length = to - from;
  if (length < 0.86) {
    const int n = std::max(4, static_cast<int>(std::ceil(length / 0.07)));
    for (int i = 0; i <= n; ++i) add(from + i * length / n, true, true);
    return nodes;
  }
  std::vector<double> off{0, 0.03, 0.08, 0.16, 0.28};
  for (const double more : {0.48, 0.68, 0.88, 1.08})
    if (length > 2 * more + 0.2) off.push_back(more);
  const double rest = length - 2 * off.back();
  const int parts = std::max(1, static_cast<int>(std::ceil(rest / (length > 3 ? 0.3 : 0.2))));
  std::vector<double> through;
  for (const double d : off) through.push_back(from + d);
  for (int i = 1; i < parts; ++i) through.push_back(from + off.back() + i * rest / parts);
  for (auto d = off.rbegin(); d != off.rend(); ++d) through.push_back(to - *d);
  for (std::size_t i = 0; i < through.size(); ++i) {
    const std::size_t end = std::min(i, through.size() - 1 - i);
    add(through[i], true, end < 5);
    if (i >= 4 && i + 5 < through.size()) add(0.5 * (through[i] + through[i + 1]), false, false);
  }
  return nodes;
}

void light_field(const Room& room, int surface, const Outskirts& outskirts, LightBasis& basis) {
  const auto glazing = glazing_of(room);
  const Surface& s = room.surfaces[surface];
  UnitField& f = basis.field[surface];
  const auto nodes_over = [&](double length) { return std::max(4, static_cast<int>(std::ceil(length / basis.detail.grid - 1e-9)) + 1); };
  f.nx = nodes_over(s.box.width());
  f.ny = nodes_over(s.box.height());
  f.origin = s.box.lo;
  f.step = {s.box.width() / (f.nx - 1), s.box.height() / (f.ny - 1)};
  std::vector<std::vector<SkyVector>> rows(static_cast<std::size_t>(f.nx) * f.ny);
  const std::size_t bands = static_cast<std::size_t>(basis.bands.count());
  f.even.resize(rows.size() * bands * 3);
  const OutsideShape shape = shape_of(outskirts, basis.bands, 10);
  for_each_index(f.nx * f.ny, [&](int i) {
    const dvec2 p = settled(s, f.origin + dvec2(i % f.nx, i / f.nx) * f.step);
    const Receiver receiver{s.frame.world_from_surface(p), s.frame.n, -1};
    thread_local std::vector<SkyVector> sky;
    sky.clear();
    std::fill_n(f.even.begin() + static_cast<std::ptrdiff_t>(3 * static_cast<std::size_t>(i) * bands), 3 * bands, 0.0f);
    for (int w = 0; w < static_cast<int>(room.windows.size()); ++w)
      through_window(room, w, glazing[w], receiver, shape, [&](const Ray& ray) {
        const dvec3 e = ray.solid * s.frame.surface_direction(ray.w);
        if (ray.band == Band::sky) {
          sky.push_back({sky_place(ray.azimuth, ray.altitude), static_cast<float>(e.x), static_cast<float>(e.y), static_cast<float>(e.z)});
          return;
        }
        float* even = f.even.data() + 3 * (static_cast<std::size_t>(i) * bands + static_cast<std::size_t>(even_band(basis.bands, w, ray)));
        for (int k = 0; k < 3; ++k) even[k] += static_cast<float>(e[k]);
      });
    rows[i].assign(sky.begin(), sky.end());
  });
  flatten(rows, f.run, f.sky);

  const BounceNodes across = bounce_nodes(s.box.lo.x, s.box.hi.x), up = bounce_nodes(s.box.lo.y, s.box.hi.y);
  f.bounce_x = across.at;
  f.bounce_y = up.at;
  f.through_x = across.through;
  f.through_y = up.through;
  const int bx = static_cast<int>(f.bounce_x.size()), by = static_cast<int>(f.bounce_y.size());
  f.bounce_row.assign(static_cast<std::size_t>(bx) * by, -1);
  std::vector<int> node_of;  // per row
  const auto takes_part = [&](int i, int j) {
    if (across.beside[i] || up.beside[j]) return true;
    return std::binary_search(across.through.begin(), across.through.end(), i) && std::binary_search(up.through.begin(), up.through.end(), j);
  };
  for (int i = 0; i < bx * by; ++i)
    if (takes_part(i % bx, i / bx)) {
      f.bounce_row[static_cast<std::size_t>(i)] = static_cast<int>(node_of.size());
      node_of.push_back(i);
    }
  const std::size_t n = basis.patch.size();
  // tens of megabytes: each row is written by who works it out
  const std::shared_ptr<float[]> bounce = shared_table<float>(node_of.size() * n * 3);
  std::vector<std::vector<CellVector>> near(node_of.size());
  for_each_index(static_cast<int>(node_of.size()), [&](int i) {
    const int node = node_of[static_cast<std::size_t>(i)];
    const dvec2 p = settled(s, {f.bounce_x[node % bx], f.bounce_y[node / bx]});
    const Gathering gathering(room, basis, s.frame.world_from_surface(p), s.frame.n, surface);
    float* row = bounce.get() + static_cast<std::size_t>(i) * n * 3;
    std::fill_n(row, 3 * n, 0.0f);
    thread_local std::vector<dvec3> sum;
    thread_local std::vector<std::uint32_t> touched;
    sum.resize(cells * n, dvec3(0));
    touched.clear();
    gathering.everything(
        [&](int j, const Gift& gift) {
          const dvec3 e = s.frame.surface_direction(gift.e);
          for (int k = 0; k < 3; ++k) row[3 * j + k] = static_cast<float>(e[k]);
        },
        [&](int c, const Gift& gift) {
          if (gift.e == dvec3(0)) return;
          if (sum[c] == dvec3(0)) touched.push_back(static_cast<std::uint32_t>(c));
          sum[c] += gift.e;
        });
    std::sort(touched.begin(), touched.end());
    near[i].reserve(touched.size());
    for (const std::uint32_t c : touched) {
      const dvec3 e = s.frame.surface_direction(sum[c]);
      sum[c] = dvec3(0);
      near[i].push_back({c, static_cast<float>(e.x), static_cast<float>(e.y), static_cast<float>(e.z)});
    }
  });
  f.bounce = bounce;
  flatten(near, f.cell_run, f.cell);
}

void light_fields(const Job& job, const Room& room, LightBasis& basis) {
  const Outskirts around = outskirts(job.site);
  basis.field.resize(room.surfaces.size());
  for (int surface : basis.detail.fields) {
    assert(surface >= 0 && surface < static_cast<int>(room.surfaces.size()));
    light_field(room, surface, around, basis);
  }
}

}  // namespace

double cover_glow(const Room& room, const LightBasis& basis, int j) {
  const Patch& patch = basis.patch[j];
  if (patch.window < 0 || patch.area <= 0 || patch.reflectance <= 0) return 0;
  const WindowParts& parts = basis.parts[patch.window];
  const Window& w = room.windows[patch.window];
  if (j < parts.pane || j >= parts.end || !w.cover.there()) return 0;
  const double between = w.cover.reflectance * diffuse_reflectance(make_glazing(w.glazing, w.transmittance));
  return (w.cover.scatter + (w.cover.direct + w.cover.scatter) * between / (1 - between)) / patch.reflectance;
}

namespace {

/// From a lamp's opening to a point, m; a disc is taken as the ball about it.
double distance_to(const Lamp& lamp, dvec3 p) {
  const dvec3 r = p - lamp.at;
  if (lamp.sides == dvec3(0)) return std::max(0.0, glm::length(r) - 0.5 * lamp.size);
  const dvec3 x = lamp_axis(lamp), y = glm::cross(x, lamp.aim);
  const dvec3 within(glm::dot(r, x), glm::dot(r, y), glm::dot(r, lamp.aim));
  return glm::length(glm::max(glm::abs(within) - 0.5 * lamp.sides, dvec3(0)));
}

}  // namespace

double lamp_on_cell(const Room& room, const LightBasis& basis, const Lamp& lamp, const LampLight& light, int j, int k) {
  const Patch& patch = basis.patch[j];
  if (patch.area <= 0 || basis.cell_share[cells * j + k] <= 0) return 0;
  const dvec3 middle = basis.cell_centre(j, k);
  const auto at = [&](dvec3 p) {
    return glm::dot(light.at(p, patch.n, [&](dvec3 q) { return open_between(room, p, patch.window, q, -1); }), patch.n);
  };
  const double size = 0.25 * std::max(glm::length(patch.u), glm::length(patch.v)), off = distance_to(lamp, middle);
  if (off > 6 * size) return at(middle);
  // a lamp shines on one side of its opening's plane only: a cell that the plane cuts is quartered, and so are its parts
  const auto mean = [&](const auto& self, dvec3 corner, dvec3 u, dvec3 v, int order, int depth) -> double {
    const double base = glm::dot(corner - lamp.at, lamp.aim), du = glm::dot(u, lamp.aim), dv = glm::dot(v, lamp.aim);
    const double low = base + std::min(du, 0.0) + std::min(dv, 0.0), high = base + std::max(du, 0.0) + std::max(dv, 0.0);
    if (depth > 0 && low < 0 && high > 0) {
      double e = 0;
      for (int q = 0; q < 4; ++q) e += 0.25 * self(self, corner + 0.5 * (q % 2) * u + 0.5 * (q / 2) * v, 0.5 * u, 0.5 * v, 2, depth - 1);
      return e;
    }
    const auto& nodes = gauss_nodes(order);
    double e = 0;
    for (const Node& s : nodes)
      for (const Node& t : nodes) e += s.weight * t.weight * at(corner + s.x * u + t.x * v);
    return e;
  };
  const dvec3 u = 0.25 * patch.u, v = 0.25 * patch.v;
  return mean(mean, middle - 0.5 * (u + v), u, v, off > 3 * size ? 2 : 4, lamp.table ? 0 : 3);
}

std::shared_ptr<const LightBasis> make_basis(const Job& job, const Room& room, const LightDetail& detail) {
  long_work("working out the light");
  auto basis = std::make_shared<LightBasis>();
  basis->detail = detail;
  const Outskirts around = outskirts(job.site);
  basis->bands = EvenBands(room, around);
  make_patches(room, *basis);
  make_exchange(room, *basis);
  make_neighbours(room, *basis);
  light_cells(job, room, around, *basis);
  light_fields(job, room, *basis);
  return basis;
}

std::shared_ptr<const LightBasis> with_covers(const Job& job, const Room& room, const LightBasis& basis) {
  long_work("working out the light behind covers");
  auto covered = std::make_shared<LightBasis>();
  covered->detail = basis.detail;
  covered->detail.fields.clear();
  const Outskirts around = outskirts(job.site);
  covered->bands = EvenBands(room, around);
  make_patches(room, *covered);
  assert(covered->patch.size() == basis.patch.size());
  covered->exchange = basis.exchange;
  covered->neighbours = basis.neighbours;
  covered->across_corners = basis.across_corners;
  covered->recesses = basis.recesses;
  covered->lit_by_cells = basis.lit_by_cells;
  covered->corner_faces = basis.corner_faces;
  covered->from_faces = basis.from_faces;
  light_cells(job, room, around, *covered);
  covered->field.resize(room.surfaces.size());
  return covered;
}

std::shared_ptr<const LightBasis> with_fields(const Job& job, const Room& room, const LightBasis& basis, const LightDetail& detail) {
  long_work("working out the light of pictures");
  auto copy = std::make_shared<LightBasis>(basis);
  copy->detail.grid = detail.grid;
  copy->detail.fields = detail.fields;
  copy->field.clear();
  light_fields(job, room, *copy);
  return copy;
}

const std::vector<Patch>& patches(const LightBasis& basis) { return basis.patch; }
const PatchGrid& patch_grid(const LightBasis& basis, int surface) { return basis.grid[surface]; }
WindowParts window_parts(const LightBasis& basis, int window) { return basis.parts[window]; }

}  // namespace rakelight
