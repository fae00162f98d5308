// The light of one moment: weights over the basis, sun and lamps on the patches, and what they exchange.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "light/basis.h"
#include "light/lamp.h"
#include "light/parallel.h"
#include "light/sun.h"

namespace rakelight {
namespace {

const HeldLamp* held_place(const Moment& moment, int lamp) {
  for (const HeldLamp& held : moment.held)
    if (held.lamp == lamp) return &held;
  return nullptr;
}

/// Direct illuminance of every patch, lx. `moved`: lamps that the basis has elsewhere.
std::vector<double> direct_light(const Room& room, const LightBasis& basis, const Lighting& lighting, const Moment& moment,
                                 const std::vector<Lamp>& moved, const std::vector<double>& outside) {
  std::vector<double> e(basis.patch.size(), 0.0);
  const std::vector<LampLight> held(moved.begin(), moved.end());
  for_each_index(basis.count(), [&](int i) {
    const Patch& patch = basis.patch[i];
    if (patch.area <= 0) return;
    double sum = 0;
    for (std::uint32_t k = basis.run[i].begin; k < basis.run[i].end; ++k)
      sum += static_cast<double>(basis.entry[k].e) * outside[basis.entry[k].node];
    for (std::size_t l = 0; l < basis.lamp.size(); ++l)
      if (l < moment.lamp_on.size() && moment.lamp_on[l] > 0 && !held_place(moment, static_cast<int>(l)))
        sum += moment.lamp_on[l] * static_cast<double>(basis.lamp[l][i]);
    const PatchPoints& points = basis.points[i];
    for (const LampLight& lamp : held)
      for (int k = 0; k < points.count; ++k) {
        const dvec3 lit = lamp.at(points.at[k], patch.n, [&](dvec3 at) { return open_between(room, points.at[k], patch.window, at, -1); });
        sum += glm::dot(lit, patch.n) / points.count;
      }
    if (lighting.sky.sun_up && glm::dot(lighting.sky.sun_direction, patch.n) > 0)
      for (int k = 0; k < points.count; ++k) {
        const SunAt sun = sun_through(room, lighting.sky, lighting.glazing, points.at[k], patch.window);
        if (sun.window >= 0) sum += glm::dot(sun_vector(lighting.sky, sun, patch.n), patch.n) / points.count;
      }
    e[i] = sum;
  });
  return e;
}

/// Exitances B = rho (E0 + F B). With y = sqrt(A / rho) B the system is symmetric and positive definite, and conjugate
/// gradients (Hestenes & Stiefel 1952) need about ten products to get from 1 to 1e-9.
std::vector<double> exitances(const LightBasis& basis, const std::vector<double>& direct) {
  const int n = basis.count();
  std::vector<double> half(n), y(n, 0.0), r(n), p(n), q(n), image(n);
  double norm0 = 0;
  for (int i = 0; i < n; ++i) {
    const Patch& patch = basis.patch[i];
    half[i] = patch.area > 0 ? std::sqrt(patch.reflectance / patch.area) : 0;
    r[i] = std::sqrt(patch.area * patch.reflectance) * direct[i];
    norm0 += r[i] * r[i];
  }
  p = r;
  double norm = norm0;
  for (int step = 0; step < 200 && norm > 1e-20 * norm0; ++step) {
    for (int i = 0; i < n; ++i) q[i] = half[i] * p[i];
    for_each_index(n, [&](int i) {
      image[i] = p[i] - half[i] * row_times(basis.exchange.data() + static_cast<std::size_t>(i) * n, q);
    });
    double along = 0;
    for (int i = 0; i < n; ++i) along += p[i] * image[i];
    const double a = norm / along;
    double next = 0;
    for (int i = 0; i < n; ++i) {
      y[i] += a * p[i];
      r[i] -= a * image[i];
      next += r[i] * r[i];
    }
    const double b = next / norm;
    for (int i = 0; i < n; ++i) p[i] = r[i] + b * p[i];
    norm = next;
  }
  for (int i = 0; i < n; ++i) y[i] = std::max(0.0, half[i] * y[i]);
  return y;
}

/// Four nodes of an uneven axis around x and their Lagrange weights.
struct Taps { int first = 0; std::array<double, 4> weight{}; };
Taps taps_at(const std::vector<double>& at, double x) {
  const int n = static_cast<int>(at.size());
  assert(n >= 4);
  const int above = static_cast<int>(std::upper_bound(at.begin(), at.end(), x) - at.begin());
  Taps t;
  t.first = std::clamp(above - 2, 0, n - 4);
  for (int i = 0; i < 4; ++i) {
    double w = 1;
    for (int j = 0; j < 4; ++j)
      if (j != i) w *= (x - at[t.first + j]) / (at[t.first + i] - at[t.first + j]);
    t.weight[i] = w;
  }
  return t;
}

/// First derivative along a row of nodes: fourth order inside, third at the ends.
double slope_at(const FieldGrid& g, int i, int n, int base, int stride, double step, bool along_y) {
  const auto v = [&](int k) {
    const LightVector& e = g.node[base + k * stride].e;
    return along_y ? e.y : e.x;
  };
  if (i >= 2 && i + 2 < n) return (v(i - 2) - 8 * v(i - 1) + 8 * v(i + 1) - v(i + 2)) / (12 * step);
  if (i == 0) return (-11 * v(0) + 18 * v(1) - 9 * v(2) + 2 * v(3)) / (6 * step);
  if (i == n - 1) return (11 * v(n - 1) - 18 * v(n - 2) + 9 * v(n - 3) - 2 * v(n - 4)) / (6 * step);
  if (i == 1) return (-2 * v(0) - 3 * v(1) + 6 * v(2) - v(3)) / (6 * step);
  return (2 * v(n - 1) + 3 * v(n - 2) - 6 * v(n - 3) + v(n - 4)) / (6 * step);
}

FieldGrid make_field(const LightBasis& basis, const UnitField& unit, const std::vector<double>& outside,
                     const std::vector<double>& exitance) {
  FieldGrid g;
  g.nx = unit.nx;
  g.ny = unit.ny;
  g.origin = unit.origin;
  g.step = unit.step;
  g.node.resize(static_cast<std::size_t>(g.nx) * g.ny);
  const int bx = static_cast<int>(unit.bounce_x.size()), by = static_cast<int>(unit.bounce_y.size());
  const int n = basis.count();
  std::vector<dvec3> bounce(static_cast<std::size_t>(bx) * by);
  for_each_index(bx * by, [&](int i) {
    const float* row = unit.bounce.data() + static_cast<std::size_t>(i) * n * 3;
    dvec3 sum(0);
    for (int j = 0; j < n; ++j) sum += exitance[j] * dvec3(row[3 * j], row[3 * j + 1], row[3 * j + 2]);
    bounce[i] = sum;
  });
  std::vector<Taps> tx, ty;
  for (int i = 0; i < g.nx; ++i) tx.push_back(taps_at(unit.bounce_x, g.origin.x + i * g.step.x));
  for (int j = 0; j < g.ny; ++j) ty.push_back(taps_at(unit.bounce_y, g.origin.y + j * g.step.y));
  for_each_index(g.ny, [&](int j) {
    for (int i = 0; i < g.nx; ++i) {
      const int index = j * g.nx + i;
      dvec3 e(0);
      for (std::uint32_t k = unit.run[index].begin; k < unit.run[index].end; ++k) {
        const UnitVector& u = unit.entry[k];
        e += outside[u.node] * dvec3(u.x, u.y, u.n);
      }
      for (int b = 0; b < 4; ++b)
        for (int a = 0; a < 4; ++a)
          e += (tx[i].weight[a] * ty[j].weight[b]) * bounce[(ty[j].first + b) * bx + tx[i].first + a];
      g.node[index].e = {e.x, e.y, std::max(0.0, e.z)};
    }
  });
  for_each_index(g.ny, [&](int j) {
    for (int i = 0; i < g.nx; ++i)
      g.node[j * g.nx + i].div_t = slope_at(g, i, g.nx, j * g.nx, 1, g.step.x, false) +
                                   slope_at(g, j, g.ny, i, g.nx, g.step.y, true);
  });
  return g;
}

}  // namespace

Lighting make_lighting(const Job& job, const Room& room, std::shared_ptr<const LightBasis> basis, const Moment& moment) {
  Lighting lighting;
  lighting.basis = basis;
  lighting.room = &room;
  lighting.sky = moment.sky;
  std::vector<Lamp> moved;
  for (std::size_t l = 0; l < job.lamps.size(); ++l) {
    if (l >= moment.lamp_on.size() || moment.lamp_on[l] <= 0) continue;
    LampSpec spec = job.lamps[l];
    const HeldLamp* held = held_place(moment, static_cast<int>(l));
    if (held) {
      spec.position.value = held->position;
      spec.aim.value = held->aim;
    }
    lighting.lamps.push_back(make_lamp(spec, room));
    lighting.lamps.back().peak *= moment.lamp_on[l];
    if (held) moved.push_back(lighting.lamps.back());
  }
  for (const Window& w : room.windows) lighting.glazing.push_back(make_glazing(w.glazing, w.transmittance));
  const std::vector<double> outside = outside_weights(moment.sky);
  lighting.patch_exitance = exitances(*basis, direct_light(room, *basis, lighting, moment, moved, outside));
  lighting.fields.resize(room.surfaces.size());
  for (std::size_t s = 0; s < basis->field.size(); ++s)
    if (basis->field[s].nx > 0) lighting.fields[s] = make_field(*basis, basis->field[s], outside, lighting.patch_exitance);
  return lighting;
}

}  // namespace rakelight
