// Small maths that keeps roundings from becoming NaNs. Compiled by the driver in float and by C++ in double.

// sqrt that takes a slightly negative argument (a rounding) as zero.
KERNEL float safe_sqrt(float x) { return sqrt(max(x, 0.0)); }

// A cosine kept inside [-1, 1].
KERNEL float clamp_cosine(float x) { return clamp(x, -1.0, 1.0); }

KERNEL float square(float x) { return x * x; }
