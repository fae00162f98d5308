// The views that go with findings: where a picture looks, in what light, what its caption says.
#pragma once
#include <string>

#include "draw/draw.h"
#include "report/paper.h"

namespace rakelight {

/// "evening sun, midsummer · 2026-06-21 20:40 +01:00 · clear sky · sun 8.3° high".
std::string moment_caption(const Moment& moment);

/// Draws the pictures of the paper: the room from where its worst joint is seen, and the face with that joint square on in the levels on
/// offer, all at its worst moment. One scene is held at a time.
PaperPictures paper_pictures(Headless& context, const Study& study, const Assessment& assessment, const Advice& advice);

}  // namespace rakelight
