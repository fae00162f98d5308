// Exact light at a point, by source; what an eye sees and is dazzled by.
#include <algorithm>
#include <cmath>
#include <limits>

#include "kernel/sky.h"
#include "light/basis.h"
#include "light/gather.h"
#include "light/lamp.h"
#include "light/smooth.h"
#include "light/sun.h"
#include "light/window_light.h"

namespace rakelight {
namespace {

LightVector in_frame(const Frame& frame, dvec3 e) {
  const dvec3 s = frame.surface_direction(e);
  return {s.x, s.y, s.z};
}

/// Light vectors at a receiver through one window, parted at the horizon.
struct WindowShares { dvec3 sky{0}, ground{0}; };

struct Outdoors {
  const Lighting& lighting;
  kernel::Outside outside;
  dvec3 sun;
  explicit Outdoors(const Lighting& l) : lighting(l), outside(outside_of(l.sky)), sun(l.sky.indicatrix_sun) {}
  Outdoors(const Outdoors&) = delete;
  Outdoors& operator=(const Outdoors&) = delete;

  OutsideShape shape(const NearOutside& near) const {
    OutsideShape s;
    s.outskirts = &lighting.sky;
    if (lighting.sky.c != 0) s.sun = &sun;
    if (near.reach > 0) s.reaches = {&near.reach, 1};
    return s;
  }
  double luminance(const NearOutside& near, const Ray& ray) const {
    switch (ray.band) {
      case Band::ground: return near.reach > 0 && ray.strip == 0 ? near.shaded_ground : near.ground;
      case Band::skyline: return near.skyline;
      case Band::eaves: return near.eaves;
      case Band::fins: return near.fins;
      case Band::sky: break;
    }
    return outside.scale * kernel::sky_relative(outside, ray.w);
  }
};

WindowShares window_light(const Lighting& l, const Outdoors& outdoors, int window, const Receiver& receiver) {
  WindowShares shares;
  const NearOutside near = near_outside(*l.room, window, l.sky);
  through_window(*l.room, window, l.glazing[window], receiver, outdoors.shape(near), [&](const Ray& ray) {
    const dvec3 e = (outdoors.luminance(near, ray) * ray.solid) * ray.w;
    // a fin stands below the horizon too
    (ray.altitude < 0 ? shares.ground : shares.sky) += e;
  });
  return shares;
}

/// Bounced light, that of covered panes kept apart when `covers` (per window) is given.
Gift bounce_light(const Lighting& l, const Receiver& receiver, int surface, std::vector<dvec3>* covers = nullptr) {
  const Gathering gathering(*l.room, *l.basis, receiver.p, receiver.n, surface);
  Gift sum = uneven_light(l, gathering);
  const auto add = [&](int j, double exitance, const Gift& gift) {
    const int window = covers ? l.basis->patch[j].window : -1;
    if (window >= 0 && l.room->windows[window].cover.there() && j >= l.basis->parts[window].pane) {
      (*covers)[window] += exitance * gift.e;
      return;
    }
    sum.e += exitance * gift.e;
    sum.change += exitance * gift.change;
  };
  gathering.everything([&](int j, const Gift& gift) { add(j, l.patch_exitance[j], gift); },
                       [&](int c, const Gift& gift) { add(c / cells, l.cell_exitance[c], gift); });
  return sum;
}

int recess_of(const Room& room, dvec3 p) {
  for (int i = 0; i < static_cast<int>(room.windows.size()); ++i) {
    const Window& w = room.windows[i];
    const Frame& f = room.surfaces[w.surface].frame;
    const double h = f.height_of(p);
    if (h < -1e-9 && h >= -w.reveal - 1e-9 && w.opening.contains(f.surface_from_world(p))) return i;
  }
  return -1;
}

/// The patch among [first, last) on which a point lies; the nearest when rounding puts it on none.
int patch_at(const LightBasis& basis, int first, int last, dvec3 p) {
  int best = first;
  double least = std::numeric_limits<double>::infinity();
  for (int i = first; i < last; ++i) {
    const Patch& patch = basis.patch[i];
    if (patch.area <= 0) continue;
    const dvec3 r = p - patch.corner;
    const double s = glm::dot(r, patch.u) / glm::dot(patch.u, patch.u), t = glm::dot(r, patch.v) / glm::dot(patch.v, patch.v);
    const double off = std::max({-s, s - 1, -t, t - 1, 0.0}) + std::abs(glm::dot(r, patch.n));
    if (off < least) {
      least = off;
      best = i;
    }
  }
  return best;
}

/// What is met inside a recess by a ray that enters or stands at `p` (world) and goes outwards.
double luminance_in_recess(const Lighting& l, int window, dvec3 p, dvec3 w) {
  const Window& win = l.room->windows[window];
  const Frame& f = l.room->surfaces[win.surface].frame;
  const WindowParts& parts = l.basis->parts[window];
  const dvec2 at = f.surface_from_world(p);
  const dvec3 d = f.surface_direction(w);
  double reach = (f.height_of(p) + win.reveal) / -d.z;
  int first = -1, last = -1;
  const auto meet = [&](double distance, int from, int to) {
    if (distance < reach) {
      reach = distance;
      first = from;
      last = to;
    }
  };
  if (d.x < 0) meet((win.opening.lo.x - at.x) / d.x, parts.left, parts.right);
  if (d.x > 0) meet((win.opening.hi.x - at.x) / d.x, parts.right, parts.sill);
  if (d.y < 0) meet((win.opening.lo.y - at.y) / d.y, parts.sill, parts.head);
  if (d.y > 0) meet((win.opening.hi.y - at.y) / d.y, parts.head, parts.frame);
  const dvec3 hit = p + reach * w;
  if (first >= 0) return l.patch_exitance[patch_at(*l.basis, first, last, hit)] / pi;
  if (!win.glass().contains(f.surface_from_world(hit)))
    return l.patch_exitance[patch_at(*l.basis, parts.frame, parts.pane, hit)] / pi;
  const double pane = l.patch_exitance[patch_at(*l.basis, parts.pane, parts.end, hit)] / pi;
  if (l.sky.dark) return pane;
  const Glazing& g = l.glazing[window];
  return pane + luminance_beyond(*l.room, window, l.sky, f.surface_from_world(hit), w) * kernel::glass_transmittance(-d.z, g.panes, g.extinction, g.scale);
}

/// What patches send at exitance 1, side by side.
struct PatchGifts {
  std::vector<double> x, y, z, change;
  void clear(std::size_t count) {
    for (std::vector<double>* part : {&x, &y, &z, &change}) part->assign(count, 0.0);
  }
  void put(std::size_t j, const Gift& gift) {
    x[j] = gift.e.x;
    y[j] = gift.e.y;
    z[j] = gift.e.z;
    change[j] = gift.change;
  }
};

}  // namespace

std::vector<LightSample> smooth_light(const std::vector<const Lighting*>& lightings, int surface, dvec2 p) {
  const Lighting& first = *lightings.front();
  const Surface& s = first.room->surfaces[surface];
  const Receiver receiver{s.frame.world_from_surface(settled(s, p)), s.frame.n, -1};
  std::vector<Gift> sums(lightings.size());
  const Gathering gathering(*first.room, *first.basis, receiver.p, receiver.n, surface);
  std::vector<std::size_t> together;
  std::vector<const Lighting*> alike;
  for (std::size_t m = 0; m < lightings.size(); ++m) {
    if (lightings[m]->basis != first.basis) {
      sums[m] = bounce_light(*lightings[m], receiver, surface);
      continue;
    }
    together.push_back(m);
    alike.push_back(lightings[m]);
  }
  const std::vector<Gift> uneven = uneven_light(alike, gathering);
  for (std::size_t i = 0; i < together.size(); ++i) sums[together[i]] = uneven[i];
  const auto add = [](Gift& sum, double exitance, const Gift& gift) {
    sum.e += exitance * gift.e;
    sum.change += exitance * gift.change;
  };
  thread_local PatchGifts gifts;
  gifts.clear(first.patch_exitance.size());
  gathering.everything(
      [&](int j, const Gift& gift) { gifts.put(static_cast<std::size_t>(j), gift); },
      [&](int c, const Gift& gift) {
        for (const std::size_t m : together) add(sums[m], lightings[m]->cell_exitance[c], gift);
      });
  for (const std::size_t m : together) add_gifts(lightings[m]->patch_exitance.data(), 0, gifts.x.size(), {gifts.x.data(), gifts.y.data(), gifts.z.data(), gifts.change.data()}, sums[m]);
  std::vector<LightSample> samples;
  for (std::size_t m = 0; m < lightings.size(); ++m) {
    const Lighting& lighting = *lightings[m];
    Gift& sum = sums[m];
    if (!lighting.sky.dark) {
      const Outdoors outdoors(lighting);
      const auto normal_light = [&](int w, double height) {
        Receiver lifted = receiver;
        lifted.p += height * receiver.n;
        const WindowShares shares = window_light(lighting, outdoors, w, lifted);
        return glm::dot(shares.sky + shares.ground, receiver.n);
      };
      for (int w = 0; w < static_cast<int>(lighting.room->windows.size()); ++w) {
        const WindowShares shares = window_light(lighting, outdoors, w, receiver);
        sum.e += shares.sky + shares.ground;
        sum.change += (normal_light(w, lift) - normal_light(w, -lift)) / (2 * lift);
      }
    }
    samples.push_back({in_frame(s.frame, sum.e), -sum.change});
    samples.back().e.n = std::max(0.0, samples.back().e.n);
  }
  return samples;
}

LightSample smooth_light(const Lighting& lighting, int surface, dvec2 p) { return smooth_light(std::vector<const Lighting*>{&lighting}, surface, p).front(); }

SunAt sun_at(const Lighting& lighting, dvec3 world) {
  return sun_through(*lighting.room, lighting.sky, lighting.glazing, world, recess_of(*lighting.room, world));
}

std::vector<SourceShare> light_by_source(const Lighting& lighting, int surface, dvec2 p) {
  const Room& room = *lighting.room;
  const Surface& s = room.surfaces[surface];
  const dvec2 q = settled(s, p);
  const Receiver receiver{s.frame.world_from_surface(q), s.frame.n, -1};
  std::vector<SourceShare> shares;
  shares.push_back({"sun", in_frame(s.frame, sun_vector(lighting.sky, sun_at(lighting, receiver.p), receiver.n))});
  const Outdoors outdoors(lighting);
  for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) {
    WindowShares light;
    if (!lighting.sky.dark) light = window_light(lighting, outdoors, w, receiver);
    shares.push_back({room.windows[w].name + " sky", in_frame(s.frame, light.sky)});
    shares.push_back({room.windows[w].name + " ground", in_frame(s.frame, light.ground)});
  }
  for (const Lamp& lamp : lighting.lamps) {
    const dvec3 e = lamp_light(lamp, receiver.p, receiver.n, [&](dvec3 at) { return room.convex || room.sees(receiver.p, at); });
    shares.push_back({lamp.name, in_frame(s.frame, e)});
  }
  std::vector<dvec3> covers(room.windows.size(), dvec3(0));
  const dvec3 bounced = bounce_light(lighting, receiver, surface, &covers).e;
  for (std::size_t w = 0; w < covers.size(); ++w)
    if (room.windows[w].cover.there()) shares.push_back({room.windows[w].name + " cover", in_frame(s.frame, covers[w])});
  shares.push_back({"bounce", in_frame(s.frame, bounced)});
  return shares;
}

