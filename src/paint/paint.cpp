#include "paint/paint.h"

#include <array>
#include <cmath>
#include <map>
#include <mutex>

#include "base/dense.h"
#include "base/quadrature.h"
#include "base/units.h"
#include "joint/data.h"
#include "kernel/sheen.h"
#include "paint/coat.h"

namespace rakelight {
namespace {

struct Entry { PaintClass paint; std::vector<std::string> aliases; };

const std::vector<Entry>& classes() {
  static const std::vector<Entry> all = [] {
    const std::string file = "paints/classes.toml";
    const TomlNode tree = embedded_tree(file);
    Diagnostics diagnostics;
    const DataTable root(tree, diagnostics);
    std::vector<Entry> entries;
    for (const DataTable& t : root.subs("paint")) {
      entries.push_back({{t.text("id"), t.text("title"), t.text("source"), t.number("gloss60"), t.number("gloss85")}, {}});
      if (t.has("aliases")) entries.back().aliases = t.list_of_texts("aliases");
      t.finish();
    }
    if (entries.empty()) root.wrong("paint", "no paint is named", "[[paint]]");
    root.finish();
    require_sound(file, diagnostics);
    return entries;
  }();
  return all;
}

// Albedos of the two lobes in one direction, weighted as the kernel's Coat says: a, b, c.
dvec3 lobe_albedos(double mu, double alpha60, double alpha85, double index) {
  // a grid over the unit disc of Heitz's mapping: Gauss in the radius, equal steps in the turn (periodic, so exact
  // to the harmonics it holds; half a turn, as the lobe is even about the plane of view)
  constexpr int radii = 16, turns = 16;
  const dvec3 eye{std::sqrt(std::max(0.0, 1 - mu * mu)), 0, mu};
  dvec3 sum{0};
  for (const Node& r : gauss_nodes(radii))
    for (int t = 0; t < turns; ++t) {
      const double turn = pi * (t + 0.5) / turns, weight = 2 * r.x * r.weight / turns;
      const auto sample = [&](double alpha) {
        const dvec3 h = kernel::visible_normal(eye, alpha, r.x * std::cos(turn), r.x * std::sin(turn));
        const dvec3 light = 2 * glm::dot(eye, h) * h - eye;
        if (light.z <= 0) return glm::dvec2(0, 0);
        const double l = kernel::smith_lambda(mu, alpha);
        return glm::dvec2(kernel::fresnel(glm::dot(eye, h), index) * (1 + l) / (1 + l + kernel::smith_lambda(light.z, alpha)),
                          kernel::grazing_share(light.z));
      };
      const glm::dvec2 s60 = sample(alpha60), s85 = sample(alpha85);
      sum += weight * dvec3(s60.x * (1 - s60.y), s85.x, s85.x * s85.y);
    }
  return sum;
}

}  // namespace

std::optional<PaintClass> paint_class(const std::string& id) {
  for (const Entry& e : classes()) {
    if (e.paint.id == id) return e.paint;
    for (const std::string& alias : e.aliases)
      if (alias == id) return e.paint;
  }
  return std::nullopt;
}

std::vector<std::string> paint_ids() {
  std::vector<std::string> ids;
  for (const Entry& e : classes()) ids.push_back(e.paint.id);
  return ids;
}

CoatAlbedo coat_albedo(double alpha60, double alpha85, double index) {
  // Chebyshev nodes keep the least-squares polynomial from swinging at the ends
  constexpr int nodes = 24;
  std::vector<double> powers, values;
  for (int i = 0; i < nodes; ++i) {
    const double x = 0.5 * (1 - std::cos(pi * (i + 0.5) / nodes)), mu = std::max(1 - x, 0.01);
    const dvec3 albedo = lobe_albedos(mu, alpha60, alpha85, index);
    for (int k = 0; k < 8; ++k) powers.push_back(std::pow(1 - mu, k));
    for (int k = 0; k < 3; ++k) values.push_back(albedo[k]);
  }
  const std::vector<double> c = least_squares(nodes, 8, powers, 3, values);
  CoatAlbedo albedo;
  for (std::size_t k = 0; k < 8; ++k) {
    albedo.a60[k] = c[3 * k];
    albedo.b85[k] = c[3 * k + 1];
    albedo.c85[k] = c[3 * k + 2];
  }
  // mean over directions of even light: 2 ∫ E(μ) μ dμ, each direction with its own blend
  const auto value = [](const std::array<double, 8>& p, double x) {
    double sum = 0;
    for (std::size_t k = 8; k-- > 0;) sum = sum * x + p[k];
    return sum;
  };
  for (const Node& n : gauss_nodes(32)) {
    const double g = kernel::grazing_share(n.x), x = 1 - n.x;
    albedo.mean += 2 * n.weight * n.x *
                   ((1 - g) * (value(albedo.a60, x) + value(albedo.c85, x)) + g * value(albedo.b85, x));
  }
  return albedo;
}

double base_reflectance(double reflectance, const CoatAlbedo& albedo) {
  return std::max(0.0, (reflectance - albedo.mean) / (1 - albedo.mean));
}

Paint make_coat(const std::string& name, double gloss60, double gloss85, double reflectance) {
  // a meter's simulation takes milliseconds, and a program asks for the same few paints again and again
  struct Coat { double alpha60, alpha85; CoatAlbedo albedo; };
  constexpr std::size_t most = 256;
  static std::mutex guard;
  static std::map<std::array<double, 4>, Coat> made;
  Paint paint;
  paint.name = name;
  paint.reflectance = reflectance;
  const std::array<double, 4> key{gloss60, gloss85, reflectance, paint.index};
  const auto put = [&](const Coat& coat) {
    paint.alpha60 = coat.alpha60;
    paint.alpha85 = coat.alpha85;
    paint.albedo = coat.albedo;
    return paint;
  };
  {
    const std::lock_guard lock(guard);
    if (const auto known = made.find(key); known != made.end()) return put(known->second);
  }
  Coat coat{roughness_from_gloss(gloss60, 60, reflectance, paint.index), roughness_from_gloss(gloss85, 85, reflectance, paint.index), {}};
  coat.albedo = coat_albedo(coat.alpha60, coat.alpha85, paint.index);
  const std::lock_guard lock(guard);
  if (made.size() < most) made.emplace(key, coat);
  return put(coat);
}

}  // namespace rakelight
