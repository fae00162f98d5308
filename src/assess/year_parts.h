// What YearModel holds; only the year's own files look inside.
#pragma once
#include <array>
#include <memory>
#include <vector>

#include "assess/sun_grid.h"
#include "assess/year.h"
#include "kernel/sun.h"
#include "light/station.h"
#include "light/sun.h"
#include "look/response.h"

namespace rakelight {

inline constexpr std::size_t luminance_nodes = 6, cut_nodes = 9, held_places = 2;
inline constexpr double first_luminance = 0.05, luminance_step = 8;  ///< cd/m²; up to 1640
/// Outside it is then a tenth of a lux, inside a hundredth of that: nobody sees a joint.
inline constexpr double lowest_sun = -9 * rad_per_deg;
inline constexpr double darkest = 1e-4;      ///< cd/m², as in assess

/// On the sphere of hour angle and declination.
inline dvec3 direction_of(DaySun::Place p) {
  return {std::cos(p.declination) * std::cos(p.hour_angle), std::cos(p.declination) * std::sin(p.hour_angle), std::sin(p.declination)};
}

/// One eye's view of a station.
struct SpotView {
  int spot = 0, viewer = 0;
  EyeView eye;
  std::array<SlopeLight, 3> base;            ///< per lx of the light vector's x, y and n
  std::vector<SlopeLight> glass;             ///< per cd/m² outside each of the spot's glass shares
  std::array<float, luminance_nodes> log_unit{};  ///< ln of K at those luminances
  /// What is left of K when the sun lights only the section's left or right, its edge at even places over the section.
  std::array<float, cut_nodes> left{}, right{};
  /// Under smooth light with the sun at each of a few places, ln of what the exact profile is to the first order: the
  /// light of a near window differs across the joint, and relief hides part of low light.
  std::array<float, held_places> log_exact{};

  SlopeLight base_of(const LightVector& e) const {
    SlopeLight sum = e.x * base[0];
    sum += e.y * base[1];
    sum += e.n * base[2];
    return sum;
  }
};

/// A station of a joint.
struct Spot {
  int face = 0, joint = 0;
  double station = 0;            ///< along the joint, m
  dvec2 p{0};
  double lo = 0, hi = 0;         ///< the section's ends, across the joint, m
  dvec3 world{0}, across{0};     ///< plan axes
  StationLight light;
  std::vector<GlassShare> glass;
  int first_view = 0, views = 0; ///< those kept
};

/// The sun at one place, and what follows from it alone.
struct SunNow {
  SunPosition sun;
  dvec3 towards{0};              ///< plan axes
  SkyLevel level;
  double over_skyline = 0;       ///< share of the disc
  SunGrid::Stencil slow, middling, beams, fast;
  std::array<double, held_places> held{};  ///< weights of the places at which V was held to exact profiles
  double correction(const SpotView& view) const {
    double sum = 0;
    for (std::size_t i = 0; i < held_places; ++i) sum += held[i] * view.log_exact[i];
    return sum;
  }
  double diffuse() const { return level.total - level.direct_horizontal; }
  double direct() const { return level.direct_normal * over_skyline; }
};

/// How the sun lies on a station's section: lx square to the beam where it lies, and how much of the section it leaves dark.
struct Sunlit {
  double beam = 0;
  double edge = 0;               ///< share of the section left of the sun's edge
  int side = 0;                  ///< 0: the whole section is alike; −1: left of the edge is lit, 1: right of it
};

struct YearModel::Parts {
  const Study* study = nullptr;
  SiteSpec site;
  Outskirts around;                           ///< of the site
  double latitude = 0;
  int sky_type = clear_type;
  std::vector<int> surfaces;
  std::vector<std::vector<PlacedJoint>> joints;
  std::vector<std::vector<int>> first_spot;   ///< per face and joint; one more at the end
  std::vector<Spot> spots;
  std::vector<SpotView> views;                ///< by spot
  std::shared_ptr<const LightBasis> basis;
  std::vector<Glazing> glazing;
  SunGrid slow{12, 3}, middling{24, 5}, beams{72, 9}, fast{96, 13};
  // per spot, E (x, y, n)
  SunTable fast_sky;                          ///< per lux of diffuse light, of sky, skyline and ground
  SunTable bounce;                            ///< per lux of diffuse light, of its bounce; on the middling grid
  SunTable beam_bounce;                       ///< per lux of the beam, of its bounce; on the grid of beams
  // per view, flat and change
  SunTable view_sky;                          ///< per lux of diffuse light; on the fast grid
  SunTable view_beam;                         ///< per lux of the beam, of its bounce; on the grid of beams
  std::vector<dvec3> held;                    ///< places of log_exact
  SunTable view_veil;                         ///< per lux of diffuse light, veil alone; on the slow grid

  SunNow now(DaySun::Place place) const;
  SkyState sky_of(const SunNow& now) const;   ///< the sun and nothing else
  LightVector smooth(const SunNow& now, int spot) const;
  LightVector total(const SunNow& now, int spot) const;
  Sunlit sunlit(const SunNow& now, const SunBeams& beams, const Spot& spot) const;
  /// V of a view, with the correction of smooth light.
  double visibility(const SpotView& view, SlopeLight smooth, SlopeLight sun, const Sunlit& lit, double veil, double correction) const;
};

/// Fills the tables of a model whose site, sky, surfaces and basis are set.
void make_year_tables(YearModel::Parts& parts);

}  // namespace rakelight
