// Light that comes through a window, by quadrature over the part of the glass that a point sees.
//
// The glass is seen through the opening in the wall's face: the opening is thrown from the point onto the glass plane
// and cut with the glass; both are upright rectangles, and so is what remains above a wall's or ceiling's horizon.
// Directions are taken as azimuth alpha off the window's outward normal and altitude beta, in which an upright edge is
// a constant alpha, a level edge the curve tan beta = (y - p_y) cos alpha / D, and horizon and skyline are constant
// beta: every kink lies on a panel's border and Gauss nodes converge fast (d omega = cos beta d beta d alpha).
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "base/quadrature.h"
#include "base/units.h"
#include "kernel/glass.h"
#include "light/light.h"
#include "light/receiver.h"

namespace rakelight {

enum class Band { sky, skyline, ground };

/// One direction to the outside: w unit, world axes, outwards; solid: solid angle × the glass's transmittance, sr;
/// azimuth from plan +x towards +y and altitude, rad.
struct Ray { dvec3 w; double solid; Band band; double azimuth, altitude; };

/// What the quadrature needs to know of the outside, and how many nodes to spend per radian.
struct OutsideShape {
  double skyline = 0;            ///< rad
  const dvec3* sun = nullptr;    ///< panels end at it, because the indicatrix has a cusp there; null when it has none
  double nodes_per_rad = 10;
};

/// Angles alpha at which a point's view of a window changes its kind, and the frame they are measured in.
struct WindowView {
  double px = 0, py = 0, depth = 0;   ///< the point in the wall's frame, and its distance to the glass plane
  double y_lo = 0, y_hi = 0;          ///< visible glass
  double beta_lo = -pi / 2, beta_hi = pi / 2;  ///< the receiving face's horizon, where it is level
  std::array<double, 24> alpha{};     ///< ascending panel borders
  int count = 0;                      ///< of borders; fewer than 2: nothing is seen
  std::array<bool, 24> open{};        ///< whether the panel from border i on is seen
};

/// receiver.n = 0: no face, the whole sphere.
WindowView view_window(const Room& room, int window, const Receiver& receiver, const OutsideShape& shape);

/// Calls visit(Ray) for every node of what `receiver` sees through the window. Nodes lie above the horizon of receiver.n
/// when it is upright or level, as all faces of a room are.
template <class Visit>
void through_window(const Room& room, int window, const Glazing& glazing, const Receiver& receiver, const OutsideShape& shape,
                    Visit&& visit) {
  const WindowView view = view_window(room, window, receiver, shape);
  const Window& w = room.windows[window];
  const Frame& frame = room.surfaces[w.surface].frame;
  const bool from_other_recess = receiver.window >= 0 && receiver.window != window;
  // alpha runs to the right as seen from inside, azimuths to the left
  const double middle = std::atan2(-frame.n.y, -frame.n.x);
  double sun_alpha = 0, sun_beta = 0;
  if (shape.sun) {
    const dvec3 s = frame.surface_direction(*shape.sun);
    sun_alpha = std::atan2(s.x, -s.z);
    sun_beta = std::asin(std::clamp(s.y, -1.0, 1.0));
  }
  const auto nodes_over = [&](double width) -> const std::vector<Node>& {
    return gauss_nodes(std::clamp(static_cast<int>(std::ceil(2 + shape.nodes_per_rad * width)), 3, 24));
  };
  for (int i = 0; i + 1 < view.count; ++i) {
    if (!view.open[i]) continue;
    const double a0 = view.alpha[i], a1 = view.alpha[i + 1];
    for (const Node& na : nodes_over(a1 - a0)) {
      const double alpha = a0 + na.x * (a1 - a0), cos_a = std::cos(alpha), sin_a = std::sin(alpha);
      const double lo = std::max(view.beta_lo, std::atan((view.y_lo - view.py) * cos_a / view.depth));
      const double hi = std::min(view.beta_hi, std::atan((view.y_hi - view.py) * cos_a / view.depth));
      // borders of the bands, ascending, the sun's altitude among them when it may lie in this window
      double edge[5] = {lo, 0, std::max(shape.skyline, 0.0), hi, hi};
      int edges = 4;
      if (shape.sun && sun_beta > edge[2] && std::abs(sun_alpha) < pi / 2) {
        edge[3] = sun_beta;
        edges = 5;
      }
      for (int k = 0; k + 1 < edges; ++k) {
        const double b0 = std::clamp(edge[k], lo, std::max(lo, hi)), b1 = std::clamp(edge[k + 1], lo, std::max(lo, hi));
        if (b1 - b0 <= 1e-12) continue;
        const Band band = k == 0 ? Band::ground : k == 1 ? Band::skyline : Band::sky;
        for (const Node& nb : nodes_over(b1 - b0)) {
          const double beta = b0 + nb.x * (b1 - b0), cos_b = std::cos(beta);
          const dvec3 out = frame.world_direction({sin_a * cos_b, std::sin(beta), -cos_a * cos_b});
          if (from_other_recess) {
            const dvec3 glass = receiver.p + (view.depth / (cos_a * cos_b)) * out;
            if (!open_between(room, receiver.p, receiver.window, glass, window)) continue;
          }
          const double passed = kernel::glass_transmittance(cos_a * cos_b, glazing.panes, glazing.extinction, glazing.scale);
          visit(Ray{out, na.weight * nb.weight * (a1 - a0) * (b1 - b0) * cos_b * passed, band, middle - alpha, beta});
        }
      }
    }
  }
}

}  // namespace rakelight
