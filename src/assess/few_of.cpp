#include "assess/few_of.h"

#include <Eigen/Dense>
#include <cmath>

namespace rakelight {

FewOf few_of(const std::vector<std::vector<double>>& fields, const std::vector<double>& weight, double tolerance) {
  FewOf few;
  const Eigen::Index count = static_cast<Eigen::Index>(fields.size()), length = static_cast<Eigen::Index>(weight.size());
  few.share.resize(fields.size());
  if (count == 0) return few;
  Eigen::MatrixXd weighted(length, count);
  for (Eigen::Index i = 0; i < count; ++i)
    for (Eigen::Index k = 0; k < length; ++k) weighted(k, i) = std::sqrt(weight[k]) * fields[i][k];
  Eigen::VectorXd missed = weighted.colwise().squaredNorm();
  const double least = tolerance * tolerance * missed.maxCoeff();
  std::vector<Eigen::VectorXd> columns;
  for (Eigen::Index worst = 0; missed.maxCoeff(&worst) > least && static_cast<Eigen::Index>(few.chosen.size()) < count;) {
    Eigen::VectorXd column = weighted.transpose() * weighted.col(worst);
    for (const auto& before : columns) column -= before(worst) * before;
    column /= std::sqrt(missed(worst));
    missed -= column.cwiseAbs2();
    // rounding must not bring a field back
    missed(worst) = 0;
    few.chosen.push_back(static_cast<int>(worst));
    columns.push_back(std::move(column));
  }
  const Eigen::Index picked = static_cast<Eigen::Index>(few.chosen.size());
  if (picked == 0) return few;
  Eigen::MatrixXd basis(length, picked);
  for (Eigen::Index i = 0; i < picked; ++i) basis.col(i) = weighted.col(few.chosen[i]);
  const Eigen::MatrixXd share = (basis.transpose() * basis).ldlt().solve(basis.transpose() * weighted);
  for (Eigen::Index i = 0; i < count; ++i) few.share[i].assign(share.col(i).data(), share.col(i).data() + picked);
  return few;
}

}  // namespace rakelight
