// Small dense problems of linear algebra, solved by Eigen behind one door: whoever includes this does not wait for its templates.
#pragma once
#include <vector>

namespace rakelight {

/// The x that brings a x nearest to b, column by column of b (Householder QR with column pivoting). `a`: rows × columns, row by
/// row; `b`: rows × sides, row by row; returned: columns × sides, row by row.
std::vector<double> least_squares(int rows, int columns, const std::vector<double>& a, int sides, const std::vector<double>& b);

/// The axes in which two symmetric forms are diagonal at once: a v = value b v with v' b v = 1, values ascending. `a` and `b`:
/// n × n, b positive definite; `vector`: axis k at [k n, (k + 1) n).
struct CommonAxes { std::vector<double> value, vector; };
CommonAxes common_axes(int n, const std::vector<double>& a, const std::vector<double>& b);

}  // namespace rakelight
