// Visible transmittance and reflectance of clear glazing against the angle of incidence: Fresnel's equations at
// every face, Bouguer absorption in every pane, all inter-reflections summed, each polarisation on its own and
// the two averaged last (Duffie & Beckman, Solar Engineering of Thermal Processes, ch. 5). Index 1.526.
// Coatings are not modelled; a stated normal transmittance is met by `scale`. Needs nothing included before it.

struct Pane {
  float transmittance;
  float reflectance;
};

// One pane for one polarisation: r a face's reflectance, t the share left after one crossing.
KERNEL Pane pane_of(float r, float t) {
  Pane p;
  p.transmittance = t * (1.0 - r) * (1.0 - r) / (1.0 - r * r * t * t);
  p.reflectance = r * (1.0 + t * p.transmittance);
  return p;
}

// `panes` equal panes, 1.0 or 2.0, one behind the other, for one polarisation.
KERNEL Pane panes_of(float r, float t, float panes) {
  Pane one = pane_of(r, t);
  if (panes < 1.5) return one;
  float between = 1.0 / (1.0 - one.reflectance * one.reflectance);
  Pane two;
  two.transmittance = one.transmittance * one.transmittance * between;
  two.reflectance = one.reflectance * (1.0 + one.transmittance * one.transmittance * between);
  return two;
}

// Both polarisations averaged. cos_incidence in (0, 1]; extinction = K L, the absorption path of one pane at
// normal incidence (0 = lossless; 4 mm clear float about 0.012).
KERNEL Pane glazing(float cos_incidence, float panes, float extinction) {
  float index = 1.526;
  float c = min(cos_incidence, 1.0);
  float inside = sqrt(1.0 - (1.0 - c * c) / (index * index));
  float s = (c - index * inside) / (c + index * inside);
  float p = (index * c - inside) / (index * c + inside);
  float t = exp(-extinction / inside);
  Pane across = panes_of(s * s, t, panes);
  Pane along = panes_of(p * p, t, panes);
  Pane mean;
  mean.transmittance = 0.5 * (across.transmittance + along.transmittance);
  mean.reflectance = 0.5 * (across.reflectance + along.reflectance);
  return mean;
}

// Share of light passing, times `scale`; 0 at and beyond grazing.
KERNEL float glass_transmittance(float cos_incidence, float panes, float extinction, float scale) {
  // below this a face reflects all but 1e-6 of it, and 1 - r^2 would be rounding in float
  if (cos_incidence <= 1.0e-6) return 0.0;
  return scale * glazing(cos_incidence, panes, extinction).transmittance;
}

// Share of light thrown back; 1 at and beyond grazing.
KERNEL float glass_reflectance(float cos_incidence, float panes, float extinction) {
  if (cos_incidence <= 1.0e-6) return 1.0;
  return glazing(cos_incidence, panes, extinction).reflectance;
}
