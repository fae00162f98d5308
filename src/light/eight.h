// Products of a row with eight columns at once, the inner loop of the bounce of many rooms.
#pragma once
#include <cstddef>

namespace rakelight {

/// sum[k] = Σ row[j] x[8 j + k], j < count, k < 8: in float over blocks of 64, in double over blocks. By the processor's widest
/// instructions of those that this knows; two kinds of processor then differ in the last digits of a float.
void times_eight(const float* row, const float* x, std::size_t count, double* sum);

}  // namespace rakelight
