// What YearModel holds; only the year's own files look inside.
#pragma once
#include <array>
#include <memory>
#include <vector>

#include "assess/sun_grid.h"
#include "assess/year.h"
#include "kernel/sun.h"
#include "light/station.h"
#include "look/response.h"

namespace rakelight {

inline constexpr std::size_t luminance_nodes = 6;
inline constexpr double first_luminance = 0.05, luminance_step = 8;  ///< cd/m²; up to 1640
inline constexpr int most_viewers = 32;
/// Outside it is then a tenth of a lux, inside a hundredth of that: nobody sees a joint.
inline constexpr double lowest_sun = -9 * rad_per_deg;

struct SpotView {
  int viewer = 0;
  EyeView eye;
  std::array<float, luminance_nodes> log_unit{};  ///< ln of K at those luminances
  /// Under smooth light, ln of what the exact profile is to the first order, at two values of ln |change / flat|: the light
  /// of a near window differs across the joint, and relief hides part of low light.
  std::array<float, 2> ratio{}, log_exact{};
};

/// A station of a joint.
struct Spot {
  int face = 0, joint = 0;
  double station = 0;            ///< along the joint, m
  dvec2 p{0};
  dvec3 world{0};
  StationLight light;
  std::vector<SpotView> views;
  int first_view = 0;            ///< among all views of all spots
};

/// The sun at one place, and what follows from it alone.
struct SunNow {
  SunPosition sun;
  SkyLevel level;
  double over_skyline = 0;       ///< share of the disc
  SunGrid::Stencil slow, middling, beams, fast;
  Lighting beam;                 ///< the sun and the windows, nothing else
  std::vector<double> eye_beam;  ///< lx square to the beam at each viewer's eye
};

struct SpotLook { double visibility = 0; int viewer = -1; };

struct YearModel::Parts {
  const Study* study = nullptr;
  SiteSpec site;
  double site_skyline = 0, latitude = 0;
  int sky_type = clear_type;
  std::vector<int> surfaces;
  std::vector<std::vector<PlacedJoint>> joints;
  std::vector<std::vector<int>> first_spot;   ///< per face and joint; one more at the end
  std::vector<Spot> spots;
  int views = 0;
  std::shared_ptr<const LightBasis> basis;
  Lighting beam;
  SunGrid slow{12, 3}, middling{24, 5}, beams{72, 9}, fast{96, 13};
  SunTable slow_views;                        ///< per lux of diffuse light: sheen, its change, veil
  SunTable bounce;                            ///< per lux of diffuse light: E of its bounce; on the middling grid
  SunTable fast_sky;                          ///< per lux of diffuse light: E of sky, skyline and ground
  SunTable beam_bounce;                       ///< per lux of the beam: E of its bounce; on the grid of beams
  SunTable unlit;                             ///< ln V of each spot out of the sun

  SunNow now(DaySun::Place place) const;
  LightVector smooth(const SunNow& now, int spot) const;
  double beam_at(const SunNow& now, const Spot& s) const;
  LightVector total(const SunNow& now, int spot) const;
  SpotLook look(const SunNow& now, int spot, double beam_lux) const;
  /// What a spot's views get of smooth light, and the veil before each eye; arrays of most_viewers.
  void smooth_views(const SunNow& now, int spot, SlopeLight* light, double* veil) const;
  double visibility(const SpotView& view, const SlopeLight& smooth, const SlopeLight& sun, double veil) const;
};

}  // namespace rakelight
