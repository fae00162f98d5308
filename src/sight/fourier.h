// Real values filtered by way of their discrete Fourier transform, which is FFTW's.
#pragma once
#include <functional>
#include <vector>

namespace rakelight {

/// The transform of `values` multiplied by factors[k] at the frequencies ±k/n per sample, k = 0 … n/2, n values in all, and transformed back.
/// Errors: some units in the last place of the largest value. May be called by several threads at once.
/// Precondition: n is even; there are n/2 + 1 factors.
void filter_line(std::vector<double>& values, const std::vector<double>& factors);
/// Plans the transforms of n values, which takes two to three milliseconds, so that the first filter_line of that size need not.
void plan_line(int n);

/// The same of a plane of width × height values, row by row. factor(u, v) is asked at frequencies of −1/2 … 1/2 per sample across and up; it has to be
/// the same at (−u, −v), which stands for a real filter. Precondition: width is even.
void filter_plane(std::vector<double>& values, int width, int height, const std::function<double(double u, double v)>& factor);

}  // namespace rakelight
