#include "oracle/measure.h"

#include <atomic>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <set>
#include <stdexcept>
#include <thread>

#include "kernel/field.h"
#include "support/csv.h"

namespace oracle {
namespace {

rakelight::Room room_of(const rakelight::Job& job) {
  rakelight::Diagnostics d;
  auto room = rakelight::make_room(job, d);
  if (!room) throw std::runtime_error("room refused: " + d.to_text("oracle", ""));
  return *room;
}

dvec3 sum_of(const std::vector<dvec3>& all) {
  dvec3 sum(0);
  for (const dvec3& e : all) sum += e;
  return sum;
}

double raking(dvec3 e) { return std::hypot(e.x, e.y) / e.z; }

struct MeanVector { dvec3 value{0}, error{0}; };
MeanVector mean_of(const std::vector<dvec3>& replicates) {
  MeanVector m;
  for (int axis = 0; axis < 3; ++axis) {
    std::vector<double> values;
    for (const dvec3& e : replicates) values.push_back(e[axis]);
    const Mean mean = oracle::mean_of(values);
    m.value[axis] = mean.value;
    m.error[axis] = mean.error;
  }
  return m;
}

std::string place(const Spot& s) { return fmt::format("face {} at {:.3f}, {:.3f} m", s.face, s.at.x, s.at.y); }

}  // namespace

void on_two_threads(std::size_t count, const std::function<void(std::size_t)>& each) {
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < count; i = next++) each(i);
  };
  std::thread other(work);
  work();
  other.join();
}

Program::Program(const Scene& scene, double patch) : job(job_of(scene.plan)), room(room_of(job)) {
  rakelight::LightDetail detail;
  detail.patch = patch;
  std::set<int> faces;
  for (const Patch& p : scene.patches) faces.insert(p.face);
  detail.fields.assign(faces.begin(), faces.end());
  lighting = rakelight::make_lighting(job, room, rakelight::make_basis(job, room, detail), moment_of(scene.plan));
}

std::vector<dvec3> Program::exact(int face, dvec2 p) const {
  std::vector<dvec3> out;
  for (const auto& share : rakelight::light_by_source(lighting, face, p)) out.push_back({share.e.x, share.e.y, share.e.n});
  return out;
}

dvec3 Program::on_grid(int face, dvec2 p) const {
  namespace kernel = rakelight::kernel;
  const rakelight::FieldGrid& g = lighting.fields[static_cast<std::size_t>(face)];
  const double ux = kernel::field_coordinate(p.x, g.origin.x, g.step.x, g.nx);
  const double uy = kernel::field_coordinate(p.y, g.origin.y, g.step.y, g.ny);
  const auto wx = kernel::field_weights(ux, g.nx), wy = kernel::field_weights(uy, g.ny);
  const int x = static_cast<int>(kernel::field_first_tap(ux, g.nx)), y = static_cast<int>(kernel::field_first_tap(uy, g.ny));
  dvec3 e(0);
  for (int b = 0; b < 4; ++b)
    for (int a = 0; a < 4; ++a) {
      const auto& node = g.node[static_cast<std::size_t>((y + b) * g.nx + x + a)].e;
      e += wx[a] * wy[b] * dvec3(node.x, node.y, node.n);
    }
  const std::vector<dvec3> all = exact(face, p);
  const std::size_t windows = room.windows.size();
  e += all[0];
  for (std::size_t i = 1 + 2 * windows; i + 1 < all.size(); ++i) e += all[i];
  return e;
}

Sampled summed(const Spot& spot, const Replicates& replicates) {
  Sampled out;
  out.spot = spot;
  const std::size_t sources = replicates[0].size();
  std::vector<dvec3> totals;
  for (const auto& replicate : replicates) totals.push_back(sum_of(replicate));
  for (std::size_t k = 0; k < sources; ++k) {
    std::vector<dvec3> own;
    for (const auto& replicate : replicates) own.push_back(replicate[k]);
    const MeanVector m = mean_of(own);
    out.source.push_back(m.value);
    out.source_error.push_back(m.error);
  }
  const MeanVector m = mean_of(totals);
  out.total = m.value;
  out.error = m.error;
  out.ratio = raking(out.total);
  // jackknife: the ratio of all replicates but one
  const double n = static_cast<double>(totals.size());
  double squares = 0;
  for (const dvec3& e : totals) squares += std::pow(raking((n * out.total - e) / (n - 1)) - out.ratio, 2);
  out.ratio_error = std::sqrt((n - 1) / n * squares);
  return out;
}