LightVector total_light(const Lighting& lighting, int surface, dvec2 p) {
  LightVector sum;
  for (const SourceShare& share : light_by_source(lighting, surface, p)) sum += share.e;
  return sum;
}

double luminance_seen(const Lighting& lighting, dvec3 from, dvec3 direction) {
  const Room& room = *lighting.room;
  const dvec3 w = glm::normalize(direction);
  const int recess = recess_of(room, from);
  if (recess >= 0 && glm::dot(w, room.surfaces[room.windows[recess].surface].frame.n) < 0)
    return luminance_in_recess(lighting, recess, from, w);
  int hit = -1;
  double reach = std::numeric_limits<double>::infinity();
  for (int i = 0; i < static_cast<int>(room.surfaces.size()); ++i) {
    const Frame& f = room.surfaces[i].frame;
    const double towards = -glm::dot(w, f.n);
    if (towards <= 1e-12) continue;
    const double distance = f.height_of(from) / towards;
    if (distance < -1e-9 || distance >= reach || !room.surfaces[i].contains(f.surface_from_world(from + distance * w))) continue;
    reach = distance;
    hit = i;
  }
  if (hit < 0) return 0;
  const Surface& s = room.surfaces[hit];
  const dvec3 at = from + reach * w;
  const dvec2 p = s.frame.surface_from_world(at);
  for (int i = 0; i < static_cast<int>(room.windows.size()); ++i)
    if (room.windows[i].surface == hit && room.windows[i].opening.contains(p)) return luminance_in_recess(lighting, i, at, w);
  const PatchGrid& g = lighting.basis->grid[hit];
  const int column = std::clamp(static_cast<int>((p.x - g.box.lo.x) / g.box.width() * 4 * g.nx), 0, 4 * g.nx - 1);
  const int row = std::clamp(static_cast<int>((p.y - g.box.lo.y) / g.box.height() * 4 * g.ny), 0, 4 * g.ny - 1);
  const int patch = g.first + row / 4 * g.nx + column / 4, cell = cells * patch + row % 4 * 4 + column % 4;
  return (lighting.basis->cell_share[cell] > 0 ? lighting.cell_exitance[cell] : lighting.patch_exitance[patch]) / pi;
}

