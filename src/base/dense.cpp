#include "base/dense.h"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>
#include <cassert>

namespace rakelight {

using ByRows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

std::vector<double> least_squares(int rows, int columns, const std::vector<double>& a, int sides, const std::vector<double>& b) {
  assert(a.size() == static_cast<std::size_t>(rows * columns) && b.size() == static_cast<std::size_t>(rows * sides));
  const Eigen::MatrixXd left = Eigen::Map<const ByRows>(a.data(), rows, columns), right = Eigen::Map<const ByRows>(b.data(), rows, sides);
  const Eigen::MatrixXd x = left.colPivHouseholderQr().solve(right);
  std::vector<double> out;
  for (int i = 0; i < columns; ++i)
    for (int k = 0; k < sides; ++k) out.push_back(x(i, k));
  return out;
}

CommonAxes common_axes(int n, const std::vector<double>& a, const std::vector<double>& b) {
  assert(a.size() == static_cast<std::size_t>(n * n) && b.size() == a.size());
  const Eigen::Map<const Eigen::MatrixXd> of_a(a.data(), n, n), of_b(b.data(), n, n);
  const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> axes(of_a, of_b);
  const Eigen::VectorXd& value = axes.eigenvalues();
  const Eigen::MatrixXd& vector = axes.eigenvectors();
  return {{value.data(), value.data() + n}, {vector.data(), vector.data() + n * n}};
}

}  // namespace rakelight
