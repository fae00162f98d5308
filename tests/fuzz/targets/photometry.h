// What holds for every distribution that a reader lets through.
#pragma once
#include <cmath>

#include "fuzz/targets/target.h"
#include "light/photometry.h"

namespace fuzz {

inline void require_distribution(const rakelight::Photometry& p) {
  require(p.vertical_deg.size() >= 2 && !p.horizontal_deg.empty(), "angles");
  require(p.candela.size() == p.vertical_deg.size() * p.horizontal_deg.size(), "a value for each pair of angles");
  for (const double c : p.candela) require(std::isfinite(c) && c >= 0, "finite intensities");
  for (int k = 0; k < 3; ++k) require(std::isfinite(p.opening[k]) && p.opening[k] >= 0, "a finite opening");
  for (const double gamma : {0.0, 0.3, 1.5, 3.0})
    for (const double c : {-7.0, 0.0, 1.0, 4.0}) require(std::isfinite(p.intensity(gamma, c)) && p.intensity(gamma, c) >= 0, "an intensity everywhere");
  require(std::isfinite(rakelight::tilt_factor(p, 0.4)), "a finite tilt factor");
  // flux and table of large files, and of types A and B, are got in the same way and take long
  if (p.candela.size() > 200 || p.web != rakelight::Photometry::Web::c) return;
  const double flux = rakelight::luminous_flux(p);
  require(std::isfinite(flux) && flux >= 0, "a finite flux");
  for (const rakelight::dvec4& row : rakelight::distribution_rows(p))
    require(std::isfinite(row.x) && std::isfinite(row.y) && std::isfinite(row.z) && std::isfinite(row.w), "a finite table");
}

}  // namespace fuzz
