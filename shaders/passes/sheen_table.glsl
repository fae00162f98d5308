// The sheen of a face (shade.glsl's facet_sheen) as a table over the face: at the nodes of a grid its value on the flat
// face and polynomials of the slope. src/draw/sheen_table.h lays it out; passes/sheen_nodes.glsl and sheen_fit.glsl
// fill it.
#include "passes/sheen_grid.glsl"

#ifdef STORAGE
layout(std430, binding = 4) readonly restrict buffer SheenTable { vec4 sheen_table[]; };   // the fit: fit_layers a node
uniform int sheen_width;         // nodes in a row of the table
uniform int fit_layers;
#else
uniform sampler2D sheen_table;   // the fit: layers side by side, sheen_layer texels apart
uniform int sheen_layer;
#endif
uniform int sheen_degree;        // of the polynomials: 4 or 8; in drafts 2, and then the fit is one layer of both
// A shader may be made for drafts alone, or for pictures that are none.
#if defined(DRAFT)
const bool draft = true;
#elif defined(AT_REST)
const bool draft = false;
#else
uniform bool draft;              // coarse, while something moves: also of a lamp's disc its middle alone
#endif

struct SheenFit {
  float room;      // what the room adds on the flat face
  float windows;   // what windows add there
  float tilt;      // what tilting the facet adds
  float lowest;    // tangent of the lowest elevation of a window's glass over the face
  bool room_good;  // whether the table may stand for the kernels here
  bool windows_good;
  bool tilt_good;
};

uniform float uneven_last;
uniform float uneven_slope;     // third difference of what slopes add allowed, of the face's luminance

#ifdef STORAGE
vec4 fit_node(SheenGrid g, int layer, vec2 node) { return sheen_table[fit_layers * (int(g.place.x + node.y) * sheen_width + int(node.x)) + layer]; }
#else
vec4 fit_node(SheenGrid g, int layer, vec2 node) {
  return texelFetch(sheen_table, ivec2(layer * sheen_layer + int(node.x), int(g.place.x + node.y)), 0);
}
#endif
// Four nodes of a row, the first given, by their weights.
vec4 row_of_nodes(SheenGrid g, int layer, vec2 node, vec4 w) {
  return w.x * fit_node(g, layer, node) + w.y * fit_node(g, layer, node + vec2(1.0, 0.0)) + w.z * fit_node(g, layer, node + vec2(2.0, 0.0)) +
         w.w * fit_node(g, layer, node + vec2(3.0, 0.0));
}
float largest_of(vec4 v) { return max(max(v.x, v.y), max(v.z, v.w)); }
float quartic(vec4 c, float x) { return x * (c.x + x * (c.y + x * (c.z + x * c.w))); }

