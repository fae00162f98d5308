// What levels a surface after the coats: sanding, and the thin film drawn over the whole face (physics 1.1).
#pragma once
#include "joint/curve.h"

namespace rakelight {

/// A blade that flexes bridges no more than this: 60–100 mm, an editable estimate.
inline constexpr double default_film_reach = 0.080;

/// Upper envelope of the chords of the curve that are no longer than `reach` (m), with the slope of the chord that
/// wins: the highest surface on which a tilting straight blade of that length can rest. O(n · reach / step).
HeightCurve chord_envelope(const HeightCurve& h, double reach);

/// A drawn film: hollows filled up to the chord envelope, by no more than `thickness` (m) wet, then shrunk by the
/// volume fraction `shrinkage`. Lap marks, tape edges and banding go; a crown broader than the reach stays.
HeightCurve drawn_film(const HeightCurve& h, double reach, double thickness, double shrinkage);

/// A coat over the whole face: `thickness` (m, wet) over the board and at least `least` anywhere, drawn by a long blade that
/// rests on the coat and bridges no more than `reach`. Heights over the coat's own dried face: what stands up is buried by as
/// much as the coat is thicker than its least, and comes back by the share that it shrinks.
HeightCurve covering_coat(const HeightCurve& h, double reach, double thickness, double least, double shrinkage);

/// Sanding on a block of length `block` (m): takes `fraction` (0–1) of what stands above the smooth line, the mean
/// of the surface under the block. Apexes and the outer edges of feathers come out rounded.
HeightCurve sanded(const HeightCurve& h, double block, double fraction);

}  // namespace rakelight
