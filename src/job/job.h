// What a job file says, as values with their places in the text. Lengths in metres, angles in radians,
// whatever the file's units; nothing here is computed from anything else.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/diagnostics.h"
#include "base/vec.h"

namespace rakelight {

/// A value of the job: what it is, where it stands, and whether it was written or is the default.
template <class T>
struct Key {
  T value{};
  Span at;             ///< of the value; of the table's heading when the default stands
  bool given = false;
  Key() = default;
  Key(T v) : value(std::move(v)) {}  // NOLINT: a default reads as the plain value
  const T& operator*() const { return value; }
  const T* operator->() const { return &value; }
};

enum class Units { millimetre, inch };
enum class LampKind { downlight, pendant, strip, uplight, wall, hand };
enum class SkyName { clear, overcast, intermediate, automatic, none, iso_type };
enum class Glass { single_pane, double_pane, transmittance };

/// A civil time as written, local to the site unless an offset stands beside it.
struct LocalTime {
  int year = 0, month = 0, day = 0, hour = 0, minute = 0;
  double second = 0;
  std::optional<int> offset_minutes;         ///< east positive
};

/// When the sun was first seen along a wall.
struct SeenSun { std::string wall; LocalTime time; };

struct SiteSpec {
  Span at;
  Key<double> latitude_deg, longitude_deg;   ///< degrees north, east; given in pairs
  Key<std::string> time_zone;                ///< IANA name
  Key<double> north;                         ///< bearing of plan +y, rad clockwise from true north (as a compass showed it if magnetic)
  Key<bool> magnetic;                        ///< north was read from a compass
  Key<double> declination;                   ///< of the compass there, rad east of true north; given when magnetic
  Key<SeenSun> seen;                         ///< instead of north
  std::string north_from;                    ///< how the bearing was come by when not written as it is (sky/bearing.h); "" else
  Key<std::string> climate;                  ///< an EPW file, relative to the job; "" = none
  Key<double> skyline;                       ///< altitude of the skyline all round, rad; of its highest point where it has points
  std::vector<dvec2> skyline_points;         ///< bearing clockwise from true north, altitude, rad, ascending; empty: even
  Key<double> ground_below;                  ///< how far the ground outside lies under the room's floor, m
  Key<double> house_height;                  ///< of what throws the house's shadow, over the ground, m; 0: its shadow is left out
  Key<double> ground_reflectance, skyline_reflectance;
  Key<double> turbidity;                     ///< Linke-type; clear 2.5, average 3.5, hazy 5
};

struct RoomSpec {
  Span at;
  Key<std::vector<dvec2>> corners;           ///< plan, m, clockwise seen from above (walls run left to right from inside)
  std::vector<Key<std::string>> walls;       ///< one name per corner: wall i runs from corner i to i+1
  Key<double> height;
  Key<double> floor_reflectance, wall_reflectance, ceiling_reflectance;  ///< of faces without a [[surface]]
};

enum class WindowEdgeSpec { plain, bead };
enum class CoverSpec { none, sheer, blind };

struct WindowSpec {
  Span at;
  Key<std::string> name, wall;               ///< wall: a wall, or "ceiling" for a roof window
  Key<double> from_left, sill, width, height, reveal, reveal_reflectance, frame;  ///< of a roof window, width along plan x, height along y
  Key<dvec2> place;                          ///< of a roof window: the corner of its opening nearest to plan [0, 0], m
  Key<double> eaves, eaves_above, eaves_past;  ///< m: out from the glass, over the opening's head, past its sides (not given: endless)
  Key<double> fin_left, fin_right, fin_off;  ///< m: out from the glass, and from the opening's side to the fin
  Key<double> outer_reflectance;             ///< of eaves and fins
  Key<WindowEdgeSpec> edge;                  ///< how the board ends at the opening
  Key<Glass> glazing;
  double transmittance = 0;                  ///< visible, at normal incidence; only for Glass::transmittance
  Key<CoverSpec> cover;                      ///< hung at the glass
  Key<double> cover_direct, cover_scatter, cover_reflectance;  ///< shares that pass straight, that pass scattered, that are thrown back
};

struct DoorSpec {
  Span at;
  Key<std::string> wall;
  Key<double> from_left, width, height, reflectance;
};

struct Photometry;                           // light/photometry.h

struct LampSpec {
  Span at;
  Key<std::string> name;
  Key<LampKind> kind;
  Key<dvec3> position;                       ///< plan x, y, height above floor, m; one end of a strip
  Key<dvec3> to;                             ///< the other end of a strip; given for strips alone
  Key<dvec3> aim;                            ///< direction in the same axes, not yet normalised
  Key<double> turn;                          ///< about its own axis, rad, anticlockwise seen from above when it points down
  Key<double> size;                          ///< luminous opening, diameter, m; of a strip its width
  Key<double> flux;                          ///< lm
  Key<double> beam;                          ///< full width at half intensity, rad, in (0, pi)
  Key<double> dim;                           ///< share of its full light, 0 to 1
  Key<std::string> photometry;               ///< a file relative to the job, or a generic distribution's name; "" = none
  std::shared_ptr<const Photometry> distribution;  ///< what that names, once load_photometry (light/) has fetched it
  Key<std::string> group;                    ///< "" = none
};

/// What stands in for the keys of a lamp that the file leaves out, where its kind differs from a downlight.
struct UsualLamp {
  LampKind kind;
  dvec3 aim;
  double beam_deg, flux, size_mm;            ///< flux: of a strip per metre, lm
  std::string_view why;
};
/// Null for kinds that take the defaults of the key table.
const UsualLamp* usual_lamp(LampKind kind);

/// What stands in for the shares of a cover that the file leaves out.
struct UsualCover { double direct, scatter, reflectance; std::string_view why; };
UsualCover usual_cover(CoverSpec cover);

enum class SealerSpec { even, none, one_coat, two_coats };
enum class AppliedSpec { rolled, sprayed, brushed };
enum class TextureSpec { none, light, medium, heavy };
enum class LiningSpec { none, fleece };

/// A paint as a system: what shines, over what, put on how.
struct PaintSpec {
  Key<std::string> name;                     ///< a class of assets/paints, or "" when gloss is given
  Key<std::string> klass;                    ///< the same, written inside the table
  Key<double> gloss60, gloss85;              ///< gloss units; used when name is ""
  Key<SealerSpec> sealer;                    ///< under the paint; even: whatever it takes that nothing shows through
  Key<double> coats = 2.0;                   ///< of paint
  Key<AppliedSpec> applied;                  ///< not given: a smooth film
  Key<double> nap = 0.010;                   ///< of the roller, m
  Key<TextureSpec> texture;
  Key<LiningSpec> lining;                    ///< over all of the face, under the paint
  Key<double> colour;                        ///< its reflectance; given: it is the surface's
};

enum class RunSpec { automatic, horizontal, upright, towards_wall };

enum class EdgeSpec { recessed, half_round, square, chamfered, cut };
enum class RippedEdgeSpec { corner, joint };
enum class BackingSpec { none, butts, recessed, both };

enum class SystemSpec { none, fire, acoustic, bracing, wet };

enum class FixingSpec { none, screws, adhesive, nails, dabs };
enum class FixingCoatSpec { spots, rows };
enum class CornerSpec { none, taped };
enum class TopJunctionSpec { none, square_set, cornice, shadow_line };
enum class FootJunctionSpec { none, skirting };

struct SurfaceSpec {
  Span at;
  Key<std::string> name;                     ///< a wall or "ceiling"
  Key<RunSpec> run;
  std::string run_wall;                      ///< RunSpec::towards_wall (ceilings): the wall the long edges point to
  Key<dvec2> sheet;                          ///< width, length, m
  Key<std::vector<double>> lengths;          ///< that sheets come in, m; empty: as `sheet` alone
  Key<double> first_row;                     ///< width of the first row, m; given: it is ripped where narrower than a sheet
  Key<std::vector<double>> first_sheets;     ///< m: how long the first sheet of each row is, row by row, again from the start; empty: running bond
  Key<std::vector<double>> control_joints, movement_joints;  ///< along x; along y, m
  Key<std::vector<std::string>> relax;       ///< rules that may be broken here, by their ids (board/rules.h)
  Key<SystemSpec> system;                    ///< the tested system it is part of
  Key<EdgeSpec> edge;                        ///< the sheets' long edges
  Key<RippedEdgeSpec> ripped_edge;           ///< where the cut edge of the ripped row lies
  Key<BackingSpec> backing;
  Key<double> sprung_by, sprung_over;        ///< backed ends: depth below the face at the joint; over what distance, m
  Key<FixingSpec> fixing;
  Key<double> fixing_spacing;                ///< m, along a framing member
  Key<FixingCoatSpec> fixing_coat;
  Key<CornerSpec> corners;                   ///< of walls with walls
  Key<TopJunctionSpec> junction_top;
  Key<FootJunctionSpec> junction_bottom;
  Key<double> cornice, skirting;             ///< what they cover of the wall, m
  Key<std::string> level;                    ///< of finishing.scheme; "" until its standard level is put in
  PaintSpec paint;
  Key<double> reflectance;
};

enum class TapeSpec { paper, mesh, fleece, none };
enum class RecoatSpec { dry, early };
enum class SandingSpec { light, none, over };

/// What the sheets are fixed to; `at` unknown: the job says nothing of it.
struct FramingSpec {
  Span at;
  Key<double> spacing;                       ///< m, centre to centre
  Key<double> first;                         ///< from the corner to the first centre, m; not given: the spacing
  Key<std::string> direction;                ///< upright | horizontal, on walls
  Key<dvec2> flatness;                       ///< gap under a rule, m
};

/// How sheets get to where they are hung, and who lifts them.
struct AccessSpec {
  Span at;
  Key<double> people, each_kg, board_mass;   ///< lifting together; what one may lift; kg/m²
  Key<bool> hoist;
  Key<dvec2> door;                           ///< the least opening on the way: width, height, m; where given
  Key<double> passage, turn;                 ///< clear widths before and after the tightest turn, m; where given
  Key<dvec3> lift;                           ///< inside of the lift's car: width, depth, height, m; where given
};

/// Figures measured on finished joints, m; empty lists: not measured.
struct MeasuredSpec {
  Key<std::string> like;                     ///< careful | everyday | rough, where nothing was measured
  Key<std::vector<double>> recessed_crown, butt_crown, lap_ridge, step, tape_edge;
};

struct FinishingSpec {
  Span at;
  Key<std::string> scheme;                   ///< "c840", or a file's path relative to the job
  Key<std::vector<std::string>> readings;    ///< of the scheme, where its sources disagree
  Key<std::string> workmanship;              ///< careful | everyday | rough, or "" when measured
  std::optional<MeasuredSpec> measured;
  Key<std::vector<std::string>> compound;    ///< setting | drying | lightweight, one or one per coat
  Key<TapeSpec> tape;
  Key<RecoatSpec> recoat;                    ///< whether a coat is dry when the next goes on
  Key<SandingSpec> sanding;
  Key<std::vector<double>> tools;            ///< blade widths owned, m, ascending
};

struct FittedSection;                        // joint/fit.h

struct JointSpec {
  Span at;
  Key<std::string> id;                       ///< as assess prints it
  Key<double> width;                         ///< finished width, m
  Key<std::string> kind;                     ///< what meets there, where it is not what the edges say
  Key<std::string> measured;                 ///< a file of points across it, relative to the job; "" = none
  std::shared_ptr<const FittedSection> section;  ///< what that says, once load_measured (joint/) has fetched it
};

/// One of the lamps of a moment: a name or a group, or { name = …, dim = …, at = …, aim = … }.
struct LampUse {
  Key<std::string> name;
  Key<double> dim = 1.0;                     ///< share of what the lamp is set to, 0 to 1
  Key<dvec3> position, aim;                  ///< where a hand lamp is held and how; not given: as under its [[lamp]]
};

struct MomentSpec {
  Span at;
  Key<std::string> name;
  Key<LocalTime> time;                       ///< not given: only with sky = none
  Key<SkyName> sky;
  int iso_type = 0;                          ///< 1..15 for SkyName::iso_type
  bool all_lamps = false;                    ///< lamps = "on"
  Key<std::vector<std::string>> lamps;       ///< names or groups when a list is given
  std::vector<LampUse> lamp_uses;            ///< the same list, item by item
};

struct ViewerSpec {
  Span at;
  Key<std::string> name;
  Key<dvec3> eye;                            ///< plan x, y, height, m
  std::optional<dvec3> look_point;           ///< look = [x, y, z]
  Key<std::string> look;                     ///< look = a surface's name
};

struct VerdictSpec {
  Span at;
  Key<double> gain, band, faint, shows, chance, age;
};

/// Prices in one currency; money is reckoned only from those given.
struct RatesSpec {
  Span at;
  Key<std::string> currency;
  Key<double> hour, visit, sheet, compound_kg, tape_m, bead_m;
};

struct DryingSpec {
  Span at;
  Key<double> temperature = 18.0;            ///< °C
  Key<double> humidity = 60.0;               ///< % relative
};

enum class PageSize { a4, letter };

/// What the paper says beside the results; whatever is not given is left blank on it.
struct PaperSpec {
  Span at;
  Key<LocalTime> date, start;                ///< days
  Key<PageSize> page;
  Key<std::string> client, site, finisher, framing_by, paint_by;
  Key<bool> heating, return_visit;
  Key<double> valid_days;
  Key<double> hands = 1.0, day_hours = 8.0, days_a_week = 5.0;
};

struct Job {
  Key<std::string> title;
  Units units = Units::millimetre;
  SiteSpec site;
  RoomSpec room;
  std::vector<WindowSpec> windows;
  std::vector<DoorSpec> doors;
  std::vector<LampSpec> lamps;
  std::vector<SurfaceSpec> surfaces;
  FramingSpec framing;
  AccessSpec access;
  FinishingSpec finishing;
  std::vector<JointSpec> joints;
  std::vector<MomentSpec> moments;
  std::vector<ViewerSpec> viewers;
  VerdictSpec verdict;
  RatesSpec rates;
  DryingSpec drying;
  PaperSpec paper;
};

/// A default that stood in for a key the job leaves out.
struct Assumed { std::string key, value, why; };

/// Every default in force, as `window.W1.reveal` = `180 mm`, in the order of the key table.
std::vector<Assumed> assumed(const Job& job);
/// Likewise of what only the paper and its quantities rest on: the air that compound dries in, hands and hours.
std::vector<Assumed> assumed_for_paper(const Job& job);

}  // namespace rakelight
