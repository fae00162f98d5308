// Rays into the room, followed once for all moments: where they go hangs on room, coat, eye and facet alone.
#include "look/scene_set.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

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

constexpr std::size_t lobe_rays = 32;
/// One number of each of four rays, or of all of a lobe's.
using OfFour = std::array<double, four>;
using OfAll = std::array<double, lobe_rays>;

struct FourVectors { Four x, y, z; };
RAKELIGHT_ALWAYS_INLINE void dot(Four& to, const FourVectors& a, dvec3 b) { to = a.x * b.x + a.y * b.y + a.z * b.z; }
/// a.x x + a.y y + a.z z
RAKELIGHT_ALWAYS_INLINE void turn(FourVectors& to, const FourVectors& a, dvec3 x, dvec3 y, dvec3 z) {
  to.x = a.x * x.x + a.y * y.x + a.z * z.x;
  to.y = a.x * x.y + a.y * y.y + a.z * z.y;
  to.z = a.x * x.z + a.y * y.z + a.z * z.z;
}
RAKELIGHT_ALWAYS_INLINE void root_of_positive(Four& to, const Four& from) {
  const Four zero{};
  square_root(to, from > zero ? from : zero);
}
RAKELIGHT_ALWAYS_INLINE void make_unit(FourVectors& v) {
  Four length;
  square_root(length, v.x * v.x + v.y * v.y + v.z * v.z);
  const Four scale = 1.0 / length;
  v.x *= scale;
  v.y *= scale;
  v.z *= scale;
}
/// 0 … 1, smoothly, as t goes from 0 to 1.
RAKELIGHT_ALWAYS_INLINE void ease(Four& to, Four t) {
  const Four zero{}, one = zero + 1.0;
  t = t > zero ? t : zero;
  t = t < one ? t : one;
  to = t * t * (3.0 - 2.0 * t);
}

/// A lobe's rays into the room off a facet: the kernels' sheen_ray, with what a facet's 32 have in common worked out once.
struct Lobe {
  double alpha, soft, index, eye_share;
  bool second;
  kernel::LobeFrame frame;
  dvec3 over_x, over_y;                    ///< what the disc's axes are on the hemisphere about the stretched eye
  double upright;
  SceneKernels::FacetAxes facet;
  SceneKernels::FaceFrame face;
  Lobe(const SceneKernels::Place& place, const SceneKernels::FacetAxes& axes, bool for_grazing)
      : alpha(for_grazing ? place.coat.alpha85 : place.coat.alpha60), soft(std::clamp(2 * alpha, 0.05, 0.5)), index(place.coat.index), eye_share(place.eye_share),
        second(for_grazing), frame(kernel::lobe_frame(axes.eye, alpha)), upright(0.5 * (1 + frame.v.z)), facet(axes), face(place.frame) {
    const dvec3& v = frame.v;
    const double fold = 1 / (1 + v.z);
    over_x = {1 - v.x * v.x * fold, -v.x * v.y * fold, -v.x};
    over_y = {-v.x * v.y * fold, 1 - v.y * v.y * fold, -v.y};
  }
};

/// Where a lobe's rays go, plan axes; weight 0: nowhere.
struct Rays { OfAll x, y, z, weight; };

/// `points`: x, then y, of the unit disc.
RAKELIGHT_WIDE void aim(const Lobe& lobe, const std::array<OfAll, 2>& points, Rays& rays) {
  const Four zero{}, one = zero + 1.0;
  const kernel::LobeFrame& f = lobe.frame;
  const dvec3 eye = lobe.facet.eye;
  const double alpha2 = lobe.alpha * lobe.alpha, index2 = lobe.index * lobe.index - 1;
  for (std::size_t i = 0; i < lobe_rays; i += four) {
    Four a, b, p, q, r, c;
    load(a, points[0].data() + i);
    load(b, points[1].data() + i);
    // a microfacet's normal
    FourVectors at, n, h;
    at.x = a * lobe.over_x.x + b * lobe.over_y.x;
    at.y = a * lobe.over_x.y + b * lobe.over_y.y;
    at.z = a * lobe.over_x.z + b * lobe.over_y.z;
    dot(p, at, f.t1);
    dot(q, at, f.t2);
    root_of_positive(r, 1.0 - p * p);
    q = (1 - lobe.upright) * r + lobe.upright * q;
    root_of_positive(r, 1.0 - p * p - q * q);
    n.x = p;
    n.y = q;
    n.z = r;
    turn(h, n, f.t1, f.t2, f.v);
    const Four least = zero + 1e-7;
    h.x *= lobe.alpha;
    h.y *= lobe.alpha;
    h.z = h.z > least ? h.z : least;
    make_unit(h);
    dot(c, h, eye);
    FourVectors light, w, towards;
    light.x = 2.0 * c * h.x - eye.x;
    light.y = 2.0 * c * h.y - eye.y;
    light.z = 2.0 * c * h.z - eye.z;
    // the kernels' fresnel and smith_lambda
    Four g, lambda;
    square_root(g, index2 + c * c);
    const Four ratio = (g - c) / (g + c), other = ((g + c) * c - 1.0) / ((g - c) * c + 1.0), mirrored = 0.5 * ratio * ratio * (1.0 + other * other);
    const Four level = zero + 1e-6, mu = light.z > level ? light.z : level, mu2 = mu * mu, steep = one - mu2;
    square_root(lambda, 1.0 + alpha2 * (steep > zero ? steep : zero) / mu2);
    const Four node = mirrored * (1 + f.lambda) / (1 + f.lambda + 0.5 * (lambda - 1.0));
    turn(w, light, lobe.facet.x, lobe.facet.y, lobe.facet.n);
    Four grazing;
    ease(grazing, (0.5 - w.z) / (0.5 - 0.17364817766693036));
    const Four blend = grazing + lobe.eye_share - grazing * lobe.eye_share;
    const Four weight = node * (lobe.second ? blend : 1.0 - blend);
    // bent up softly, as the kernel has it
    square_root(r, w.z * w.z + 0.01);
    w.z = 0.5 * (w.z + r);
    make_unit(w);
    turn(towards, w, lobe.face.x, lobe.face.y, lobe.face.n);
    store(rays.x.data() + i, towards.x);
    store(rays.y.data() + i, towards.y);
    store(rays.z.data() + i, towards.z);
    store(rays.weight.data() + i, (light.z > zero) & (node > zero) & (weight > zero) ? weight : zero);
  }
}

