// Real values filtered by way of their discrete Fourier transform.
#pragma once
#include <array>
#include <cstddef>
#include <vector>

namespace rakelight {

/// n real values are taken as n/2 complex ones and transformed by Stockham's sorted form in steps of four (Cochran et al. 1967, "What is
/// the fast Fourier transform?", Proc. IEEE 55:1664; Van Loan 1992, section 1.7), real and imaginary parts in arrays of their own. Errors: some units in
/// the last place of the largest value. Not to be shared by threads.
class FourierFilter {
 public:
  /// Precondition: n is a power of two, 32 at least.
  explicit FourierFilter(std::size_t n);
  std::size_t size() const { return 2 * half_; }
  /// values[0 … n): their transform is multiplied by factors[k] at the frequencies ±k/n per sample, k = 0 … n/2.
  void apply(double* values, const double* factors);

  using Parts = std::array<std::vector<double>, 2>;  ///< real, imaginary
  /// Factors e^(−2πi k p / m), k = 1, 2, 3, of one step: p runs over a quarter of its length m.
  struct Turns { std::array<Parts, 3> by; };

 private:
  void filter(const double* factors);
  std::size_t half_;
  std::vector<Turns> turns_;   // of the steps, longest first
  Parts turn_;                 // e^(−2πi k / n), k up to n/4
  Parts now_, next_;
};

}  // namespace rakelight
