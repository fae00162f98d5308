// A room as the oracle sees it: flat one-sided faces, its own intersection, its own sky and glass. Nothing of src/light,
// src/look, src/draw or shaders is used here, so that an error there cannot hide itself.
// Plan coordinates: x right, y up on the drawing, z up from the floor; metres, radians, cd/m², lx.
#pragma once
#include <array>
#include <glm/glm.hpp>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

namespace oracle {
using glm::dvec2;
using glm::dvec3;

inline constexpr double pi = 3.14159265358979323846;

/// Sky of ISO 15469:2004 with gradation a, b and indicatrix c, d, e over a plain skyline over plain ground.
struct Sky {
  bool dark = true;
  double a = 0, b = -1, c = 0, d = -1, e = 0;
  double zenith = 0;                 ///< cd/m²
  double skyline = 0, skyline_luminance = 0, ground_luminance = 0;
  /// Instead of that skyline: azimuth from plan x towards y, ascending over a whole turn, altitude; straight between.
  std::vector<dvec2> roofs;
  double skyline_at(dvec3 w) const;
  double shaded_ground_luminance = 0;  ///< where the house keeps the sun off
  dvec3 sun{0, 0, 1};                ///< unit, to the sun
  double direct_normal = 0;          ///< lx square to the beam; 0: no sun
  double relative(dvec3 w) const;    ///< gradation times indicatrix of a direction above the horizon
};
/// Angular radius of the sun's disc, mean of the year: 0.2665 degrees.
inline constexpr double sun_radius = 0.2665 * pi / 180;

/// Clear glass, index 1.526, KL 0.012 a pane: Fresnel, absorption, all inter-reflections, each polarisation on its own
/// (Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 5), built up layer by layer.
struct Glass {
  int panes = 2;
  struct Share { double passed, thrown_back; };
  Share at(double cos_incidence) const;
  double hemispherical_reflectance() const;  ///< for light from all round
};

/// A flat thing before the house: origin + a u + b v, 0 ≤ a, b ≤ 1, seen from either side.
struct Slab { dvec3 origin, u, v; double luminance; };

struct Opening {
  std::string name;
  int wall = 0;                      ///< of the corners' number: the ceiling, left and sill then plan x and y
  double left = 0, sill = 0, width = 0, height = 0;  ///< in the wall, seen from inside
  double reveal = 0.18, frame = 0.07, reveal_reflectance = 0.7;
  Glass glass;
  /// What the program is told of the slabs before it, m: as keys of a job.
  struct { double eaves = 0, above = 0, past = 0, fin_right = 0, fin_off = 0, reflectance = 0; } shades;
};

/// A disc facing `aim`, every point of which sends peak cosⁿ / area: flux lm, full width at half intensity `beam`. With `along`
/// a strip instead, that long about `at` and `size` wide.
struct Disc {
  std::string name;
  dvec3 at{0}, aim{0, 0, -1};
  double size = 0, flux = 0, beam = 1;
  dvec3 along{0};
  bool strip() const { return along != dvec3(0); }
};

struct Plan {
  std::vector<dvec2> corners;        ///< clockwise seen from above; wall i from corner i to i + 1
  double height = 2.6;
  double floor_reflectance = 0.25, wall_reflectance = 0.7, ceiling_reflectance = 0.8;
  std::vector<Opening> openings;
  std::vector<Slab> slabs;
  double ground_below = 0;           ///< the ground outside under the floor, m
  double house_height = 0;           ///< over the ground; the house lies behind every glass plane, without end; 0: no shadow
  std::vector<Disc> lamps;
  Sky sky;
};

/// How glass throws light of the room back: like paint of its hemispherical reflectance, or as the mirror that it is.
enum class Panes { dull, mirrors };

/// origin + x u + y v, 0 ≤ x ≤ size.x, 0 ≤ y ≤ size.y or inside `outline`; light leaves along n only.
struct Face {
  dvec3 origin, u, v, n;
  dvec2 size{0};
  std::vector<dvec2> outline;        ///< floor and ceiling, in u and v
  struct Hole { dvec2 lo, hi; };
  std::vector<Hole> holes;
  double reflectance = 0;
  int opening = -1;                  ///< whose recess it belongs to
  bool glazed = false;               ///< the glass plane: glass inside `pane`, frame around
  Hole pane{dvec2(0), dvec2(0)};
  dvec3 at(dvec2 p) const { return origin + p.x * u + p.y * v; }
  bool holds(dvec2 p) const;         ///< on the face, not in a hole
};

struct Hit {
  int face = -1;                     ///< -1: nothing, which must not happen in a closed room
  double distance = 0;
  dvec3 p{0};
  dvec2 at{0};                       ///< in the face's u, v
  bool glass = false;
};

struct Bright;

class World {
 public:
  explicit World(const Plan& plan, Panes panes = Panes::dull);
  Plan plan;
  Panes panes;
  std::vector<Face> faces;           ///< walls in order, ceiling, floor, then per opening: left, right, sill, head, glass plane
  std::vector<double> pane_reflectance;  ///< hemispherical, per opening
  int ceiling() const { return static_cast<int>(plan.corners.size()); }
  int floor() const { return ceiling() + 1; }
  const Face& glass_plane(int opening) const { return faces[plan.corners.size() + 2 + 5 * static_cast<std::size_t>(opening) + 4]; }
  Hit trace(dvec3 from, dvec3 direction) const;
  /// Luminance outside in a direction, without the sun's disc.
  double outside(dvec3 w) const;
  /// The same of what is seen from a point of an opening's glass: slabs and the house's shadow lie near.
  double beyond(int opening, dvec3 glass, dvec3 w) const;
  /// Whether a slab stands in the way.
  bool slab_before(dvec3 glass, dvec3 w) const;
  /// Of an opening's glass, from a table with 4,000 steps of the cosine.
  Glass::Share glass(int opening, double cos_incidence) const;
  /// Whether nothing stands between two points; b may lie on a face.
  bool open(dvec3 a, dvec3 b) const;
  /// Reflectance where a hit fell; glass counts as paint (Panes::dull).
  double reflectance(const Hit& hit) const;
  /// Where light bounces from, roughly (tracer.cpp), found when first asked for.
  const Bright& brightness() const;

 private:
  struct Plane { dvec3 n; double offset; };
  std::vector<Plane> planes_;        ///< of the faces, close together because rays pass them all
  double sky_scale_ = 0;
  struct Brightness { std::once_flag once; std::shared_ptr<const Bright> made; };
  std::shared_ptr<Brightness> brightness_ = std::make_shared<Brightness>();
  std::vector<std::vector<Glass::Share>> glass_;
};

}  // namespace oracle
