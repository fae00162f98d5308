// Light at a point of a face by tracing paths: direct light by sampling the area of glass and lamps and the sun's disc,
// bounced light by paths with the sources sampled at every meeting. Points of Sobol's sequence, each replicate rotated at
// random (Cranley & Patterson 1976), so that the spread of the replicates tells the standard error.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "oracle/world.h"

namespace oracle {

/// A point on face `face` (its u, v, m), lifted by the relief's height and facing as its slope says: the facet's normal is
/// n − slope.x u − slope.y v, of length 1.
struct Spot {
  int face = 0;
  dvec2 at{0};
  double height = 0;
  dvec2 slope{0};
};

struct Counts {
  int replicates = 32;
  int direct = 1024;   ///< points a source and replicate
  int paths = 1024;    ///< paths a replicate
  std::uint64_t seed = 1;
};

/// By source, in the order sun, then sky and ground of every window, lamps, bounce.
std::vector<std::string> source_names(const Plan& plan);

/// Illuminance by light that has bounced at least once, at nodes over every face, cubic between them: found bounce by
/// bounce with rays from every node. What a path would add after its first meeting comes from here at a small fraction of
/// its noise; the price is what the spacing blurs, which the pure tracer below is there to watch.
class Cache {
 public:
  Cache(const World& world, double spacing, int rays, std::uint64_t seed);
  double at(const Hit& hit) const;

 private:
  struct Grid {
    std::vector<double> x, y;        ///< crowded beside the edges, where such light changes fast
    std::vector<bool> there;         ///< not in an opening, not outside
    std::vector<double> value;       ///< lx
  };
  std::vector<Grid> grids_;
};

/// Light vectors of each replicate and source, lx, in the face's u, v and the facet's normal: the third component is the
/// illuminance of the facet, and only light above the facet counts. Replicate r uses cache r; without caches every path is
/// traced to its end.
using Replicates = std::vector<std::vector<dvec3>>;
Replicates light_at(const World& world, const Spot& spot, const Counts& counts, const std::vector<Cache>* caches = nullptr);

/// A dull base under a coat of one GGX lobe (Walter et al. 2007), height-correlated Smith masking (Heitz 2014), Fresnel:
/// the base sends back what the coat lets through both ways, reflectance in all for even light.
class Coat {
 public:
  Coat(double reflectance, double alpha, double index = 1.5);
  /// f_r, 1/sr; directions with the facet's normal as z, away from it.
  double reflection(dvec3 light, dvec3 eye) const;
  /// A direction of light that the lobe throws to `eye`, and that choice's density over solid angle.
  dvec3 sample(dvec3 eye, double s, double t) const;
  double density(dvec3 light, dvec3 eye) const;

 private:
  double lobe(dvec3 light, dvec3 eye) const;
  double albedo(double cosine) const;
  double base_, alpha_, index_, mean_ = 0;
  std::vector<double> albedo_;
};

/// Luminance of a facet with that coat towards `eye` (world), cd/m², by replicate and source, as light_at; no caches: every path is traced
/// to its end.
std::vector<std::vector<double>> luminance_at(const World& world, const Spot& spot, const Coat& coat, dvec3 eye, const Counts& counts,
                                              const std::vector<Cache>& caches);

/// Rays of all calls so far that met nothing: a hole in the room.
long lost_rays();

}  // namespace oracle
