// A height over a line across a joint, with its slope carried along exactly: every operation below knows the
// derivative of what it does, so slopes are never differenced from heights.
#pragma once
#include <vector>

namespace rakelight {

/// Samples at offsets first + i step (m): heights (m) and slopes. Zero outside.
struct HeightCurve {
  double first = 0, step = 0;
  std::vector<double> height, slope;

  HeightCurve() = default;
  /// A flat curve from `from` to at least `to`.
  HeightCurve(double from, double to, double spacing);
  int size() const { return static_cast<int>(height.size()); }
  double offset(int i) const { return first + step * i; }
  /// Value of the cubic Hermite interpolant; 0 outside.
  double height_at(double u) const;
  double slope_at(double u) const;
  /// Largest |slope| over the samples.
  double steepest() const;
  /// Area between the curve and zero, m² (of the interpolant).
  double area() const;
};

/// h + factor · other, sample by sample; same sampling.
void add(HeightCurve& h, const HeightCurve& other, double factor = 1);
/// Adds a Gaussian ridge of height `ridge` and full width at half height `width`, centred at `at`, cut off two widths
/// from there, where 1.5e-5 of it is left.
void add_ridge(HeightCurve& h, double at, double ridge, double width);
/// Adds a plateau of height `rise` over [from, to] whose edges are smoothsteps `edge` wide, inside the plateau.
void add_plateau(HeightCurve& h, double from, double to, double rise, double edge);

}  // namespace rakelight
