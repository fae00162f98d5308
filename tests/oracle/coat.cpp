// The coat of oracle/tracer.h, from its published formulas.
#include <algorithm>
#include <cmath>

#include "oracle/tracer.h"

namespace oracle {
namespace {

double fresnel(double cosine, double index) {
  const double refracted = std::sqrt(1 - (1 - cosine * cosine) / (index * index));
  const double across = (cosine - index * refracted) / (cosine + index * refracted);
  const double along = (index * cosine - refracted) / (index * cosine + refracted);
  return 0.5 * (across * across + along * along);
}

double lambda(double cosine, double alpha) {
  const double tangent2 = (1 - cosine * cosine) / (cosine * cosine);
  return 0.5 * (std::sqrt(1 + alpha * alpha * tangent2) - 1);
}

double normals(double cosine, double alpha) {
  const double c2 = cosine * cosine, k = c2 * (alpha * alpha - 1) + 1;
  return alpha * alpha / (pi * k * k);
}

constexpr int steps = 400;

}  // namespace

Coat::Coat(double reflectance, double alpha, double index) : base_(0), alpha_(alpha), index_(index) {
  // albedo by the square root of the cosine, because it changes fastest at grazing: 128 x 64 normals each
  constexpr int rings = 128, turns = 64;
  for (int i = 0; i <= steps; ++i) {
    const double root = std::max(0.02, static_cast<double>(i) / steps), mu = root * root;
    const dvec3 eye(std::sqrt(1 - mu * mu), 0, mu);
    double sum = 0;
    for (int r = 0; r < rings; ++r)
      for (int t = 0; t < turns; ++t) {
        const dvec3 light = sample(eye, (r + 0.5) / rings, (t + 0.5) / turns);
        if (light.z > 0) sum += lobe(light, eye) * light.z / density(light, eye) / (rings * turns);
      }
    albedo_.push_back(std::min(1.0, sum));
  }
  constexpr int n = 2000;
  for (int i = 0; i < n; ++i) {
    const double mu = (i + 0.5) / n;
    mean_ += 2 * mu * albedo(mu) / n;
  }
  base_ = (reflectance - mean_) / (1 - mean_);
}

double Coat::albedo(double cosine) const {
  const double at = std::sqrt(std::clamp(cosine, 0.0, 1.0)) * steps;
  const std::size_t i = std::min(static_cast<std::size_t>(at), static_cast<std::size_t>(steps - 1));
  return albedo_[i] + (at - static_cast<double>(i)) * (albedo_[i + 1] - albedo_[i]);
}

double Coat::lobe(dvec3 light, dvec3 eye) const {
  if (light.z <= 0 || eye.z <= 0) return 0;
  const dvec3 h = glm::normalize(light + eye);
  const double seen = 1 / (1 + lambda(light.z, alpha_) + lambda(eye.z, alpha_));
  return fresnel(glm::dot(h, eye), index_) * normals(h.z, alpha_) * seen / (4 * light.z * eye.z);
}

double Coat::reflection(dvec3 light, dvec3 eye) const {
  if (light.z <= 0 || eye.z <= 0) return 0;
  return lobe(light, eye) + base_ / pi * (1 - albedo(light.z)) * (1 - albedo(eye.z)) / (1 - mean_);
}

dvec3 Coat::sample(dvec3 eye, double s, double t) const {
  const double c = std::sqrt((1 - s) / (1 + (alpha_ * alpha_ - 1) * s)), r = std::sqrt(std::max(0.0, 1 - c * c)), phi = 2 * pi * t;
  const dvec3 h(r * std::cos(phi), r * std::sin(phi), c);
  return 2 * glm::dot(eye, h) * h - eye;
}

double Coat::density(dvec3 light, dvec3 eye) const {
  const dvec3 sum = light + eye;
  const double length = glm::length(sum);
  if (length < 1e-12) return 0;
  const dvec3 h = sum / length;
  const double towards = glm::dot(h, eye);
  return h.z <= 0 || towards <= 0 ? 0 : normals(h.z, alpha_) * h.z / (4 * towards);
}

}  // namespace oracle
