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

/// How visible slopes are to a view.
struct UnitVisibility {
  std::array<float, luminance_nodes> log_unit{};  ///< ln of K at those luminances
  /// Under smooth light with the sun at each of a few places, ln of what the exact profile is to the first order: the
  /// light of a near window differs across the joint, and relief hides part of low light.
  std::array<float, held_places> log_exact{};
};

/// One eye's view of a station.
struct SpotView {
  int spot = 0, viewer = 0;
  EyeView eye;
  std::array<SlopeLight, 3> base;            ///< per lx of the light vector's x, y and n
  std::vector<SlopeLight> glass;             ///< per cd/m² outside each of the spot's glass shares
  UnitVisibility unit;
  /// What is left of K when the sun lights only the section's left or right, its edge at even places over the section.
  std::array<float, cut_nodes> left{}, right{};

  SlopeLight base_of(const LightVector& e) const {
    SlopeLight sum = e.x * base[0];
    sum += e.y * base[1];
    sum += e.n * base[2];
    return sum;
  }
};

/// Lists of views are as long as whole eights, which are worked out at once.
inline std::size_t whole_eights(std::size_t count) { return (count + 7) / 8 * 8; }

/// How visible slopes are to many views, side by side, so that V of all is found at once.
class VisibilityTable {
 public:
  static constexpr std::size_t windows = luminance_nodes - 3;  ///< four nodes each
  VisibilityTable() = default;
  /// Of views in their order.
  explicit VisibilityTable(const std::vector<UnitVisibility>& views);
  /// V of every view, from its contrast per slope, luminance (cd/m², at least `darkest`), smooth light's share of the answer (of none: all of
  /// it), and the weights of the held places: as visibility_of has it. All lists in whole eights.
  void find(const std::vector<float>& contrast, const std::vector<float>& luminance, const std::vector<float>& smooth, const std::array<double, held_places>& held, std::vector<float>& v) const;

 private:
  std::size_t count_ = 0;
  std::array<std::array<std::vector<float>, 4>, windows> power_;  ///< of ln K between four nodes: powers of the nodes from their middle
  std::array<std::vector<float>, held_places> log_exact_;
};

/// A station of a joint.
struct Spot {
  int face = 0, joint = 0;
  double station = 0;            ///< along the joint, m
  int stretch = 0;               ///< of the joint; only stations of one stretch are neighbours
  int order = 0;                 ///< among all stations of the joint's face that were looked at
  bool anchor = true;            ///< whether what changes slowly along the joint is worked out here, or between two such
  int before = 0, after = 0;     ///< those: indices of spots; its own for an anchor
  dvec2 p{0};
  double lo = 0, hi = 0;         ///< the section's ends, across the joint, m
  dvec3 world{0}, across{0};     ///< plan axes
  StationLight light;
  std::vector<GlassShare> glass;
};

/// One eye's views of one joint, by ascending station.
struct ViewRow { int face = 0, joint = 0, viewer = 0, first = 0, count = 0; };

/// Where a view's slowly changing numbers come from: views before and after it in its row, and the share of the second.
struct ViewAnchor {
  int before = 0, after = 0;
  double share = 0;
  bool own(int view) const { return before == view; }
};

/// The sun at one place, and what follows from it alone.
struct SunNow {
  SunPosition sun;
  dvec3 towards{0};              ///< plan axes
  SkyLevel level;
  double over_skyline = 0;       ///< share of the disc
  std::array<double, held_places> held{};  ///< weights of the places at which V was held to exact profiles
  double diffuse() const { return level.total - level.direct_horizontal; }
  double direct() const { return level.direct_normal * over_skyline; }
};

/// How the sun lies on a station's section: lx square to the beam where it lies, and how much of the section it leaves dark.
struct Sunlit {
  double beam = 0;
  double edge = 0;               ///< share of the section left of the sun's edge
  int side = 0;                  ///< 0: the whole section is alike; −1: left of the edge is lit, 1: right of it
};

/// What a view makes of light: gain × contrast per slope under veil, what the eye is adapted to (cd/m²), and how much of the answer is
/// smooth light's.
struct SlopeAnswer { double contrast = 0, luminance = 0, smooth = 0; };

/// V of a view, held to no exact profile.
double visibility_of(const UnitVisibility& unit, const SlopeAnswer& answer);

/// Rows of the tables of views at one place of the sun: flat light of every view, then its change with slope; of veil one number. Eight
/// numbers more at the end, so that whole eights can be read.
struct ViewRows {
  std::vector<float> sky, beam, veil;
  void make(std::size_t views) {
    sky.assign(2 * views + 8, 0.0f);
    beam.assign(2 * views + 8, 0.0f);
    veil.assign(views + 8, 0.0f);
  }
};

/// Smooth light on views, cd/m²: flat, its change with slope, and the veil over it. In whole eights.
struct ViewLight {
  std::vector<float> flat, change, veil;
  /// From rows, at that much diffuse and direct light, lx.
  void mix(const ViewRows& rows, std::size_t views, double diffuse, double direct);
  /// gain × contrast per slope under the veil, and what eyes are adapted to, where no sun falls.
  void answers(double gain, std::vector<float>& contrast, std::vector<float>& luminance) const;
};

