// Luminance of what lies outside the glass in a direction: ISO 15469:2004 (CIE S 011/E:2003) sky above a plain
// skyline above plain ground. The sun's disc is not part of it (kernels/sun.glsl).
// All directions are unit vectors in plan axes, z up, from the eye outwards. Needs nothing included before it.

struct Outside {
  vec3 sun;                  // to the sun; on the horizon when the sun is below it
  float a;                   // gradation
  float b;
  float c;                   // indicatrix
  float d;
  float e;
  float scale;               // cd/m2: L_z / (f(Z_s) phi(0))
  float skyline_altitude;    // rad, the same all round; 0 = open horizon
  float skyline_luminance;   // cd/m2
  float ground_luminance;    // cd/m2
};

// Gradation phi = 1 + a exp(b / cos Z), clause 3 of the standard; its limit 1 at and below the horizon (b < 0).
KERNEL float iso_gradation(float cos_zenith, float a, float b) {
  if (cos_zenith <= 0.0) return 1.0;
  return 1.0 + a * exp(b / cos_zenith);
}

// Indicatrix f = 1 + c [exp(d chi) - exp(d pi/2)] + e cos^2 chi, chi the angle to the sun's centre, rad.
KERNEL float iso_indicatrix(float chi, float c, float d, float e) {
  float cos_chi = cos(chi);
  return 1.0 + c * (exp(d * chi) - exp(d * 1.5707963267948966)) + e * cos_chi * cos_chi;
}

// Angle between two unit vectors. By atan, because acos loses half the digits of a float near 0.
KERNEL float angle_between(vec3 u, vec3 v) { return atan(length(cross(u, v)), dot(u, v)); }

// phi(Z) f(chi): the sky's luminance up to the factor `scale`, for w above the horizon.
KERNEL float sky_relative(Outside o, vec3 w) {
  return iso_gradation(w.z, o.a, o.b) * iso_indicatrix(angle_between(w, o.sun), o.c, o.d, o.e);
}

// Luminance, cd/m2: ground below the horizon, then the skyline, then the sky.
KERNEL float outside_luminance(Outside o, vec3 w) {
  if (w.z <= 0.0) return o.ground_luminance;
  if (w.z < sin(o.skyline_altitude)) return o.skyline_luminance;
  return o.scale * sky_relative(o, w);
}
