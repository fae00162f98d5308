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

// Points that stand for a lamp's opening, a disc: one from ten times its size on; nearer, a rule that is exact for
// polynomials of degree 5 (seven points, Stroud 1971, S2 5-1), and under twice its size one of degree 9: five rings at
// Gauss nodes in r squared, which gives equal weight to equal areas, of ten points each.
KERNEL int lamp_part_count(float distance_to, float size) {
  if (distance_to >= 10.0 * size) return 1;
  return distance_to >= 2.0 * size ? 7 : 50;
}

struct LampPart {
  vec3 at;
  float share;  // of the intensity; all shares sum to 1
};

KERNEL LampPart lamp_part(vec3 at, vec3 aim, float size, int parts, int k) {
  LampPart part;
  part.at = at;
  part.share = parts == 1 ? 1.0 : 0.25;
  if (parts == 1 || (parts == 7 && k == 0)) return part;
  float reach = 0.816496580927726;
  float turn = float(k - 1) * 1.0471975511965976;
  part.share = 0.125;
  if (parts == 50) {
    int ring = k / 10;
    float r2 = 0.5;
    float weight = 0.2844444444444444;
    if (ring == 0 || ring == 4) {
      r2 = ring == 0 ? 0.04691007703066800 : 0.9530899229693320;
      weight = 0.1184634425280945;
    }
    if (ring == 1 || ring == 3) {
      r2 = ring == 1 ? 0.2307653449471585 : 0.7692346550528415;
      weight = 0.2393143352496832;
    }
    reach = sqrt(r2);
    turn = (float(k - 10 * ring) + 0.5) * 0.6283185307179586;
    part.share = 0.1 * weight;
  }
  vec3 helper = vec3(0.0, 0.0, 1.0);
  if (abs(aim.z) >= 0.9) helper = vec3(1.0, 0.0, 0.0);
  vec3 x = normalize(cross(helper, aim));
  vec3 y = cross(aim, x);
  part.at = at + 0.5 * size * reach * (cos(turn) * x + sin(turn) * y);
  return part;
}
