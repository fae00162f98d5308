// Sections placed on a layout's joints, and the relief they make together.
#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <tuple>

#include "joint/fit.h"
#include "joint/joint.h"
#include "joint/make_up.h"
#include "joint/plain_relief.h"
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
  out.bare = {};
  if (which == Figure::step && !has_step(recipe.kind)) {  // tapered edges meet face to face
    out.height = out.slope = std::vector<double>(middle.height.size(), 0.0);
    out.crown = 0;
    return out;
  }
  SectionFigures less = figures, more = figures;
  figure(less, which) -= figure_step;
  figure(more, which) += figure_step;
  Section a = make_section(recipe, less), b = make_section(recipe, more);
  std::vector<double> height(middle.height.size()), slope(middle.height.size());
  for (std::size_t i = 0; i < height.size(); ++i) {
    height[i] = (b.height[i] - a.height[i]) / (2 * figure_step);
    slope[i] = (b.slope[i] - a.slope[i]) / (2 * figure_step);
  }
  out.height = std::move(height);
  out.slope = std::move(slope);
  out.crown = (b.crown - a.crown) / (2 * figure_step);
  return out;
}

/// How far along `a` the joint `b` runs beside it, m.
double beside(const JointLine& a, const JointLine& b) {
  double from = glm::dot(b.from - a.from, a.along()), to = glm::dot(b.to - a.from, a.along());
  return std::min(a.length(), std::max(from, to)) - std::max(0.0, std::min(from, to));
}

/// What a parallel line at a distance keeps of it: half, or a corner's leg or flange where that is less.
double theirs(JointKind kind, double distance) {
  if (!is_one_sided(kind)) return distance / 2;
  return std::min(distance / 2, has_bead(kind) ? make_up().bead_widths.back() : make_up().corner_widths.back());
}

/// Gives up room on a side where it ends at a parallel joint or corner, which feathers towards this one.
void share_room(Recipe& recipe, const JointLine& line, const std::vector<JointLine>& all) {
  if (!joins_sheets(line.kind)) return;
  constexpr double same = 1e-3;
  double left = recipe.room_left, right = recipe.room_right;
  for (const JointLine& other : all) {
    if (&other == &line || other.surface != line.surface || other.kind == JointKind::fixings) continue;
    if (std::abs(glm::dot(other.along(), line.across())) > 1e-6 || beside(line, other) <= 0) continue;
    double u = glm::dot(other.from - line.from, line.across());
    if (std::abs(u) < same) continue;  // the same line, further along
    if (u > 0 && std::abs(u - right) < same) recipe.room_right = u - theirs(other.kind, u);
    if (u < 0 && std::abs(-u - left) < same) recipe.room_left = -u - theirs(other.kind, -u);
  }
}

bool same_work(const Recipe& a, const Recipe& b) {
  return a.kind == b.kind && a.cut_left == b.cut_left && a.width == b.width && a.room_left == b.room_left && a.room_right == b.room_right;
}

/// A finished section with what its figures do to it, once that has been asked for.
struct Work {
  Recipe recipe;
  SectionFigures figures;
  std::array<double, 4> sd{};
  Section section;
  std::array<Section, 4> change;
  bool changes = false;
};

/// All that make_section reads.
bool one_work(const Work& a, const Recipe& recipe, const SectionFigures& figures, const std::array<double, 4>& sd) {
  const auto measures = [](const Recipe& r) { return std::tie(r.kind, r.cut_left, r.sprung_by, r.sprung_over, r.compound, r.tape, r.recoat, r.sanding, r.tools, r.width, r.room_left, r.room_right); };
  const auto bundle = [](const Level& l) { return std::tie(l.id, l.title, l.tape, l.coats, l.wiped_coat, l.recessed_widths, l.butt_widths, l.skim, l.film_reach, l.film, l.sealer); };
  const auto hands = [](const SectionFigures& f) { return std::tie(f.crown, f.lap_ridge, f.step, f.tape_edge, f.lap_width); };
  return a.sd == sd && hands(a.figures) == hands(figures) && measures(a.recipe) == measures(recipe) && bundle(a.recipe.level) == bundle(recipe.level);
}

