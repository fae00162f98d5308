// From luminance to what a screen shows: linear below a knee, a smooth shoulder above it, the sRGB curve, and
// a static dither that keeps steps finer than one grey level alive in the mean.
// Compiled by the driver in float and by C++ in double.

// Linear up to the knee, then the parabola that leaves it with slope 1 and reaches 1 level; `signal` = luminance
// over the white luminance. The linear part is scaled so that signal 1 is exactly where white is reached: from
// 0 to 2/3 (the knee, 0.8 of full output) output is 1.2 times signal. No film-like curve: those shrink
// mid-tone contrast by up to a half.
KERNEL float display_shoulder(float signal) {
  float knee = 0.8;
  float x = max(signal, 0.0) * (2.0 - knee);
  if (x <= knee) return x;
  if (x >= 2.0 - knee) return 1.0;
  float past = x - knee;
  return x - past * past / (4.0 * (1.0 - knee));
}

// The sRGB opto-electronic curve, IEC 61966-2-1:1999 clause 5.2; linear 0..1 to code 0..1.
KERNEL float srgb_code(float linear) {
  if (linear <= 0.0031308) return 12.92 * linear;
  return 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
}

// Bits mixed until neighbours have nothing in common (the output permutation of PCG, O'Neill 2014).
KERNEL uint display_hash(uint x) {
  uint state = x * 747796405u + 2891336453u;
  uint word = ((state >> ((state >> 28u) + 4u)) ^ state) * 277803737u;
  return (word >> 22u) ^ word;
}

// Triangular noise in (-1, 1) grey levels, fixed per pixel: the sum of two uniform ones, whose mean error is
// zero at every level and whose spread does not depend on the level (Lipshitz, Wannamaker & Vanderkooy 1992).
KERNEL float display_dither(uint column, uint row) {
  uint first = display_hash(column + display_hash(row));
  uint second = display_hash(first);
  return float(first >> 8u) / 16777216.0 + float(second >> 8u) / 16777216.0 - 1.0;
}

// The grey level 0..255 shown for a luminance.
KERNEL float display_level(float luminance, float white_luminance, uint column, uint row) {
  float code = 255.0 * srgb_code(display_shoulder(luminance / white_luminance));
  return clamp(floor(code + display_dither(column, row) + 0.5), 0.0, 255.0);
}
