// Light that comes through a window, by quadrature over the part of the glass that a point sees.
//
// The glass is seen through the opening in the wall's face: the opening is thrown from the point onto the glass plane
// and cut with the glass; both are upright rectangles, and so is what remains above a wall's or ceiling's horizon.
// Directions are taken as alpha off the window's outward normal about the wall's y, and beta off the plane across that y: in a
// wall azimuth and altitude. There an upright edge is a constant alpha, a level edge at distance D the curve
// tan beta = (y - p_y) cos alpha / D (the glass's, the eaves', the house's shadow on the ground), an edge square to the glass
// tan beta = (y - p_y) sin alpha / (x - p_x) (the eaves' ends), and horizon and skyline a beta that alpha alone decides: every kink lies
// on a panel's border and Gauss nodes converge fast (d omega = cos beta d beta d alpha).
#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <vector>

#include "base/quadrature.h"
#include "base/units.h"
#include "kernel/glass.h"
#include "kernel/window.h"
#include "light/light.h"
#include "light/outside.h"
#include "light/receiver.h"

namespace rakelight {

enum class Band { sky, skyline, ground, eaves, fins };

/// One direction to the outside: w unit, world axes, outwards; solid: solid angle × the glass's transmittance, sr;
/// azimuth from plan +x towards +y and altitude, rad; strip: of ground, how many of the shape's reaches lie nearer.
struct Ray { dvec3 w; double solid; Band band; double azimuth, altitude; int strip = 0; };

/// Which of a basis's bands a ray belongs to. Precondition: it meets no sky.
inline int even_band(const EvenBands& bands, int window, const Ray& ray) {
  switch (ray.band) {
    case Band::ground: return bands.ground(window, ray.strip);
    case Band::eaves: return bands.eaves(window);
    case Band::fins: return bands.fins(window);
    case Band::skyline: case Band::sky: break;
  }
  return bands.skyline();
}

/// What the quadrature needs to know of the outside, and how many nodes to spend per radian.
struct OutsideShape {
  double skyline = 0;            ///< rad
  const Outskirts* outskirts = nullptr;  ///< where given: its skyline in place of that one, and its ground
  std::span<const double> reaches;  ///< m from the glass plane, ascending: panels end where the ground passes them
  const dvec3* sun = nullptr;    ///< panels end at it, because the indicatrix has a cusp there; null when it has none
  double nodes_per_rad = 10;

  double skyline_at(double azimuth) const { return std::max(0.0, outskirts ? outskirts->skyline_at(azimuth) : skyline); }
  bool even_skyline() const { return !outskirts || outskirts->skyline_points.size() < 2; }
};

/// From this beta up to the next one lies one band.
struct BandFrom { double beta; Band band; int strip; };
struct Slice { std::array<BandFrom, 24> from{}; int count = 0; double lo = 0, hi = 0; };  ///< lo, hi: what is seen at all

/// What a point sees of a window, in angles.
class WindowView {
 public:
  /// receiver.n = 0: no face, the whole sphere.
  WindowView(const Room& room, int window, const Receiver& receiver, const OutsideShape& shape);
  /// Ascending panel borders in alpha; fewer than 2: nothing is seen.
  int borders() const { return count_; }
  double border(int i) const { return alpha_[static_cast<std::size_t>(i)]; }
  bool open(int i) const { return open_[static_cast<std::size_t>(i)]; }  ///< whether the panel from border i on is seen
  double depth() const { return depth_; }                                ///< of the glass plane from the point
  /// Its upright slice at an alpha.
  void slice(double alpha, Slice& bands) const;
  bool roof() const { return roof_; }
  /// Whether a ray must still be looked at for what the plan's corners hide of it.
  bool look_at_rays() const { return look_at_rays_; }

