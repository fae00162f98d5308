// The standard spatial observer: filter, fixation aperture, pooling (Watson & Ahumada 2005, J. Vision 5(9):6, one-
// and two-dimensional forms), as docs/reference/optics.md section 8 sets it out:
//   V(x0) = [σ √(2π/β) ∫ |r(x)|^β exp(−β (x − x0)² / 2σ²) dx]^(1/β),  r = contrast filtered by H(u; L),
// the largest over fixation places x0. The filter is applied through a discrete Fourier transform on a grid of
// grid_step degrees, padded with uniform field so that what wraps round stays below 1 % of V: past a compact
// pattern the response falls as 1/x² (H rises as |u| from DC), so a field of twice the pattern plus 8° is enough.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <shared_mutex>
#include <utility>

#include "base/units.h"
#include "base/wide_power.h"
#include "sight/filter.h"
#include "sight/fourier.h"
#include "sight/sight.h"
#include "sight/sums.h"

namespace rakelight {
namespace {

constexpr double aperture_sd = 0.6273;  // degrees
constexpr double grid_step = 1.0 / 64;  // degrees
constexpr double padding = 8;           // degrees of uniform field on top of twice the pattern

// The filter is tabulated at half octaves of luminance and blended between them in log L: H goes as a slow power
// of L, so the blend is within 0.1 % of the filter itself.
constexpr double least_luminance = 0.05, most_luminance = 20000;
constexpr double nodes_per_octave = 2;

using Filter = std::vector<double>;

// H at the frequencies 0 … n/2 of a grid of n samples, freed of the grid cells' own box blur. `known`: that of another grid at the
// same luminance, if there is one; sizes are powers of two, so that one of two grids has all frequencies of the other.
Filter make_filter(int n, double step, double luminance, const Filter* known) {
  Filter filter(static_cast<std::size_t>(n / 2 + 1));
  const ObserverFilter sensitivity(luminance);
  const int others = known ? static_cast<int>(known->size()) - 1 : 0;
  for (int k = 1; k <= n / 2; ++k) {
    if (others > 0 && k * others % (n / 2) == 0) {
      filter[static_cast<std::size_t>(k)] = (*known)[static_cast<std::size_t>(k * others / (n / 2))];
      continue;
    }
    const double cycles_per_sample = static_cast<double>(k) / n;
    const double box = std::sin(pi * cycles_per_sample) / (pi * cycles_per_sample);
    filter[static_cast<std::size_t>(k)] = sensitivity(cycles_per_sample / step) / box;
  }
  return filter;
}

class FilterTable {
 public:
  std::shared_ptr<const Filter> find(int n, int node) {
    const std::pair key(n, node);
    std::shared_ptr<const Filter> known;
    {
      std::shared_lock lock(mutex_);
      if (auto it = filters_.find(key); it != filters_.end()) return it->second;
      for (const auto& [other, filter] : filters_)
        if (other.second == node && (!known || filter->size() > known->size())) known = filter;
    }
    auto made = std::make_shared<const Filter>(make_filter(n, grid_step, std::exp2(node / nodes_per_octave), known.get()));
    std::unique_lock lock(mutex_);
    return filters_.try_emplace(key, std::move(made)).first->second;
  }

