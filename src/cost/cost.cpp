// Hours and material of finishing one surface, as ranges. Every figure is from docs/reference/trade.md 7.1 and 7.3; none of
// the labour rates there was verified, so all results are estimates.
#include "cost/cost.h"

#include <algorithm>
#include <cassert>

namespace rakelight {
namespace {

constexpr Range finish_hours{0.06, 0.20};        // h/m² to level 4: trade tools at best, by hand at worst
constexpr Range film_hours{0.08, 0.20};          // h/m² more for a film over the whole face
constexpr Range ceiling_factor{1.25, 1.40};
constexpr Range compound_kg{0.32, 0.68};           // kg/m² to level 4: 0.20 L/m² of 1.6 kg/L, and 14 lb per 100 ft²
constexpr double wet_density = 1.6e3;            // kg/m³, ordinary compound
constexpr Range tape_waste{1.0, 1.15};
constexpr double textbook_tape = 1.25;           // m of joint per m², for which the rates above were stated

// Metres of joint, wider ones counted as more: the work goes with the width that is filled and sanded.
double equivalent_metres(const SurfaceResult& result, const Level& level) {
  const double usual = level.recessed_widths.empty() ? 0 : level.recessed_widths.back();
  double metres = 0;
  for (const auto& joint : result.joints) {
    if (joint.joint.line.kind == JointKind::fixings) continue;  // they go with the area
    const double weight = usual > 0 && joint.width > 0 ? std::max(1.0, joint.width / usual) : 1;
    metres += weight * joint.joint.line.length();
  }
  return metres;
}

/// m² that take the textbook's hours: half the work goes with the area (fixings, edges, sanding, setting up), half with the joints.
double scale_of(const SurfaceResult& result, const Level& level, double area) {
  return 0.5 * area + 0.5 * equivalent_metres(result, level) / textbook_tape;
}

}  // namespace

double boarded_area(const Layout& layout) {
  double area = 0;
  for (const auto& sheet : layout.sheets)
    for (const auto& piece : sheet.pieces) area += piece.width() * piece.height();
  return area;
}

bool takes_tape(JointKind kind) { return joins_sheets(kind) || kind == JointKind::internal_corner || kind == JointKind::square_set; }

double share_of_level_four(const Level& level) {
  if (!level.tape) return 0;
  return (1.0 + level.coats + (level.wiped_coat ? 0.5 : 0.0) + (level.coats > 0 ? 1.0 : 0.0)) / 4.0;
}

PassHours pass_hours(const Study& study, const SurfaceResult& result) {
  const Level* level = study.scheme.find(result.finish.level);
  assert(level);
  const double area = boarded_area(result.layout);
  if (area <= 0) return {};
  const bool ceiling = study.room.surfaces[result.surface].kind == Surface::Kind::ceiling;
  const Range factor = ceiling ? ceiling_factor : Range{1, 1};
  return {factor * finish_hours * (scale_of(result, *level, area) / 4), factor * film_hours * (level->skim > 0 ? area : 0)};
}

SurfaceResult made_surface(const Study& study, int surface, const Finish& finish) {
  SurfaceResult made;
  made.surface = surface;
  made.finish = finish;
  made.layout = finished_layout(study, surface, finish);
  for (PlacedJoint& placed : finished_relief(study, made.layout, surface, finish).joints) {
    JointResult& joint = made.joints.emplace_back();
    joint.width = placed.section.width();
    joint.crown = placed.section.crown;
    joint.joint = std::move(placed);
  }
  return made;
}

Surfaces all_of(const std::vector<SurfaceResult>& surfaces) {
  Surfaces out;
  for (const SurfaceResult& s : surfaces) out.push_back(&s);
  return out;
}

std::vector<SurfaceResult> made_surfaces(const Study& study) {
  std::vector<SurfaceResult> made;
  for (std::size_t s = 0; s < study.room.surfaces.size(); ++s)
    if (study.room.surfaces[s].spec >= 0) made.push_back(made_surface(study, static_cast<int>(s), requested_finish(study, static_cast<int>(s))));
  return made;
}

Cost cost_of(const Study& study, const SurfaceResult& result) {
  const Level* level = study.scheme.find(result.finish.level);
  assert(level);
  const bool ceiling = study.room.surfaces[result.surface].kind == Surface::Kind::ceiling;
  const double area = boarded_area(result.layout), share = share_of_level_four(*level);
  double metres = 0;
  for (const auto& line : result.layout.joints)
    if (takes_tape(line.kind)) metres += line.length();

  const double scale = area > 0 ? share * scale_of(result, *level, area) : 0;
  const double film_area = level->skim > 0 ? area : 0;
  Cost cost;
  const auto at = [&](double Range::*end) {
    const double hours = finish_hours.*end * scale + film_hours.*end * film_area;
    cost.hours.*end = hours * (ceiling ? ceiling_factor.*end : 1.0);
    cost.compound_kg.*end = compound_kg.*end * scale + level->skim * film_area * wet_density * film_waste.*end;
    cost.tape_m.*end = level->tape ? metres * tape_waste.*end : 0;
  };
  at(&Range::low);
  at(&Range::high);
  cost.visits = (level->tape ? 1 : 0) + level->coats + (level->skim > 0 ? 1 : 0) + (level->coats > 0 ? 1 : 0);
  cost.notes = {"estimate: no labour rate was verified; hours per m² from memory of cost data (0.06-0.20 to level 4, 0.08-0.20 more for a film)",
                "estimate: compound 0.32-0.68 kg/m² to level 4, where published figures disagree; the film by its thickness",
                "tape to 15 % waste, for internal corners only where the job has them taped",
                "a visit per coat and one to sand; drying between them is not counted as hours"};
  if (ceiling) cost.notes.push_back("ceilings take 1.25-1.4 times the hours of walls (from memory)");
  return cost;
}

}  // namespace rakelight
