#include "oracle/tracer.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <mutex>
#include <stdexcept>
#include <utility>

#include "oracle/numbers.h"

namespace oracle {
namespace {

std::atomic<long> lost{0};

/// Two directions square to n and each other.
void axes_about(dvec3 n, dvec3& a, dvec3& b) {
  a = glm::normalize(std::abs(n.x) < 0.6 ? glm::cross(n, dvec3(1, 0, 0)) : glm::cross(n, dvec3(0, 1, 0)));
  b = glm::cross(n, a);
}

/// One sample of a source as seen from p: direction, and luminance times solid angle (lx square to it), 0 when hidden.
struct Ray { dvec3 w{0}; double e = 0; };

Ray through_glass(const World& world, int opening, dvec3 p, double s, double t) {
  const Face& f = world.glass_plane(opening);
  const dvec2 size = f.pane.hi - f.pane.lo;
  const dvec3 g = f.at(f.pane.lo + dvec2(s, t) * size), r = g - p;
  const double d2 = glm::dot(r, r);
  Ray ray;
  ray.w = r / std::sqrt(d2);
  const double cosine = -glm::dot(ray.w, f.n);
  if (cosine <= 0 || !world.open(p, g)) return ray;
  ray.e = world.beyond(opening, g, ray.w) * world.glass(opening, cosine).passed * cosine *
          size.x * size.y / d2;
  return ray;
}

Ray from_sun(const World& world, dvec3 p, double s, double t) {
  const Sky& sky = world.plan.sky;
  dvec3 a, b;
  axes_about(sky.sun, a, b);
  const double r = std::sin(sun_radius) * std::sqrt(s), phi = 2 * pi * t;
  Ray ray;
  ray.w = std::sqrt(1 - r * r) * sky.sun + r * std::cos(phi) * a + r * std::sin(phi) * b;
  if (std::asin(ray.w.z) < std::max(0.0, sky.skyline_at(ray.w))) return ray;
  const Hit hit = world.trace(p, ray.w);
  if (!hit.glass || world.slab_before(hit.p, ray.w)) return ray;
  const Face& f = world.faces[static_cast<std::size_t>(hit.face)];
  ray.e = sky.direct_normal * world.glass(f.opening, -glm::dot(ray.w, f.n)).passed;
  return ray;
}

Ray from_lamp(const World& world, const Disc& lamp, dvec3 p, double s, double t) {
  dvec3 a, b;
  axes_about(lamp.aim, a, b);
  const double r = 0.5 * lamp.size * std::sqrt(s), phi = 2 * pi * t;
  dvec3 q = lamp.at + r * std::cos(phi) * a + r * std::sin(phi) * b;
  double weight = 1;
  if (lamp.strip()) {
    // evenly by the angle along the strip as seen from p (equiangular sampling, Kulla & Fajardo 2012)
    const double length = glm::length(lamp.along);
    const dvec3 u = lamp.along / length, start = lamp.at - 0.5 * lamp.along;
    const double foot = glm::dot(p - start, u), away = std::max(0.01, glm::length(p - start - foot * u));
    const double from = std::atan(-foot / away), to = std::atan((length - foot) / away), x = foot + away * std::tan(from + s * (to - from));
    weight = (to - from) * (away * away + (x - foot) * (x - foot)) / (away * length);
    q = start + x * u + (t - 0.5) * lamp.size * glm::normalize(glm::cross(u, lamp.aim));
  }
  const double d2 = glm::dot(q - p, q - p);
  Ray ray;
  ray.w = (q - p) / std::sqrt(d2);
  const double cosine = -glm::dot(ray.w, lamp.aim);
  if (cosine <= 0 || !world.open(p, q)) return ray;
  // half the peak at half the beam; flux of the lobe 2 pi peak / (n + 1)
  const double n = std::log(0.5) / std::log(std::cos(0.5 * lamp.beam));
  ray.e = weight * lamp.flux * (n + 1) / (2 * pi) * std::pow(cosine, n) / d2;
  return ray;
}

bool shines(const Sky& sky) { return !sky.dark && sky.direct_normal > 0; }

/// Illuminance at a meeting from sources sampled there. In a recess the own window's glass touches the face, so that its
/// area would be seen under steeply varying angles: there a bundle of rays by the cosine looks for it.
double sampled_light(const World& world, dvec3 y, dvec3 n, int recess, double s, double t) {
  double sum = 0;
  if (recess >= 0 && !world.plan.sky.dark && glm::dot(n, world.glass_plane(recess).n) < 0.5) {
    constexpr int side = 4;
    dvec3 a, b;
    axes_about(n, a, b);
    for (int i = 0; i < side * side; ++i) {
      const double u = (i / side + s) / side, phi = 2 * pi * (i % side + t) / side, r = std::sqrt(u);
      const dvec3 w = std::sqrt(1 - u) * n + r * std::cos(phi) * a + r * std::sin(phi) * b;
      const Hit hit = world.trace(y, w);
      if (!hit.glass || world.faces[static_cast<std::size_t>(hit.face)].opening != recess) continue;
      const double passed = world.glass(recess, -glm::dot(w, world.glass_plane(recess).n)).passed;
      sum += pi / (side * side) * world.beyond(recess, hit.p, w) * passed;
    }
  }
  const auto add = [&](const Ray& ray) { sum += ray.e * std::max(0.0, glm::dot(ray.w, n)); };
  if (!world.plan.sky.dark)
    for (int k = 0; k < static_cast<int>(world.plan.openings.size()); ++k)
      if (k != recess) add(through_glass(world, k, y, s, t));
  if (shines(world.plan.sky) && glm::dot(world.plan.sky.sun, n) > 0.01) add(from_sun(world, y, s, t));
  for (const Disc& lamp : world.plan.lamps) add(from_lamp(world, lamp, y, s, t));
  return sum;
}

/// A ray that has met something: from p along w.
struct Meeting { dvec3 w; Hit hit; };

/// Follows mirrors to the first dull face, adding what shines through them on the way. False when nothing is left.
bool past_mirrors(const World& world, Meeting& m, double& share, double& sum) {
  while (world.panes == Panes::mirrors && m.hit.glass) {
    const Face& f = world.faces[static_cast<std::size_t>(m.hit.face)];
    const double cosine = -glm::dot(m.w, f.n);
    share *= world.glass(f.opening, cosine).thrown_back;
    if (share < 1e-5) return false;
    m.w += 2 * cosine * f.n;
    m.hit = world.trace(m.hit.p, m.w);
    if (m.hit.face < 0) return false;
    if (m.hit.glass && !world.plan.sky.dark) {
      const Face& next = world.faces[static_cast<std::size_t>(m.hit.face)];
      sum += share * world.beyond(next.opening, m.hit.p, m.w) * world.glass(next.opening, -glm::dot(m.w, next.n)).passed;
    }
  }
  return true;
}

dvec3 by_cosine(dvec3 n, double s, double t) {
  dvec3 a, b;
  axes_about(n, a, b);
  const double phi = 2 * pi * t, r = std::sqrt(s);
  return std::sqrt(1 - s) * n + r * std::cos(phi) * a + r * std::sin(phi) * b;
}

/// Luminance of what was met, by tracing on: unbiased.
double traced(const World& world, Meeting m, Numbers& numbers) {
  double share = 1, sum = 0;
  for (int meeting = 0; past_mirrors(world, m, share, sum); ++meeting) {
    const double reflectance = world.reflectance(m.hit);
    if (meeting < 3) share *= reflectance;
    else if (numbers.rest->uniform() >= reflectance) break;
    const Face& f = world.faces[static_cast<std::size_t>(m.hit.face)];
    double s = numbers.next(), t = numbers.next();
    sum += share / pi * sampled_light(world, m.hit.p, f.n, f.opening, s, t);
    s = numbers.next();
    t = numbers.next();
    const dvec3 w = by_cosine(f.n, s, t);
    m = {w, world.trace(m.hit.p, w)};
    if (m.hit.face < 0) {
      ++lost;
      break;
    }
  }
  return sum;
}

/// Luminance of what was met, its light after further bounces from `cache`.
double cached(const World& world, const Cache& cache, Meeting m, Numbers& numbers) {
  double share = 1, sum = 0;
  if (!past_mirrors(world, m, share, sum)) return sum;
  const Face& f = world.faces[static_cast<std::size_t>(m.hit.face)];
  const double s = numbers.next(), t = numbers.next();
  return sum + share * world.reflectance(m.hit) / pi * (sampled_light(world, m.hit.p, f.n, f.opening, s, t) + cache.at(m.hit));
}

}  // namespace

std::vector<std::string> source_names(const Plan& plan) {
  std::vector<std::string> names{"sun"};
  for (const Opening& o : plan.openings) {
    names.push_back(o.name + " sky");
    names.push_back(o.name + " ground");
  }
  for (const Disc& lamp : plan.lamps) names.push_back(lamp.name);
  names.push_back("bounce");
  return names;
}

long lost_rays() { return lost; }


namespace {

/// A lobe, when there is one, gets a share of the rays as well.
struct Glossy { const Coat* coat = nullptr; dvec3 eye{0}; };  ///< eye: direction in the face's u, v, n

}  // namespace

/// Every face in cells of 0.1 m or less, and roughly what each sends of light that comes straight from outside and lamps.
struct Bright {
  struct Grid { std::size_t first = 0; dvec2 lo{0}, step{0}; int nx = 1, ny = 1; };
  struct Cell { int face = 0; dvec3 middle{0}; double area = 0, reflectance = 0, lit = 0; dvec2 at{0}; };
  std::vector<Grid> grids;
  std::vector<Cell> cells;
  explicit Bright(const World& world);
  std::size_t cell_of(const Hit& hit) const {
    const Grid& g = grids[static_cast<std::size_t>(hit.face)];
    const dvec2 k = (hit.at - g.lo) / g.step;
    return g.first + static_cast<std::size_t>(std::clamp(static_cast<int>(k.y), 0, g.ny - 1) * g.nx + std::clamp(static_cast<int>(k.x), 0, g.nx - 1));
  }
};

Bright::Bright(const World& world) {
  constexpr double side = 0.1;
  constexpr int looks = 4;
  Split random{20260};
  for (std::size_t k = 0; k < world.faces.size(); ++k) {
    const Face& f = world.faces[k];
    Grid g;
    dvec2 hi = f.size;
    if (!f.outline.empty()) {
      g.lo = hi = f.outline[0];
      for (dvec2 c : f.outline) {
        g.lo = glm::min(g.lo, c);
        hi = glm::max(hi, c);
      }
    }
    g.first = cells.size();
    g.nx = std::max(1, static_cast<int>(std::ceil((hi.x - g.lo.x) / side)));
    g.ny = std::max(1, static_cast<int>(std::ceil((hi.y - g.lo.y) / side)));
    g.step = (hi - g.lo) / dvec2(g.nx, g.ny);
    for (int j = 0; j < g.ny; ++j)
      for (int i = 0; i < g.nx; ++i) {
        const dvec2 corner = g.lo + dvec2(i, j) * g.step;
        Cell cell{static_cast<int>(k), f.at(corner + 0.5 * g.step), g.step.x * g.step.y, 0, 0, corner};
        for (int look = 0; look < looks; ++look) {
          const double u = random.uniform(), v = random.uniform(), s = random.uniform(), t = random.uniform();
          const dvec2 at = corner + dvec2(u, v) * g.step;
          if (!f.holds(at)) continue;
          const bool glass = f.glazed && at.x > f.pane.lo.x && at.x < f.pane.hi.x && at.y > f.pane.lo.y && at.y < f.pane.hi.y;
          cell.reflectance = std::max(cell.reflectance, world.reflectance({static_cast<int>(k), 0, f.at(at), at, glass}));
          cell.lit += sampled_light(world, f.at(at), f.n, f.opening, s, t) / looks;
        }
        cells.push_back(cell);
      }
    grids.push_back(g);
  }
}

namespace {

/// Chooses points of the room's faces by how much of the light at one point comes from about there, as far as cells tell.
class Aim {
 public:
  Aim(const World& world, dvec3 p, const Cache* cache) : bright_(world.brightness()) {
    double mean = 0;
    for (const Bright::Cell& c : bright_.cells) mean += c.lit / static_cast<double>(bright_.cells.size());
    for (const Bright::Cell& c : bright_.cells) {
      const Face& f = world.faces[static_cast<std::size_t>(c.face)];
      const dvec3 r = c.middle - p;
      const double d2 = std::max(glm::dot(r, r), c.area), cosine = -glm::dot(r, f.n) / std::sqrt(d2);
      // dark and edge-on cells get their turn as well; those that the face itself lies in never
      const double over = glm::dot(p - f.origin, f.n) > 1e-9 ? std::max(cosine, 0.02) : 0;
      const double light = std::max(c.lit, 0.02 * mean) + (cache ? cache->at({c.face, 0, c.middle, c.at + 0.5 * bright_.grids[static_cast<std::size_t>(c.face)].step, false}) : 0.1 * mean);
      ends_.push_back((ends_.empty() ? 0 : ends_.back()) + c.reflectance * light * over * c.area / d2);
    }
  }
  struct Target { dvec3 p; int face; };
  Target point(const World& world, double s, double t) const {
    const double at = s * ends_.back();
    const std::size_t k = std::min(static_cast<std::size_t>(std::upper_bound(ends_.begin(), ends_.end(), at) - ends_.begin()), ends_.size() - 1);
    const Bright::Cell& c = bright_.cells[k];
    const double within = std::clamp((at - (k > 0 ? ends_[k - 1] : 0)) / weight(k), 0.0, 1.0);
    return {world.faces[static_cast<std::size_t>(c.face)].at(c.at + dvec2(within, t) * bright_.grids[static_cast<std::size_t>(c.face)].step), c.face};
  }
  /// Over solid angle at q, of what a ray along w has met.
  double density(const World& world, dvec3 q, dvec3 w, const Hit& hit) const {
    const std::size_t k = bright_.cell_of(hit);
    const double cosine = -glm::dot(w, world.faces[static_cast<std::size_t>(hit.face)].n);
    return weight(k) / (ends_.back() * bright_.cells[k].area) * glm::dot(hit.p - q, hit.p - q) / std::max(1e-12, cosine);
  }

