// Rays into the room, followed once for all moments: where they go hangs on room, coat, eye and facet alone.
#include "look/scene_set.h"

#include <algorithm>
#include <cassert>

#include "base/units.h"
#include "base/wide.h"

namespace rakelight {

using kernel::SceneKernels;

SceneSet::SceneSet(std::vector<const Scene*> all, std::vector<const Lighting*> lit) : scenes(std::move(all)), lightings(std::move(lit)) {
  assert(!scenes.empty() && scenes.size() == lightings.size());
  std::vector<SceneKernels> k;
  for (const Scene* scene : scenes) k.push_back(kernels_of(*scene));
  for (auto& m : k) mean_radiance.push_back(m.mean_room_radiance());
  const std::size_t padded = (k.size() + four - 1) / four * four;
  for (int s = 0; s < k[0].surface_count(); ++s) {
    const dvec4 grid = k[0].surface_at(s, 6), box = k[0].surface_at(s, 7);
    const SceneKernels::FaceFrame frame = k[0].surface_frame(s);
    room.faces.push_back({frame.origin, frame.x, frame.y, {box.x, box.y}, {box.z - box.x, box.w - box.y}, grid.y, grid.z, k[0].whole(grid.y), k[0].whole(grid.z),
                          exitance.size() / (2 * padded)});
    const int count = room.faces.back().nx * room.faces.back().ny;
    const auto put = [&](std::size_t m, int i, bool blurred) {
      const dvec4 patch = k[m].scene_row(k[m].whole(k[m].surface_at(s, 6).x) + i);
      // a face that is all opening has none
      exitance.push_back(patch.z <= 0 ? pi * mean_radiance[m] : blurred ? patch.w : patch.x);
    };
    for (int i = 0; i < count; ++i)
      for (const bool blurred : {false, true}) {
        for (std::size_t m = 0; m < k.size(); ++m) put(m, i, blurred);
        exitance.resize(exitance.size() + padded - k.size(), 0.0);
      }
  }
  const int corners = k[0].corner_count();
  for (int i = 0; i < corners; ++i) {
    room.corner.push_back(k[0].corner_at(i));
    room.edge.push_back(k[0].corner_at(i + 1 < corners ? i + 1 : 0) - room.corner.back());
  }
  room.height = k[0].room_height();
  room.ceiling = k[0].ceiling_index();
  room.floor = k[0].floor_index();
  room.convex = k[0].room_convex();
}

namespace {

double cross2(dvec2 a, dvec2 b) { return a.x * b.y - a.y * b.x; }

/// Where a ray meets the planes of the room's faces: the kernels' face_hit and beside_face on a shape that is known.
struct Meeting {
  struct Wall { double leaving, range; };  // as face_hit has them; range only where leaving < 0
  std::vector<Wall> walls;
  int face = -1;
  double range = 0;

