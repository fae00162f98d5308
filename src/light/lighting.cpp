// The light of one moment: weights over the basis, sun and lamps on the patches, and what they exchange.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "light/bounce.h"
#include "light/field_grid.h"
#include "light/gather.h"
#include "light/lamp.h"
#include "light/many.h"
#include "light/parallel.h"
#include "light/sun.h"

namespace rakelight {
namespace {

const HeldLamp* held_place(const Moment& moment, int lamp) {
  for (const HeldLamp& held : moment.held)
    if (held.lamp == lamp) return &held;
  return nullptr;
}

/// Point k of 2^bits in a cell, all with distinct x and distinct y (Hammersley 1960): an edge along either axis, or across
/// both, is placed to about that part of the cell.
template <int bits>
dvec2 spread_point(int k) {
  constexpr int count = 1 << bits;
  int turned = 0;
  for (int bit = 0; bit < bits; ++bit) turned |= (k >> bit & 1) << (bits - 1 - bit);
  return {(k + 0.5) / count, (turned + 0.5) / count};
}

/// Adds the sun's illuminance to a patch's cells: by their middles; where these and the patch's corners say that an edge of
/// sunlight crosses the patch, by 64 points in each cell whose middle and corners say the same. An edge along the cells is then
/// placed to half a millimetre of a patch of 0.25 m, 0.2 % of the light on it; by sixteen points it was 0.8 %.
void add_sun(const SunBeams& beams, const LightBasis& basis, const Lighting& lighting, int j, double* e) {
  const Patch& patch = basis.patch[j];
  if (!beams.any() || glm::dot(lighting.sky.sun_direction, patch.n) <= 0) return;
  if (!beams.may_reach(patch.centre(), 0.5 * glm::length(patch.u + patch.v), patch.window)) return;
  const auto at = [&](dvec3 p) {
    const SunAt sun = beams.at(p, patch.window);
    return sun.window >= 0 ? glm::dot(sun_vector(lighting.sky, sun, patch.n), patch.n) : 0.0;
  };
  // s, t: 0 … 1 over the patch; its edges a hair inside
  const auto within = [&](double s, double t) { return at(patch.corner + std::clamp(s, 1e-6, 1 - 1e-6) * patch.u + std::clamp(t, 1e-6, 1 - 1e-6) * patch.v); };
  std::array<double, cells> middle{};
  double least = std::numeric_limits<double>::infinity(), most = 0;
  const auto note = [&](double value) {
    least = std::min(least, value);
    most = std::max(most, value);
    return value;
  };
  for (int k = 0; k < cells; ++k)
    if (basis.cell_share[cells * j + k] > 0) middle[k] = note(at(basis.cell_centre(j, k)));
  for (int k = 0; k < 4; ++k) note(within(k % 2, k / 2));
  if (most <= 0) return;
  if (most - least <= 1e-9 * most) {
    for (int k = 0; k < cells; ++k) e[k] += middle[k];
    return;
  }
  std::array<double, 25> corner{};
  for (int k = 0; k < 25; ++k) corner[k] = within(k % 5 / 4.0, k / 5 / 4.0);
  for (int k = 0; k < cells; ++k) {
    if (basis.cell_share[cells * j + k] <= 0) continue;
    const int first = k / 4 * 5 + k % 4;
    const auto [low, high] = std::minmax({middle[k], corner[first], corner[first + 1], corner[first + 5], corner[first + 6]});
    if (high - low <= 1e-9 * most) {
      e[k] += middle[k];
      continue;
    }
    for (int q = 0; q < 64; ++q) {
      const dvec2 s = spread_point<6>(q);
      e[k] += at(patch.corner + 0.25 * ((k % 4 + s.x) * patch.u + (k / 4 + s.y) * patch.v)) / 64;
    }
  }
}

/// The sun on a covered pane, which sends it on scattered.
void add_sun_on_cover(const SunBeams& beams, const Room& room, const LightBasis& basis, int j, double* e) {
  const double share = cover_glow(room, basis, j);
  if (share <= 0 || !beams.any()) return;
  const Patch& patch = basis.patch[j];
  const int points = room.windows[patch.window].shades.any() ? 16 : 1;
  for (int k = 0; k < cells; ++k)
    for (int q = 0; q < points; ++q) {
      const dvec2 s = points > 1 ? spread_point<4>(q) : dvec2(0.5);
      const dvec3 p = patch.corner + 0.25 * ((k % 4 + s.x) * patch.u + (k / 4 + s.y) * patch.v);
      e[k] += share / points * beams.on_glass(p, patch.window);
    }
}

/// Direct illuminance of every cell, lx. `moved`: lamps that the basis has elsewhere.
std::vector<double> direct_light(const Room& room, const LightBasis& basis, const Lighting& lighting, const Moment& moment,
                                 const std::vector<Lamp>& moved, const SkyTable& sky, const std::vector<double>& even) {
  std::vector<double> e(cells * basis.patch.size(), 0.0);
  const std::vector<LampLight> held(moved.begin(), moved.end());
  const SunBeams beams(room, lighting.sky, lighting.glazing);
  for_each_index(basis.count(), [&](int j) {
    if (basis.patch[j].area <= 0) return;
    for (int c = cells * j; c < cells * (j + 1); ++c) {
      double sum = 0;
      for (std::uint32_t k = basis.run[c].begin; k < basis.run[c].end && !sky.black(); ++k) sum += basis.sky[k].e * sky.at(basis.sky[k].place);
      for (std::size_t b = 0; b < even.size(); ++b) sum += basis.even[static_cast<std::size_t>(c) * even.size() + b] * even[b];
      for (std::size_t l = 0; l < basis.lamp.size(); ++l)
        if (l < moment.lamp_on.size() && moment.lamp_on[l] > 0 && !held_place(moment, static_cast<int>(l)))
          sum += moment.lamp_on[l] * static_cast<double>(basis.lamp[l][c]);
      for (std::size_t l = 0; l < held.size(); ++l) sum += lamp_on_cell(room, basis, moved[l], held[l], j, c - cells * j);
      e[c] = sum;
    }
    add_sun(beams, basis, lighting, j, &e[cells * j]);
    add_sun_on_cover(beams, room, basis, j, &e[cells * j]);
  });
  return e;
}

/// A lighting before its bounce, and what makes it.
struct Begun {
  Lighting lighting;
  SkyTable sky;
  std::vector<double> even, direct;
};
Begun begin(const Job& job, const Room& room, const std::shared_ptr<const LightBasis>& basis, const Moment& moment, const std::vector<Lamp>& extra) {
  Begun begun{{}, SkyTable(moment.sky), basis->bands.luminance(room, moment.sky), {}};
  Lighting& lighting = begun.lighting;
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
  lighting.lamps.insert(lighting.lamps.end(), extra.begin(), extra.end());
  moved.insert(moved.end(), extra.begin(), extra.end());
  for (const Window& w : room.windows) lighting.glazing.push_back(make_glazing(w));
  begun.direct = direct_light(room, *basis, lighting, moment, moved, begun.sky, begun.even);
  return begun;
}

void make_fields(Lighting& lighting, const Begun& begun) {
  const std::vector<UnitField>& unit = lighting.basis->field;
  for (std::size_t s = 0; s < unit.size(); ++s)
    if (unit[s].nx > 0) lighting.fields[s] = make_field(lighting, static_cast<int>(s), begun.sky, begun.even);
}

}  // namespace

Lighting make_lighting(const Job& job, const Room& room, std::shared_ptr<const LightBasis> basis, const Moment& moment, const std::vector<Lamp>& extra) {
  Begun begun = begin(job, room, basis, moment, extra);
  bounce(*basis, {&begun.direct, 1}, {&begun.lighting, 1});
  begun.lighting.fields.resize(room.surfaces.size());
  make_fields(begun.lighting, begun);
  return std::move(begun.lighting);
}

std::vector<Lighting> make_lightings(const Job& job, const Room& room, const std::shared_ptr<const LightBasis>& basis, std::span<const Moment> moments, bool fields,
                                     double left_over) {
  const int count = static_cast<int>(moments.size());
  std::vector<Lighting> lightings(moments.size());
  for_each_index((count + bounced_together - 1) / bounced_together, [&](int block) {
    const std::size_t first = static_cast<std::size_t>(block) * bounced_together, here = std::min<std::size_t>(bounced_together, moments.size() - first);
    std::vector<std::vector<double>> direct(here);
    std::vector<std::optional<Begun>> begun(here);
    for_each_index(static_cast<int>(here), [&](int k) {
      const auto i = static_cast<std::size_t>(k);
      begun[i] = begin(job, room, basis, moments[first + i], {});
      lightings[first + i] = std::move(begun[i]->lighting);
      lightings[first + i].fields.resize(room.surfaces.size());
      direct[i] = std::move(begun[i]->direct);
    });
    bounce(*basis, direct, {&lightings[first], here}, left_over);
    for (std::size_t i = 0; fields && i < here; ++i) make_fields(lightings[first + i], *begun[i]);
  });
  return lightings;
}

}  // namespace rakelight
