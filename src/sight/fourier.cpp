#include "sight/fourier.h"

#include <algorithm>
#include <cassert>
#include <complex>
#include <map>
#include <memory>
#include <mutex>
#include <shared_mutex>
#include <utility>

#include <fftw3.h>

namespace rakelight {
namespace {

struct Free {
  void operator()(void* memory) const { fftw_free(memory); }
};

/// Values and their transform, aligned as plans ask for. Half of a transform is kept: the other half is its conjugate.
struct Room {
  Room(int width, int height)
      : values(fftw_alloc_real(static_cast<std::size_t>(width) * height)), spectrum(fftw_alloc_complex(static_cast<std::size_t>(width / 2 + 1) * height)) {}
  std::unique_ptr<double[], Free> values;
  std::unique_ptr<fftw_complex[], Free> spectrum;
};

/// Plans are made by one thread at a time and then used by any, on rooms of their own.
struct Plans {
  fftw_plan forth = nullptr, back = nullptr;
};
struct Destroy {
  void operator()(fftw_plan plan) const { fftw_destroy_plan(plan); }
};
struct KeptPlans {
  std::unique_ptr<fftw_plan_s, Destroy> forth, back;
};

Plans plans_for(int width, int height) {
  static std::mutex planning;
  static std::shared_mutex listing;
  static std::map<std::pair<int, int>, KeptPlans> made;
  const auto known = [&] {
    const std::shared_lock lock(listing);
    const auto found = made.find({width, height});
    return found == made.end() ? Plans() : Plans{found->second.forth.get(), found->second.back.get()};
  };
  if (const Plans plans = known(); plans.forth) return plans;
  const std::lock_guard lock(planning);
  if (const Plans plans = known(); plans.forth) return plans;
  Plans plans;
  const Room room(width, height);
  // by estimate: a plan by trial would differ from run to run, and so would last places
  plans.forth = fftw_plan_dft_r2c_2d(height, width, room.values.get(), room.spectrum.get(), FFTW_ESTIMATE);
  plans.back = fftw_plan_dft_c2r_2d(height, width, room.spectrum.get(), room.values.get(), FFTW_ESTIMATE);
  assert(plans.forth && plans.back);
  const std::unique_lock list(listing);
  KeptPlans& kept = made[{width, height}];
  kept.forth.reset(plans.forth);
  kept.back.reset(plans.back);
  return plans;
}

/// What a thread keeps for one size of line.
struct Line {
  explicit Line(int n) : plans(plans_for(n, 1)), room(n, 1) {}
  Plans plans;
  Room room;
};

void multiply(fftw_complex& value, double factor) {
  value[0] *= factor;
  value[1] *= factor;
}

}  // namespace

void plan_line(int n) { plans_for(n, 1); }

void filter_line(std::vector<double>& values, const std::vector<double>& factors) {
  const std::size_t n = values.size();
  assert(n % 2 == 0 && factors.size() == n / 2 + 1);
  thread_local std::map<std::size_t, Line> lines;
  const auto& [plans, room] = lines.try_emplace(n, static_cast<int>(n)).first->second;
  std::copy(values.begin(), values.end(), room.values.get());
  fftw_execute_dft_r2c(plans.forth, room.values.get(), room.spectrum.get());
  const double share = 1 / static_cast<double>(n);
  for (std::size_t k = 0; k < factors.size(); ++k) multiply(room.spectrum[k], share * factors[k]);
  fftw_execute_dft_c2r(plans.back, room.spectrum.get(), room.values.get());
  std::copy_n(room.values.get(), n, values.begin());
}

void filter_plane(std::vector<double>& values, int width, int height, const std::function<double(double, double)>& factor) {
  assert(width % 2 == 0 && values.size() == static_cast<std::size_t>(width) * height);
  const Plans plans = plans_for(width, height);
  const Room room(width, height);
  std::copy(values.begin(), values.end(), room.values.get());
  fftw_execute_dft_r2c(plans.forth, room.values.get(), room.spectrum.get());
  const double share = 1 / static_cast<double>(values.size());
  std::size_t at = 0;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x <= width / 2; ++x)
      multiply(room.spectrum[at++], share * factor(static_cast<double>(x) / width, static_cast<double>(2 * y <= height ? y : y - height) / height));
  fftw_execute_dft_c2r(plans.back, room.spectrum.get(), room.values.get());
  std::copy_n(room.values.get(), values.size(), values.begin());
}

}  // namespace rakelight
