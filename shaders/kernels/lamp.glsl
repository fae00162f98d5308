// A lamp's intensity, cd: cos^n of the angle from its aim, nothing behind its opening.
// Flux of the lobe: 2 pi peak / (n + 1).
KERNEL float lamp_intensity(float cos_from_aim, float peak, float exponent) {
  if (cos_from_aim <= 0.0) {
    return 0.0;
  }
  return peak * pow(cos_from_aim, exponent);
}

// Light vector of a small lamp (or one part of a larger one): intensity over distance squared, towards the lamp.
KERNEL vec3 lamp_vector(vec3 to_lamp, vec3 aim, float peak, float exponent) {
  float d2 = dot(to_lamp, to_lamp);
  if (d2 <= 0.0) {
    return vec3(0.0, 0.0, 0.0);
  }
  float d = sqrt(d2);
  return (lamp_intensity(-dot(to_lamp, aim) / d, peak, exponent) / (d2 * d)) * to_lamp;
}
