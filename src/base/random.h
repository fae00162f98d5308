// Our own generator, so that the same seed gives the same numbers on every machine.
#pragma once
#include <cstdint>

namespace rakelight {

/// PCG32 (O'Neill 2014, XSH-RR 64/32).
class Random {
 public:
  explicit Random(std::uint64_t seed, std::uint64_t stream = 1) : increment_((stream << 1u) | 1u) {
    next();
    state_ += seed;
    next();
  }
  std::uint32_t next() {
    std::uint64_t old = state_;
    state_ = old * 6364136223846793005ULL + increment_;
    auto shifted = static_cast<std::uint32_t>(((old >> 18u) ^ old) >> 27u);
    auto turn = static_cast<std::uint32_t>(old >> 59u);
    return (shifted >> turn) | (shifted << ((32u - turn) & 31u));
  }
  /// Uniform in [0, 1), 53 bits.
  double uniform() {
    std::uint64_t hi = next(), lo = next();
    return static_cast<double>(((hi << 32u) | lo) >> 11u) * 0x1.0p-53;
  }
  double uniform(double from, double to) { return from + (to - from) * uniform(); }
  /// Standard normal (Box and Muller 1958).
  double normal();

 private:
  std::uint64_t state_ = 0, increment_;
};

}  // namespace rakelight
