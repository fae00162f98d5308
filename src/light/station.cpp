#include "light/station.h"

#include <Eigen/Core>

#include "light/gather.h"
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
  for (const StationLight::Part& part : station.sky)
    sum += (outside.scale * kernel::sky_relative(outside, part.towards)) * part.e;
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

std::vector<LightVector> light_from_patches(const StationLight& station, std::span<const Lighting> lightings) {
  const Eigen::Index count = static_cast<Eigen::Index>(lightings.size()), n = static_cast<Eigen::Index>(station.bounce.size() / 3);
  if (count == 0) return {};
  Eigen::MatrixXd exitance(n, count);
  for (Eigen::Index i = 0; i < count; ++i) exitance.col(i) = Eigen::Map<const Eigen::VectorXd>(lightings[static_cast<std::size_t>(i)].patch_exitance.data(), n);
  Eigen::Matrix3Xd sum = Eigen::Map<const Eigen::Matrix3Xf>(station.bounce.data(), 3, n).cast<double>() * exitance;
  for (Eigen::Index i = 0; i < count; ++i) {
    const Lighting& lighting = lightings[static_cast<std::size_t>(i)];
    for (const StationLight::NearCell& v : station.near) sum.col(i) += lighting.cell_exitance[v.cell] * Eigen::Vector3d(v.x, v.y, v.n);
  }
  std::vector<std::vector<Eigen::Index>> uneven(static_cast<std::size_t>(n));  // per patch: in which lightings
  for (Eigen::Index i = 0; i < count; ++i)
    for (const int j : lightings[static_cast<std::size_t>(i)].uneven) uneven[static_cast<std::size_t>(j)].push_back(i);
  const Room& room = *lightings[0].room;
  const Frame& frame = room.surfaces[station.surface].frame;
  const Gathering gathering(room, *lightings[0].basis, station.at, frame.n, station.surface);
  for (std::size_t j = 0; j < uneven.size(); ++j) {
    if (uneven[j].empty()) continue;
    gathering.each_cell(static_cast<int>(j), [&](int k, const Gift& gift) {
      const dvec3 e = frame.surface_direction(gift.e);
      for (const Eigen::Index i : uneven[j]) {
        const Lighting& lighting = lightings[static_cast<std::size_t>(i)];
        sum.col(i) += (lighting.cell_exitance[cells * j + static_cast<std::size_t>(k)] - lighting.patch_exitance[j]) * Eigen::Vector3d(e.x, e.y, e.z);
      }
    });
  }
  std::vector<LightVector> all;
  for (Eigen::Index i = 0; i < count; ++i) all.push_back({sum(0, i), sum(1, i), sum(2, i)});
  return all;
}

}  // namespace rakelight
