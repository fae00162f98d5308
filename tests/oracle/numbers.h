// The numbers that paths are chosen by.
#pragma once
#include <gsl/gsl_qrng.h>

#include <cstdint>
#include <memory>
#include <vector>

namespace oracle {

inline constexpr unsigned dimensions = 40;

/// SplitMix64 (Steele, Lea & Flood 2014).
struct Split {
  std::uint64_t state;
  double uniform() {
    std::uint64_t z = state += 0x9e3779b97f4a7c15ULL;
    z = (z ^ (z >> 30u)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27u)) * 0x94d049bb133111ebULL;
    return static_cast<double>((z ^ (z >> 31u)) >> 11u) * 0x1.0p-53;
  }
};

/// Sobol's points [point][dimension], the origin first.
inline const std::vector<double>& sobol(int count) {
  thread_local std::vector<double> points;
  if (static_cast<int>(points.size() / dimensions) < count) {
    points.assign(static_cast<std::size_t>(count) * dimensions, 0.0);
    const std::unique_ptr<gsl_qrng, void (*)(gsl_qrng*)> q(gsl_qrng_alloc(gsl_qrng_sobol, dimensions), gsl_qrng_free);
    for (int i = 1; i < count; ++i) gsl_qrng_get(q.get(), &points[static_cast<std::size_t>(i) * dimensions]);
  }
  return points;
}

/// The numbers of one path: the rotated point, and plain random ones past its last dimension.
struct Numbers {
  const double* point;
  const double* turn;
  Split* rest;
  unsigned next_dimension = 0;
  double next() {
    if (next_dimension >= dimensions) return rest->uniform();
    const double x = point[next_dimension] + turn[next_dimension];
    ++next_dimension;
    return x < 1 ? x : x - 1;
  }
};

inline std::vector<double> random_turn(Split& seeds) {
  std::vector<double> turn(dimensions);
  for (double& x : turn) x = seeds.uniform();
  return turn;
}

}  // namespace oracle