struct YearModel::Parts {
  const Study* study = nullptr;
  SiteSpec site;
  Outskirts around;                           ///< of the site
  double latitude = 0;
  int sky_type = clear_type;
  std::vector<int> surfaces;
  std::vector<std::vector<PlacedJoint>> joints;
  std::vector<std::vector<std::vector<double>>> stations;  ///< per face and joint, m along it
  std::vector<std::vector<int>> first_spot;   ///< per face and joint; one more at the end
  std::vector<Spot> spots;
  std::vector<ViewRow> rows;
  std::vector<SpotView> views;                ///< row by row
  std::vector<int> spot_of;                   ///< per view
  VisibilityTable visible;
  std::vector<ViewAnchor> anchor;             ///< per view
  std::shared_ptr<const LightBasis> basis;
  std::vector<Glazing> glazing;
  SunGrid slow{12, 3}, middling{24, 5}, beams{72, 9}, fast{96, 13};
  // per spot, E (x, y, n)
  SunTable fast_sky;                          ///< per lux of diffuse light, of sky, skyline and ground
  SunTable bounce;                            ///< per lux of diffuse light, of its bounce; on the middling grid
  SunTable beam_bounce;                       ///< per lux of the beam, of its bounce; on the grid of beams
  // flat light of every view, then its change with slope
  SunTable view_sky;                          ///< per lux of diffuse light; on the fast grid
  SunTable view_beam;                         ///< per lux of the beam, of its bounce; on the grid of beams
  std::vector<dvec3> held;                    ///< places of log_exact
  SunTable view_veil;                         ///< per lux of diffuse light, veil alone; on the slow grid

  /// Share of the anchor after a spot, before any spot is dropped.
  double share_after(const Spot& s) const {
    const double from = spots[s.before].station, to = spots[s.after].station;
    return to > from ? (s.station - from) / (to - from) : 0;
  }
  SunNow now(DaySun::Place place) const;
  SkyState sky_of(const SunNow& now) const;   ///< the sun and nothing else
  LightVector smooth(DaySun::Place place, const SunNow& now, int spot) const;
  LightVector total(DaySun::Place place, int spot) const;
  Sunlit sunlit(const SunNow& now, const SunBeams& beams, const Spot& spot) const;
  SlopeAnswer answer(const SpotView& view, SlopeLight smooth, SlopeLight sun, const Sunlit& lit, double veil) const;
  /// tops: where given, the best of each row.
  void look(const SunNow& now, const ViewRows& rows, std::vector<std::vector<YearLook>>& looks, std::vector<YearLook>* tops = nullptr) const;
  /// The best look of each eye at one joint that may be its best at all.
  std::vector<YearLook> tops(DaySun::Place place, int face, int joint) const;
};

/// The tables of views along one day's course of the sun: first over declination, as the sun has it when it comes by each
/// column of hours, then over hours.
class DayCourse {
 public:
  /// `from`: Julian date, UT, of the day's beginning; `sun` is that day's and outlives the course.
  DayCourse(const YearModel::Parts& parts, const DaySun& sun, double from);
  void look(double jd_ut, std::vector<std::vector<YearLook>>& looks);

 private:
  void find(std::size_t which, const SunGrid& grid, const SunTable& table, double hour_angle, std::vector<float>& row);
  const YearModel::Parts& parts_;
  const DaySun& sun_;
  double from_, hour_from_;
  std::array<std::vector<std::vector<float>>, 3> columns_;  ///< of sky, beam and veil: per column of hours from the day's first on
  std::array<int, 3> first_{};
  ViewRows rows_;
};

/// Puts what assess says into every joint's worst that may be seen at all, and into the stretch of time that it belongs to: V, raking
/// ratio and place by full looks at that moment, near where the tables have it.
void look_again_at_worst(const Study& study, const YearModel::Parts& parts, Year& year);

/// Where on the boarded faces the sun may come at all: the openings, thrown onto each face with their penumbra.
class SunReach {
 public:
  /// sun: towards it, plan axes.
  SunReach(const Study& study, const std::vector<int>& surfaces, dvec3 sun);
  /// Within `about` of a point, m, in the face's frame. face: index into the surfaces.
  bool may(int face, dvec2 p, double about) const;
  /// Any point of a face.
  bool any(int face) const { return !boxes_[static_cast<std::size_t>(face)].empty(); }

 private:
  std::vector<std::vector<Rect>> boxes_;  ///< per face
};

/// Fills the tables of a model whose site, sky, surfaces and basis are set.
void make_year_tables(YearModel::Parts& parts);

/// Steps of it that look at joints.
void place_spots(YearModel::Parts& parts);
/// Every view of every spot, spot by spot; the light of anchors.
std::vector<std::vector<SpotView>> all_views(YearModel::Parts& parts);
/// Keeps the views for which keep says so, [spot][view], those beside them on the same stretch too, and puts them in rows; drops
/// all spots without any, and works out the light of those left.
void keep_views(YearModel::Parts& parts, std::vector<std::vector<SpotView>>& all, const std::vector<std::vector<char>>& keep);
void set_cuts(YearModel::Parts& parts);
/// Sets log_exact by the exact profiles with the sun at some places, held_places at most, under those skies without it.
void hold_to_profiles(YearModel::Parts& parts, const std::vector<DaySun::Place>& places, const std::vector<SkyState>& skies);
/// A room with no light in it, black but lit outside: windows then stand before the room's light.
Lighting unlit_room(const YearModel::Parts& parts);
std::vector<Relief> joints_alone(const YearModel::Parts& parts);
Moment moment_under(const Study& study, const SkyState& sky);

}  // namespace rakelight
