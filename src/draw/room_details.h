// What makes a room read as a room and is no part of any finding: skirtings and cornices over the walls, and a plain figure
// for scale.
#pragma once
#include <optional>

#include "draw/camera.h"
#include "job/job.h"
#include "room/room.h"

namespace rakelight {

/// Draws the job's skirtings and cornices into a picture by render_both: strips over the wall's face in the wall's own light, a
/// shade darker so that they read, with their edge towards the wall; nothing of the relief shows through them.
void draw_fittings(Image& both, const Camera& camera, const Job& job, const Room& room);

inline constexpr double figure_height = 1.75;   ///< m
/// A place in plan (m) for somebody who stands in a picture from a viewer: wholly in it and in sight, 0.45 m or more clear of
/// walls, where it hides least of what the relief shows; farther away when that is alike. It stands before no pixel of the surface
/// `judged`, if that is one. None where there is no such place.
std::optional<dvec2> figure_place(const Image& both, const Camera& camera, const Room& room, int judged = -1);
/// Draws a standing figure there, neutral and even, as a silhouette that faces the eye.
void draw_figure(Image& both, const Camera& camera, dvec2 place);

}  // namespace rakelight
