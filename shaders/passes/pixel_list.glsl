// Pixels that the faces' pass leaves to the others: those with something else than one face from the first place on, those
// for the kernels from the last place down.
layout(std430, binding = 1) buffer PixelList {
  uint mixed_pixels;
  uint exact_pixels;
  uint listed[];
};
