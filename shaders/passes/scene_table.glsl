// The scene as a texture, and its header as uniforms, behind the hooks that the kernels ask for.
uniform sampler2D scene_table;
uniform vec4 header_rows[9];
vec4 scene_header(int i) { return header_rows[i]; }
vec4 scene_row(int i) { return texelFetch(scene_table, ivec2(i & 4095, i >> 12), 0); }
