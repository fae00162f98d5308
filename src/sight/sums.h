// Visibility of many patterns that are sums of a few parts: what the eye makes of a part is worked out once.
#pragma once
#include <vector>

#include "sight/sight.h"

namespace rakelight {

class PatternSums {
 public:
  /// Parts of one length, otherwise as visibility() takes them.
  PatternSums(const std::vector<std::vector<double>>& parts, double sample_deg, double luminance, double length_deg = 0,
              const std::vector<Grain>& grain = {});
  /// V of the sum of shares[i] × part i, as visibility() has it.
  double visibility(const std::vector<double>& shares) const;

 private:
  std::vector<std::vector<double>> response_;
  double scale_ = 1;
};

}  // namespace rakelight
