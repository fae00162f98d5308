// The standard observer's filter at one luminance, for many frequencies.
#pragma once
#include <array>

namespace rakelight {

/// What Barten's eye is made of at a luminance and in a field: blur of its optics, degrees, and photon noise, s degrees².
struct BartenEye { double blur = 0, photon_noise = 0, field_deg = 0; };

/// observer_sensitivity at one luminance (cd/m², over 0), what depends on it worked out once.
class ObserverFilter {
 public:
  explicit ObserverFilter(double luminance);
  double operator()(double cycles_per_degree) const;

 private:
  BartenEye eye_, modelfest_, wide_;
};

}  // namespace rakelight
