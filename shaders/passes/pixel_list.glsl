// Pixels that the faces' pass leaves to the others, four lists one behind the other, each with room for all pixels: of those with
// something else than one face, of those where the relief may hide a source, of those where the table of sheen does not hold for
// tilted facets (or of those for the kernels, for checks), of those where it does not for the flat face alone.
layout(std430, binding = 1) restrict buffer PixelList { uint listed[]; };
