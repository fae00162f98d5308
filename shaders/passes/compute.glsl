// What the compute passes share: pixels of a tile, eight by eight a group.
layout(local_size_x = 8, local_size_y = 8) in;

uniform ivec4 tile;   // first pixel, pixel after the last

ivec2 tile_pixel() { return tile.xy + ivec2(gl_GlobalInvocationID.xy); }
bool inside_tile() { return tile_pixel().x < tile.z && tile_pixel().y < tile.w; }
