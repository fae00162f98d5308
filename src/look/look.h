// Where relief, light, paint and eye meet: luminance of a point, contrast across a joint (physics 2–4).
#pragma once
#include <array>
#include <vector>

#include "base/vec.h"
#include "joint/joint.h"
#include "light/light.h"
#include "paint/paint.h"
#include "room/room.h"

namespace rakelight {

/// Everything the shading kernels read, as one table of rows of four numbers. C++ reads it in double; draw/
/// uploads it as one RGBA32F texture. Row layout: shaders/kernels/scene.glsl, which holds the only accessors.
struct Scene {
  std::vector<dvec4> rows;
  /// The same with every face as it looks where compound lies; empty where that is as on paper. What is seen of a point is
  /// the mean of the two by how far compound covers it (Facet::cover); contrast is against the face without compound.
  std::vector<dvec4> over_compound;
};

/// `reliefs` and `paints`: one per surface of the room. Fields come from lighting.fields (surfaces without one
/// are drawn from their patches). Where a level's film lies over a face, joints and paper are one: a paint that differs by
/// suction does not, and any other film than a tight scrape is compound all over.
Scene make_scene(const Room& room, const Lighting& lighting, const std::vector<Relief>& reliefs,
                 const std::vector<Paint>& paints);

/// Paint of each surface: the job's on boarded ones at a stage of the work, plain matt of the surface's reflectance elsewhere.
std::vector<Paint> make_paints(const Job& job, const Room& room, PaintStage stage = PaintStage::painted);

/// Luminance of one point in cd/m², with its relief and as if flat, the same nodes for both.
struct Shaded { double luminance = 0, flat = 0; };

/// Shades a point of the scene as the picture does (smooth light from the field grid): the double twin of a pixel.
/// `eye` in plan axes; `footprint`: side of the pixel on the face, m (0 = a point).
Shaded shade_from_scene(const Scene& scene, int surface, dvec2 p, dvec3 eye, double footprint);

/// What a first hit along a ray is, by the same kernel as the picture.
struct Hit { int surface = -1; int window = -1; dvec2 p{0}; double distance = 0; bool outside = false; };
Hit trace(const Scene& scene, dvec3 from, dvec3 direction);
/// Luminance along a ray: shaded surfaces, reveals, frames, panes, outside. The double twin of the room picture.
Shaded luminance_along(const Scene& scene, dvec3 from, dvec3 direction, double footprint_angle);

/// Relief contrast along a line across a joint, from one eye at one moment.
struct ContrastProfile {
  double station = 0;            ///< along the joint from `from`, m
  dvec3 at{0};                   ///< its place in plan axes
  std::vector<double> offset;    ///< across the joint, m, uniform
  std::vector<double> contrast;  ///< L/L_flat − 1 at each offset (cell averages)
  std::vector<double> band;      ///< the same of a joint without relief: what paint makes of compound; empty where nothing
  double flat_luminance = 0;     ///< mean over the section, cd/m²
  double raking_ratio = 0;       ///< |E_t| / E_n, bounced light inside
  double across_ratio = 0;       ///< its part across the joint
  double shade = 0;              ///< |E_t · slope| / E_n + |band|, the largest of its cells: what tilting can make on a dead matt face, nothing hidden, and its coat
  double peak = 0;               ///< contrast of largest magnitude, signed
  double peak_offset = 0;        ///< where, m
  std::array<std::vector<double>, 4> change;  ///< ∂contrast/∂figure (per m), in the order of all_figures
};

/// Exact light (no grid), horizon clipping, sheen. `stations`: distances along the joint, m.
/// Returns one profile per station; stations hidden from the eye are left out.
std::vector<ContrastProfile> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room,
                                             int surface, const Relief& relief, int joint,
                                             const std::vector<double>& stations, dvec3 eye);
/// The same for several eyes at once, which share the light: one list of profiles per eye.
std::vector<std::vector<ContrastProfile>> contrast_across(const Scene& scene, const Lighting& lighting, const Room& room,
                                                          int surface, const Relief& relief, int joint,
                                                          const std::vector<double>& stations, const std::vector<dvec3>& eyes);

}  // namespace rakelight
