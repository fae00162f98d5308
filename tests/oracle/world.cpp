#include "oracle/world.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace oracle {

double Sky::relative(dvec3 w) const {
  const double chi = std::acos(std::clamp(glm::dot(w, sun), -1.0, 1.0)), c2 = std::cos(chi) * std::cos(chi);
  return (1 + a * std::exp(b / w.z)) * (1 + c * (std::exp(d * chi) - std::exp(d * pi / 2)) + e * c2);
}

double Sky::skyline_at(dvec3 w) const {
  if (roofs.empty()) return skyline;
  double azimuth = std::atan2(w.y, w.x);
  while (azimuth < roofs.front().x) azimuth += 2 * pi;
  while (azimuth >= roofs.front().x + 2 * pi) azimuth -= 2 * pi;
  for (std::size_t i = 0; i < roofs.size(); ++i) {
    const dvec2 from = roofs[i], to = i + 1 < roofs.size() ? roofs[i + 1] : roofs[0] + dvec2(2 * pi, 0);
    if (azimuth >= from.x && azimuth < to.x) return from.y + (to.y - from.y) * (azimuth - from.x) / (to.x - from.x);
  }
  return roofs.back().y;
}

double World::outside(dvec3 w) const {
  if (w.z <= 0) return plan.sky.ground_luminance;
  if (std::asin(w.z) < plan.sky.skyline_at(w)) return plan.sky.skyline_luminance;
  return sky_scale_ * plan.sky.relative(w);
}

namespace {

/// Distance at which a ray meets a slab; infinite when it does not.
double meets(const Slab& slab, dvec3 from, dvec3 w) {
  const double none = std::numeric_limits<double>::infinity();
  const dvec3 n = glm::cross(slab.u, slab.v);
  const double towards = glm::dot(w, n);
  if (std::abs(towards) < 1e-14) return none;
  const double t = glm::dot(slab.origin - from, n) / towards;
  if (t <= 1e-9) return none;
  const dvec3 r = from + t * w - slab.origin;
  const double a = glm::dot(r, slab.u) / glm::dot(slab.u, slab.u), b = glm::dot(r, slab.v) / glm::dot(slab.v, slab.v);
  return a < 0 || a > 1 || b < 0 || b > 1 ? none : t;
}

}  // namespace

bool World::slab_before(dvec3 glass, dvec3 w) const {
  for (const Slab& slab : plan.slabs)
    if (std::isfinite(meets(slab, glass, w))) return true;
  return false;
}

double World::beyond(int opening, dvec3 glass, dvec3 w) const {
  const Slab* first = nullptr;
  double nearest = std::numeric_limits<double>::infinity();
  for (const Slab& slab : plan.slabs)
    if (const double t = meets(slab, glass, w); t < nearest) {
      nearest = t;
      first = &slab;
    }
  if (first) return first->luminance;
  if (w.z < 0 && plan.house_height > 0) {
    // from the ground towards the sun: does the ray run into the house's front under its top?
    const dvec3 ground = glass + (glass.z + plan.ground_below) / -w.z * w, sun = plan.sky.sun;
    const Face& front = glass_plane(opening);
    const double before = -glm::dot(ground - front.origin, front.n), towards = glm::dot(sun, front.n);  // n looks into the house
    if (towards > 0 && before / towards * sun.z < plan.house_height) return plan.sky.shaded_ground_luminance;
  }
  return outside(w);
}

namespace {

/// Layers that pass t and throw back r from the front, `back` from behind.
struct Layer { double t, r, back; };

Layer behind(const Layer& a, const Layer& b) {
  const double bounces = 1 / (1 - a.back * b.r);
  return {a.t * b.t * bounces, a.r + a.t * a.t * b.r * bounces, b.back + b.t * b.t * a.back * bounces};
}

}  // namespace

Glass::Share Glass::at(double cos_incidence) const {
  constexpr double index = 1.526, absorption = 0.012;
  const double theta = std::acos(std::clamp(cos_incidence, 0.0, 1.0)), refracted = std::asin(std::sin(theta) / index);
  Share sum{0, 0};
  for (int polarisation = 0; polarisation < 2; ++polarisation) {
    const double ci = std::cos(theta), ct = std::cos(refracted);
    const double amplitude = polarisation == 0 ? (ci - index * ct) / (ci + index * ct) : (index * ci - ct) / (index * ci + ct);
    const double r = amplitude * amplitude, through = std::exp(-absorption / ct);
    const Layer face{1 - r, r, r}, body{through, 0, 0};
    const Layer pane = behind(behind(face, body), face);
    Layer all = pane;
    for (int i = 1; i < panes; ++i) all = behind(all, pane);
    sum.passed += 0.5 * all.t;
    sum.thrown_back += 0.5 * all.r;
  }
  return sum;
}

double Glass::hemispherical_reflectance() const {
  // Simpson's rule in the cosine
  constexpr int n = 2000;
  double sum = 0;
  for (int i = 0; i <= n; ++i) {
    const double c = std::max(1e-9, static_cast<double>(i) / n);
    sum += (i == 0 || i == n ? 1 : i % 2 ? 4 : 2) * 2 * c * at(c).thrown_back;
  }
  return sum / (3 * n);
}

namespace {
constexpr int glass_steps = 4000;
}

Glass::Share World::glass(int opening, double cos_incidence) const {
  const auto& table = glass_[static_cast<std::size_t>(opening)];
  const double at = std::clamp(cos_incidence, 0.0, 1.0) * glass_steps;
  const std::size_t i = std::min(static_cast<std::size_t>(at), table.size() - 2);
  const double s = at - static_cast<double>(i);
  return {table[i].passed + s * (table[i + 1].passed - table[i].passed),
          table[i].thrown_back + s * (table[i + 1].thrown_back - table[i].thrown_back)};
}

