// Relief of joints: a joint's section between its samples, how a joint ends, and how joints cross.
//
// A section is sampled at a uniform spacing with heights and slopes; between samples it is the cubic Hermite
// polynomial, so the relief is continuous with its slope, and a break (apex, feather, lap) spreads over one sample.
//
// Crossing rule (two films a, b over the board, presences wa, wb in 0..1):
//     h = a + b − wa wb smooth_min(a, b),     smooth_min(a, b) = a + b − smooth_max(a, b).
// Where only one film is present (wa wb = 0) that is the one film, hollow or proud. Where both are fully present it
// is the smooth maximum: compound lies on compound, never the sum. smooth_max lies above the larger by at most
// FILM_BLEND / 4 (0.05 mm, where both are equal): the lap that the second joint's coats leave on the first.
// The blending is C1; p and 1 − p below lie in 0..1, so
//     |∇h| ≤ |∇a| + |∇b| + |smooth_min| (|∇wa| + |∇wb|),
// with |∇w| ≤ 1.5 (1/ramp + 1/taper) from the two smoothsteps. Symmetric in a and b; several films fold one by one.

const float FILM_BLEND = 0.0002;       // m: heights nearer than this blend
const float PRESENCE_RAMP = 0.04;      // m: a film counts as fully there this far inside its feather
const float LEAST_END_TAPER = 0.04;    // m
const float LEAST_FOOTPRINT = 0.00001; // m: below it the box filter is the point slope (float keeps 4 digits there)

struct HeightSlope {
  float height;
  float slope;
};

// Cubic Hermite polynomial: heights h0, h1 and slopes s0, s1 at two samples `spacing` apart, t in 0..1 between them.
KERNEL HeightSlope hermite_height(float h0, float s0, float h1, float s1, float spacing, float t) {
  float d = h1 - h0;
  float m0 = s0 * spacing;
  float m1 = s1 * spacing;
  float c2 = 3.0 * d - 2.0 * m0 - m1;
  float c3 = m0 + m1 - 2.0 * d;
  HeightSlope r;
  r.height = h0 + t * (m0 + t * (c2 + t * c3));
  r.slope = (m0 + t * (2.0 * c2 + t * (3.0 * c3))) / spacing;
  return r;
}

// Slope averaged over a footprint (m): exact box filter from the heights at its two ends.
KERNEL float filtered_slope(float height_before, float height_after, float footprint, float point_slope) {
  if (footprint < LEAST_FOOTPRINT) {
    return point_slope;
  }
  return (height_after - height_before) / footprint;
}

// 0 below 0, 1 above `width`, cubic between (height), with its derivative (slope ≤ 1.5 / width).
KERNEL HeightSlope ease(float x, float width) {
  float t = clamp(x / width, 0.0, 1.0);
  HeightSlope r;
  r.height = t * t * (3.0 - 2.0 * t);
  r.slope = 6.0 * t * (1.0 - t) / width;
  return r;
}

// A film's height over the board face and its gradient (surface frame), and how far it counts as present.
struct Film {
  float height;
  vec2 slope;
  float presence;
  vec2 presence_slope;
};

KERNEL Film no_film() {
  Film f;
  f.height = 0.0;
  f.slope = vec2(0.0, 0.0);
  f.presence = 0.0;
  f.presence_slope = vec2(0.0, 0.0);
  return f;
}

// Over what length a joint dies at each end: half its width, as a finisher feathers an end like a side, so that the
// end (slope ≤ 1.5 h / taper = 3 h / width) is no steeper than a raised cosine's flank (π h / width).
KERNEL float end_taper(float width, float joint_length) {
  return min(max(0.5 * width, LEAST_END_TAPER), joint_length / 3.0);
}

// One joint's film at offset u across it (unit vector `across`) and s along it from its start (unit vector `along`).
// section: its height and slope at u, already zero outside the section. left, right: feathers (m, left < right).
// cover: 1 where compound lies; 0 for a bare joint, whose shape adds to what it crosses.
KERNEL Film joint_film(HeightSlope section, float u, float s, float left, float right, float joint_length,
                       float cover, vec2 across, vec2 along) {
  float width = right - left;
  float taper = end_taper(width, joint_length);
  HeightSlope rise = ease(s, taper);
  HeightSlope fall = ease(joint_length - s, taper);
  float end = rise.height * fall.height;
  float end_slope = rise.slope * fall.height - rise.height * fall.slope;
  float ramp = min(PRESENCE_RAMP, 0.25 * width);
  HeightSlope enter = ease(u - left, ramp);
  HeightSlope leave = ease(right - u, ramp);
  float inside = cover * enter.height * leave.height;
  float inside_slope = cover * (enter.slope * leave.height - enter.height * leave.slope);
  Film f;
  f.height = section.height * end;
  f.slope = across * (section.slope * end) + along * (section.height * end_slope);
  f.presence = inside * end;
  f.presence_slope = across * (inside_slope * end) + along * (inside * end_slope);
  return f;
}

// A film round a core, such as a fixing's spot (a point), a coated row, a corner or a bead (a segment): its section is a
// function of the distance from the core, `away` with its direction, and it has no ends to die at.
struct Away {
  float distance;
  vec2 direction;  // unit, out of the core; zero on it
};
KERNEL Away away_from(vec2 p, vec2 from, vec2 along, float length_of_core) {
  vec2 d = p - from;
  d = d - along * clamp(dot(d, along), 0.0, length_of_core);
  Away a;
  a.distance = length(d);
  a.direction = a.distance > 1.0e-9 ? d / a.distance : vec2(0.0, 0.0);
  return a;
}
KERNEL Film round_film(HeightSlope section, Away away, float reach, float cover) {
  HeightSlope leave = ease(reach - away.distance, min(PRESENCE_RAMP, 0.25 * reach));
  Film f;
  f.height = section.height;
  f.slope = away.direction * section.slope;
  f.presence = cover * leave.height;
  f.presence_slope = away.direction * (-cover * leave.slope);
  return f;
}

// Two films at one point, by the crossing rule above.
KERNEL Film films_meet(Film a, Film b) {
  float difference = a.height - b.height;
  float closeness = max(0.0, 1.0 - abs(difference) / FILM_BLEND);
  float least = min(a.height, b.height) - 0.25 * FILM_BLEND * closeness * closeness;
  // share of a in the gradient of the smooth minimum: 1 where a is clearly the lower, half where they are equal
  float p = difference < 0.0 ? 1.0 - 0.5 * closeness : 0.5 * closeness;
  vec2 least_slope = a.slope * p + b.slope * (1.0 - p);
  float both = a.presence * b.presence;
  vec2 both_slope = a.presence_slope * b.presence + b.presence_slope * a.presence;
  Film f;
  f.height = a.height + b.height - both * least;
  f.slope = a.slope + b.slope - least_slope * both - both_slope * least;
  f.presence = a.presence + b.presence - both;
  f.presence_slope = a.presence_slope + b.presence_slope - both_slope;
  return f;
}