  void find(const RoomShape& room, const std::vector<double>& from, dvec3 origin, dvec3 w) {
    double best = 1.0e30, nearest_miss = 1.0e30, missed = 1.0e30;
    int missed_wall = -1;
    const dvec2 at(origin), d(w);
    walls.resize(room.corner.size());
    face = -1;
    for (std::size_t i = 0; i < walls.size(); ++i) {
      Wall& wall = walls[i];
      wall.leaving = cross2(d, room.edge[i]);
      if (wall.leaving >= -1.0e-9) continue;
      const double t = wall.range = from[i] / wall.leaving;
      if (t <= -1.0e-4 || t >= best) continue;
      const double s = cross2(room.corner[i] - at, d) / wall.leaving, outside = std::max(-s, s - 1.0);
      if (outside <= 0.0) {
        best = t;
        face = static_cast<int>(i);
      } else if (outside < nearest_miss) {
        nearest_miss = outside;
        missed = t;
        missed_wall = static_cast<int>(i);
      }
    }
    if (face < 0 && nearest_miss < 1.0e-3) {
      face = missed_wall;
      best = missed;
    }
    if (w.z != 0.0) {
      const double t = level(room, origin, w);
      if (t < best) {
        best = t;
        face = w.z > 0.0 ? room.ceiling : room.floor;
      }
    }
    range = best;
  }
  static double level(const RoomShape& room, dvec3 origin, dvec3 w) { return w.z > 0.0 ? (room.height - origin.z) / w.z : -origin.z / w.z; }
};

}  // namespace

namespace {

/// One lobe's rays into the room off a facet: the kernels' sheen_ray, with what a facet's 32 have in common worked out once.
struct Lobe {
  double alpha, soft;
  kernel::LobeFrame frame;
  dvec3 over_x, over_y;                    ///< what the disc's axes are on the hemisphere about the stretched eye
  double upright;
  Lobe(dvec3 eye, double width) : alpha(width), soft(std::clamp(2 * width, 0.05, 0.5)), frame(kernel::lobe_frame(eye, width)), upright(0.5 * (1 + frame.v.z)) {
    const dvec3& v = frame.v;
    const double fold = 1 / (1 + v.z);
    over_x = {1 - v.x * v.x * fold, -v.x * v.y * fold, -v.x};
    over_y = {-v.x * v.y * fold, 1 - v.y * v.y * fold, -v.y};
  }
  /// A microfacet's normal, for a point of the unit disc.
  dvec3 normal(dvec2 point) const {
    const dvec3 at = point.x * over_x + point.y * over_y;
    const double p = glm::dot(at, frame.t1), q = (1 - upright) * kernel::safe_sqrt(1 - p * p) + upright * glm::dot(at, frame.t2);
    const dvec3 n = p * frame.t1 + q * frame.t2 + kernel::safe_sqrt(1 - p * p - q * q) * frame.v;
    return glm::normalize(dvec3(alpha * n.x, alpha * n.y, std::max(n.z, 1.0e-7)));
  }
};

/// What a ray brings from one place on a face: four patches, each as it is and as blurred.
struct Hit { std::array<const double*, 4> patch; std::array<double, 4> sharp, blurred; };

/// sum[m] += weight × what the hits bring at each moment; `fours`: of moments, those that fill the last one up bring nothing.
RAKELIGHT_WIDE void add_hits(const Hit* hits, std::size_t count, std::size_t fours, double weight, double* sum) {
  for (std::size_t n = 0; n < fours; ++n) {
    Four brought{}, sharp, blurred, all;
    for (std::size_t i = 0; i < count; ++i)
      for (std::size_t t = 0; t < 4; ++t) {
        load(sharp, hits[i].patch[t] + four * n);
        load(blurred, hits[i].patch[t] + four * (fours + n));
        brought += hits[i].sharp[t] * sharp + hits[i].blurred[t] * blurred;
      }
    load(all, sum + four * n);
    store(sum + four * n, all + weight * brought);
  }
}

void follow_rays(kernel::SceneKernels& k, const SceneSet& set, const SceneKernels::Place& place, const SceneKernels::FacetAxes& facet, double* out) {
  const std::size_t moments = set.scenes.size(), fours = (moments + four - 1) / four;
  const RoomShape& room = set.room;
  thread_local std::vector<double> brought, from;
  thread_local std::vector<Hit> hits;
  thread_local Meeting meeting;
  brought.assign(four * fours, 0.0);
  from.resize(room.corner.size());
  for (std::size_t i = 0; i < from.size(); ++i) from[i] = cross2(room.corner[i] - dvec2(place.world), room.edge[i]);
  double weights = 0, missed = 0;
  const double* const exitance = set.exitance.data();
  const auto meet = [&](int surface, dvec3 at, double spot, double share) {
    const RoomShape::Face& face = room.faces[static_cast<std::size_t>(surface)];
    if (face.nx < 1 || face.ny < 1) return;
    const dvec3 d = at - face.origin;
    // the kernel's patch_taps
    const double gx = std::clamp((glm::dot(d, face.x) - face.lo.x) / face.size.x * face.along_x - 0.5, 0.0, face.along_x - 1.0);
    const double gy = std::clamp((glm::dot(d, face.y) - face.lo.y) / face.size.y * face.along_y - 0.5, 0.0, face.along_y - 1.0);
    const int ix = std::min(static_cast<int>(gx), face.nx - 1), iy = std::min(static_cast<int>(gy), face.ny - 1);
    const int jx = std::min(ix + 1, face.nx - 1), jy = std::min(iy + 1, face.ny - 1);
    const double x = gx - ix, y = gy - iy;
    const double blurred = std::clamp(spot / k.SHEEN_BLUR, 0.0, 1.0), sharp = 1 - blurred;
    const std::array<double, 4> weight{share * (1 - x) * (1 - y), share * x * (1 - y), share * (1 - x) * y, share * x * y};
    const std::array<int, 4> patch{iy * face.nx + ix, iy * face.nx + jx, jy * face.nx + ix, jy * face.nx + jx};
    Hit& hit = hits.emplace_back();
    for (std::size_t n = 0; n < 4; ++n) {
      hit.patch[n] = exitance + 2 * four * fours * (face.first + static_cast<std::size_t>(patch[n]));
      hit.sharp[n] = weight[n] * sharp;
      hit.blurred[n] = weight[n] * blurred;
    }
  };
  static const auto points = [] {
    std::array<dvec2, 32> all;
    for (int i = 0; i < 32; ++i) all[static_cast<std::size_t>(i)] = kernel::lobe_point(i);
    return all;
  }();
  const std::array<double, 2> widths{place.coat.alpha60, place.coat.alpha85};
  for (std::size_t second = place.eye_share < 1 ? 0 : 1; second < 2; ++second) {
    const Lobe lobe(facet.eye, widths[second]);
    for (const dvec2 point : points) {
      const dvec3 h = lobe.normal(point);
      const double c = glm::dot(facet.eye, h);
      const dvec3 light = 2 * c * h - facet.eye;
      if (light.z <= 0) continue;
      const double node = kernel::fresnel(c, place.coat.index) * (1 + lobe.frame.lambda) / (1 + lobe.frame.lambda + kernel::smith_lambda(light.z, lobe.alpha));
      if (node <= 0) continue;
      const dvec3 w = light.x * facet.x + light.y * facet.y + light.z * facet.n;
      const double blend = kernel::grazing_weight(kernel::grazing_share(w.z), place.eye_share), weight_of_ray = node * (second == 1 ? blend : 1 - blend);
      if (weight_of_ray <= 0) continue;
      // bent up softly, as the kernel has it
      const dvec3 ahead = glm::normalize(dvec3(w.x, w.y, 0.5 * (w.z + std::sqrt(w.z * w.z + 0.01))));
      const dvec3 towards = ahead.x * place.frame.x + ahead.y * place.frame.y + ahead.z * place.frame.n;
      weights += weight_of_ray;
      meeting.find(room, from, place.world, towards);
      if (meeting.face < 0) {
        missed += weight_of_ray;
        continue;
      }
      hits.clear();
      double shares = 1;
      const auto meet_at = [&](int face, double range, double share) { meet(face, place.world + range * towards, 0.5 * lobe.soft * range, share); };
      meet_at(meeting.face, meeting.range, 1);
      const auto beside = [&](int face, double range) {
        const double share = range > 0 ? k.face_share(range, meeting.range, lobe.soft) : 0;
        if (share <= 0) return;
        shares += share;
        meet_at(face, range, share);
      };
      if (room.convex) {
        for (std::size_t f = 0; f < meeting.walls.size(); ++f)
          if (static_cast<int>(f) != meeting.face && meeting.walls[f].leaving < -1.0e-6) beside(static_cast<int>(f), meeting.walls[f].range);
        const int other = towards.z > 0 ? room.ceiling : room.floor;
        if (other != meeting.face && std::abs(towards.z) > 1.0e-6) beside(other, Meeting::level(room, place.world, towards));
      }
      add_hits(hits.data(), hits.size(), fours, weight_of_ray / shares, brought.data());
    }
  }
  const double scale = weights > 0 ? facet.albedo / (weights * pi) : 0;
  for (std::size_t m = 0; m < moments; ++m) out[m] = (brought[m] + missed * pi * set.mean_radiance[m]) * scale;
}

}  // namespace

void room_sheens(kernel::SceneKernels& k, const SceneSet& set, const kernel::SceneKernels::Place& place,
                 const kernel::SceneKernels::FacetAxes& facet, double* out) {
  std::fill_n(out, set.scenes.size(), 0.0);
  if (facet.eye.z > 1e-4) follow_rays(k, set, place, facet, out);
}

}  // namespace rakelight
