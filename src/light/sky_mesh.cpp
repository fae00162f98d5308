#include "light/sky_mesh.h"

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "kernel/sky.h"

namespace rakelight {
namespace {

constexpr int azimuths = 96, altitudes = 18;
constexpr std::array<double, altitudes + 1> altitude_deg{0, 1.5, 3.2, 5.2, 7.5, 10, 12.8, 16, 19.6, 23.6, 28, 33, 38.5, 45, 52, 60, 69, 79, 90};

int node_at(int row, int column) { return row == altitudes ? sky_nodes - 1 : row * azimuths + column % azimuths; }

}  // namespace

Hats sky_hats(dvec3 w) {
  const double altitude = std::asin(std::clamp(w.z, 0.0, 1.0)) * deg_per_rad;
  int row = 0;
  while (row + 1 < altitudes && altitude >= altitude_deg[row + 1]) ++row;
  const double t = (altitude - altitude_deg[row]) / (altitude_deg[row + 1] - altitude_deg[row]);
  double turn = std::atan2(w.y, w.x) / (2 * pi) * azimuths;
  if (turn < 0) turn += azimuths;
  const int column = std::min(static_cast<int>(turn), azimuths - 1);
  const double s = turn - column;
  Hats hats;
  hats.node = {node_at(row, column), node_at(row, column + 1), node_at(row + 1, column), node_at(row + 1, column + 1)};
  hats.weight = {(1 - t) * (1 - s), (1 - t) * s, t * (1 - s), t * s};
  return hats;
}

std::vector<double> outside_weights(const SkyState& sky) {
  std::vector<double> value(outside_nodes, 0.0);
  if (sky.dark) return value;
  value[skyline_node] = sky.skyline_luminance;
  value[ground_node] = sky.ground_luminance;
  kernel::Outside open = outside_of(sky);
  open.skyline_altitude = 0;

  struct Sample { Hats hats; double solid, luminance; };
  static const double at[3] = {0.1127016653792583, 0.5, 0.8872983346207417}, weight[3] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  std::vector<Sample> samples;
  samples.reserve(altitudes * azimuths * 9);
  std::vector<double> mass(sky_nodes, 0.0);
  for (int row = 0; row < altitudes; ++row)
    for (int column = 0; column < azimuths; ++column)
      for (int j = 0; j < 3; ++j)
        for (int i = 0; i < 3; ++i) {
          const double height = (altitude_deg[row + 1] - altitude_deg[row]) * rad_per_deg;
          const double beta = altitude_deg[row] * rad_per_deg + at[j] * height;
          const double alpha = 2 * pi * (column + at[i]) / azimuths;
          const dvec3 w(std::cos(alpha) * std::cos(beta), std::sin(alpha) * std::cos(beta), std::sin(beta));
          Sample s;
          s.hats = sky_hats(w);
          s.solid = weight[i] * weight[j] * height * (2 * pi / azimuths) * std::cos(beta);
          s.luminance = kernel::outside_luminance(open, w);
          for (int k = 0; k < 4; ++k) mass[s.hats.node[k]] += s.hats.weight[k] * s.solid;
          samples.push_back(s);
        }
  // each round adds the hat-weighted mean of what interpolation still misses; it converges to the least-squares fit
  for (int round = 0; round < 8; ++round) {
    std::vector<double> missing(sky_nodes, 0.0);
    for (const Sample& s : samples) {
      double rest = s.luminance;
      for (int k = 0; k < 4; ++k) rest -= s.hats.weight[k] * value[s.hats.node[k]];
      for (int k = 0; k < 4; ++k) missing[s.hats.node[k]] += s.hats.weight[k] * s.solid * rest;
    }
    for (int k = 0; k < sky_nodes; ++k) value[k] += missing[k] / mass[k];
  }
  return value;
}

}  // namespace rakelight