/// Advice asks for the same few joints again and again: the last ones made are kept, whoever asked.
std::shared_ptr<const Work> work_of(const Recipe& recipe, const SectionFigures& figures, const std::array<double, 4>& sd, bool changes) {
  constexpr std::size_t most = 48;
  static std::mutex guard;
  static std::vector<std::shared_ptr<const Work>> made;  // the one asked for last at the end
  const auto find = [&] { return std::find_if(made.rbegin(), made.rend(), [&](const auto& known) { return one_work(*known, recipe, figures, sd); }); };
  std::shared_ptr<const Work> plain;
  {
    const std::lock_guard lock(guard);
    if (const auto i = find(); i != made.rend()) {
      std::rotate(i.base() - 1, i.base(), made.end());
      if (made.back()->changes || !changes) return made.back();
      plain = made.back();
    }
  }
  auto work = std::make_shared<Work>(plain ? *plain : Work{recipe, figures, sd, make_section(recipe, figures), {}, false});
  work->changes = changes;
  if (changes)
    for (Figure f : all_figures) {
      const auto i = static_cast<std::size_t>(f);
      work->change[i] = change_of(recipe, figures, work->section, f, sd[i]);
    }
  const std::lock_guard lock(guard);
  if (const auto i = find(); i != made.rend()) made.erase(i.base() - 1);
  if (made.size() >= most) made.erase(made.begin());
  made.push_back(work);
  return work;
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

namespace {
std::shared_ptr<const FilmIndex> index_of(const Relief& relief);

/// Puts in the section that was measured on a joint, if one was.
bool place_measured(PlacedJoint& p, const std::vector<const JointSpec*>& said) {
  for (const JointSpec* spec : said) {
    if (!spec->section) continue;
    const FittedSection& fit = *spec->section;
    p.measured = spec->section;
    p.section = section_of(fit);
    p.figures.crown = fit.crown;
    p.sd = {fit.crown_sd, 0, 0, 0};
    // what is not known of its crown is not known of its height all over
    Section& change = p.change[static_cast<std::size_t>(Figure::crown)];
    if (std::abs(fit.crown) > 1e-6) {
      change = p.section;
      std::vector<double> height = change.height, slope = change.slope;
      for (double& h : height) h /= fit.crown;
      for (double& s : slope) s /= fit.crown;
      change.height = std::move(height);
      change.slope = std::move(slope);
    }
    return true;
  }
  return false;
}
}  // namespace

namespace {

Relief relief_of(const Job& job, const Layout& layout, const Level& level, const Workmanship& work, bool changes) {
  Relief relief;
  relief.joints.reserve(layout.joints.size());
  std::map<std::string, std::vector<const JointSpec*>> said;  // by joint
  for (const JointSpec& spec : job.joints) said[*spec.id].push_back(&spec);
  const std::vector<const JointSpec*> nothing;
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
    const auto found = said.find(line.id);
    const std::vector<const JointSpec*>& own = found != said.end() ? found->second : nothing;
    for (const JointSpec* spec : own)
      if (spec->width.given) p.recipe.width = *spec->width;
    p.recipe.room_left = line.room_left;
    p.recipe.room_right = line.room_right;
    share_room(p.recipe, line, layout.joints);
    // room that no coat reaches changes nothing, and joints made alike are built once
    double far = std::max(p.recipe.width.value_or(level.butt_widths.empty() ? 0 : level.butt_widths.back()), 0.5);
    p.recipe.room_left = std::min(p.recipe.room_left, far);
    p.recipe.room_right = std::min(p.recipe.room_right, far);
    p.figures = mean_figures(work, line.kind);
    p.sd = figure_sd(work, line.kind);
    if (place_measured(p, own)) {
      relief.joints.push_back(std::move(p));
      continue;
    }
    auto twin = std::find_if(relief.joints.begin(), relief.joints.end(), [&](const PlacedJoint& q) { return !q.measured && same_work(q.recipe, p.recipe); });
    if (twin != relief.joints.end()) {
      p.section = twin->section;
      p.change = twin->change;
    } else {
      const auto made = work_of(p.recipe, p.figures, p.sd, changes);
      p.section = made->section;
      p.change = made->change;
    }
    relief.joints.push_back(std::move(p));
  }
  relief.index = index_of(relief);
  return relief;
}

}  // namespace

Relief make_relief(const Job& job, const Layout& layout, const Level& level, const Workmanship& work) { return relief_of(job, layout, level, work, true); }
Relief make_plain_relief(const Job& job, const Layout& layout, const Level& level, const Workmanship& work) { return relief_of(job, layout, level, work, false); }

FilmPlace film_along(const PlacedJoint& joint) {
  const JointLine& line = joint.line;
  FilmPlace film{0, line.from, line.along(), line.length(), !joins_sheets(line.kind)};
  if (film.round) return film;
  const double more = kernel::end_taper(joint.section.width(), 10);
  if (line.runs_on_from) {
    film.from -= more * film.along;
    film.length += more;
  }
  if (line.runs_on_to) film.length += more;
  return film;
}