// The flat value by Catmull-Rom (the field's weights), and what tilting adds likewise, taken where third differences are
// small (passes/sheen_fit.glsl). Where windows come into sight or drop behind an edge the flat value has kinks: there
// luminance is off by up to a hundredth, alike with relief and without, so that contrast takes no part in it. The room's and the
// windows' are told apart: where one alone is uneven the other need not be made anew.
SheenFit sheen_between(int surface, vec2 p, vec2 slope, bool relief, float base) {
  SheenFit fit;
  SheenGrid g = sheen_grid(surface, false);
  vec2 u = sheen_node(g, p);
  vec2 first = vec2(field_first_tap(u.x, g.place.y), field_first_tap(u.y, g.place.z));
  vec4 wx = field_weights(u.x, g.place.y);
  vec4 wy = field_weights(u.y, g.place.z);
  vec4 about = vec4(0.0);
  float uneven = 0.0;
  float uneven_room = 0.0;
  // weights go round instead of being indexed: a software rasteriser looks each lane's up on its own. A row of nodes at once: a
  // card asks for all before it waits for the first
  for (int j = 0; j < 4; j++) {
    vec2 node = first + vec2(0.0, float(j));
    vec4 a = fit_node(g, 0, node);
    vec4 b = fit_node(g, 0, node + vec2(1.0, 0.0));
    vec4 c = fit_node(g, 0, node + vec2(2.0, 0.0));
    vec4 d = fit_node(g, 0, node + vec2(3.0, 0.0));
    about += wy.x * (wx.x * a + wx.y * b + wx.z * c + wx.w * d);
    vec4 flags = vec4(a.z, b.z, c.z, d.z);
    uneven = max(uneven, largest_of(flags));
    uneven_room = max(uneven_room, largest_of(mod(flags, 2.0)));
    wy = wy.yzwx;
  }
  fit.room = about.x;
  fit.windows = about.w;
  fit.tilt = 0.0;
  fit.lowest = about.y;
  fit.room_good = uneven_room < 0.5;
  fit.windows_good = uneven < 1.5;
  fit.tilt_good = true;
  if (!relief) return fit;
  g = sheen_grid(surface, true);
  if (g.place.y < 0.5) return fit;
  u = sheen_node(g, p);
  first = vec2(field_first_tap(u.x, g.place.y), field_first_tap(u.y, g.place.z));
  wx = field_weights(u.x, g.place.y);
  wy = field_weights(u.y, g.place.z);
  vec2 x = slope / g.place.w;
  float steep = max(abs(x.x), abs(x.y));
  // past the table's reach as at its end
  x = clamp(x, -1.02, 1.02);
  if (draft) {
    vec4 both = vec4(0.0);
    for (int j = 0; j < 4; j++) {
      both += wy.x * row_of_nodes(g, 0, first + vec2(0.0, float(j)), wx);
      wy = wy.yzwx;
    }
    fit.tilt = x.x * (both.x + x.x * both.y) + x.y * (both.z + x.y * both.w);
    return fit;
  }
  float mixed = 0.0;
  vec4 low_x = vec4(0.0);
  vec4 low_y = vec4(0.0);
  vec4 high_x = vec4(0.0);
  vec4 high_y = vec4(0.0);
  uneven = 0.0;
  for (int j = 0; j < 4; j++) {
    vec2 node = first + vec2(0.0, float(j));
    vec4 a = fit_node(g, 0, node);
    vec4 b = fit_node(g, 0, node + vec2(1.0, 0.0));
    vec4 c = fit_node(g, 0, node + vec2(2.0, 0.0));
    vec4 d = fit_node(g, 0, node + vec2(3.0, 0.0));
    mixed += wy.x * dot(wx, vec4(a.x, b.x, c.x, d.x));
    uneven = max(uneven, largest_of(vec4(a.y, b.y, c.y, d.y)));
    low_x += wy.x * row_of_nodes(g, 1, node, wx);
    low_y += wy.x * row_of_nodes(g, 2, node, wx);
    wy = wy.yzwx;
  }
  int high_rows = sheen_degree > 4 ? 4 : 0;
  for (int j = 0; j < high_rows; j++) {
    vec2 node = first + vec2(0.0, float(j));
    high_x += wy.x * row_of_nodes(g, 3, node, wx);
    high_y += wy.x * row_of_nodes(g, 4, node, wx);
    wy = wy.yzwx;
  }
  fit.tilt += quartic(low_x, x.x) + quartic(low_y, x.y) + mixed * x.x * x.y;
  // the polynomials' last Chebyshev terms tell what is left out: a patch of sun in few rays makes slopes' answer uneven
  float last = (abs(low_x.w) + abs(low_y.w)) / 8.0;
  if (sheen_degree > 4) {
    last = (abs(high_x.w) + abs(high_y.w)) / 128.0 + (abs(high_x.z) + abs(high_y.z)) / 64.0;
    vec2 x4 = x * x * x * x;
    fit.tilt += x4.x * quartic(high_x, x.x) + x4.y * quartic(high_y, x.y);
  }
  float allowed = base + fit.room + fit.windows;
  fit.tilt_good = steep < 1.02 && uneven * steep < uneven_slope * allowed && (steep == 0.0 || last < uneven_last * allowed);
  return fit;
}