namespace {

/// What a covered pane sends to an eye in the room, lx; whole or not at all past the plan's corners.
dvec3 cover_at_eye(const Lighting& l, int window, dvec3 eye) {
  dvec3 sum(0);
  if (!l.room->windows[window].cover.there()) return sum;
  const WindowParts& parts = l.basis->parts[window];
  const Hole hole = hole_from(eye, opening_corners(*l.room, window));
  for (int j = parts.pane; j < parts.end; ++j) {
    const Patch& patch = l.basis->patch[j];
    if (patch.area > 0 && open_between(*l.room, eye, -1, patch.centre(), window))
      sum += l.patch_exitance[j] / pi * patch_vector(eye, nullptr, patch.corner, patch.u, patch.v, patch.n, &hole);
  }
  return sum;
}

}  // namespace

std::vector<GlareSource> glare_sources(const Lighting& lighting, dvec3 eye) {
  const Room& room = *lighting.room;
  std::vector<GlareSource> sources;
  const Receiver receiver{eye, dvec3(0), -1};
  const Outdoors outdoors(lighting);
  const auto add = [&](dvec3 e, const std::string& name) {
    const double illuminance = glm::length(e);
    if (illuminance > 0) sources.push_back({e / illuminance, illuminance, name});
  };
  if (!lighting.sky.dark)
    for (int w = 0; w < static_cast<int>(room.windows.size()); ++w) {
      const WindowShares light = window_light(lighting, outdoors, w, receiver);
      add(light.sky + light.ground + cover_at_eye(lighting, w, eye), room.windows[w].name);
    }
  for (const Lamp& lamp : lighting.lamps)
    add(lamp_light(lamp, eye, glm::normalize(lamp.at - eye), [&](dvec3 at) { return room.convex || room.sees(eye, at); }), lamp.name);
  const SunAt sun = sun_at(lighting, eye);
  if (sun.window >= 0) add(sun.normal_illuminance * lighting.sky.sun_direction, "sun");
  return sources;
}

}  // namespace rakelight
