// From the least to the most that something takes.
#pragma once

namespace rakelight {

struct Range { double low = 0, high = 0; };
inline Range operator+(Range a, Range b) { return {a.low + b.low, a.high + b.high}; }
inline Range operator*(Range a, Range b) { return {a.low * b.low, a.high * b.high}; }  ///< of ranges that are not negative
inline Range operator*(Range a, double b) { return {a.low * b, a.high * b}; }
/// The range that holds both.
inline Range hull(Range a, Range b) { return {a.low < b.low ? a.low : b.low, a.high > b.high ? a.high : b.high}; }
inline double middle(Range r) { return 0.5 * (r.low + r.high); }

}  // namespace rakelight
