// Gauss–Legendre nodes on [0, 1], and the normal distribution function.
#pragma once
#include <vector>

namespace rakelight {
struct Node { double x, weight; };
/// n-point Gauss–Legendre rule on [0, 1], weights summing to 1, n in 1..64 (Abramowitz & Stegun 25.4.29).
const std::vector<Node>& gauss_nodes(int n);
/// Pr(N(0,1) <= x).
double normal_cdf(double x);
}  // namespace rakelight
