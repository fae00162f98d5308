// The sheen of a face (shade.glsl's facet_sheen) as a table over the face: at the nodes of a grid its value on the flat
// face and polynomials of the slope. src/draw/sheen_table.h lays it out; passes/sheen_nodes.glsl and sheen_fit.glsl
// fill it.
uniform sampler2D sheen_grids;   // two texels a surface
uniform sampler2D sheen_table;   // the fit: layers side by side, sheen_layer texels apart
uniform int sheen_layer;
uniform int sheen_degree;        // of the polynomials: 4 or 8

struct SheenGrid {
  vec4 place;     // first row, nodes along x, along y, largest slope the fit holds for (0: no relief)
  vec4 measure;   // first node, spacing, m
};
SheenGrid sheen_grid(int surface) {
  SheenGrid g;
  g.place = texelFetch(sheen_grids, ivec2(0, surface), 0);
  g.measure = texelFetch(sheen_grids, ivec2(1, surface), 0);
  return g;
}

struct SheenFit {
  float even;      // of the flat face
  float tilted;    // of the facet
  float lowest;    // tangent of the lowest elevation of a window's glass over the face
  bool good;       // whether the table may stand for the kernels here
};

float bend(vec4 v) { return max(abs(v.x - 2.0 * v.y + v.z), abs(v.y - 2.0 * v.z + v.w)); }

vec4 fit_node(SheenGrid g, int layer, vec2 node) {
  return texelFetch(sheen_table, ivec2(layer * sheen_layer + int(node.x), int(g.place.x + node.y)), 0);
}
float quartic(vec4 c, float x) { return x * (c.x + x * (c.y + x * (c.z + x * c.w))); }

// The flat value by Catmull-Rom (the field's weights), taken where no second difference reaches 6e-3 of the face's
// luminance, `base` and sheen; what tilting adds likewise. Where windows come into sight or drop behind an edge the flat value has kinks: there luminance is off by
// up to a hundredth, alike with relief and without, so that contrast takes no part in it.
SheenFit sheen_between(int surface, vec2 p, vec2 slope, float base) {
  SheenGrid g = sheen_grid(surface);
  float nx = g.place.y;
  float ny = g.place.z;
  vec2 u = vec2(field_coordinate(p.x, g.measure.x, g.measure.z, nx), field_coordinate(p.y, g.measure.y, g.measure.w, ny));
  vec2 first = vec2(field_first_tap(u.x, nx), field_first_tap(u.y, ny));
  vec4 wx = field_weights(u.x, nx);
  vec4 wy = field_weights(u.y, ny);
  vec4 about = vec4(0.0);
  vec4 powers[4] = vec4[4](vec4(0.0), vec4(0.0), vec4(0.0), vec4(0.0));
  vec4 left = vec4(0.0);
  vec4 right = vec4(0.0);
  float most = 0.0;
  float roughest = 0.0;
  int layers = g.place.w > 0.0 ? sheen_degree / 2 : 0;
  for (int j = 0; j < 4; j++) {
    vec4 row = vec4(0.0);
    for (int i = 0; i < 4; i++) {
      vec2 node = first + vec2(float(i), float(j));
      float w = wx[i] * wy[j];
      vec4 value = fit_node(g, 0, node);
      row[i] = value.x;
      roughest = max(roughest, value.w);
      about += w * value;
      int k = 0;
      while (k < layers) {
        powers[k] += w * fit_node(g, k + 1, node);
        k++;
      }
    }
    most = max(most, bend(row));
    left[j] = row.y;
    right[j] = row.z;
  }
  most = max(most, max(bend(left), bend(right)));
  SheenFit fit;
  fit.even = about.x;
  fit.tilted = fit.even;
  fit.lowest = about.y;
  fit.good = most < 6.0e-3 * (base + fit.even);
  float reach = g.place.w;
  if (reach > 0.0) {
    vec2 x = slope / reach;
    float steep = max(abs(x.x), abs(x.y));
    fit.tilted += quartic(powers[0], x.x) + quartic(powers[1], x.y) + about.z * x.x * x.y;
    // the polynomials' last Chebyshev terms tell what is left out: a patch of sun in few rays makes slopes' answer uneven
    float last = (abs(powers[0].w) + abs(powers[1].w)) / 8.0;
    if (sheen_degree > 4) {
      last = (abs(powers[2].w) + abs(powers[3].w)) / 128.0 + (abs(powers[2].z) + abs(powers[3].z)) / 64.0;
      vec2 x4 = x * x * x * x;
      fit.tilted += x4.x * quartic(powers[2], x.x) + x4.y * quartic(powers[3], x.y);
    }
    float allowed = base + fit.even;
    fit.good = fit.good && steep < 1.02 && roughest * steep < 6.0e-3 * allowed && (steep == 0.0 || last < 2.0e-4 * allowed);
  }
  return fit;
}
