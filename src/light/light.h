// The light on every face: what windows, lamps and sun send, and what bounces (physics 2).
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "base/vec.h"
#include "job/job.h"
#include "room/room.h"
#include "sky/sky.h"

namespace rakelight {

/// A light vector in a surface's frame (Gershun 1936): x, y tangential and towards the light, n = illuminance; lx.
struct LightVector {
  double x = 0, y = 0, n = 0;
  dvec2 tangential() const { return {x, y}; }
  LightVector& operator+=(const LightVector& o) { x += o.x; y += o.y; n += o.n; return *this; }
  friend LightVector operator*(double s, const LightVector& v) { return {s * v.x, s * v.y, s * v.n}; }
  friend LightVector operator+(LightVector a, const LightVector& b) { a += b; return a; }
};
/// Light vector and the divergence of its tangential part over the face, lx/m.
struct LightSample { LightVector e; double div_t = 0; };

/// A lamp ready to shine: intensity I = peak · cosⁿ of the angle from `aim`, cd, zero behind, or peak times a table's.
/// Its opening is a disc of diameter `size` square to the aim, or a box; nearer than ten times its size it is looked
/// at in parts (shaders/kernels/lamp.glsl).
struct Lamp {
  std::string name;
  dvec3 at{0}, aim{0, 0, -1};
  double exponent = 1, peak = 0, size = 0;  ///< size: of a box its longest side, m
  dvec3 x{0};                    ///< towards C = 0, square to the aim; 0: lamp_axis chooses
  dvec3 sides{0};                ///< of a box along x, C = 90 and aim, m; all 0: a disc
  std::shared_ptr<const std::vector<dvec4>> table;  ///< rows of shaders/kernels/distribution.glsl, cd; null: cosⁿ
};
/// A lamp's x: unit and square to its aim.
dvec3 lamp_axis(const Lamp& lamp);
/// From flux and beam angle: n with I(beam/2) = I(0)/2, peak = flux (n+1)/2π; or from the distribution that load_photometry
/// (light/photometry.h) has fetched, scaled to the flux when one is given. Dimmed as the lamp says. A strip is a box of its
/// length and width, aimed by the part of `aim` across it; a wall light without an aim points away from the nearest wall.
Lamp make_lamp(const LampSpec& spec, const Room& room);

/// A window's glass in the form the kernels take.
struct Glazing { double panes = 2, extinction = 0.012, scale = 1; };  ///< extinction: K·L of one pane at normal incidence
Glazing make_glazing(Glass kind, double transmittance);
/// The same with what passes a window's cover straight.
Glazing make_glazing(const Window& window);
/// Share of light from all round that glass throws back.
double diffuse_reflectance(const Glazing& glazing);
/// Visible transmittance at an angle of incidence (rad), Fresnel and absorption with inter-reflection.
double transmittance(const Glazing& glazing, double incidence);

/// A flat patch of a face, reveal, frame or pane: corner + u, v edges; exchanging light with all others.
struct Patch {
  dvec3 corner{0}, u{0}, v{0}, n{0};
  double area = 0, reflectance = 0;
  int surface = -1;              ///< room surface, or -1 for window parts
  int window = -1;               ///< window parts: whose
  dvec3 centre() const { return corner + 0.5 * (u + v); }
};
/// Patches of one surface lie on a regular grid over its box, so that a hit point finds its patch.
struct PatchGrid { int first = 0, nx = 0, ny = 0; Rect box; };

/// How finely to work. The defaults are what the stated accuracies were measured at.
struct LightDetail {
  double patch = 0.25;           ///< m, largest patch side
  double grid = 0.05;            ///< m, field grid spacing on surfaces listed in `fields`
  std::vector<int> fields;       ///< surfaces that get a field grid (for pictures); assess needs none
};

/// Everything that depends only on the room and its reflectances, not on date, dimming or relief: patches, form
/// factors, unit light of each sky node, ground, skyline and lamp on patches and on field grids. Immutable.
class LightBasis;
std::shared_ptr<const LightBasis> make_basis(const Job& job, const Room& room, const LightDetail& detail);
/// A copy of a basis of the same job and room with the field grids that `detail` asks for; its patches stay as they are.
std::shared_ptr<const LightBasis> with_fields(const Job& job, const Room& room, const LightBasis& basis, const LightDetail& detail);

/// A named contribution, for probe.
struct SourceShare { std::string name; LightVector e; };

/// A field grid of the smooth light (windows and bounce; no lamps, no sun) at one moment, over the surface's box. At 50 mm,
/// 95 % of points 50 mm or more off the corners are within 0.5 % of smooth_light's E_n; of |E_t| within 1 %, on a face
/// that looks straight at the sky beside the sun too; of div_t within 5 % of E_n per metre.
/// Node (i, j) at box.lo + (i·dx, j·dy). Between nodes: bicubic, shaders/kernels/field.glsl.
struct FieldGrid {
  int nx = 0, ny = 0;
  dvec2 origin{0}, step{1};
  std::vector<LightSample> node; ///< nx · ny, row by row
};

/// How well bounced light was solved: steps of the solver, and what it leaves of its first residual (energy norm).
struct Balance { int steps = 0; double residual = 0; };

/// The light of one moment: weights over the basis, the exact sun and lamps, and the patches' brightness.
struct Lighting {
  std::shared_ptr<const LightBasis> basis;
  const Room* room = nullptr;    ///< outlives the lighting
  SkyState sky;
  std::vector<Lamp> lamps;       ///< those that are on
  std::vector<Glazing> glazing;  ///< per window
  std::vector<double> patch_exitance;  ///< lm/m² (own reflected light), per patch of the basis; radiance = M/π
  std::vector<double> cell_exitance;   ///< the same of the 4 × 4 cells of each patch, row by row along its u
  std::vector<int> uneven;       ///< patches whose cells differ by so much that they count one by one from afar too
  Balance balance;
  std::vector<FieldGrid> fields; ///< per surface of the room, empty (nx = 0) where none was asked for
};
/// `extra`: lamps that shine as well and are none of the job's.
Lighting make_lighting(const Job& job, const Room& room, std::shared_ptr<const LightBasis> basis, const Moment& moment, const std::vector<Lamp>& extra = {});

const std::vector<Patch>& patches(const LightBasis& basis);
const PatchGrid& patch_grid(const LightBasis& basis, int surface);
/// Patches of a window's parts in the order jamb left, jamb right, sill, head, frame and pane; for pictures.
/// `end`: one past the pane's last. Reveal faces run row by row from the opening's lower left, u into the depth for the
/// jambs and along x for sill and head; the frame is four strips: left, right, bottom, top.
struct WindowParts { int left = 0, right = 0, sill = 0, head = 0, frame = 0, pane = 0, end = 0; };  ///< first patch of each
WindowParts window_parts(const LightBasis& basis, int window);

/// Light from windows and bounce at a point `p` of a surface (its frame, m); no grid is used. Windows by quadrature, better
/// than 0.1 %. Bounce from the basis's patches and their cells: against patches of 0.125 m those of 0.25 m move E_n by less
/// than 1 % at 95 of 100 points of a sunlit room (tests/unit/light/window_bands.cpp); single points within 50 mm of a corner
/// beside a window, or beside a lamp tight to a wall, by more.
/// div_t is minus the change of E_n off the face, which is the same where light vectors have no divergence (Gershun
/// 1936). Points are kept 1 mm off the face's edges.
LightSample smooth_light(const Lighting& lighting, int surface, dvec2 p);
/// Exact light of everything on the flat face, by source: "sun", each window ("W1 sky", "W1 ground", and "W1 cover"
/// when it has one: what that scatters and throws back), each lamp, "bounce".
std::vector<SourceShare> light_by_source(const Lighting& lighting, int surface, dvec2 p);
LightVector total_light(const Lighting& lighting, int surface, dvec2 p);
/// Share of the sun's disc that reaches a world point through the openings (0..1) times the glass: lx on a plane
/// square to the beam, and through which window (-1: none).
struct SunAt { double normal_illuminance = 0; int window = -1; };
SunAt sun_at(const Lighting& lighting, dvec3 world);
/// Luminance seen from inside along a direction, from `from`: patches, or outside through glass. cd/m².
double luminance_seen(const Lighting& lighting, dvec3 from, dvec3 direction);
/// Illuminance-weighted sources for glare: what an eye at `eye` receives from each window, lamp, sun.
struct GlareSource { dvec3 direction; double illuminance; std::string name; };  ///< lx on a plane square to the direction
std::vector<GlareSource> glare_sources(const Lighting& lighting, dvec3 eye);

/// Form factor from patch a to patch b (share of a's light that lands on b), adaptive over a; no blockers.
double form_factor(const Patch& a, const Patch& b, double tolerance = 1e-6);
/// Radiosity B = M + ρ F B for a row-major n×n F; returns exitances B.
std::vector<double> solve_radiosity(const std::vector<double>& factors, const std::vector<double>& reflectance,
                                    const std::vector<double>& own_exitance);

}  // namespace rakelight
