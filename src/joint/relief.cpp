// Sections placed on a layout's joints, and the relief they make together.
#include <algorithm>
#include <cmath>

#include "joint/joint.h"
#include "kernel/relief.h"

namespace rakelight {
namespace {

/// Least step of the central differences behind PlacedJoint::change, m: large beside the 1e-12 m to which the crown is
/// solved. The step is otherwise one standard deviation of the figure: pulls that meet move their meeting place with the
/// figures, so the tangent has spikes that no real spread of hands has; the secant over that spread has not.
constexpr double least_figure_step = 5e-6;

double& figure(SectionFigures& f, Figure which) {
  switch (which) {
    case Figure::crown: return f.crown;
    case Figure::lap_ridge: return f.lap_ridge;
    case Figure::step: return f.step;
    case Figure::tape_edge: break;
  }
  return f.tape_edge;
}

Section change_of(const Recipe& recipe, const SectionFigures& figures, const Section& middle, Figure which, double sd) {
  const double figure_step = std::max(sd, least_figure_step);
  Section out = middle;
  out.coats.clear();
  out.coat_names.clear();
  out.bare.clear();
  if (which == Figure::step && !has_step(recipe.kind)) {  // tapered edges meet face to face
    std::fill(out.height.begin(), out.height.end(), 0.0);
    std::fill(out.slope.begin(), out.slope.end(), 0.0);
    out.crown = 0;
    return out;
  }
  SectionFigures less = figures, more = figures;
  figure(less, which) -= figure_step;
  figure(more, which) += figure_step;
  Section a = make_section(recipe, less), b = make_section(recipe, more);
  for (std::size_t i = 0; i < out.height.size(); ++i) {
    out.height[i] = (b.height[i] - a.height[i]) / (2 * figure_step);
    out.slope[i] = (b.slope[i] - a.slope[i]) / (2 * figure_step);
  }
  out.crown = (b.crown - a.crown) / (2 * figure_step);
  return out;
}

/// How far along `a` the joint `b` runs beside it, m.
double beside(const JointLine& a, const JointLine& b) {
  double from = glm::dot(b.from - a.from, a.along()), to = glm::dot(b.to - a.from, a.along());
  return std::min(a.length(), std::max(from, to)) - std::max(0.0, std::min(from, to));
}

/// Halves the room on a side where it ends at a parallel joint, which feathers towards this one.
void share_room(Recipe& recipe, const JointLine& line, const std::vector<JointLine>& all) {
  constexpr double same = 1e-3;
  double left = recipe.room_left, right = recipe.room_right;
  for (const JointLine& other : all) {
    if (&other == &line || other.surface != line.surface) continue;
    if (std::abs(glm::dot(other.along(), line.across())) > 1e-6 || beside(line, other) <= 0) continue;
    double u = glm::dot(other.from - line.from, line.across());
    if (std::abs(u) < same) continue;  // the same line, further along
    if (u > 0 && std::abs(u - right) < same) recipe.room_right = u / 2;
    if (u < 0 && std::abs(-u - left) < same) recipe.room_left = -u / 2;
  }
}

bool same_work(const Recipe& a, const Recipe& b) {
  return a.kind == b.kind && a.cut_left == b.cut_left && a.width == b.width && a.room_left == b.room_left && a.room_right == b.room_right;
}

const SurfaceSpec* spec_of(const Job& job, const std::string& id) {
  const std::string name = id.substr(0, id.find('/'));
  for (const SurfaceSpec& s : job.surfaces)
    if (*s.name == name) return &s;
  return nullptr;
}

const Spread& crown_of(const Workmanship& work, JointKind kind) {
  if (has_bead(kind)) return work.bead_nose;
  switch (kind) {
    case JointKind::recessed:
    case JointKind::half_round: return work.recessed_crown;
    case JointKind::backed_butt: return work.backed_crown;
    case JointKind::internal_corner:
    case JointKind::square_set: return work.corner_crown;
    case JointKind::fixings: return work.spot_crown;
    default: return work.butt_crown;  // the tape lies on a full face, on one side at least
  }
}

}  // namespace

SectionFigures mean_figures(const Workmanship& work, JointKind kind) {
  return {crown_of(work, kind).mean, work.lap_ridge.mean, has_step(kind) ? work.step.mean : 0, work.tape_edge.mean, work.lap_width};
}

std::array<double, 4> figure_sd(const Workmanship& work, JointKind kind) {
  return {crown_of(work, kind).sd, work.lap_ridge.sd, has_step(kind) ? work.step.sd : 0, work.tape_edge.sd};
}

Recipe typical_recipe(JointKind kind, const Level& level) {
  Recipe recipe;
  recipe.kind = kind;
  recipe.level = level;
  recipe.compound = {"setting", "setting", "drying"};
  recipe.tools = {0.150, 0.200, 0.300};
  return recipe;
}

Section typical_section(JointKind kind, const Level& level, const Workmanship& work) {
  return make_section(typical_recipe(kind, level), mean_figures(work, kind));
}

Relief make_relief(const Job& job, const Layout& layout, const Level& level, const Workmanship& work) {
  Relief relief;
  relief.joints.reserve(layout.joints.size());
  for (const JointLine& line : layout.joints) {
    PlacedJoint p;
    p.line = line;
    p.recipe.kind = line.kind;
    p.recipe.cut_left = line.cut_left;
    if (const SurfaceSpec* spec = spec_of(job, line.id)) {
      p.recipe.sprung_by = *spec->sprung_by;
      p.recipe.sprung_over = *spec->sprung_over;
    }
    p.recipe.tape = *job.finishing.tape;
    p.recipe.recoat = *job.finishing.recoat;
    p.recipe.sanding = *job.finishing.sanding;
    p.recipe.level = level;
    p.recipe.compound = *job.finishing.compound;
    p.recipe.tools = *job.finishing.tools;
    for (const JointSpec& spec : job.joints)
      if (*spec.id == line.id && spec.width.given) p.recipe.width = *spec.width;
    p.recipe.room_left = line.room_left;
    p.recipe.room_right = line.room_right;
    share_room(p.recipe, line, layout.joints);
    // room that no coat reaches changes nothing, and joints made alike are built once
    double far = std::max(p.recipe.width.value_or(level.butt_widths.empty() ? 0 : level.butt_widths.back()), 0.5);
    p.recipe.room_left = std::min(p.recipe.room_left, far);
    p.recipe.room_right = std::min(p.recipe.room_right, far);
    p.figures = mean_figures(work, line.kind);
    p.sd = figure_sd(work, line.kind);
    auto twin = std::find_if(relief.joints.begin(), relief.joints.end(), [&](const PlacedJoint& q) { return same_work(q.recipe, p.recipe); });
    if (twin != relief.joints.end()) {
      p.section = twin->section;
      p.change = twin->change;
    } else {
      p.section = make_section(p.recipe, p.figures);
      for (Figure f : all_figures) {
        const auto i = static_cast<std::size_t>(f);
        p.change[i] = change_of(p.recipe, p.figures, p.section, f, p.sd[i]);
      }
    }
    relief.joints.push_back(std::move(p));
  }
  return relief;
}

ReliefPoint relief_at(const Relief& relief, dvec2 p) {
  kernel::Film sum = kernel::no_film();
  for (const PlacedJoint& j : relief.joints) {
    double u = glm::dot(p - j.line.from, j.line.across()), s = glm::dot(p - j.line.from, j.line.along());
    if (s <= 0 || s >= j.line.length() || u <= j.section.first || u >= j.section.last()) continue;
    kernel::HeightSlope h{j.section.height_at(u), j.section.slope_at(u)};
    sum = kernel::films_meet(sum, kernel::joint_film(h, u, s, j.section.left, j.section.right, j.line.length(),
                                                     j.section.cover, j.line.across(), j.line.along()));
  }
  return {sum.height, sum.slope};
}

}  // namespace rakelight
