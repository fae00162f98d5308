// A picture that lets see on a screen what is seen on site.
#pragma once
#include "draw/draw.h"

namespace rakelight {

/// How a picture is looked at: from `distance`, `width` across on the screen (m), whose white is `white` cd/m². The room that
/// the screen stands in is not counted: light on the screen takes contrast away.
struct ScreenPlace { double distance = 0.6, width = 0.35, white = 250; };

/// Degrees that a pixel of a view covers for the eye that it was drawn for: in its middle; of a square-on picture from the
/// eye's distance to the face.
double degrees_per_pixel(const Room& room, const View& view);

/// From render_both: luminance with the relief's contrast L/L_flat − 1 scaled so that it is as many times its threshold on
/// the screen as it is on site. Contrast is parted into octaves of size (differences of Gaussians, Burt & Adelson 1983), each
/// scaled by sensitivity on site over sensitivity at the screen at the octave's middle (observer_sensitivity; adapted to the
/// mean of the faces in sight, and to what `white_luminance` makes of it on the screen), at most eightfold either way.
/// `site`: degrees_per_pixel.
Image screen_true(const Image& both, double site, const ScreenPlace& screen, double white_luminance);

/// Sensitivity on site over that at the screen for a pattern of so many cycles a pixel.
double screen_gain(double cycles_per_pixel, double site_degrees, double screen_degrees, double site_luminance, double screen_luminance);

}  // namespace rakelight
