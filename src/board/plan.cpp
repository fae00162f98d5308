#include "board/plan.h"

#include <algorithm>


namespace rakelight {
namespace {

constexpr double block_width = 0.200;  // m: blocks at least 200 mm wide (common practice)
constexpr double noggin_width = 0.045; // m

bool has_backing(const SurfaceSpec& spec, BackingSpec one) { return *spec.backing == one || *spec.backing == BackingSpec::both; }

Rect along_line(const JointLine& j, double width) {
  const dvec2 half = 0.5 * width * glm::abs(j.across());
  return {glm::min(j.from, j.to) - half, glm::max(j.from, j.to) + half};
}

}  // namespace

Plan plan_of(const Job& job, const Room& room, int surface, const Way& way) {
  Plan plan;
  plan.surface = surface;
  plan.way = way;
  plan.layout = lay_way(job, room, surface, way);
  plan.framing = framing_of(job, room, surface, way.run);
  const SurfaceSpec& spec = job.surfaces[room.surfaces[surface].spec];
  for (const JointLine& j : plan.layout.joints) {
    if (!joins_sheets(j.kind) || plan.framing.dabs) continue;
    if (j.kind == JointKind::backed_butt) plan.blocks.push_back({along_line(j, block_width), "board behind"});
    else if (is_end(j.kind) && !plan.framing.across(way.run)) plan.blocks.push_back({along_line(j, noggin_width), "noggin"});
    else if (is_long(j.kind) && has_backing(spec, BackingSpec::recessed)) plan.blocks.push_back({along_line(j, block_width), "back block"});
  }
  const FaceGround g = ground_of(job, room, surface, way.run), across = transposed(g);
  for (double v : g.breaks_v)
    for (Interval i : meeting_at(g, v)) plan.breaks.push_back({turned({i.lo, v}, way.run), turned({i.hi, v}, way.run)});
  for (double u : g.breaks_u)
    for (Interval i : meeting_at(across, u)) plan.breaks.push_back({turned({u, i.lo}, way.run), turned({u, i.hi}, way.run)});
  plan.breaches = breaches_of(job, room, surface, way, plan.layout);
  return plan;
}

int forbidden(const std::vector<Breach>& breaches) {
  return static_cast<int>(std::count_if(breaches.begin(), breaches.end(), [](const Breach& b) { return !b.relaxed; }));
}

}  // namespace rakelight
