// Pixels that the faces' pass leaves to the others, three lists one behind the other, each with room for all pixels: of those with
// something else than one face, of those where the relief may hide a source, of those for the kernels.
layout(std430, binding = 1) restrict buffer PixelList { uint listed[]; };