 private:
  double weight(std::size_t k) const { return ends_[k] - (k > 0 ? ends_[k - 1] : 0); }
  const Bright& bright_;
  std::vector<double> ends_;
};

/// Σ visit(direction, luminance × solid angle) over the hemisphere of `f` at p: half of the rays where the light comes from,
/// a quarter even over the hemisphere (by the cosine, light along the face would come rarely and heavily), and as many by
/// the lobe when there is one, joined by the balance heuristic (Veach & Guibas 1995).
template <class Luminance, class Visit>
void gather(const World& world, const Aim& aim, const Face& f, dvec3 p, int rays, const std::vector<double>& points, const std::vector<double>& turn,
                  Split& rest, const Glossy& glossy, Luminance&& luminance, Visit&& visit) {
  enum Way { by_light, evenly, by_lobe };
  const int aimed = rays / 2, quarter = rays / 4;
  for (const Way way : {by_light, evenly, by_lobe})
    for (int i = 0; i < (way == by_light ? aimed : way == evenly || glossy.coat ? quarter : 0); ++i) {
      Numbers numbers{&points[static_cast<std::size_t>(i) * dimensions], turn.data(), &rest};
      const double s = numbers.next(), t = numbers.next(), r = std::sqrt(1 - s * s), phi = 2 * pi * t;
      Aim::Target target{};
      dvec3 local(r * std::cos(phi), r * std::sin(phi), s);
      if (way == by_lobe) local = glossy.coat->sample(glossy.eye, s, t);
      if (way == by_light) target = aim.point(world, s, t);
      const dvec3 w = way == by_light ? glm::normalize(target.p - p) : local.x * f.u + local.y * f.v + local.z * f.n;
      if (glm::dot(w, f.n) <= 1e-12) continue;
      const Hit hit = world.trace(p, w);
      if (hit.face < 0) {
        ++lost;
        continue;
      }
      if (way == by_light && (hit.face != target.face || glm::length(hit.p - target.p) > 1e-6)) continue;
      double density = quarter / (2 * pi) + aimed * aim.density(world, p, w, hit);
      if (glossy.coat) density += quarter * glossy.coat->density({glm::dot(w, f.u), glm::dot(w, f.v), glm::dot(w, f.n)}, glossy.eye);
      visit(w, luminance(Meeting{w, hit}, numbers) / density);
    }
}

}  // namespace

namespace {

/// From 1 mm inside one end to 1 mm inside the other.
std::vector<double> nodes_between(double lo, double hi, double spacing) {
  constexpr double inset = 1e-3;
  const double half = 0.5 * (hi - lo) - inset;
  std::vector<double> near{0};
  for (double step = std::min(spacing / 12, 0.0125); near.back() + step < half; step = std::min(spacing, 1.3 * step)) near.push_back(near.back() + step);
  // two nodes close together would blow up what they differ by
  while (near.size() > 1 && half - near.back() < 0.2 * (near.back() - near[near.size() - 2])) near.pop_back();
  std::vector<double> nodes;
  for (const double d : near) nodes.push_back(lo + inset + d);
  if (half - near.back() > 0.3 * spacing) nodes.push_back(lo + inset + half);
  for (auto d = near.rbegin(); d != near.rend(); ++d) nodes.push_back(hi - inset - *d);
  if (nodes.size() < 4) throw std::runtime_error("a face too small for a cache");
  return nodes;
}

}  // namespace

Cache::Cache(const World& world, double spacing, int rays, std::uint64_t seed) {
  for (const Face& f : world.faces) {
    Grid g;
    dvec2 lo(0), hi = f.size;
    if (!f.outline.empty()) {
      lo = hi = f.outline[0];
      for (dvec2 c : f.outline) {
        lo = glm::min(lo, c);
        hi = glm::max(hi, c);
      }
    }
    g.x = nodes_between(lo.x, hi.x, spacing);
    g.y = nodes_between(lo.y, hi.y, spacing);
    for (const double y : g.y)
      for (const double x : g.x) g.there.push_back(f.holds({x, y}));
    g.value.assign(g.there.size(), 0.0);
    grids_.push_back(g);
  }
  Split seeds{seed * 0x9e3779b97f4a7c15ULL + 5};
  Cache last = *this;  // the bounce before
  for (int bounce = 0; bounce < 60; ++bounce) {
    // each further bounce is weaker and evener, and needs fewer rays
    const int count = bounce == 0 ? rays : std::max(bounce < 4 ? 16 : 4, rays >> (bounce + 1));
    const std::vector<double>& points = sobol(count);
    Cache next = *this;
    double added = 0, whole = 0;
    for (std::size_t k = 0; k < grids_.size(); ++k) {
      const Face& f = world.faces[k];
      Grid& g = grids_[k];
      for (std::size_t i = 0; i < g.value.size(); ++i) {
        if (!g.there[i]) continue;
        const std::vector<double> turn = random_turn(seeds);
        Split rest{static_cast<std::uint64_t>(seeds.uniform() * 0x1.0p53)};
        const dvec3 p = f.at({g.x[i % g.x.size()], g.y[i / g.x.size()]});
        double e = 0;
        if (bounce == 0)
          gather(world, Aim(world, p, nullptr), f, p, count, points, turn, rest, {}, [&](Meeting m, Numbers& numbers) { return cached(world, last, m, numbers); },
                 [&](dvec3 w, double l) { e += l * glm::dot(w, f.n); });
        else
          for (int ray = 0; ray < count; ++ray) {
            Numbers numbers{&points[static_cast<std::size_t>(ray) * dimensions], turn.data(), &rest};
            const double s = numbers.next(), t = numbers.next();
            const dvec3 w = by_cosine(f.n, s, t);
            Meeting m{w, world.trace(p, w)};
            double share = 1, unused = 0;
            if (m.hit.face < 0 || !past_mirrors(world, m, share, unused)) continue;
            e += share * world.reflectance(m.hit) * last.at(m.hit) / count;
          }
        next.grids_[k].value[i] = e;
        g.value[i] += e;
        added += e;
        whole += g.value[i];
      }
    }
    last = std::move(next);
    if (added <= 2e-5 * whole) break;
  }
}

namespace {

/// Four nodes round v and their weights: cubic (Lagrange's), and straight between the two beside it.
struct Taps { std::size_t first = 0; std::array<double, 4> cubic{}, straight{}; };
Taps taps_at(const std::vector<double>& nodes, double v) {
  const std::size_t above = static_cast<std::size_t>(std::upper_bound(nodes.begin() + 1, nodes.end() - 1, v) - nodes.begin());
  Taps t;
  t.first = std::min(above < 2 ? 0 : above - 2, nodes.size() - 4);
  // up to a millimetre past the first and the last node
  for (std::size_t i = 0; i < 4; ++i) {
    t.cubic[i] = 1;
    for (std::size_t j = 0; j < 4; ++j)
      if (j != i) t.cubic[i] *= (v - nodes[t.first + j]) / (nodes[t.first + i] - nodes[t.first + j]);
  }
  const double share = std::clamp((v - nodes[above - 1]) / (nodes[above] - nodes[above - 1]), 0.0, 1.0);
  t.straight[above - 1 - t.first] = 1 - share;
  t.straight[above - t.first] = share;
  return t;
}

}  // namespace

double Cache::at(const Hit& hit) const {
  const Grid& g = grids_[static_cast<std::size_t>(hit.face)];
  const Taps x = taps_at(g.x, hit.at.x), y = taps_at(g.y, hit.at.y);
  // cubic, as straight lines over 0.2 m make more of light that falls off from a corner than there is; straight beside an
  // opening, where nodes are missing
  double cubic = 0, sum = 0, weights = 0;
  bool whole = true;
  for (std::size_t b = 0; b < 4; ++b)
    for (std::size_t a = 0; a < 4; ++a) {
      const std::size_t node = (y.first + b) * g.x.size() + x.first + a;
      if (!g.there[node]) {
        whole = false;
        continue;
      }
      cubic += x.cubic[a] * y.cubic[b] * g.value[node];
      const double weight = x.straight[a] * y.straight[b] + (x.straight[a] > 0 && y.straight[b] > 0 ? 1e-9 : 0);
      sum += weight * g.value[node];
      weights += weight;
    }
  if (whole) return std::max(0.0, cubic);
  return weights > 0 ? sum / weights : 0;
}

namespace {

/// visit(replicate, source, direction, lx square to it) for all light at a spot, by replicate.
template <class Visit>
void all_light(const World& world, const Spot& spot, const Counts& counts, const std::vector<Cache>* caches, const Glossy& glossy, Visit&& visit) {
  const Face& f = world.faces[static_cast<std::size_t>(spot.face)];
  const dvec3 p = f.at(spot.at) + spot.height * f.n;
  const std::size_t windows = world.plan.openings.size(), lamps = world.plan.lamps.size();
  const std::vector<double>& points = sobol(std::max(counts.direct, counts.paths));
  // about the face itself, so that points of relief share their rays with flat ones
  const Aim aim(world, f.at(spot.at), caches && !caches->empty() ? &caches->front() : nullptr);
  Split seeds{counts.seed * 0x2545f4914f6cdd1dULL + 77};
  for (std::size_t replicate = 0; replicate < static_cast<std::size_t>(counts.replicates); ++replicate) {
    const std::vector<double> turn = random_turn(seeds);
    Split rest{static_cast<std::uint64_t>(seeds.uniform() * 0x1.0p53)};
    for (int i = 0; i < counts.direct; ++i) {
      Numbers numbers{&points[static_cast<std::size_t>(i) * dimensions], turn.data(), &rest};
      const double s = numbers.next(), t = numbers.next();
      const auto add_ray = [&](std::size_t source, const Ray& ray) { visit(replicate, source, ray.w, ray.e / counts.direct); };
      if (shines(world.plan.sky) && glm::dot(world.plan.sky.sun, f.n) > -0.05) add_ray(0, from_sun(world, p, s, t));
      if (!world.plan.sky.dark)
        for (std::size_t k = 0; k < windows; ++k) {
          const Ray ray = through_glass(world, static_cast<int>(k), p, s, t);
          add_ray(ray.w.z > 0 ? 1 + 2 * k : 2 + 2 * k, ray);
        }
      for (std::size_t l = 0; l < lamps; ++l) add_ray(1 + 2 * windows + l, from_lamp(world, world.plan.lamps[l], p, s, t));
    }
    const Cache* cache = caches && !caches->empty() ? &(*caches)[replicate % caches->size()] : nullptr;
    gather(world, aim, f, p, counts.paths, points, turn, rest, glossy,
           [&](Meeting m, Numbers& numbers) { return cache ? cached(world, *cache, m, numbers) : traced(world, m, numbers); },
           [&](dvec3 w, double e) { visit(replicate, 1 + 2 * windows + lamps, w, e); });
  }
}

/// The facet's own axes: its normal and two square to it, close to the face's u and v.
struct Axes { dvec3 u, v, n; };
Axes facet_of(const Face& f, dvec2 slope) {
  Axes a;
  a.n = glm::normalize(f.n - slope.x * f.u - slope.y * f.v);
  a.u = glm::normalize(f.u - glm::dot(f.u, a.n) * a.n);
  a.v = glm::normalize(f.v - glm::dot(f.v, a.n) * a.n - glm::dot(f.v, a.u) * a.u);
  return a;
}

std::size_t source_count(const World& world) { return 2 + 2 * world.plan.openings.size() + world.plan.lamps.size(); }

}  // namespace

Replicates light_at(const World& world, const Spot& spot, const Counts& counts, const std::vector<Cache>* caches) {
  const Face& f = world.faces[static_cast<std::size_t>(spot.face)];
  const dvec3 n = facet_of(f, spot.slope).n;
  Replicates all(static_cast<std::size_t>(counts.replicates), std::vector<dvec3>(source_count(world), dvec3(0)));
  all_light(world, spot, counts, caches, {}, [&](std::size_t replicate, std::size_t source, dvec3 w, double e) {
    const double along = glm::dot(w, n);
    if (along > 0) all[replicate][source] += e * dvec3(glm::dot(w, f.u), glm::dot(w, f.v), along);
  });
  return all;
}

std::vector<std::vector<double>> luminance_at(const World& world, const Spot& spot, const Coat& coat, dvec3 eye, const Counts& counts,
                                              const std::vector<Cache>& caches) {
  const Face& f = world.faces[static_cast<std::size_t>(spot.face)];
  const Axes a = facet_of(f, spot.slope);
  const dvec3 to_eye = glm::normalize(eye - (f.at(spot.at) + spot.height * f.n));
  const dvec3 seen_from(glm::dot(to_eye, a.u), glm::dot(to_eye, a.v), glm::dot(to_eye, a.n));
  // rays are chosen about the flat face, so that flat and tilted facets share them
  const Glossy glossy{&coat, {glm::dot(to_eye, f.u), glm::dot(to_eye, f.v), glm::dot(to_eye, f.n)}};
  std::vector<std::vector<double>> all(static_cast<std::size_t>(counts.replicates), std::vector<double>(source_count(world), 0.0));
  all_light(world, spot, counts, &caches, glossy, [&](std::size_t replicate, std::size_t source, dvec3 w, double e) {
    const dvec3 light(glm::dot(w, a.u), glm::dot(w, a.v), glm::dot(w, a.n));
    if (light.z > 0) all[replicate][source] += e * light.z * coat.reflection(light, seen_from);
  });
  return all;
}

const Bright& World::brightness() const {
  std::call_once(brightness_->once, [&] { brightness_->made = std::make_shared<const Bright>(*this); });
  return *brightness_->made;
}

}  // namespace oracle
