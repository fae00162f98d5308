#include "light/station.h"

#include <algorithm>

#include "base/eight_floats.h"
#include "light/eight.h"
#include "light/gather.h"
#include "light/indicatrix.h"
#include "light/many.h"
#include "light/parallel.h"
#include "light/window_light.h"

namespace rakelight {

StationLight make_station_light(const Room& room, const LightBasis& basis, const std::vector<Glazing>& glazing, const Outskirts& outskirts,
                                int surface, dvec2 p) {
  const Surface& s = room.surfaces[surface];
  const Receiver receiver{s.frame.world_from_surface(settled(s, p)), s.frame.n, -1};
  const auto in_face = [&](dvec3 e) {
    const dvec3 v = s.frame.surface_direction(e);
    return LightVector{v.x, v.y, v.z};
  };
  StationLight station;
  station.at = receiver.p;
  station.surface = surface;
  OutsideShape shape;
  shape.outskirts = &outskirts;
  shape.reaches = basis.bands.reaches();
  station.even.assign(static_cast<std::size_t>(basis.bands.count()), {});
  for (int w = 0; w < static_cast<int>(room.windows.size()); ++w)
    through_window(room, w, glazing[w], receiver, shape, [&](const Ray& ray) {
      const LightVector e = in_face(ray.solid * ray.w);
      if (ray.band == Band::sky) station.sky.push_back({ray.w, e});
      else station.even[static_cast<std::size_t>(even_band(basis.bands, w, ray))] += e;
    });
  station.bounce.assign(3 * basis.patch.size(), 0.0f);
  const Gathering gathering(room, basis, receiver.p, receiver.n, surface);
  gathering.everything(
      [&](int j, const Gift& gift) {
        const LightVector e = in_face(gift.e);
        station.bounce[3 * j] = static_cast<float>(e.x);
        station.bounce[3 * j + 1] = static_cast<float>(e.y);
        station.bounce[3 * j + 2] = static_cast<float>(e.n);
      },
      [&](int c, const Gift& gift) {
        const LightVector e = in_face(gift.e);
        station.near.push_back({static_cast<std::uint32_t>(c), static_cast<float>(e.x), static_cast<float>(e.y), static_cast<float>(e.n)});
      });
  return station;
}

std::vector<double> even_luminance(const LightBasis& basis, const Room& room, const SkyState& sky) { return basis.bands.luminance(room, sky); }

LightVector light_from_outside(const StationLight& station, const kernel::Outside& outside, const std::vector<double>& even) {
  LightVector sum;
  for (std::size_t b = 0; b < even.size(); ++b) sum += even[b] * station.even[b];
  const Indicatrix& indicatrix = Indicatrix::of(outside);
  for (const StationLight::Part& part : station.sky)
    sum += (outside.scale * sky_relative(outside, indicatrix, part.towards)) * part.e;
  return sum;
}

LightVector light_from_patches(const StationLight& station, const Lighting& lighting) {
  LightVector sum;
  for (std::size_t j = 0; j < lighting.patch_exitance.size(); ++j) {
    const double m = lighting.patch_exitance[j];
    sum += LightVector{m * station.bounce[3 * j], m * station.bounce[3 * j + 1], m * station.bounce[3 * j + 2]};
  }
  for (const StationLight::NearCell& v : station.near) {
    const double m = lighting.cell_exitance[v.cell];
    sum += LightVector{m * v.x, m * v.y, m * v.n};
  }
  if (lighting.uneven.empty()) return sum;
  const Frame& frame = lighting.room->surfaces[station.surface].frame;
  const Gathering gathering(*lighting.room, *lighting.basis, station.at, frame.n, station.surface);
  const dvec3 e = frame.surface_direction(uneven_light(lighting, gathering).e);
  sum += LightVector{e.x, e.y, e.z};
  return sum;
}

PatchLights::PatchLights(std::span<const Lighting> lightings) : count_(lightings.size()) {
  if (count_ == 0) return;
  room_ = lightings[0].room;
  basis_ = lightings[0].basis;
  const std::size_t patches = lightings[0].patch_exitance.size(), blocks = (count_ + 7) / 8;
  patches_ = patches;
  cells_ = cells * patches;
  patch_.resize(blocks * 8 * patches_);
  cell_.resize(blocks * 8 * cells_);
  for_each_index(static_cast<int>(blocks), [&](int block) {
    const std::size_t first = 8 * static_cast<std::size_t>(block), here = std::min<std::size_t>(8, count_ - first);
    const auto put = [&](float* to, std::size_t each, auto&& of) {
      for (std::size_t j = 0; j < each; ++j)
        for (std::size_t i = 0; i < 8; ++i) to[8 * j + i] = i < here ? static_cast<float>(of(lightings[first + i])[j]) : 0.0f;
    };
    put(&patch_[first * patches_], patches_, [](const Lighting& l) -> const std::vector<double>& { return l.patch_exitance; });
    put(&cell_[first * cells_], cells_, [](const Lighting& l) -> const std::vector<double>& { return l.cell_exitance; });
  });
  std::vector<std::vector<std::size_t>> uneven(patches);
  for (std::size_t i = 0; i < count_; ++i)
    for (const int j : lightings[i].uneven) uneven[static_cast<std::size_t>(j)].push_back(i);
  for (std::size_t j = 0; j < patches; ++j) {
    if (uneven[j].empty()) continue;
    Uneven& u = uneven_.emplace_back(Uneven{static_cast<int>(j), std::move(uneven[j]), {}});
    for (std::size_t c = cells * j; c < cells * (j + 1); ++c)
      for (const std::size_t i : u.in) u.excess.push_back(static_cast<float>(lightings[i].cell_exitance[c] - lightings[i].patch_exitance[j]));
  }
}

namespace {

/// Adds a gift's x, y and n times each of count numbers to three lists.
RAKELIGHT_WIDE void add_times(const std::array<float, 3>& gift, const float* of, std::size_t count, const std::array<float*, 3>& to) {
  for (std::size_t d = 0; d < 3; ++d) {
    float* sum = to[d];
    std::size_t i = 0;
    for (; i + 8 <= count; i += 8) {
      EightFloats now, more;
      load(now, sum + i);
      load(more, of + i);
      store(sum + i, now + gift[d] * more);
    }
    for (; i < count; ++i) sum[i] += gift[d] * of[i];
  }
}

}  // namespace

std::vector<LightVector> PatchLights::at(const StationLight& station) const {
  std::vector<LightVector> all(count_);
  if (count_ == 0) return all;
  // x, y and n of the gifts, each a row
  std::array<std::vector<float>, 3> from_patches, from_cells;
  for (std::size_t d = 0; d < 3; ++d) {
    from_patches[d].resize(patches_);
    from_cells[d].resize(station.near.size());
  }
  for (std::size_t j = 0; j < patches_; ++j)
    for (std::size_t d = 0; d < 3; ++d) from_patches[d][j] = station.bounce[3 * j + d];
  for (std::size_t k = 0; k < station.near.size(); ++k) {
    from_cells[0][k] = station.near[k].x;
    from_cells[1][k] = station.near[k].y;
    from_cells[2][k] = station.near[k].n;
  }
  std::vector<float> near_cells(8 * station.near.size());
  for (std::size_t first = 0; first < count_; first += 8) {
    const float* cell = &cell_[first * cells_];
    for (std::size_t k = 0; k < station.near.size(); ++k) std::copy_n(cell + std::size_t{8} * station.near[k].cell, 8, &near_cells[8 * k]);
    std::array<std::array<double, 8>, 3> sum{}, near{};
    for (std::size_t d = 0; d < 3; ++d) {
      times_eight(from_patches[d].data(), &patch_[first * patches_], patches_, sum[d].data());
      times_eight(from_cells[d].data(), near_cells.data(), station.near.size(), near[d].data());
    }
    for (std::size_t i = first; i < std::min(first + 8, count_); ++i)
      all[i] = {sum[0][i - first] + near[0][i - first], sum[1][i - first] + near[1][i - first], sum[2][i - first] + near[2][i - first]};
  }
  const Frame& frame = room_->surfaces[static_cast<std::size_t>(station.surface)].frame;
  const Gathering gathering(*room_, *basis_, station.at, frame.n, station.surface);
  std::array<std::vector<float>, 3> part;
  for (const Uneven& u : uneven_) {
    const std::size_t in = u.in.size();
    for (std::vector<float>& p : part) p.assign(in, 0.0f);
    gathering.each_cell(u.patch, [&](int k, const Gift& gift) {
      const dvec3 e = frame.surface_direction(gift.e);
      add_times({static_cast<float>(e.x), static_cast<float>(e.y), static_cast<float>(e.z)}, u.excess.data() + static_cast<std::size_t>(k) * in, in,
                {part[0].data(), part[1].data(), part[2].data()});
    });
    for (std::size_t i = 0; i < in; ++i) all[u.in[i]] += LightVector{part[0][i], part[1][i], part[2][i]};
  }
  return all;
}

}  // namespace rakelight
