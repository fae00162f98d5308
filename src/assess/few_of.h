// A few of many like fields, of which all others are mixtures.
#pragma once
#include <vector>

namespace rakelight {

struct FewOf {
  std::vector<int> chosen;                   ///< indices of fields
  std::vector<std::vector<double>> share;    ///< [field][chosen]: field ≈ sum of share × chosen field
};
/// Picks the field that those picked before miss by most until none is missed by more than `tolerance` of the largest, both as
/// root of the weighted sum of squares (Cholesky with pivots: Harbrecht, Peters & Schneider 2012); shares by least squares.
FewOf few_of(const std::vector<std::vector<double>>& fields, const std::vector<double>& weight, double tolerance);

}  // namespace rakelight
