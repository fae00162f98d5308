// How the program's figures are judged against sampled ones.
//
// A point's estimate is the mean of m independent replicates, so (estimate − truth) / standard error follows Student's t
// with m − 1 degrees of freedom. All comparisons of one run form one family of K: each is made at 1 − (1 − alpha)^(1/K)
// (Šidák 1967), so that a program without any error beyond its bound has at most the chance alpha = 0.001 of one false
// alarm anywhere in the family. (Šidák holds for independent comparisons and, for two-sided ones of jointly normal
// errors, is on the safe side when they are not.)
//
// A point is *proved* over its bound b when |program − estimate| − t s > b. The criterion is the 95th percentile: a set of
// N points passes when at most 5 % of them are proved over. A test that cannot tell proves nothing, so it must also be
// sharp: at 95 % of its points t s ≤ b, which would prove any error of twice the bound.
#pragma once
#include <string>
#include <vector>

namespace oracle {

inline constexpr double family_alpha = 0.001;

/// Mean and standard error of independent replicates.
struct Mean { double value = 0, error = 0; };
Mean mean_of(const std::vector<double>& replicates);

/// Two-sided limit of |t| for one of `family` comparisons at `family_alpha`, `replicates` − 1 degrees of freedom.
double t_limit(int family, int replicates);

/// One comparison, all relative to the same scale: |program − estimate|, its standard error.
struct Comparison { double deviation = 0, error = 0; std::string where; };

struct Verdict {
  int count = 0, proved_over = 0;
  double p50 = 0, p95 = 0, most = 0;   ///< of the deviations, the sampling's noise in them
  double noise_p95 = 0;                ///< of t s
  double model_p95 = 0;                ///< of √(d² − s²), 0 under s: d² holds the estimate's own variance s² in the mean
  std::string worst;
  bool holds() const { return proved_over <= count / 20; }
  bool sharp(double bound) const { return noise_p95 <= bound; }
};
Verdict judge(const std::vector<Comparison>& points, double bound, double t);

/// Value below which `share` of the values lie.
double quantile(std::vector<double> values, double share);

}  // namespace oracle
