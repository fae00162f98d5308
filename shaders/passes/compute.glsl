// What the compute passes share that go through all pixels of a tile. Whoever includes this says before: GROUP_WIDE, GROUP_HIGH, the
// pixels of a group.
layout(local_size_x = GROUP_WIDE, local_size_y = GROUP_HIGH) in;

uniform ivec4 tile;   // first pixel, pixel after the last

ivec2 tile_pixel() { return tile.xy + ivec2(gl_GlobalInvocationID.xy); }
bool inside_tile() { return tile_pixel().x < tile.z && tile_pixel().y < tile.w; }
