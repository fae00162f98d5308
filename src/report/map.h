// A map of a face as a picture and as a table.
#pragma once
#include <string>

#include "assess/map.h"
#include "base/image.h"
#include "base/vec.h"

namespace rakelight {

/// A field's value as people read it: its unit, and how many of it one SI unit is ("mm", 1000).
struct MapUnit { std::string text; double per_si = 1; };
MapUnit map_unit(MapKind kind);

/// Least size of a map's picture, px: below it neither scale nor words can be read.
inline constexpr int least_map_width = 480, least_map_height = 320;
/// How many pixels of a picture of that size the face itself gets, so that a map can be made to fit: about.
dvec2 map_room(int width, int height);

/// The face in its map's tones with openings, scale in metres or feet, contours (of light at round values, of visibility at
/// the job's two limits), strokes along the light, the joints' names, and a legend with its unit. `heading`: one line or two over it.
/// Light tones stay lighter than dark ones without colour too.
Image map_picture(const Study& study, const Map& map, const std::vector<std::string>& heading, int width, int height);

/// x_mm, y_mm and the value with its unit in its name, a line a cell that has one.
std::string map_csv(const Map& map);

}  // namespace rakelight