 private:
  static constexpr std::size_t most = 256;
  void split(double alpha);
  void split_at_cosine(double c);             ///< where cos alpha = c
  void split_at_tangent(double up, double over);  ///< where tan alpha = up / over
  void split_at_shades();
  void split_at_skyline();
  void split_at_sun();
  void sort();
  double azimuth(double alpha) const { return middle_ - alpha; }
  bool beyond_fin(double alpha) const { return alpha < left_ || alpha > right_; }
  double eaves_from(double alpha) const;      ///< beta; over pi/2: none
  double roof_sky(double alpha, double side) const;  ///< beta at which the sky ends, on the side of its sign

  const OutsideShape& shape_;
  kernel::Shades shades_;
  dvec3 n_{0};
  bool roof_ = false, outdoors_ = false, look_at_rays_ = false;
  double px_ = 0, py_ = 0, depth_ = 0, y_lo_ = 0, y_hi_ = 0, middle_ = 0, a0_ = 0, a1_ = 0;
  double left_ = -pi, right_ = pi;  // beyond these alphas stands a fin
  double sun_alpha_ = 0, sun_beta_ = 0;
  bool sun_before_ = false;
  std::array<double, most> alpha_;
  std::array<bool, most> open_;
  int count_ = 0;
};

/// Calls visit(Ray) for every node of what `receiver` sees through the window. Nodes lie above the horizon of receiver.n
/// when it is upright or level, as all faces of a room are. A receiver with `outdoors` stands on the glass and looks out.
template <class Visit>
void through_window(const Room& room, int window, const Glazing& glazing, const Receiver& receiver, const OutsideShape& shape,
                    Visit&& visit) {
  const WindowView view(room, window, receiver, shape);
  const Window& w = room.windows[window];
  const Frame& frame = room.surfaces[w.surface].frame;
  const bool from_other_recess = receiver.window >= 0 && receiver.window != window;
  const double middle = std::atan2(-frame.n.y, -frame.n.x);
  const auto nodes_over = [&](double width) -> const std::vector<Node>& {
    return gauss_nodes(std::clamp(static_cast<int>(std::ceil(2 + shape.nodes_per_rad * width)), 3, 24));
  };
  Slice bands;
  for (int i = 0; i + 1 < view.borders(); ++i) {
    if (!view.open(i)) continue;
    const double a0 = view.border(i), a1 = view.border(i + 1);
    for (const Node& na : nodes_over(a1 - a0)) {
      const double alpha = a0 + na.x * (a1 - a0), cos_a = std::cos(alpha), sin_a = std::sin(alpha);
      view.slice(alpha, bands);
      for (int k = 0; k < bands.count; ++k) {
        const double b0 = std::max(bands.from[static_cast<std::size_t>(k)].beta, bands.lo);
        const double b1 = k + 1 < bands.count ? std::min(bands.from[static_cast<std::size_t>(k) + 1].beta, bands.hi) : bands.hi;
        if (b1 - b0 <= 1e-12) continue;
        for (const Node& nb : nodes_over(b1 - b0)) {
          const double beta = b0 + nb.x * (b1 - b0), cos_b = std::cos(beta);
          const dvec3 out = frame.world_direction({sin_a * cos_b, std::sin(beta), -cos_a * cos_b});
          if (from_other_recess || view.look_at_rays()) {
            const dvec3 glass = receiver.p + (view.depth() / (cos_a * cos_b)) * out;
            if (!open_between(room, receiver.p + (view.look_at_rays() ? 5e-3 : 0.0) * receiver.n, receiver.window, glass, window)) continue;
          }
          const double passed = kernel::glass_transmittance(cos_a * cos_b, glazing.panes, glazing.extinction, glazing.scale);
          const BandFrom& from = bands.from[static_cast<std::size_t>(k)];
          // alpha runs to the right as seen from inside, azimuths to the left
          const double azimuth = view.roof() ? std::atan2(out.y, out.x) : middle - alpha, altitude = view.roof() ? std::asin(std::clamp(out.z, -1.0, 1.0)) : beta;
          visit(Ray{out, na.weight * nb.weight * (a1 - a0) * (b1 - b0) * cos_b * passed, from.band, azimuth, altitude, from.strip});
        }
      }
    }
  }
}

}  // namespace rakelight
