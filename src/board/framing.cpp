#include "board/framing.h"

#include <algorithm>

#include "board/rules.h"

namespace rakelight {
namespace {

constexpr double usual_spacing = 0.600;  // m where the job names no framing: the widest usual under board of 12.5 mm (common practice)
constexpr double at_the_end = 0.024;     // m: a member nearer than this to the last is the last

}  // namespace

Framing framing_of(const Job& job, const Room& room, int surface, Run run) {
  const Surface& s = room.surfaces[surface];
  const FramingSpec& spec = job.framing;
  Framing f;
  f.known = spec.at.known();
  f.dabs = s.spec >= 0 && *job.surfaces[s.spec].fixing == FixingSpec::dabs;
  const bool wall = s.kind == Surface::Kind::wall;
  f.upright = wall ? !f.known || *spec.direction == "upright" : run == Run::horizontal;
  f.spacing = f.known ? *spec.spacing : usual_spacing;
  if (f.dabs) return f;
  const double lo = f.upright ? s.box.lo.x : s.box.lo.y, hi = f.upright ? s.box.hi.x : s.box.hi.y;
  f.at.push_back(lo);
  double next = lo + (f.known && spec.first.given ? *spec.first : f.spacing);
  if (next <= lo + at_the_end) next += f.spacing;
  const double first = next;
  for (int k = 1; next < hi - at_the_end; next = first + k++ * f.spacing) f.at.push_back(next);
  f.at.push_back(hi);
  return f;
}

std::vector<double> end_places(const Job& job, const Room& room, int surface, Run run) {
  const SurfaceSpec& spec = job.surfaces[room.surfaces[surface].spec];
  const Framing f = framing_of(job, room, surface, run);
  std::vector<double> out;
  if (!f.across(run) || relaxed(spec, "framing")) return out;
  const bool backed = *spec.backing == BackingSpec::butts || *spec.backing == BackingSpec::both;
  for (std::size_t i = 0; i + 1 < f.at.size(); ++i) {
    if (backed) out.push_back(0.5 * (f.at[i] + f.at[i + 1]));
    else if (i > 0) out.push_back(f.at[i]);
  }
  return out;
}

}  // namespace rakelight