World::World(const Plan& p, Panes how) : plan(p), panes(how) {
  const std::size_t n = plan.corners.size();
  const dvec3 up(0, 0, 1);
  for (std::size_t i = 0; i < n; ++i) {
    const dvec2 a = plan.corners[i], b = plan.corners[(i + 1) % n];
    Face f{};
    f.origin = dvec3(a, 0);
    f.u = dvec3(glm::normalize(b - a), 0);
    f.v = up;
    f.n = dvec3(f.u.y, -f.u.x, 0);
    f.size = {glm::length(b - a), plan.height};
    f.reflectance = plan.wall_reflectance;
    faces.push_back(f);
  }
  for (const double level : {plan.height, 0.0}) {
    Face f{};
    f.origin = dvec3(0, 0, level);
    f.u = dvec3(1, 0, 0);
    f.v = dvec3(0, 1, 0);
    f.n = level > 0 ? -up : up;
    f.outline = plan.corners;
    f.reflectance = level > 0 ? plan.ceiling_reflectance : plan.floor_reflectance;
    faces.push_back(f);
  }
  for (std::size_t k = 0; k < plan.openings.size(); ++k) {
    const Opening& o = plan.openings[k];
    Face& wall = faces[static_cast<std::size_t>(o.wall)];
    const dvec2 lo(o.left, o.sill), hi = lo + dvec2(o.width, o.height);
    wall.holes.push_back({lo, hi});
    const dvec3 x = wall.u, y = wall.v, out = -wall.n, corner = wall.at(lo), far = wall.at(hi);
    const auto add = [&](dvec3 origin, dvec3 u, dvec3 v, dvec3 normal, dvec2 size) -> Face& {
      Face f{};
      f.origin = origin;
      f.u = u;
      f.v = v;
      f.n = normal;
      f.size = size;
      f.reflectance = o.reveal_reflectance;
      f.opening = static_cast<int>(k);
      faces.push_back(f);
      return faces.back();
    };
    const dvec2 upright(o.reveal, o.height), level(o.width, o.reveal);
    add(corner, out, y, x, upright);
    add(far - o.height * y, out, y, -x, upright);
    add(corner, x, out, y, level);
    add(far - o.width * x, x, out, -y, level);
    Face& glass = add(corner + o.reveal * out, x, y, -out, {o.width, o.height});
    glass.glazed = true;
    glass.pane = {dvec2(o.frame), dvec2(o.width - o.frame, o.height - o.frame)};
    pane_reflectance.push_back(o.glass.hemispherical_reflectance());
    glass_.emplace_back();
    for (int i = 0; i <= glass_steps; ++i) glass_.back().push_back(o.glass.at(std::max(1e-9, static_cast<double>(i) / glass_steps)));
  }
  for (const Face& f : faces) planes_.push_back({f.n, glm::dot(f.origin, f.n)});
  sky_scale_ = plan.sky.zenith / plan.sky.relative(up);
}

bool Face::holds(dvec2 p) const {
  if (!outline.empty()) {
    bool inside = false;  // crossings to the right
    for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
      const dvec2 a = outline[i], b = outline[j];
      if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) inside = !inside;
    }
    for (const Hole& h : holes)
      if (p.x > h.lo.x && p.x < h.hi.x && p.y > h.lo.y && p.y < h.hi.y) return false;
    return inside;
  }
  if (p.x < 0 || p.y < 0 || p.x > size.x || p.y > size.y) return false;
  for (const Hole& h : holes)
    if (p.x > h.lo.x && p.x < h.hi.x && p.y > h.lo.y && p.y < h.hi.y) return false;
  return true;
}

Hit World::trace(dvec3 from, dvec3 d) const {
  constexpr double least = 1e-9;
  Hit hit;
  hit.distance = std::numeric_limits<double>::infinity();
  const auto test = [&](std::size_t i) {
    const Plane& plane = planes_[i];
    const double towards = glm::dot(d, plane.n);
    if (towards >= 0) return;
    const double t = (plane.offset - glm::dot(from, plane.n)) / towards;
    if (t < least || t >= hit.distance) return;
    const Face& f = faces[i];
    const dvec3 r = from + t * d - f.origin;
    const dvec2 at(glm::dot(r, f.u), glm::dot(r, f.v));
    if (!f.holds(at)) return;
    const bool glass = f.glazed && at.x > f.pane.lo.x && at.x < f.pane.hi.x && at.y > f.pane.lo.y && at.y < f.pane.hi.y;
    hit = {static_cast<int>(i), t, f.at(at), at, glass};
  };
  const std::size_t room_faces = plan.corners.size() + 2;
  for (std::size_t i = 0; i < room_faces; ++i) test(i);
  // from within the room a recess is reached only past every wall
  bool in_room = true;
  for (const Opening& o : plan.openings) {
    const Plane& wall = planes_[static_cast<std::size_t>(o.wall)];
    in_room = in_room && glm::dot(from, wall.n) > wall.offset - 1e-9;
  }
  if (in_room && hit.face >= 0) return hit;
  for (std::size_t i = room_faces; i < planes_.size(); ++i) test(i);
  return hit;
}

bool World::open(dvec3 a, dvec3 b) const {
  const double length = glm::length(b - a);
  const Hit hit = trace(a, (b - a) / length);
  return hit.face >= 0 && hit.distance >= length - 1e-7;
}

double World::reflectance(const Hit& hit) const {
  const Face& f = faces[static_cast<std::size_t>(hit.face)];
  return hit.glass ? pane_reflectance[static_cast<std::size_t>(f.opening)] : f.reflectance;
}

}  // namespace oracle