/// Where four rays meet the planes of the room's faces: the kernels' face_hit and beside_face on a shape that is known.
struct Meeting {
  struct Beside { OfFour range, share; };
  OfFour face{}, range{};                  ///< the first; face -1: none
  std::vector<Beside> walls;               ///< what counts beside it; share 0: nothing
  Beside level{};                          ///< floor or ceiling
  OfFour beside{};                         ///< all those shares
};

/// `from`: of each wall, cross2 of the way to it and its edge.
RAKELIGHT_WIDE void meet_faces(const RoomShape& room, const double* from, dvec3 origin, double soft, const double* x, const double* y, const double* z, Meeting& m) {
  const Four zero{}, none = zero - 1.0;
  Four dx, dy, dz, best = zero + 1.0e30, face = none, nearest_miss = best, missed = best, missed_wall = none, leaving, range;
  load(dx, x);
  load(dy, y);
  load(dz, z);
  const std::size_t walls = room.corner.size();
  for (std::size_t i = 0; i < walls; ++i) {
    const dvec2 edge = room.edge[i], to = room.corner[i] - dvec2(origin);
    leaving = dx * edge.y - dy * edge.x;
    const Four t = from[i] / leaving, s = (to.x * dy - to.y * dx) / leaving, low = -s, high = s - 1.0, outside = low > high ? low : high;
    const auto ahead = (leaving < -1.0e-9) & (t > -1.0e-4) & (t < best), hit = ahead & (outside <= 0.0), miss = ahead & (outside > 0.0) & (outside < nearest_miss);
    const Four wall = zero + static_cast<double>(i);
    best = hit ? t : best;
    face = hit ? wall : face;
    nearest_miss = miss ? outside : nearest_miss;
    missed = miss ? t : missed;
    missed_wall = miss ? wall : missed_wall;
    // behind it where it is not left
    store(m.walls[i].range.data(), leaving < -1.0e-6 ? t : none);
  }
  const auto cracked = (face < 0.0) & (nearest_miss < 1.0e-3);
  face = cracked ? missed_wall : face;
  best = cracked ? missed : best;
  const Four flat = zero + static_cast<double>(room.floor), over = zero + static_cast<double>(room.ceiling), horizontal = dz > zero ? over : flat;
  const Four up = (room.height - origin.z) / dz, down = -origin.z / dz, t = dz > zero ? up : down;
  const auto first = ((dz > zero) | (dz < zero)) & (t < best);
  face = first ? horizontal : face;
  best = first ? t : best;
  store(m.face.data(), face);
  store(m.range.data(), best);
  store(m.beside.data(), zero);
  if (!room.convex) return;
  const Four least = zero + 1.0e-6, nearest = best > least ? best : least;
  Four eased, share, all{};
  for (std::size_t i = 0; i < walls; ++i) {
    load(range, m.walls[i].range.data());
    ease(eased, (range / nearest - 1.0) / soft);
    share = (range > zero) & (face != static_cast<double>(i)) ? 1.0 - eased : zero;
    all += share;
    store(m.walls[i].share.data(), share);
  }
  ease(eased, (t / nearest - 1.0) / soft);
  share = (t > zero) & (face != horizontal) & ((dz > 1.0e-6) | (dz < -1.0e-6)) ? 1.0 - eased : zero;
  store(m.level.range.data(), t);
  store(m.level.share.data(), share);
  store(m.beside.data(), all + share);
}

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

