// The scene as a table in a buffer, and its header as uniforms, behind the hooks that the kernels ask for. Compute shaders (STORAGE)
// read the buffer as it is: a graphics card's texture units hand out rows of four floats at a thirtieth of that rate.
#ifdef STORAGE
layout(std430, binding = 2) readonly restrict buffer SceneTable { vec4 scene_table[]; };
vec4 scene_row(int i) { return scene_table[i]; }
#else
uniform samplerBuffer scene_table;
vec4 scene_row(int i) { return texelFetch(scene_table, i); }
#endif
uniform vec4 header_rows[9];
vec4 scene_header(int i) { return header_rows[i]; }
