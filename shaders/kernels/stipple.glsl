// Roller stipple, brush marks and textures: a random relief with the spectrum that src/paint/paint.h's Stipple has, as a sum of waves. Whoever
// includes this file provides the hook
//   vec4 stipple_wave(int i): cycles per pitch along x and y, phase (cycles), 0
// of stipple_waves() of them, and includes maths.glsl before it. Their frequencies are spread as the spectrum is, so that all have one height.
// Stipples on one face differ in pitch, and waves of different length know nothing of each other.

KERNEL int stipple_waves() { return 48; }

// How much of a wave is left after the mean over a length along which it goes through so many cycles.
KERNEL float left_of_wave(float cycles) {
  float x = 3.141592653589793 * cycles;
  return abs(x) < 1.0e-3 ? 1.0 : sin(x) / x;
}

// Slope at p (m, a face's frame), averaged over the parallelogram about p with the sides a and b (m). rms: standard deviation of heights, m; pitch, m.
KERNEL vec2 stipple_slope(vec2 p, vec2 a, vec2 b, float rms, float pitch) {
  vec2 sum = vec2(0.0, 0.0);
  if (rms <= 0.0) return sum;
  int i = 0;
  do {
    vec4 wave = stipple_wave(i);
    vec2 k = vec2(wave.x, wave.y) / pitch;
    float cycles = dot(k, p) + wave.z;
    float height = left_of_wave(dot(k, a)) * left_of_wave(dot(k, b));
    sum -= height * sin(6.283185307179586 * (cycles - floor(cycles))) * k;
    i++;
  } while (i < stipple_waves());
  return 6.283185307179586 * rms * sqrt(2.0 / float(stipple_waves())) * sum;
}
