// The scene as a texture, behind the hook that the kernels ask for.
uniform sampler2D scene_table;
vec4 scene_row(int i) { return texelFetch(scene_table, ivec2(i & 4095, i >> 12), 0); }
