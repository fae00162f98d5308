#include "light/window_light.h"

#include <cassert>

#include "light/outside.h"

namespace rakelight {
namespace {

constexpr double thin = 1e-12, none = 4;  // rad

/// Opening thrown from (p, height h over the wall) onto the glass plane, cut with the glass, one axis at a time.
void cut(double p, double scale, double opening_lo, double opening_hi, double& lo, double& hi) {
  lo = std::max(lo, p + (opening_lo - p) * scale);
  hi = std::min(hi, p + (opening_hi - p) * scale);
}

}  // namespace

void WindowView::split(double alpha) {
  if (alpha > a0_ + thin && alpha < a1_ - thin && count_ + 1 < static_cast<int>(most)) alpha_[static_cast<std::size_t>(count_++)] = alpha;
}

void WindowView::split_at_cosine(double c) {
  if (!(c > 0 && c < 1)) return;
  split(-std::acos(c));
  split(std::acos(c));
}

void WindowView::split_at_tangent(double up, double over) {
  if (std::abs(over) > 1e-12) split(std::atan(up / over));
}

void WindowView::sort() { std::sort(alpha_.begin(), alpha_.begin() + count_); }

double WindowView::eaves_from(double alpha) const {
  const double rise = shades_.eaves_y - py_, s = std::sin(alpha);
  if (shades_.eaves <= 0 || rise <= 0) return none;
  double tangent = rise * std::cos(alpha) / (depth_ + shades_.eaves);
  const double end = s > 0 ? shades_.eaves_hi - px_ : px_ - shades_.eaves_lo;
  if (end <= 0) return none;
  tangent = std::max(tangent, rise * std::abs(s) / end);
  return std::atan(tangent);
}

double WindowView::roof_sky(double alpha, double side) const {
  const double c = std::cos(alpha);
  if (shape_.even_skyline()) {
    const double up = std::sin(shape_.skyline_at(0));
    return up <= 0 ? side * pi / 2 : c <= up ? 0 : side * std::acos(up / c);
  }
  const auto over = [&](double beta) {
    return std::asin(c * std::cos(beta)) - shape_.skyline_at(std::atan2(std::sin(beta), std::sin(alpha) * std::cos(beta)));
  };
  double lo = 0, hi = pi / 2;
  if (over(side * 1e-9) <= 0) return 0;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (lo + hi);
    (over(side * middle) > 0 ? lo : hi) = middle;
  }
  return side * lo;
}

/// Where the eaves' ends and the fins' edges pass each other and the glass's upper and lower edge.
void WindowView::split_at_shades() {
  if (shades_.left > 0) split(left_);
  if (shades_.right > 0) split(right_);
  const double rise = shades_.eaves_y - py_;
  if (shades_.eaves <= 0 || rise <= 0) return;
  split(0);
  for (const double x : {shades_.eaves_lo, shades_.eaves_hi, shades_.left > 0 ? shades_.left_x : px_, shades_.right > 0 ? shades_.right_x : px_}) {
    split_at_tangent(x - px_, depth_ + shades_.eaves);
    if (!outdoors_)
      for (const double y : {y_lo_, y_hi_}) split_at_tangent((y - py_) * (x - px_), depth_ * rise);
  }
}