std::vector<FilmPlace> films_of(const Relief& relief) {
  std::vector<FilmPlace> films;
  for (std::size_t i = 0; i < relief.joints.size(); ++i) {
    FilmPlace film = film_along(relief.joints[i]);
    film.joint = static_cast<int>(i);
    const std::vector<double>& spots = relief.joints[i].line.spots;
    if (spots.empty()) films.push_back(film);
    for (double s : spots) films.push_back({film.joint, film.from + s * film.along, film.along, 0, true});
  }
  return films;
}

/// The films that reach into each cell of a grid over all of them.
struct FilmIndex {
  std::vector<FilmPlace> films;
  dvec2 lo{0};
  double side = 0.1;
  int nx = 0, ny = 0;
  std::vector<std::vector<int>> cells;
};

namespace {

std::shared_ptr<const FilmIndex> index_of(const Relief& relief) {
  auto index = std::make_shared<FilmIndex>();
  index->films = films_of(relief);
  dvec2 lo(1e9), hi(-1e9);
  std::vector<std::pair<dvec2, dvec2>> boxes;
  for (const FilmPlace& f : index->films) {
    const Section& s = relief.joints[static_cast<std::size_t>(f.joint)].section;
    const double reach = std::max(-s.first, s.last());
    const dvec2 end = f.from + f.length * f.along;
    boxes.emplace_back(glm::min(f.from, end) - reach, glm::max(f.from, end) + reach);
    lo = glm::min(lo, boxes.back().first);
    hi = glm::max(hi, boxes.back().second);
  }
  if (boxes.empty()) return index;
  index->lo = lo;
  index->nx = static_cast<int>((hi.x - lo.x) / index->side) + 1;
  index->ny = static_cast<int>((hi.y - lo.y) / index->side) + 1;
  index->cells.resize(static_cast<std::size_t>(index->nx) * index->ny);
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    const dvec2 a = (boxes[i].first - lo) / index->side, b = (boxes[i].second - lo) / index->side;
    for (int y = static_cast<int>(a.y); y <= std::min(index->ny - 1, static_cast<int>(b.y)); ++y)
      for (int x = static_cast<int>(a.x); x <= std::min(index->nx - 1, static_cast<int>(b.x)); ++x)
        index->cells[static_cast<std::size_t>(y) * index->nx + x].push_back(static_cast<int>(i));
  }
  return index;
}

kernel::Film film_at(const PlacedJoint& joint, const FilmPlace& film, dvec2 p) {
  const Section& section = joint.section;
  if (film.round) {
    const kernel::Away away = kernel::away_from(p, film.from, film.along, film.length);
    if (away.distance >= section.last()) return kernel::no_film();
    return kernel::round_film({section.height_at(away.distance), section.slope_at(away.distance)}, away, section.right, section.cover);
  }
  const dvec2 across{film.along.y, -film.along.x};
  const double u = glm::dot(p - film.from, across), s = glm::dot(p - film.from, film.along);
  if (s <= 0 || s >= film.length || u <= section.first || u >= section.last()) return kernel::no_film();
  return kernel::joint_film({section.height_at(u), section.slope_at(u)}, u, s, section.left, section.right, film.length,
                            section.cover, across, film.along);
}

}  // namespace

ReliefPoint relief_at(const Relief& relief, dvec2 p) {
  kernel::Film sum = kernel::no_film();
  auto meet = [&](const FilmPlace& film) { sum = kernel::films_meet(sum, film_at(relief.joints[static_cast<std::size_t>(film.joint)], film, p)); };
  if (!relief.index) {
    for (const FilmPlace& film : films_of(relief)) meet(film);
  } else if (relief.index->nx > 0) {
    const FilmIndex& index = *relief.index;
    const dvec2 at = (p - index.lo) / index.side;
    if (at.x >= 0 && at.y >= 0 && at.x < index.nx && at.y < index.ny)
      for (int i : index.cells[static_cast<std::size_t>(at.y) * index.nx + static_cast<std::size_t>(at.x)]) meet(index.films[static_cast<std::size_t>(i)]);
  }
  if (!relief.substrate) return {sum.height, sum.slope};
  const SubstratePoint under = substrate_at(*relief.substrate, p);
  return {sum.height + under.h, sum.slope + under.slope};
}

}  // namespace rakelight
