// A face as a field of numbers: what the relief is, what the light is, where a joint is seen.
#pragma once
#include <array>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "assess/assess.h"

namespace rakelight {

enum class MapKind { relief, slope, illuminance, raking, shade, visibility };
/// Its name on the command line; the other way round empty when there is none.
std::string map_name(MapKind kind);
std::optional<MapKind> map_named(const std::string& name);
inline constexpr std::array<MapKind, 6> all_maps{MapKind::relief,  MapKind::slope, MapKind::illuminance,
                                                 MapKind::raking, MapKind::shade, MapKind::visibility};

/// Where light comes from along the face: a point of it, and the unit tangent towards the light.
struct Stroke { dvec2 at{0}, towards{1, 0}; };

/// Values at the middles of nx × ny cells over a face's box, row by row from the box's low corner; NaN outside the face and in
/// its openings (of visibility: also where no joint is). In SI: m, m/m (of the gradient), lx, |E_t| / E_n, L/L_flat − 1, V.
struct Map {
  MapKind kind = MapKind::relief;
  int surface = 0, nx = 0, ny = 0;
  Rect box;
  std::vector<double> value;
  std::vector<Stroke> strokes;   ///< raking: about 300 mm apart, where the light has a direction (ratio over 0.02)
  double at(int i, int j) const { return value[static_cast<std::size_t>(j) * nx + i]; }
  dvec2 middle(int i, int j) const { return {box.lo.x + (i + 0.5) / nx * box.width(), box.lo.y + (j + 0.5) / ny * box.height()}; }
  /// Value of the cell that a point of the box lies in.
  double at(dvec2 p) const;
};

/// Whether a point is a face's own: inside its outline and in no opening of it.
bool is_bare_face(const Room& room, int surface, dvec2 p);

/// The face as the job finishes it, in cells of about `cell` (m, at least a five-thousandth of the box). Relief and slope need no
/// light; of illuminance and raking it is total light on the flat face, from a field grid. Not for shade, which is a picture's.
Map make_map(const Study& study, int surface, int moment, MapKind kind, double cell);

/// Visibility along a joint at one moment: at each station (m along it) of whoever sees it best there.
struct SeenAlong { std::vector<double> station, visibility; int viewer = -1; };  ///< viewer: who sees it best of all; -1: nobody
/// Joint by joint of the face as the job finishes it; stations about 50 mm apart and where assess_surface
/// looks, clear of what crosses the joint.
std::vector<SeenAlong> seen_along(const Study& study, int surface, int moment);

}  // namespace rakelight