/// Where the glass's upper and lower edge and the eaves' edge cross the skyline, and where it bends.
void WindowView::split_at_skyline() {
  if (roof_) {
    if (shape_.even_skyline()) {
      const double up = std::sin(shape_.skyline_at(0));
      if (up <= 0) return;
      split_at_cosine(up);
      if (outdoors_) return;
      for (const double y : {y_lo_, y_hi_}) {
        const double k = (y - py_) / depth_, rest = 1 - k * k * up * up;
        if (rest > 0) split_at_cosine(up / std::sqrt(rest));
      }
      return;
    }
  } else if (shape_.even_skyline()) {
    const double up = std::tan(shape_.skyline_at(0));
    if (up <= 0) return;
    if (!outdoors_)
      for (double y : {y_lo_, y_hi_}) split_at_cosine(up * depth_ / (y - py_));
    if (shades_.eaves > 0) split_at_cosine(up * (depth_ + shades_.eaves) / (shades_.eaves_y - py_));
    return;
  } else {
    for (const dvec2 point : shape_.outskirts->skyline_points) split(std::remainder(middle_ - point.x, 2 * pi));
  }
  // steps of 10 degrees at most, in which a level edge crosses a straight piece of skyline once
  alpha_[static_cast<std::size_t>(count_++)] = a1_;
  sort();
  const int before = --count_;
  std::array<double, 2 * most> step;
  std::size_t steps = 0;
  for (int i = 0; i <= before; ++i) {
    const double a = border(i), b = i < before ? border(i + 1) : a1_;
    step[steps++] = a;
    if (i == before) break;
    for (int k = 1, parts = static_cast<int>(std::ceil((b - a) / (10 * rad_per_deg))); k < parts && steps + 2 < step.size(); ++k) {
      step[steps++] = a + (b - a) * k / parts;
      split(step[steps - 1]);
    }
  }
  step[steps] = a1_;
  if (roof_) return;
  const auto cross = [&](double rise, double out) {
    const auto over = [&](double alpha) { return std::tan(shape_.skyline_at(azimuth(alpha))) - rise * std::cos(alpha) / out; };
    for (std::size_t i = 0; i < steps; ++i) {
      double lo = step[i] + 1e-9, hi = step[i + 1] - 1e-9;
      const bool first = over(lo) > 0;
      if (hi <= lo || first == (over(hi) > 0)) continue;
      for (int k = 0; k < 40; ++k) {
        const double middle = 0.5 * (lo + hi);
        ((over(middle) > 0) == first ? lo : hi) = middle;
      }
      split(lo);
    }
  };
  if (!outdoors_)
    for (const double y : {y_lo_, y_hi_})
      if (y > py_) cross(y - py_, depth_);
  if (shades_.eaves > 0 && shades_.eaves_y > py_) cross(shades_.eaves_y - py_, depth_ + shades_.eaves);
}

void WindowView::split_at_sun() {
  if (!sun_before_) return;
  split(sun_alpha_);
  // and where the edges pass the sun's altitude
  const double up = std::tan(sun_beta_);
  if (!outdoors_)
    for (double y : {y_lo_, y_hi_}) split_at_cosine(up * depth_ / (y - py_));
  if (shades_.eaves > 0) split_at_cosine(up * (depth_ + shades_.eaves) / (shades_.eaves_y - py_));
}

WindowView::WindowView(const Room& room, int window, const Receiver& receiver, const OutsideShape& shape) : shape_(shape) {
  const Window& w = room.windows[window];
  const Frame& frame = room.surfaces[w.surface].frame;
  shades_ = shades_of(w);
  roof_ = room.in_roof(w);
  outdoors_ = receiver.outdoors;
  middle_ = std::atan2(-frame.n.y, -frame.n.x);
  const dvec2 p = frame.surface_from_world(receiver.p);
  const double h = frame.height_of(receiver.p);
  px_ = p.x;
  py_ = p.y;
  depth_ = outdoors_ ? 0 : h + w.reveal;
  if (outdoors_) {
    a0_ = -pi / 2;
    a1_ = pi / 2;
  } else {
    if (depth_ <= 1e-9) return;
    const Rect glass = w.glass();
    double x_lo = glass.lo.x, x_hi = glass.hi.x;
    y_lo_ = glass.lo.y;
    y_hi_ = glass.hi.y;
    if (receiver.window != window) {
      if (h <= 1e-9) return;
      const double scale = depth_ / h;
      cut(p.x, scale, w.opening.lo.x, w.opening.hi.x, x_lo, x_hi);
      cut(p.y, scale, w.opening.lo.y, w.opening.hi.y, y_lo_, y_hi_);
    }
    if (x_lo >= x_hi || y_lo_ >= y_hi_) return;
    a0_ = std::atan((x_lo - p.x) / depth_);
    a1_ = std::atan((x_hi - p.x) / depth_);
    n_ = frame.surface_direction(receiver.n);
    if (std::abs(n_.y) > 1e-9) {
      // the face's horizon is a beta at every alpha (slice)
    } else if (std::abs(n_.x) > 1e-9) {
      // an upright face: sin(alpha) n_x - cos(alpha) n_z > 0
      const double edge = std::atan(n_.z / n_.x);
      if (n_.x > 0) a0_ = std::max(a0_, edge);
      else a1_ = std::min(a1_, edge);
    } else if (n_.z > 0) {
      return;  // looks the same way as the window's wall
    }
  }
  if (a1_ - a0_ <= thin) return;

  alpha_[static_cast<std::size_t>(count_++)] = a0_;
  if (shades_.left > 0) left_ = std::atan((shades_.left_x - px_) / (depth_ + shades_.left));
  if (shades_.right > 0) right_ = std::atan((shades_.right_x - px_) / (depth_ + shades_.right));
  if (shape.sun) {
    const dvec3 s = frame.surface_direction(*shape.sun);
    sun_before_ = s.z < 0;
    sun_alpha_ = std::atan2(s.x, -s.z);
    sun_beta_ = std::asin(std::clamp(s.y, -1.0, 1.0));
  }
  split_at_shades();
  if (std::abs(n_.y) > 1e-9 && std::abs(n_.x) > 1e-9)
    for (const double y : {y_lo_, y_hi_}) split_at_tangent(-(y - py_) * n_.y, depth_ * n_.x);
  split_at_skyline();
  split_at_sun();
  const bool may_be_hidden = !room.convex && receiver.window != window && !outdoors_;
  look_at_rays_ = may_be_hidden && roof_;
  if (may_be_hidden && !roof_)
    for (const dvec2& corner : room.plan) {
      const dvec3 c(corner, receiver.p.z);
      const double drop = h - frame.height_of(c);
      if (drop > 1e-9) split(std::atan((frame.surface_from_world(c).x - p.x) / drop));
    }
  alpha_[static_cast<std::size_t>(count_++)] = a1_;
  sort();
  for (int i = 0; i + 1 < count_; ++i) {
    const double x = p.x + std::tan(0.5 * (border(i) + border(i + 1))) * h;
    // from a little inside, because receivers are also taken just behind their face
    open_[static_cast<std::size_t>(i)] =
        !may_be_hidden || roof_ || room.sees(receiver.p + 5e-3 * receiver.n, frame.world_from_surface({x, p.y}));
  }
}

