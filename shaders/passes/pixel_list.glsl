// Pixels that the faces' pass leaves to the others, four lists one behind the other, each with room for all pixels: of those with
// something else than one face, of those where the relief may hide a source, of those for the kernels, of those where the table does not hold
// for the flat face.
layout(std430, binding = 1) restrict buffer PixelList { uint listed[]; };
