// Places of nodes along one side of a face: closer together near its ends, where the next face is near and light turns
// quickly. With d the distance to the nearer end the spacing is least + growth d, at most `most`; u counts nodes from the
// first end on, so that spacing = dx/du. Continuous with its first derivative. Needs nothing included before it.

struct NodeSpread {
  float least;     // m, at the ends
  float growth;    // of the spacing per metre; > 0
  float most;      // m
};

// Nodes from an end to the distance d from it.
KERNEL float nodes_from_end(NodeSpread s, float d) {
  float even = (s.most - s.least) / s.growth;
  if (d < even) return log(1.0 + s.growth * d / s.least) / s.growth;
  return log(s.most / s.least) / s.growth + (d - even) / s.most;
}

// The distance from an end after u nodes.
KERNEL float distance_of_nodes(NodeSpread s, float u) {
  float even = log(s.most / s.least) / s.growth;
  if (u < even) return s.least * (exp(s.growth * u) - 1.0) / s.growth;
  return (s.most - s.least) / s.growth + (u - even) * s.most;
}

// From a place x on a side of a length to u, and back.
KERNEL float node_of_place(NodeSpread s, float x, float side) {
  if (x < 0.5 * side) return nodes_from_end(s, max(x, 0.0));
  return 2.0 * nodes_from_end(s, 0.5 * side) - nodes_from_end(s, max(side - x, 0.0));
}
KERNEL float place_of_node(NodeSpread s, float u, float side) {
  float half_way = nodes_from_end(s, 0.5 * side);
  if (u < half_way) return distance_of_nodes(s, max(u, 0.0));
  return side - distance_of_nodes(s, max(2.0 * half_way - u, 0.0));
}