void WindowView::slice(double alpha, Slice& bands) const {
  const double c = std::cos(alpha), s = std::sin(alpha);
  bands.count = 0;
  bands.lo = outdoors_ ? -pi / 2 : std::atan((y_lo_ - py_) * c / depth_);
  bands.hi = outdoors_ ? pi / 2 : std::atan((y_hi_ - py_) * c / depth_);
  if (std::abs(n_.y) > 1e-9) {
    const double horizon = std::atan(-(n_.x * s - n_.z * c) / n_.y);
    if (n_.y > 0) bands.lo = std::max(bands.lo, horizon);
    else bands.hi = std::min(bands.hi, horizon);
  }
  const auto put = [&](double beta, Band band, int strip = 0) { bands.from[static_cast<std::size_t>(bands.count++)] = {beta, band, strip}; };
  if (roof_) {
    const double from = roof_sky(alpha, -1), to = roof_sky(alpha, 1);
    put(-pi / 2, Band::skyline);
    put(from, Band::sky);
    if (sun_before_ && sun_beta_ > from && sun_beta_ < to) put(sun_beta_, Band::sky);
    put(to, Band::skyline);
    return;
  }
  double eaves = eaves_from(alpha);
  if (beyond_fin(alpha)) {
    put(-pi / 2, Band::fins);
    // over the eaves' edge on the fin they are met first
    const double to_fin = std::abs((alpha < left_ ? shades_.left_x : shades_.right_x) - px_);
    if (eaves < pi / 2) put(std::max(eaves, std::atan((shades_.eaves_y - py_) * std::abs(s) / std::max(to_fin, 1e-12))), Band::eaves);
    return;
  }
  put(-pi / 2, Band::ground, 0);
  const double over_ground = shape_.outskirts ? std::max(0.0, py_ + shape_.outskirts->ground_below) : py_;
  for (std::size_t k = 0; k < shape_.reaches.size(); ++k)
    put(std::atan(-over_ground * c / std::max(depth_ + shape_.reaches[k], 1e-12)), Band::ground, static_cast<int>(k) + 1);
  put(std::min(0.0, eaves), Band::skyline);
  const double skyline = shape_.skyline_at(azimuth(alpha));
  put(std::min(skyline, eaves), Band::sky);
  if (sun_before_ && sun_beta_ > skyline) put(std::min(sun_beta_, eaves), Band::sky);
  if (eaves < pi / 2) put(eaves, Band::eaves);
}

}  // namespace rakelight
