#include "oracle/statistics.h"

#include <gsl/gsl_cdf.h>

#include <algorithm>
#include <cmath>

namespace oracle {

Mean mean_of(const std::vector<double>& replicates) {
  const double n = static_cast<double>(replicates.size());
  double sum = 0, squares = 0;
  for (const double x : replicates) sum += x;
  const double mean = sum / n;
  for (const double x : replicates) squares += (x - mean) * (x - mean);
  return {mean, std::sqrt(squares / (n * (n - 1)))};
}

double t_limit(int family, int replicates) {
  const double alpha = -std::expm1(std::log1p(-family_alpha) / family);
  return gsl_cdf_tdist_Qinv(0.5 * alpha, replicates - 1);
}

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(std::ceil(share * static_cast<double>(values.size() - 1)))];
}

Verdict judge(const std::vector<Comparison>& points, double bound, double t) {
  Verdict v;
  std::vector<double> deviations, noise, model;
  for (const Comparison& c : points) {
    ++v.count;
    if (c.deviation - t * c.error > bound) ++v.proved_over;
    if (c.deviation > v.most) {
      v.most = c.deviation;
      v.worst = c.where;
    }
    deviations.push_back(c.deviation);
    noise.push_back(t * c.error);
    model.push_back(std::sqrt(std::max(0.0, c.deviation * c.deviation - c.error * c.error)));
  }
  v.p50 = quantile(deviations, 0.5);
  v.p95 = quantile(deviations, 0.95);
  v.noise_p95 = quantile(noise, 0.95);
  v.model_p95 = quantile(model, 0.95);
  return v;
}

}  // namespace oracle