/// A face's patches along a ray from one place: the first one's middle is at 0, the next at 1.
struct PatchLine { dvec2 from{0}; dvec3 x{0}, y{0}; };

void follow_rays(kernel::SceneKernels& k, const SceneSet& set, const SceneKernels::Place& place, const SceneKernels::FacetAxes& facet, double* out) {
  const std::size_t moments = set.scenes.size(), fours = (moments + four - 1) / four;
  const RoomShape& room = set.room;
  const std::size_t walls = room.corner.size();
  thread_local std::vector<double> brought, from;
  thread_local std::vector<PatchLine> lines;
  thread_local Meeting meeting;
  thread_local Rays rays;
  thread_local std::vector<Hit> hits;
  brought.assign(four * fours, 0.0);
  meeting.walls.resize(walls);
  from.resize(walls);
  for (std::size_t i = 0; i < walls; ++i) from[i] = cross2(room.corner[i] - dvec2(place.world), room.edge[i]);
  lines.resize(room.faces.size());
  for (std::size_t f = 0; f < lines.size(); ++f) {
    const RoomShape::Face& face = room.faces[f];
    if (face.nx < 1 || face.ny < 1) continue;
    const double over_x = face.along_x / face.size.x, over_y = face.along_y / face.size.y;
    const dvec3 d = place.world - face.origin;
    lines[f] = {{(glm::dot(d, face.x) - face.lo.x) * over_x - 0.5, (glm::dot(d, face.y) - face.lo.y) * over_y - 0.5}, over_x * face.x, over_y * face.y};
  }
  double weights = 0, missed = 0;
  const double* const exitance = set.exitance.data();
  static const auto points = [] {
    std::array<OfAll, 2> all;
    for (std::size_t i = 0; i < lobe_rays; ++i) {
      const dvec2 point = kernel::lobe_point(static_cast<int>(i));
      all[0][i] = point.x;
      all[1][i] = point.y;
    }
    return all;
  }();
  for (const bool second : {false, true}) {
    if (!second && place.eye_share >= 1) continue;
    const Lobe lobe(place, facet, second);
    aim(lobe, points, rays);
    for (std::size_t first = 0; first < lobe_rays; first += four) {
      meet_faces(room, from.data(), place.world, lobe.soft, rays.x.data() + first, rays.y.data() + first, rays.z.data() + first, meeting);
      for (std::size_t i = 0; i < four; ++i) {
        const double weight = rays.weight[first + i];
        if (weight <= 0) continue;
        weights += weight;
        if (meeting.face[i] < 0) {
          missed += weight;
          continue;
        }
        const dvec3 towards(rays.x[first + i], rays.y[first + i], rays.z[first + i]);
        hits.clear();
        double shares = 0;
        const auto meet = [&](std::size_t surface, double range, double share) {
          shares += share;
          const RoomShape::Face& face = room.faces[surface];
          if (face.nx < 1 || face.ny < 1) return;
          const PatchLine& line = lines[surface];
          // the kernel's patch_taps
          const double gx = std::clamp(line.from.x + range * glm::dot(towards, line.x), 0.0, face.along_x - 1.0);
          const double gy = std::clamp(line.from.y + range * glm::dot(towards, line.y), 0.0, face.along_y - 1.0);
          const int ix = std::min(static_cast<int>(gx), face.nx - 1), iy = std::min(static_cast<int>(gy), face.ny - 1);
          const std::size_t right = ix + 1 < face.nx ? 1 : 0, below = iy + 1 < face.ny ? static_cast<std::size_t>(face.nx) : 0;
          const double x = gx - ix, y = gy - iy;
          const double blurred = std::clamp(0.5 * lobe.soft * range / k.SHEEN_BLUR, 0.0, 1.0), sharp = 1 - blurred;
          const std::array<double, 4> of_patch{share * (1 - x) * (1 - y), share * x * (1 - y), share * (1 - x) * y, share * x * y};
          const std::array<std::size_t, 4> step{0, right, below, right + below};
          const double* const patch = exitance + 2 * four * fours * (face.first + static_cast<std::size_t>(iy * face.nx + ix));
          Hit& hit = hits.emplace_back();
          for (std::size_t n = 0; n < 4; ++n) {
            hit.patch[n] = patch + 2 * four * fours * step[n];
            hit.sharp[n] = of_patch[n] * sharp;
            hit.blurred[n] = of_patch[n] * blurred;
          }
        };
        meet(static_cast<std::size_t>(meeting.face[i]), meeting.range[i], 1);
        if (meeting.beside[i] > 0) {
          for (std::size_t f = 0; f < walls; ++f)
            if (meeting.walls[f].share[i] > 0) meet(f, meeting.walls[f].range[i], meeting.walls[f].share[i]);
          if (meeting.level.share[i] > 0) meet(static_cast<std::size_t>(towards.z > 0 ? room.ceiling : room.floor), meeting.level.range[i], meeting.level.share[i]);
        }
        add_hits(hits.data(), hits.size(), fours, weight / shares, brought.data());
      }
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