std::vector<Cache> make_caches(const World& world, int count, double spacing, int rays) {
  std::vector<std::optional<Cache>> made(static_cast<std::size_t>(count));
  on_two_threads(made.size(), [&](std::size_t i) { made[i].emplace(world, spacing, rays, 100 + i); });
  std::vector<Cache> out;
  for (auto& cache : made) out.push_back(std::move(*cache));
  return out;
}

std::vector<Sampled> sample(const World& world, const std::vector<Spot>& spots, Counts counts, const std::vector<Cache>* caches) {
  std::vector<Sampled> out(spots.size());
  on_two_threads(spots.size(), [&](std::size_t i) {
    Counts own = counts;
    own.seed = counts.seed * 1000003 + i;
    out[i] = summed(spots[i], light_at(world, spots[i], own, caches));
  });
  return out;
}

std::vector<Sampled> table_of(const Scene& scene) {
  std::vector<Sampled> out;
  const std::vector<std::string> names = source_names(scene.plan);
  std::size_t next = 0;
  for (const auto& row : reference::table("oracle_light.csv")) {
    if (row.text("scene") != scene.name) continue;
    if (next == 0) {
      out.emplace_back();
      out.back().spot = {static_cast<int>(row.number("face")), {row.number("u"), row.number("v")}, 0, dvec2(0)};
    }
    const dvec3 e(row.number("e_u"), row.number("e_v"), row.number("e_n"));
    const dvec3 error(row.number("se_u"), row.number("se_v"), row.number("se_n"));
    const std::string& source = row.text("source");
    if (source == "all") {
      out.back().total = e;
      out.back().error = error;
      out.back().ratio = row.number("ratio");
      out.back().ratio_error = row.number("se_ratio");
      next = 0;
    } else {
      if (next >= names.size() || names[next] != source) throw std::runtime_error("oracle_light.csv: " + source + " out of order in " + scene.name);
      ++next;
      out.back().source.push_back(e);
      out.back().source_error.push_back(error);
    }
  }
  return out;
}

std::vector<Said> ask(const Program& program, const std::vector<Sampled>& points) {
  std::vector<Said> out(points.size());
  on_two_threads(points.size(), [&](std::size_t i) {
    const Spot& s = points[i].spot;
    out[i].source = program.exact(s.face, s.at);
    out[i].exact = sum_of(out[i].source);
    out[i].grid = program.on_grid(s.face, s.at);
  });
  return out;
}

std::vector<Comparison> compare_vectors(const std::vector<Sampled>& points, const std::vector<Said>& said, Way way) {
  std::vector<Comparison> out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Sampled& p = points[i];
    const double scale = glm::length(p.total);
    const dvec3 e = way == Way::grid ? said[i].grid : said[i].exact;
    // when each component lies within t of its standard errors, the difference lies within t of their length
    out.push_back({glm::length(e - p.total) / scale, glm::length(p.error) / scale, place(p.spot)});
  }
  return out;
}

std::vector<Comparison> compare_ratios(const std::vector<Sampled>& points, const std::vector<Said>& said, Way way) {
  std::vector<Comparison> out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Sampled& p = points[i];
    const double scale = std::max(p.ratio, 0.2);
    const dvec3 e = way == Way::grid ? said[i].grid : said[i].exact;
    out.push_back({std::abs(raking(e) - p.ratio) / scale, p.ratio_error / scale, place(p.spot)});
  }
  return out;
}

std::vector<Bias> bias_by_source(const Scene& scene, const std::vector<Sampled>& points, const std::vector<Said>& said) {
  std::vector<Bias> out;
  const auto names = source_names(scene.plan);
  const double n = static_cast<double>(points.size());
  for (std::size_t k = 0; k < names.size(); ++k) {
    Bias b;
    b.source = names[k];
    double variance = 0;
    std::vector<double> sizes;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Sampled& p = points[i];
      const double scale = glm::length(p.total);
      const dvec3 way = p.total / scale;
      b.share += glm::dot(p.source[k], way) / scale / n;
      b.mean += glm::dot(said[i].source[k] - p.source[k], way) / scale / n;
      variance += std::pow(glm::length(way * p.source_error[k]) / scale / n, 2);
      sizes.push_back(glm::length(said[i].source[k] - p.source[k]) / scale);
    }
    b.error = std::sqrt(variance);
    b.p95 = quantile(sizes, 0.95);
    out.push_back(b);
  }
  return out;
}

}  // namespace oracle
