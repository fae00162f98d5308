// How visible a slope is to a view of the year: ln K between a few luminances, by the cubic through four of them (K bends by some
// percent from one to the next), of one view or of all at once.
#include <algorithm>
#include <cmath>

#include "assess/year_parts.h"
#include "base/eight_floats.h"

namespace rakelight {
namespace {

const double per_node = 1 / std::log(luminance_step);

/// Which four nodes a luminance's cubic goes through, at `node` steps of luminance from the first.
std::size_t window_of(double node) { return std::min(static_cast<std::size_t>(std::max(node - 1, 0.0)), VisibilityTable::windows - 1); }

/// Powers 0 … 3 of the cubic through k at −1.5, −0.5, 0.5, 1.5.
std::array<double, 4> powers(const float* k) {
  const double inner = 0.5 * (k[1] + k[2]), outer = 0.5 * (k[0] + k[3]), inner_slope = k[2] - k[1], outer_slope = (k[3] - k[0]) / 3.0;
  const double bend = 0.5 * (outer - inner), third = 0.5 * (outer_slope - inner_slope);
  return {inner - 0.25 * bend, inner_slope - 0.25 * third, bend, third};
}

}  // namespace

double visibility_of(const UnitVisibility& unit, const SlopeAnswer& answer) {
  if (answer.contrast <= 0) return 0;
  // (a float's logarithm and power do: V is known to a thousandth at best)
  const double octaves = std::log(static_cast<float>(answer.luminance / first_luminance));
  // below the filter's range V goes as the square root of luminance, as in sight
  if (octaves < 0) return answer.contrast * std::exp(static_cast<float>(unit.log_unit[0] + 0.5 * octaves));
  const double at = std::min(octaves * per_node, luminance_nodes - 1.0);
  const std::size_t window = window_of(at);
  const std::array<double, 4> p = powers(&unit.log_unit[window]);
  const double t = at - static_cast<double>(window) - 1.5;
  return answer.contrast * std::exp(static_cast<float>(p[0] + t * (p[1] + t * (p[2] + t * p[3]))));
}

VisibilityTable::VisibilityTable(const std::vector<UnitVisibility>& views) : count_(views.size()) {
  const std::size_t count = whole_eights(views.size());
  for (auto& window : power_)
    for (std::vector<float>& power : window) power.assign(count, 0.0f);
  for (std::vector<float>& log : log_exact_) log.assign(count, 0.0f);
  for (std::size_t v = 0; v < views.size(); ++v) {
    const UnitVisibility& unit = views[v];
    for (std::size_t w = 0; w < windows; ++w) {
      const std::array<double, 4> p = powers(&unit.log_unit[w]);
      for (std::size_t i = 0; i < 4; ++i) power_[w][i][v] = static_cast<float>(p[i]);
    }
    for (std::size_t i = 0; i < held_places; ++i) log_exact_[i][v] = unit.log_exact[i];
  }
}

namespace {

/// Of views k … k + 7.
struct Slopes { const float *contrast, *luminance, *smooth; };
struct Held { float first, second; };
/// Windows that some view's luminance may lie in.
struct Windows { std::size_t first, last; };

RAKELIGHT_WIDE void find_all(const std::array<std::array<const float*, 4>, VisibilityTable::windows>& power, const std::array<const float*, held_places>& log_exact, const Slopes& of,
                             const Held& held, const Windows& of_windows, std::size_t count, float* v) {
  static_assert(held_places == 2);
  const EightFloats none{};
  for (std::size_t k = 0; k < count; k += 8) {
    EightFloats contrast, luminance, log, found;
    load(contrast, of.contrast + k);
    load(luminance, of.luminance + k);
    log_of(log, luminance * static_cast<float>(1 / first_luminance));
    constexpr float last = static_cast<float>(luminance_nodes - 1);
    EightFloats node = log * static_cast<float>(per_node);
    node = node < none ? none : node;
    node = node > none + last ? none + last : node;
    EightFloats ln{};
    for (std::size_t w = of_windows.first; w <= of_windows.last; ++w) {
      const EightFloats t = node - (static_cast<float>(w) + 1.5f);
      EightFloats p0, p1, p2, p3;
      load(p0, power[w][0] + k);
      load(p1, power[w][1] + k);
      load(p2, power[w][2] + k);
      load(p3, power[w][3] + k);
      const EightFloats here = p0 + t * (p1 + t * (p2 + t * p3));
      ln = w == of_windows.first ? here : node >= none + static_cast<float>(w + 1) ? here : ln;
    }
    const EightFloats below = 0.5f * log;
    EightFloats first, second;
    load(first, log_exact[0] + k);
    load(second, log_exact[1] + k);
    EightFloats correction = held.first * first + held.second * second;
    if (of.smooth) {
      EightFloats smooth;
      load(smooth, of.smooth + k);
      correction *= smooth;
    }
    exp_of(found, ln + (below < none ? below : none) + correction);
    store(v + k, contrast * found);
  }
}

RAKELIGHT_WIDE void light_all(const ViewRows& rows, std::size_t views, float diffuse, float direct, ViewLight& light) {
  const float *sky = rows.sky.data(), *beam = rows.beam.data();
  const EightFloats none{};
  for (std::size_t k = 0; k < views; k += 8) {
    EightFloats flat, change, veil;
    load(flat, sky + k);
    load(change, sky + views + k);
    load(veil, rows.veil.data() + k);
    flat *= diffuse;
    change *= diffuse;
    if (direct > 0) {
      EightFloats more, more_change;
      load(more, beam + k);
      load(more_change, beam + views + k);
      flat += direct * more;
      change += direct * more_change;
    }
    store(light.flat.data() + k, flat);
    store(light.change.data() + k, change);
    store(light.veil.data() + k, diffuse * (veil < none ? none : veil));
  }
}

RAKELIGHT_WIDE void answer_all(const ViewLight& light, std::size_t views, float gain, float* contrast, float* luminance) {
  const EightFloats none{}, least = none + static_cast<float>(darkest);
  for (std::size_t k = 0; k < views; k += 8) {
    EightFloats flat, change, veil;
    load(flat, light.flat.data() + k);
    load(change, light.change.data() + k);
    load(veil, light.veil.data() + k);
    const EightFloats there = (flat < least ? least : flat) + veil, size = gain * (change < none ? -change : change) / there;
    store(luminance + k, there);
    store(contrast + k, flat > least ? size : none);
  }
}

}  // namespace

void ViewLight::mix(const ViewRows& rows, std::size_t views, double diffuse, double direct) {
  for (std::vector<float>* of : {&flat, &change, &veil}) of->resize(whole_eights(views));
  light_all(rows, views, static_cast<float>(diffuse), static_cast<float>(direct), *this);
}

void ViewLight::answers(double gain, std::vector<float>& contrast, std::vector<float>& luminance) const {
  contrast.resize(flat.size());
  luminance.resize(flat.size());
  answer_all(*this, flat.size(), static_cast<float>(gain), contrast.data(), luminance.data());
}

void VisibilityTable::find(const std::vector<float>& contrast, const std::vector<float>& luminance, const std::vector<float>& smooth, const std::array<double, held_places>& held,
                           std::vector<float>& v) const {
  std::array<std::array<const float*, 4>, windows> power;
  for (std::size_t w = 0; w < windows; ++w)
    for (std::size_t i = 0; i < 4; ++i) power[w][i] = power_[w][i].data();
  v.resize(contrast.size());
  // (views of one room and moment are about as bright)
  const auto [least, most] = std::minmax_element(luminance.begin(), luminance.begin() + static_cast<std::ptrdiff_t>(count_));
  Windows of_windows{0, windows - 1};
  if (count_ > 0) {
    const auto window = [](float l) { return window_of(std::log(static_cast<double>(l) / first_luminance) * per_node); };
    of_windows = {window(*least), window(*most)};
  }
  find_all(power, {log_exact_[0].data(), log_exact_[1].data()}, {contrast.data(), luminance.data(), smooth.empty() ? nullptr : smooth.data()},
           {static_cast<float>(held[0]), static_cast<float>(held[1])}, of_windows, contrast.size(), v.data());
}

}  // namespace rakelight
