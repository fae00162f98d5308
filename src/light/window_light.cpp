#include "light/window_light.h"

#include <cassert>

namespace rakelight {
namespace {

/// Opening thrown from (p, height h over the wall) onto the glass plane, cut with the glass, one axis at a time.
void cut(double p, double scale, double opening_lo, double opening_hi, double& lo, double& hi) {
  lo = std::max(lo, p + (opening_lo - p) * scale);
  hi = std::min(hi, p + (opening_hi - p) * scale);
}

}  // namespace

WindowView view_window(const Room& room, int window, const Receiver& receiver, const OutsideShape& shape) {
  const Window& w = room.windows[window];
  const Frame& frame = room.surfaces[w.surface].frame;
  const dvec2 p = frame.surface_from_world(receiver.p);
  const double h = frame.height_of(receiver.p);
  WindowView view;
  view.px = p.x;
  view.py = p.y;
  view.depth = h + w.reveal;
  if (view.depth <= 1e-9) return view;
  const Rect glass = w.glass();
  double x_lo = glass.lo.x, x_hi = glass.hi.x;
  view.y_lo = glass.lo.y;
  view.y_hi = glass.hi.y;
  if (receiver.window != window) {
    if (h <= 1e-9) return view;
    const double scale = view.depth / h;
    cut(p.x, scale, w.opening.lo.x, w.opening.hi.x, x_lo, x_hi);
    cut(p.y, scale, w.opening.lo.y, w.opening.hi.y, view.y_lo, view.y_hi);
  }
  if (x_lo >= x_hi || view.y_lo >= view.y_hi) return view;
  double a0 = std::atan((x_lo - p.x) / view.depth), a1 = std::atan((x_hi - p.x) / view.depth);

  const dvec3 n = frame.surface_direction(receiver.n);
  if (n.y > 0.5) view.beta_lo = 0;
  else if (n.y < -0.5) view.beta_hi = 0;
  else if (std::abs(n.x) > 1e-9) {
    // an upright face: sin(alpha) n_x - cos(alpha) n_z > 0
    const double edge = std::atan(n.z / n.x);
    if (n.x > 0) a0 = std::max(a0, edge);
    else a1 = std::min(a1, edge);
  } else if (n.z > 0) {
    return view;  // looks the same way as the window's wall
  }
  if (a1 - a0 <= 1e-12) return view;

  view.alpha[view.count++] = a0;
  const auto split = [&](double alpha) {
    if (alpha > a0 + 1e-12 && alpha < a1 - 1e-12 && view.count < 23) view.alpha[view.count++] = alpha;
  };
  // where the glass's upper and lower edge cross the skyline
  if (shape.skyline > 0)
    for (double y : {view.y_lo, view.y_hi}) {
      const double c = std::tan(shape.skyline) * view.depth / (y - p.y);
      if (c > 0 && c < 1) {
        split(-std::acos(c));
        split(std::acos(c));
      }
    }
  if (shape.sun) {
    const dvec3 s = frame.surface_direction(*shape.sun);
    if (s.z < 0) {
      const double alpha = std::atan2(s.x, -s.z);
      split(alpha);
      // and where the edges pass the sun's altitude
      for (double y : {view.y_lo, view.y_hi}) {
        const double c = std::tan(std::asin(std::clamp(s.y, -1.0, 1.0))) * view.depth / (y - p.y);
        if (c > 0 && c < 1) {
          split(-std::acos(c));
          split(std::acos(c));
        }
      }
    }
  }
  const bool may_be_hidden = !room.convex && receiver.window != window;
  if (may_be_hidden)
    for (const dvec2& corner : room.plan) {
      const dvec3 c(corner, receiver.p.z);
      const double drop = h - frame.height_of(c);
      if (drop > 1e-9) split(std::atan((frame.surface_from_world(c).x - p.x) / drop));
    }
  view.alpha[view.count++] = a1;
  std::sort(view.alpha.begin(), view.alpha.begin() + view.count);
  for (int i = 0; i + 1 < view.count; ++i) {
    const double x = p.x + std::tan(0.5 * (view.alpha[i] + view.alpha[i + 1])) * h;
    // from a little inside, because receivers are also taken just behind their face
    view.open[i] = !may_be_hidden || room.sees(receiver.p + 5e-3 * receiver.n, frame.world_from_surface({x, p.y}));
  }
  return view;
}

}  // namespace rakelight
