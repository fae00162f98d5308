// The scene as a table in a buffer, and its header as uniforms, behind the hooks that the kernels ask for.
uniform samplerBuffer scene_table;
uniform vec4 header_rows[9];
vec4 scene_header(int i) { return header_rows[i]; }
vec4 scene_row(int i) { return texelFetch(scene_table, i); }
