// Interpolation of field grids by cubic convolution (Keys 1981, a = -1/2, which is Catmull-Rom): third order,
// continuous with its first derivative.
//
// Index rule, one axis of n >= 4 nodes at origin + i * step: with u = (x - origin) / step clamped to [0, n - 1],
//   cell i = min(floor(u), n - 2), t = u - i;
//   inner cells (1 <= i <= n - 3) take nodes i-1, i, i+1, i+2 with cubic_weights(t).
//   The first cell (i = 0) lacks node -1, for which Keys' ghost 3 v0 - 3 v1 + v2 stands; the last (i = n - 2) lacks
//   node n, ghost 3 v[n-1] - 3 v[n-2] + v[n-3]. Border cells thus take nodes 0..3 or n-4..n-1 instead.
// In all cells the first node taken is field_first_tap, the weights of the four nodes from there field_weights.

// Weights of nodes i-1, i, i+1, i+2 at t in [0, 1] between nodes i and i+1.
KERNEL vec4 cubic_weights(float t) {
  float t2 = t * t;
  float t3 = t2 * t;
  return vec4(-0.5 * t + t2 - 0.5 * t3, 1.0 - 2.5 * t2 + 1.5 * t3, 0.5 * t + 2.0 * t2 - 1.5 * t3,
              -0.5 * t2 + 0.5 * t3);
}

// Their derivatives by t.
KERNEL vec4 cubic_slopes(float t) {
  float t2 = t * t;
  return vec4(-0.5 + 2.0 * t - 1.5 * t2, -5.0 * t + 4.5 * t2, 0.5 + 4.0 * t - 4.5 * t2, -t + 1.5 * t2);
}

// Moves the weight of a missing ghost node onto the four nodes that a border cell takes.
KERNEL vec4 fold_ghost(vec4 w, float cell, float nodes) {
  if (cell < 0.5) {
    return vec4(w.y + 3.0 * w.x, w.z - 3.0 * w.x, w.w + w.x, 0.0);
  }
  if (cell > nodes - 2.5) {
    return vec4(0.0, w.x + w.w, w.y - 3.0 * w.w, w.z + 3.0 * w.w);
  }
  return w;
}

// Node coordinate u = (x - origin) / step, kept on the grid.
KERNEL float field_coordinate(float x, float origin, float spacing, float nodes) {
  return clamp((x - origin) / spacing, 0.0, nodes - 1.0);
}

KERNEL float field_cell(float u, float nodes) { return min(floor(u), nodes - 2.0); }

// Index of the first of the four nodes taken, as a float.
KERNEL float field_first_tap(float u, float nodes) { return clamp(field_cell(u, nodes) - 1.0, 0.0, nodes - 4.0); }

// Weights of the four nodes from field_first_tap on.
KERNEL vec4 field_weights(float u, float nodes) {
  float cell = field_cell(u, nodes);
  return fold_ghost(cubic_weights(u - cell), cell, nodes);
}

// Derivatives of field_weights by u; divide by the spacing for derivatives by length.
KERNEL vec4 field_slopes(float u, float nodes) {
  float cell = field_cell(u, nodes);
  return fold_ghost(cubic_slopes(u - cell), cell, nodes);
}
