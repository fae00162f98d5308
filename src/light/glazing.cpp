#include <cmath>

#include "base/quadrature.h"
#include "kernel/glass.h"
#include "light/light.h"

namespace rakelight {

Glazing make_glazing(Glass kind, double transmittance_at_normal) {
  Glazing g;  // two panes of 4 mm clear float, K L = 0.012 (reference: Duffie & Beckman ch. 5)
  if (kind == Glass::single_pane) g.panes = 1;
  if (kind == Glass::transmittance) {
    // takes the falling off with angle of the double pane, or of one pane where two cannot pass that much
    if (transmittance_at_normal > kernel::glass_transmittance(1, g.panes, g.extinction, 1)) g.panes = 1;
    g.scale = transmittance_at_normal / kernel::glass_transmittance(1, g.panes, g.extinction, 1);
  }
  return g;
}

Glazing make_glazing(const Window& window) {
  Glazing g = make_glazing(window.glazing, window.transmittance);
  g.scale *= window.cover.direct;
  return g;
}

double diffuse_reflectance(const Glazing& g) {
  double sum = 0;
  for (const Node& c : gauss_nodes(32)) sum += c.weight * 2 * c.x * kernel::glass_reflectance(c.x, g.panes, g.extinction);
  return sum;
}

double transmittance(const Glazing& glazing, double incidence) {
  return kernel::glass_transmittance(std::cos(incidence), glazing.panes, glazing.extinction, glazing.scale);
}

}  // namespace rakelight
