#include "sight/fourier.h"

#include <cassert>
#include <cmath>
#include <utility>

#include "base/units.h"
#include "base/wide.h"

namespace rakelight {
namespace {

FourierFilter::Parts turns_of(std::size_t count, double step) {
  FourierFilter::Parts all;
  for (std::size_t p = 0; p < count; ++p) {
    all[0].push_back(std::cos(step * static_cast<double>(p)));
    all[1].push_back(-std::sin(step * static_cast<double>(p)));
  }
  return all;
}

/// Transforms of four values each, then turned.
struct Butterflies {
  std::array<Four, 4> re, im;
  RAKELIGHT_ALWAYS_INLINE void combine() {
    const Four ar = re[0] + re[2], ai = im[0] + im[2], br = re[0] - re[2], bi = im[0] - im[2];
    const Four cr = re[1] + re[3], ci = im[1] + im[3], dr = re[1] - re[3], di = im[1] - im[3];
    re[0] = ar + cr;
    im[0] = ai + ci;
    re[1] = br + di;
    im[1] = bi - dr;
    re[2] = ar - cr;
    im[2] = ai - ci;
    re[3] = br - di;
    im[3] = bi + dr;
  }
  RAKELIGHT_ALWAYS_INLINE void turn(std::size_t k, const Four& c, const Four& s) {
    const Four r = re[k] * c - im[k] * s;
    im[k] = re[k] * s + im[k] * c;
    re[k] = r;
  }
};

/// One step over sequences of `length` values, `stride` of them side by side, from (re, im) to (to_re, to_im).
RAKELIGHT_WIDE void step(const FourierFilter::Turns& turns, std::size_t length, std::size_t stride, const double* re, const double* im, double* to_re, double* to_im) {
  const std::size_t quarter = length / 4, apart = stride * quarter;
  if (stride == 1) {
    for (std::size_t p = 0; p < quarter; p += four) {
      Butterflies b;
      for (std::size_t k = 0; k < 4; ++k) {
        load(b.re[k], re + p + k * apart);
        load(b.im[k], im + p + k * apart);
      }
      b.combine();
      for (std::size_t k = 1; k < 4; ++k) {
        Four c, s;
        load(c, turns.by[k - 1][0].data() + p);
        load(s, turns.by[k - 1][1].data() + p);
        b.turn(k, c, s);
      }
      for (std::size_t i = 0; i < four; ++i)
        for (std::size_t k = 0; k < 4; ++k) {
          to_re[4 * (p + i) + k] = b.re[k][i];
          to_im[4 * (p + i) + k] = b.im[k][i];
        }
    }
    return;
  }
  for (std::size_t p = 0; p < quarter; ++p)
    for (std::size_t q = 0; q < stride; q += four) {
      Butterflies b;
      for (std::size_t k = 0; k < 4; ++k) {
        load(b.re[k], re + q + stride * p + k * apart);
        load(b.im[k], im + q + stride * p + k * apart);
      }
      b.combine();
      const Four zero{};
      for (std::size_t k = 1; k < 4; ++k) b.turn(k, zero + turns.by[k - 1][0][p], zero + turns.by[k - 1][1][p]);
      for (std::size_t k = 0; k < 4; ++k) {
        store(to_re + q + stride * (4 * p + k), b.re[k]);
        store(to_im + q + stride * (4 * p + k), b.im[k]);
      }
    }
}

/// The last step where two values are left of each sequence.
void last_step(std::size_t stride, const double* re, const double* im, double* to_re, double* to_im) {
  for (std::size_t q = 0; q < stride; ++q) {
    to_re[q] = re[q] + re[q + stride];
    to_im[q] = im[q] + im[q + stride];
    to_re[q + stride] = re[q] - re[q + stride];
    to_im[q + stride] = im[q] - im[q + stride];
  }
}

/// The transform of now's values, there again; `next` is overwritten.
void transform(const std::vector<FourierFilter::Turns>& turns, FourierFilter::Parts& now, FourierFilter::Parts& next) {
  std::size_t length = now[0].size(), stride = 1;
  for (const auto& turn : turns) {
    step(turn, length, stride, now[0].data(), now[1].data(), next[0].data(), next[1].data());
    std::swap(now, next);
    length /= 4;
    stride *= 4;
  }
  if (length == 1) return;
  last_step(stride, now[0].data(), now[1].data(), next[0].data(), next[1].data());
  std::swap(now, next);
}

}  // namespace

FourierFilter::FourierFilter(std::size_t n) : half_(n / 2), turn_(turns_of(n / 4 + 1, 2 * pi / static_cast<double>(n))) {
  assert(n >= 32 && (n & (n - 1)) == 0);
  for (std::size_t length = half_; length >= 4; length /= 4) {
    Turns& turns = turns_.emplace_back();
    for (std::size_t k = 1; k < 4; ++k) turns.by[k - 1] = turns_of(length / 4, 2 * pi * static_cast<double>(k) / static_cast<double>(length));
  }
  for (Parts* parts : {&now_, &next_})
    for (auto& part : *parts) part.resize(half_);
}

void FourierFilter::apply(double* values, const double* factors) {
  for (std::size_t i = 0; i < half_; ++i) {
    now_[0][i] = values[2 * i];
    now_[1][i] = values[2 * i + 1];
  }
  transform(turns_, now_, next_);
  filter(factors);
  // backwards: the same with real and imaginary parts in each other's place
  std::swap(now_[0], now_[1]);
  transform(turns_, now_, next_);
  const double share = 1.0 / static_cast<double>(half_);
  for (std::size_t i = 0; i < half_; ++i) {
    values[2 * i] = share * now_[1][i];
    values[2 * i + 1] = share * now_[0][i];
  }
}

/// With Z the transform of the complex values, E = (Z_k + Z*_(m−k)) / 2 is that of the values at even places and O = (Z_k − Z*_(m−k)) / 2i that of
/// those at odd ones, m = n/2; the values' own is E + w O at k and (E − w O)* at m − k, w = e^(−2πi k / n). Factors f and g of these two make of E
/// (f + g)/2 E + (f − g)/2 w O, and of O (f + g)/2 O + (f − g)/2 w* E.
void FourierFilter::filter(const double* factors) {
  std::vector<double>&re = now_[0], &im = now_[1];
  const std::size_t m = half_;
  const double low = factors[0] * (re[0] + im[0]), high = factors[m] * (re[0] - im[0]);
  re[0] = 0.5 * (low + high);
  im[0] = 0.5 * (low - high);
  for (std::size_t k = 1; k <= m / 2; ++k) {
    const std::size_t other = m - k;
    const double sum = 0.5 * (factors[k] + factors[other]), difference = 0.5 * (factors[k] - factors[other]);
    const double er = 0.5 * (re[k] + re[other]), ei = 0.5 * (im[k] - im[other]), odd_r = 0.5 * (im[k] + im[other]), odd_i = 0.5 * (re[other] - re[k]);
    const double c = turn_[0][k], s = turn_[1][k];
    const double even_r = sum * er + difference * (c * odd_r - s * odd_i), even_i = sum * ei + difference * (c * odd_i + s * odd_r);
    const double new_r = sum * odd_r + difference * (c * er + s * ei), new_i = sum * odd_i + difference * (c * ei - s * er);
    re[k] = even_r - new_i;
    im[k] = even_i + new_r;
    re[other] = even_r + new_i;
    im[other] = new_r - even_i;
  }
}

}  // namespace rakelight