 private:
  std::shared_mutex mutex_;
  std::map<std::pair<int, int>, std::shared_ptr<const Filter>> filters_;
};

struct BlendedFilter {
  std::shared_ptr<const Filter> lower, upper;
  double share = 0;  // of the upper one
  double operator[](std::size_t k) const { return (1 - share) * (*lower)[k] + share * (*upper)[k]; }
};

BlendedFilter filter_for(int n, double luminance) {
  static FilterTable table;
  const double place = nodes_per_octave * std::log2(std::clamp(luminance, least_luminance, most_luminance));
  const int node = static_cast<int>(std::floor(place));
  return {table.find(n, node), table.find(n, node + 1), place - node};
}

int power_of_two_from(double least) {
  int n = 256;
  while (n < least) n *= 2;
  return n;
}

// Cell averages on the grid from cell averages on the caller's step, by their running integral.
std::vector<double> resampled(const std::vector<double>& contrast, double step, std::size_t cells) {
  std::vector<double> out(cells);
  const double ratio = grid_step / step;
  const auto n = contrast.size();
  double integral = 0, previous = 0;  // of the cells before `cell`; at the last edge
  std::size_t cell = 0;
  for (std::size_t i = 0; i < cells; ++i) {
    const double edge = std::min(static_cast<double>(i + 1) * ratio, static_cast<double>(n));
    while (cell < n && static_cast<double>(cell + 1) <= edge) integral += contrast[cell++];
    const double now = integral + (cell < n ? (edge - static_cast<double>(cell)) * contrast[cell] : 0.0);
    out[i] = (now - previous) / ratio;
    previous = now;
  }
  return out;
}

// The largest of `places` sums of weight[i] power[place + i]; power has four more than these ask for.
RAKELIGHT_WIDE double largest_sum(const double* weight, std::size_t count, const double* power, std::size_t places) {
  double best = 0;
  for (std::size_t place = 0; place < places; place += four) {
    Four sum{}, there;
    for (std::size_t i = 0; i < count; ++i) {
      load(there, power + place + i);
      sum += weight[i] * there;
    }
    for (std::size_t k = 0; k < four && place + k < places; ++k) best = std::max(best, sum[k]);
  }
  return best;
}

// Of every four samples the sum of (|response| / peak)^pooling, those up to `floor` left out; power has room for them all.
RAKELIGHT_WIDE void pool_fours(const double* response, std::size_t fours, double peak, double floor, double* power) {
  const Four zero{}, one = zero + 1.0;
  for (std::size_t i = 0; i < fours; ++i) {
    Four r, raised;
    load(r, response + four * i);
    r = r < zero ? -r : r;
    const auto counts = r > floor;
    if (!(counts[0] | counts[1] | counts[2] | counts[3])) continue;
    power_of(raised, counts ? r / peak : one, pooling);
    raised = counts ? raised : zero;
    power[i] = (raised[0] + raised[1]) + (raised[2] + raised[3]);
  }
}

// Largest pooled value over fixation places. The integral is summed over bins of 4 samples (1/16°) and fixations
// are tried every 1/16°: the weight's sd is 0.40°, so binning and the missed top each cost under 0.2 %.
double pooled_maximum(const std::vector<double>& response, std::size_t count) {
  constexpr std::size_t bin = 4;
  constexpr double bin_width = bin * grid_step;
  constexpr int reach = 24;  // 1.5° or 3.7 sd
  static const auto weight = [] {
    std::array<double, 2 * reach + 1> w{};
    for (int i = -reach; i <= reach; ++i) {
      const double x = i * bin_width / aperture_sd;
      w[static_cast<std::size_t>(i + reach)] = std::exp(-0.5 * pooling * x * x);
    }
    return w;
  }();
  double peak = 0;
  for (std::size_t i = 0; i < count; ++i) peak = std::max(peak, std::abs(response[i]));
  if (peak == 0) return 0;
  const double floor = 2e-3 * peak;  // its share of the pool is under 1e-6
  const int bins = static_cast<int>((count + bin - 1) / bin);
  std::vector<double> power(static_cast<std::size_t>(bins + 2 * reach + four), 0.0);
  static_assert(bin == four);
  const std::size_t whole = count / bin;
  pool_fours(response.data(), whole, peak, floor, power.data() + reach);
  for (std::size_t i = whole * bin; i < count; ++i) {
    const double r = std::abs(response[i]);
    if (r > floor) power[whole + reach] += std::pow(r / peak, pooling);
  }
  const double best = largest_sum(weight.data(), weight.size(), power.data(), static_cast<std::size_t>(bins));
  return peak * std::pow(aperture_sd * std::sqrt(2.0 * pi / pooling) * grid_step * best, 1.0 / pooling);
}

// How many times grain raises the threshold at a frequency.
double masking(const std::vector<Grain>& grain, const EquivalentGrain& own, double u) {
  double spectrum = 0;
  for (const Grain& g : grain) {
    const double x2 = u * g.pitch_deg * u * g.pitch_deg;
    spectrum += g.strength * x2 * std::exp(-x2);
  }
  return spectrum > 0 ? std::sqrt(1 + spectrum / own(u)) : 1;
}

// The aperture's weight over the joint's imaged length, against an endless joint's.
double length_factor(double length_deg) {
  return std::pow(std::erf(length_deg * std::sqrt(pooling) / (2.0 * std::sqrt(2.0) * aperture_sd)), 1.0 / pooling);
}

}  // namespace

namespace {

/// What the filter makes of a pattern, with the margins where eyes fixate off it.
std::vector<double> response_to(const std::vector<double>& contrast, double degrees_per_sample, double luminance, const std::vector<Grain>& grain) {
  assert(degrees_per_sample > 0 && luminance > 0);
  const double span = degrees_per_sample * static_cast<double>(contrast.size());
  const auto cells = static_cast<std::size_t>(std::ceil(span / grid_step - 1e-9));
  const int n = power_of_two_from((2 * span + padding) / grid_step);
  // eyes fixate up to 2° off the pattern; the response is laid out so that these margins come first
  const auto margin = static_cast<std::size_t>(2.0 / grid_step);

  thread_local std::vector<double> values, factors;
  values.assign(static_cast<std::size_t>(n), 0.0);
  const auto pattern = resampled(contrast, degrees_per_sample, cells);
  std::copy(pattern.begin(), pattern.end(), values.begin() + static_cast<std::ptrdiff_t>(margin));
  const auto filter = filter_for(n, luminance);
  factors.resize(static_cast<std::size_t>(n / 2 + 1));
  for (std::size_t k = 0; k < factors.size(); ++k) factors[k] = filter[k];
  if (!grain.empty()) {
    const EquivalentGrain own(std::clamp(luminance, least_luminance, most_luminance));
    for (std::size_t k = 1; k < factors.size(); ++k) factors[k] /= masking(grain, own, static_cast<double>(k) / (n * grid_step));
  }
  filter_line(values, factors);
  return {values.begin(), values.begin() + static_cast<std::ptrdiff_t>(cells + 2 * margin)};
}

/// What every pooled response is multiplied by: dim light, and the joint's length.
double pool_scale(double luminance, double length_deg) {
  return std::sqrt(std::min(1.0, luminance / least_luminance)) * (length_deg > 0 ? length_factor(length_deg) : 1);
}

}  // namespace

double visibility(const std::vector<double>& contrast, double degrees_per_sample, double luminance, double length_deg,
                  const std::vector<Grain>& grain) {
  const std::vector<double> response = response_to(contrast, degrees_per_sample, luminance, grain);
  return pooled_maximum(response, response.size()) * pool_scale(luminance, length_deg);
}

void get_ready_to_see() {
  for (int n = 1024; n <= 16384; n *= 2) plan_line(n);
}

PatternSums::PatternSums(const std::vector<std::vector<double>>& parts, double sample_deg, double luminance, double length_deg,
                         const std::vector<Grain>& grain) : scale_(pool_scale(luminance, length_deg)) {
  for (const auto& part : parts) response_.push_back(response_to(part, sample_deg, luminance, grain));
}

double PatternSums::visibility(const std::vector<double>& shares) const {
  std::vector<double> sum(response_.front().size(), 0.0);
  for (std::size_t i = 0; i < shares.size(); ++i)
    if (shares[i] != 0)
      for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += shares[i] * response_[i][k];
  return pooled_maximum(sum, sum.size()) * scale_;
}

double visibility_2d(const std::vector<double>& contrast, int width, int height, double degrees_per_sample,
                     double luminance) {
  assert(width > 0 && height > 0 && contrast.size() == static_cast<std::size_t>(width) * height);
  const double step = degrees_per_sample;
  const int nx = power_of_two_from(width + 2.0 / step), ny = power_of_two_from(height + 2.0 / step);
  std::vector<double> field(static_cast<std::size_t>(nx) * ny);
  for (int y = 0; y < height; ++y)
    std::copy_n(contrast.begin() + static_cast<std::ptrdiff_t>(y) * width, width, field.begin() + static_cast<std::ptrdiff_t>(y) * nx);

  // Watson & Ahumada 2005: less sensitivity to oblique gratings above 3.48 cycles/degree
  const auto oblique = [](double u, double v, double f) {
    if (f <= 3.48) return 1.0;
    const double twice = 2.0 * u * v / (f * f);  // sin 2θ
    return 1.0 + std::expm1(-(f - 3.48) / 13.57) * twice * twice;
  };
  const ObserverFilter sensitivity(luminance);
  filter_plane(field, nx, ny, [&](double across, double up) {
    const double u = across / step, v = up / step, f = std::hypot(u, v);
    return sensitivity(f) * oblique(u, v, f);
  });

  double peak = 0;
  for (const double r : field) peak = std::max(peak, std::abs(r));
  if (peak == 0) return 0;
  for (double& r : field) r = std::pow(std::abs(r) / peak, pooling);
  // pooling over every fixation place is a convolution with a Gaussian, here by its transform
  const double sd = aperture_sd / std::sqrt(pooling);
  filter_plane(field, nx, ny, [&](double across, double up) {
    const double u = across / step, v = up / step;
    return 2.0 * pi * sd * sd * std::exp(-2.0 * pi * pi * sd * sd * (u * u + v * v));
  });
  const double best = *std::max_element(field.begin(), field.end());
  return peak * std::pow(best, 1.0 / pooling);
}

LeastContrast least_contrast(double luminance, double width, double distance) {
  assert(luminance > 0 && width > 0 && distance > 0);
  const double half = std::atan(0.5 * width / distance);
  const double span_deg = 2.0 * half * deg_per_rad;
  const int cells = std::max(256, static_cast<int>(std::ceil(2.0 * span_deg / grid_step)));
  std::vector<double> cycle(static_cast<std::size_t>(cells));
  for (int i = 0; i < cells; ++i) {
    const double theta = half * (2.0 * (i + 0.5) / cells - 1.0);
    cycle[static_cast<std::size_t>(i)] = std::sin(2.0 * pi * distance * std::tan(theta) / width);
  }
  const double threshold = 1.0 / visibility(cycle, span_deg / cells, luminance);
  return {1.0 / span_deg, threshold <= 1 ? threshold : std::numeric_limits<double>::infinity()};
}

}  // namespace rakelight
