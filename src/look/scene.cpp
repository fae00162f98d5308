// Packs room, light, relief and paint into the one table that the kernels read; layout in shaders/kernels/scene.glsl.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <cstdlib>
#include <map>
#include <stdexcept>

#include "base/units.h"
#include "light/outside.h"
#include "look/look.h"
#include "look/table.h"

namespace rakelight {
namespace {

using Rows = std::vector<dvec4>;

constexpr int header_rows = 9;
/// A point this near to a joint's section may stand in its shadow, m: 1.5 mm at a slope of 25 mrad.
constexpr double shadow_margin = 0.06;

dvec4 row(dvec3 v, double w) { return {v.x, v.y, v.z, w}; }
dvec4 row(const Rect& r) { return {r.lo.x, r.lo.y, r.hi.x, r.hi.y}; }
double offset(const Rows& rows) { return static_cast<double>(rows.size()); }

double mean_exitance(const Lighting& lighting, int from, int to) {
  const auto& all = patches(*lighting.basis);
  double sum = 0, area = 0;
  for (int i = from; i < to; ++i) {
    sum += all[i].area * lighting.patch_exitance[i];
    area += all[i].area;
  }
  return area > 0 ? sum / area : 0;
}

double mean_room_radiance(const Lighting& lighting) {
  const auto& all = patches(*lighting.basis);
  double sum = 0, area = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].surface < 0) continue;
    sum += all[i].area * lighting.patch_exitance[i];
    area += all[i].area;
  }
  return area > 0 ? sum / area / pi : 0;
}

void add_header(Rows& rows, const Room& room, const Lighting& lighting) {
  const SkyState& sky = lighting.sky;
  const bool sun = !sky.dark && sky.sun_up;
  rows.resize(header_rows);
  rows[2] = {0, 0, room.height, room.convex ? 1 : 0};
  rows[3] = row(sky.sun_direction, sun ? sky.direct_normal * sun_over_skyline(sky, sky.sun_direction) : 0);
  const kernel::Outside o = outside_of(sky);
  rows[4] = row(o.sun, sky.dark ? 0 : o.scale);
  rows[5] = {o.a, o.b, o.c, o.d};
  rows[6] = {o.e, o.skyline_altitude, sky.dark ? 0 : o.skyline_luminance, sky.dark ? 0 : o.ground_luminance};
  rows[7] = {sky.dark ? 0.0 : 1.0, static_cast<double>(room.ceiling()), static_cast<double>(room.floor()),
             mean_room_radiance(lighting)};
  rows[8] = {0, 0, sky.ground_below, 0};
}

void add_skyline(Rows& rows, const SkyState& sky) {
  if (sky.skyline_points.size() < 2) return;
  rows[8].x = offset(rows);
  rows[8].y = static_cast<double>(sky.skyline_points.size());
  for (const dvec2 p : sky.skyline_points) rows.push_back({p.x, p.y, 0, 0});
}

/// Gives patches that an opening has swallowed the mean of their neighbours, from the rim inwards, so that a face stays
/// continuous across its openings.
void fill_missing(Rows& rows, std::size_t first, int nx, int ny) {
  const auto at = [&](int x, int y) -> dvec4& { return rows[first + static_cast<std::size_t>(y) * nx + x]; };
  for (bool again = true; again;) {
    again = false;
    const Rows before(rows.begin() + static_cast<std::ptrdiff_t>(first), rows.end());
    for (int y = 0; y < ny; ++y)
      for (int x = 0; x < nx; ++x) {
        if (at(x, y).z > 0) continue;
        dvec4 sum(0);
        const auto add = [&](int i, int j) {
          if (i < 0 || j < 0 || i >= nx || j >= ny) return;
          const dvec4& v = before[static_cast<std::size_t>(j) * nx + i];
          if (v.z > 0) sum += v;
        };
        add(x - 1, y);
        add(x + 1, y);
        add(x, y - 1);
        add(x, y + 1);
        if (sum.z <= 0) continue;
        at(x, y) = sum / sum.z;
        again = true;
      }
  }
}

const double sheen_blur = kernel::SceneKernels().SHEEN_BLUR;  ///< m, standard deviation

/// Puts each patch's exitance, blurred over the face, into its row's fourth number: what a ray of a wide lobe stands
/// for is no point of the face but a spot of about that size.
void blur_exitance(Rows& rows, std::size_t first, const PatchGrid& grid) {
  const double dx = grid.box.width() / grid.nx, dy = grid.box.height() / grid.ny;
  const auto pass = [&](int count, int other, double step, auto value, auto put) {
    const int reach = static_cast<int>(std::ceil(3 * sheen_blur / step));
    std::vector<double> weight(static_cast<std::size_t>(reach) + 1), line(static_cast<std::size_t>(count));
    for (int k = 0; k <= reach; ++k) weight[k] = std::exp(-0.5 * (k * step / sheen_blur) * (k * step / sheen_blur));
    for (int row = 0; row < other; ++row) {
      for (int i = 0; i < count; ++i) {
        double sum = 0, weights = 0;
        for (int j = std::max(0, i - reach); j <= std::min(count - 1, i + reach); ++j) {
          sum += weight[std::abs(j - i)] * value(j, row);
          weights += weight[std::abs(j - i)];
        }
        line[i] = sum / weights;
      }
      for (int i = 0; i < count; ++i) put(i, row, line[i]);
    }
  };
  const auto at = [&](int x, int y) -> dvec4& { return rows[first + static_cast<std::size_t>(y) * grid.nx + x]; };
  pass(grid.nx, grid.ny, dx, [&](int x, int y) { return at(x, y).x; }, [&](int x, int y, double v) { at(x, y).w = v; });
  pass(grid.ny, grid.nx, dy, [&](int y, int x) { return at(x, y).w; }, [&](int y, int x, double v) { at(x, y).w = v; });
}

/// The four patches that stand round a place, together, so that a ray finds them in two rows; and where a point of the room lies among
/// them.
void add_quads(Rows& rows, std::size_t surface_row, std::size_t first, const PatchGrid& grid) {
  if (grid.nx < 1 || grid.ny < 1) return;
  const double missing = pi * rows[7].w;
  const auto patch = [&](int x, int y) -> dvec4 {
    const dvec4& r = rows[first + static_cast<std::size_t>(std::min(y, grid.ny - 1)) * grid.nx + std::min(x, grid.nx - 1)];
    return r.z > 0 ? r : dvec4(missing, 0, 0, missing);
  };
  for (int y = 0; y < grid.ny; ++y)
    for (int x = 0; x < grid.nx; ++x) {
      const std::array<dvec4, 4> of{patch(x, y), patch(x + 1, y), patch(x, y + 1), patch(x + 1, y + 1)};
      rows.push_back({of[0].x, of[1].x, of[2].x, of[3].x});
      rows.push_back({of[0].w, of[1].w, of[2].w, of[3].w});
    }
  const dvec3 origin(rows[surface_row]);
  const dvec2 lo = grid.box.lo, wide{grid.nx / grid.box.width(), grid.ny / grid.box.height()};
  for (int axis = 0; axis < 2; ++axis) {
    const std::size_t row_of_axis = surface_row + static_cast<std::size_t>(axis);
    const dvec3 along = dvec3(rows[row_of_axis + 1]) * wide[axis];
    rows[row_of_axis + 20] = {along, -glm::dot(origin, along) - lo[axis] * wide[axis] - 0.5};
  }
}

void add_patches(Rows& rows, std::size_t surface_row, const PatchGrid& grid, const Lighting& lighting) {
  const auto& all = patches(*lighting.basis);
  const std::size_t first = rows.size();
  rows[surface_row + 6].x = offset(rows);
  rows[surface_row + 6].y = grid.nx;
  rows[surface_row + 6].z = grid.ny;
  rows[surface_row + 7] = row(grid.box);
  for (int i = grid.first; i < grid.first + grid.nx * grid.ny; ++i) {
    const double exitance = lighting.patch_exitance[i], rho = all[i].reflectance;
    const bool there = all[i].area > 0;
    rows.push_back({there ? exitance : 0, there && rho > 0 ? exitance / rho : 0, there ? 1 : 0, 0});
  }
  fill_missing(rows, first, grid.nx, grid.ny);
  blur_exitance(rows, first, grid);
  add_quads(rows, surface_row, first, grid);
}

void add_field(Rows& rows, std::size_t surface_row, const FieldGrid& field) {
  if (field.nx < 4 || field.ny < 4) return;
  rows[surface_row + 8] = {offset(rows), static_cast<double>(field.nx), static_cast<double>(field.ny), rows[surface_row + 8].w};
  rows[surface_row + 9] = {field.origin.x, field.origin.y, field.step.x, field.step.y};
  for (const LightSample& s : field.node) rows.push_back({s.e.x, s.e.y, s.e.n, s.div_t});
}

void add_section(Rows& rows, const Section& s) {
  const std::size_t n = s.height.size();
  for (std::size_t i = 0; i < n; i += 2) {
    const std::size_t j = std::min(i + 1, n - 1);
    rows.push_back({s.height[i], s.slope[i], s.height[j], s.slope[j]});
  }
}

/// Whether a film, with a margin for its shadow, may reach into a square cell.
bool reaches(const FilmPlace& film, const Section& section, dvec2 centre, double side) {
  const double more = shadow_margin + side / std::numbers::sqrt2;
  if (film.round) return kernel::away_from(centre, film.from, film.along, film.length).distance < section.last() + more;
  const dvec2 d = centre - film.from, across{film.along.y, -film.along.x};
  const double s = glm::dot(d, film.along), u = glm::dot(d, across);
  return s > -more && s < film.length + more && u > section.first - more && u < section.last() + more;
}

/// Which films lie near each cell of a face; empty when some cell has more than eight.
std::vector<std::array<int, 8>> cells_of(const Relief& relief, const std::vector<FilmPlace>& films, const Rect& box, double side, int nx, int ny) {
  std::array<int, 8> none;
  none.fill(-1);
  std::vector<std::array<int, 8>> cells(static_cast<std::size_t>(nx) * ny, none);
  for (std::size_t i = 0; i < films.size(); ++i) {
    const Section& section = relief.joints[static_cast<std::size_t>(films[i].joint)].section;
    // only the cells that the film's own box touches are asked
    const double more = shadow_margin + std::max(-section.first, section.last());
    const dvec2 end = films[i].from + films[i].length * films[i].along;
    const dvec2 lo = (glm::min(films[i].from, end) - more - box.lo) / side, hi = (glm::max(films[i].from, end) + more - box.lo) / side;
    for (int y = std::max(0, static_cast<int>(std::floor(lo.y))); y < std::min(ny, static_cast<int>(std::floor(hi.y)) + 1); ++y)
      for (int x = std::max(0, static_cast<int>(std::floor(lo.x))); x < std::min(nx, static_cast<int>(std::floor(hi.x)) + 1); ++x) {
        if (!reaches(films[i], section, box.lo + side * dvec2(x + 0.5, y + 0.5), side)) continue;
        auto& cell = cells[static_cast<std::size_t>(y) * nx + x];
        const auto free = std::find(cell.begin(), cell.end(), -1);
        if (free == cell.end()) return {};
        *free = static_cast<int>(i);
      }
  }
  return cells;
}

void add_substrate(Rows& rows, std::size_t surface_row, const std::optional<Substrate>& substrate) {
  if (!substrate) return;
  const Substrate& s = *substrate;
  rows[surface_row + 8].w = offset(rows);
  rows.push_back({s.upright ? 1.0 : 0.0, s.first, s.spacing, static_cast<double>(s.members.size())});
  rows.push_back({s.from, s.span, s.sag, 0});
  for (const Substrate::Member& m : s.members) rows.push_back({m.off, m.off_slope, m.bow, m.bow_slope});
  // shadows are looked for where the relief is steep: over the joints' own steepness comes the framing's
  rows[surface_row + 11].z += steepest(s);
}

void add_relief(Rows& rows, std::size_t surface_row, const Relief& relief, const Rect& box) {
  if (relief.joints.empty()) return;
  double steepest = 0, highest = 0, lowest = 0;
  const std::vector<FilmPlace> films = films_of(relief);
  const std::size_t first = rows.size();
  rows.resize(first + 4 * films.size(), dvec4(0));
  // films of one joint, such as a row's spots, and of joints finished alike share their samples
  std::map<std::pair<const double*, const double*>, double> packed;
  for (std::size_t i = 0; i < films.size(); ++i) {
    const FilmPlace& film = films[i];
    const Section& s = relief.joints[static_cast<std::size_t>(film.joint)].section;
    const auto [known, is_new] = packed.try_emplace({s.height.data(), s.slope.data()}, offset(rows));
    const double samples = known->second;
    double steep = 0, high = 0, low = 0;
    for (const double slope : s.slope) steep = std::max(steep, std::abs(slope));
    for (const double h : s.height) {
      high = std::max(high, h);
      low = std::min(low, h);
    }
    const std::size_t at = first + 4 * i;
    rows[at] = {film.from.x, film.from.y, film.along.x, film.along.y};
    rows[at + 1] = {film.length, s.first, s.step, static_cast<double>(s.height.size())};
    rows[at + 2] = {samples, steep, high, low};
    rows[at + 3] = {s.left, s.right, s.cover, film.round ? 1.0 : 0.0};
    if (is_new) add_section(rows, s);
    steepest = std::max(steepest, steep);
    highest = std::max(highest, high);
    lowest = std::min(lowest, low);
  }
  rows[surface_row + 11] = {static_cast<double>(first), static_cast<double>(films.size()), steepest, highest - lowest};
  for (double side = 0.1; side > 0.005; side *= 0.5) {
    const int nx = std::max(1, static_cast<int>(std::ceil(box.width() / side))), ny = std::max(1, static_cast<int>(std::ceil(box.height() / side)));
    const auto cells = cells_of(relief, films, box, side, nx, ny);
    if (cells.empty()) continue;
    rows[surface_row + 10] = {offset(rows), static_cast<double>(nx), static_cast<double>(ny), side};
    for (const auto& c : cells) {
      rows.push_back({c[0], c[1], c[2], c[3]});
      rows.push_back({c[4], c[5], c[6], c[7]});
    }
    return;
  }
  throw std::logic_error("more than eight joints meet in one place of a surface");
}

void add_stipple(Rows& rows, std::size_t at, const Paint& paint) {
  if (paint.stipple.size() > 3) throw std::logic_error("more than three stipples on one face");
  for (std::size_t i = 0; i < paint.stipple.size(); ++i) {
    dvec4& r = rows[at + 18 + i / 2];
    const std::size_t first = 2 * (i % 2);
    r[static_cast<int>(first)] = paint.stipple[i].rms;
    r[static_cast<int>(first) + 1] = paint.stipple[i].pitch;
  }
}

void add_coat(Rows& rows, std::size_t at, const Paint& paint) {
  // a paint put together by hand has roughnesses but no albedo yet
  const CoatAlbedo albedo = paint.albedo.mean > 0 ? paint.albedo : coat_albedo(paint.alpha60, paint.alpha85, paint.index);
  rows[at + 5] = {paint.alpha60, paint.alpha85, base_reflectance(paint.reflectance, albedo), albedo.mean};
  rows[at + 6].w = paint.index;
  const std::array<const std::array<double, 8>*, 3> polynomials{&albedo.a60, &albedo.b85, &albedo.c85};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto& p = *polynomials[k];
    rows[at + 12 + 2 * k] = {p[0], p[1], p[2], p[3]};
    rows[at + 13 + 2 * k] = {p[4], p[5], p[6], p[7]};
  }
}

struct Coats { const Paint *paper, *compound; };
/// What lies on paper and on a joint: one and the same under a film that ends the difference.
Coats coats_of(const Paint& paint, const Relief& relief) {
  const Level* level = relief.joints.empty() ? nullptr : &relief.joints.front().recipe.level;
  if (!level || !paint.over_compound) return {&paint, &paint};
  const Paint* compound = paint.over_compound.get();
  if (level->skim <= 0) return {&paint, compound};
  if (paint.by_suction) return {&paint, &paint};
  return level->film == "scraped" ? Coats{&paint, compound} : Coats{compound, compound};
}

void add_surfaces(Rows& rows, const Room& room, const Lighting& lighting, const std::vector<Relief>& reliefs,
                  const std::vector<Paint>& paints) {
  const std::size_t stride = static_cast<std::size_t>(kernel::SceneKernels().surface_stride());
  const std::size_t first = rows.size();
  rows[0].x = static_cast<double>(room.surfaces.size());
  rows[0].y = offset(rows);
  rows.resize(first + stride * room.surfaces.size(), dvec4(0));
  for (std::size_t i = 0; i < room.surfaces.size(); ++i) {
    const Surface& s = room.surfaces[i];
    const std::size_t at = first + stride * i;
    rows[at] = row(s.frame.origin, s.kind == Surface::Kind::wall ? 0 : s.kind == Surface::Kind::ceiling ? 1 : 2);
    rows[at + 1] = row(s.frame.x, 0);
    rows[at + 2] = row(s.frame.y, 0);
    rows[at + 3] = row(s.frame.n, paints[i].reflectance);
    rows[at + 4] = row(s.box);
    add_coat(rows, at, *coats_of(paints[i], reliefs[i]).paper);
    add_stipple(rows, at, paints[i]);
    add_patches(rows, at, patch_grid(*lighting.basis, static_cast<int>(i)), lighting);
    if (i < lighting.fields.size()) add_field(rows, at, lighting.fields[i]);
    add_relief(rows, at, reliefs[i], s.box);
    add_substrate(rows, at, reliefs[i].substrate);
  }
}

void add_openings(Rows& rows, const Room& room, const Lighting& lighting) {
  rows[0].z = static_cast<double>(room.plan.size());
  rows[0].w = offset(rows);
  for (std::size_t i = 0; i < room.plan.size(); ++i) rows.push_back({room.plan[i], room.plan[(i + 1) % room.plan.size()] - room.plan[i]});
  rows[1].x = static_cast<double>(room.windows.size());
  rows[1].y = offset(rows);
  for (std::size_t i = 0; i < room.windows.size(); ++i) {
    const Window& w = room.windows[i];
    const Glazing& g = lighting.glazing[i];
    const WindowParts p = window_parts(*lighting.basis, static_cast<int>(i));
    const auto mean = [&](int from, int to) { return mean_exitance(lighting, from, to); };
    rows.push_back({static_cast<double>(w.surface), w.reveal, w.frame, w.reveal_reflectance});
    rows.push_back(row(w.opening));
    rows.push_back({g.panes, g.extinction, g.scale, 0});
    rows.push_back({mean(p.left, p.right), mean(p.right, p.sill), mean(p.sill, p.head), mean(p.head, p.frame)});
    const double pane = mean(p.pane, p.end);
    rows.push_back({mean(p.frame, p.pane), pane, w.cover.there() ? pane : 0, 0});
    const WindowShades& s = w.shades;
    const NearOutside near = near_outside(room, static_cast<int>(i), lighting.sky);
    rows.push_back({s.eaves, s.eaves_y, s.eaves_lo, s.eaves_hi});
    rows.push_back({s.left, s.left_x, s.right, s.right_x});
    rows.push_back({near.eaves, near.fins, near.shaded_ground, near.reach});
  }
  rows[2].x = static_cast<double>(room.doors.size());
  rows[2].y = offset(rows);
  for (const Door& d : room.doors) {
    rows.push_back({static_cast<double>(d.surface), d.reflectance, 0, 0});
    rows.push_back(row(d.opening));
  }
}

void add_lamps(Rows& rows, const std::vector<Lamp>& lamps) {
  const std::size_t first = rows.size();
  rows[1].z = static_cast<double>(lamps.size());
  rows[1].w = offset(rows);
  for (const Lamp& l : lamps) {
    rows.push_back(row(l.at, l.size));
    rows.push_back(row(l.aim, l.exponent));
    rows.push_back({l.peak, -1, 0, 0});
    rows.push_back(row(lamp_axis(l), 0));
    rows.push_back(row(l.sides, 0));
  }
  for (std::size_t i = 0; i < lamps.size(); ++i) {
    if (!lamps[i].table) continue;
    rows[first + 5 * i + 2].y = offset(rows);
    rows.insert(rows.end(), lamps[i].table->begin(), lamps[i].table->end());
  }
}

/// The same rows with each face's coat as it is over compound; empty where no face has a band.
Rows banded_rows(const Rows& rows, const std::vector<Relief>& reliefs, const std::vector<Paint>& paints) {
  Rows banded;
  for (std::size_t i = 0; i < paints.size(); ++i) {
    const Coats coats = coats_of(paints[i], reliefs[i]);
    if (coats.paper == coats.compound) continue;
    if (banded.empty()) banded = rows;
    add_coat(banded, static_cast<std::size_t>(rows[0].y) + static_cast<std::size_t>(kernel::SceneKernels().surface_stride()) * i, *coats.compound);
  }
  return banded;
}

bool same_finish(const PaintSpec& a, const PaintSpec& b) {
  if (*a.name != *b.name || (a.name->empty() && (*a.gloss60 != *b.gloss60 || *a.gloss85 != *b.gloss85))) return false;
  return *a.sealer == *b.sealer && *a.coats == *b.coats && a.applied.given == b.applied.given && *a.applied == *b.applied && *a.nap == *b.nap &&
         *a.texture == *b.texture && *a.lining == *b.lining;
}

}  // namespace

Scene make_scene(const Room& room, const Lighting& lighting, const std::vector<Relief>& reliefs,
                 const std::vector<Paint>& paints) {
  assert(reliefs.size() == room.surfaces.size() && paints.size() == room.surfaces.size());
  Scene scene;
  add_header(scene.rows, room, lighting);
  add_surfaces(scene.rows, room, lighting, reliefs, paints);
  add_skyline(scene.rows, lighting.sky);
  add_openings(scene.rows, room, lighting);
  add_lamps(scene.rows, lighting.lamps);
  // a section's last pair is read one row on
  scene.rows.push_back(dvec4(0));
  scene.over_compound = banded_rows(scene.rows, reliefs, paints);
  return scene;
}

std::vector<Paint> make_paints(const Job& job, const Room& room, PaintStage stage) {
  std::vector<Paint> paints;
  PaintSpec plain;
  plain.name = Key<std::string>("matt");
  std::vector<const PaintSpec*> specs;
  std::vector<bool> bare;  // faces without boards are painted at any stage
  for (const Surface& s : room.surfaces) {
    const PaintSpec* spec = s.spec >= 0 ? &job.surfaces[static_cast<std::size_t>(s.spec)].paint : &plain;
    // the simulated glossmeter takes a few milliseconds, and most faces are painted alike
    std::size_t twin = 0;
    while (twin < specs.size() && !(same_finish(*specs[twin], *spec) && room.surfaces[twin].reflectance == s.reflectance && bare[twin] == (s.spec < 0))) ++twin;
    bare.push_back(s.spec < 0);
    paints.push_back(twin < specs.size() ? paints[twin] : make_paint(*spec, s.reflectance, s.spec < 0 ? PaintStage::painted : stage));
    specs.push_back(spec);
  }
  return paints;
}

namespace {

Shaded mean(Shaded paper, Shaded compound, double cover) {
  return {(1 - cover) * paper.luminance + cover * compound.luminance, paper.flat};
}

}  // namespace

Shaded shade_from_scene(const Scene& scene, int surface, dvec2 p, dvec3 eye, double footprint) {
  const auto shaded = [&](kernel::SceneKernels k) {
    const auto s = k.shade_point(surface, p, eye, footprint, k.field_light(surface, p));
    return Shaded{s.luminance, s.flat_luminance};
  };
  const Shaded paper = shaded(kernels_of(scene));
  if (scene.over_compound.empty()) return paper;
  const double cover = kernels_of(scene).scene_relief(surface, p, footprint).cover;
  return cover > 0 ? mean(paper, shaded(kernels_over_compound(scene)), cover) : paper;
}

Hit trace(const Scene& scene, dvec3 from, dvec3 direction) {
  kernel::SceneKernels k = kernels_of(scene);
  const auto h = k.scene_trace(from, glm::normalize(direction));
  Hit hit;
  if (h.kind == 0) return hit;
  hit.surface = h.surface;
  hit.window = h.kind >= 2 && h.kind <= 4 ? h.window : -1;
  hit.p = h.p;
  hit.distance = h.range;
  hit.outside = h.kind == 4;
  return hit;
}

Shaded luminance_along(const Scene& scene, dvec3 from, dvec3 direction, double footprint_angle) {
  const dvec3 w = glm::normalize(direction);
  const auto shaded = [&](kernel::SceneKernels k) {
    const auto s = k.luminance_of_ray(from, w, footprint_angle);
    return Shaded{s.luminance, s.flat_luminance};
  };
  kernel::SceneKernels k = kernels_of(scene);
  const Shaded paper = shaded(k);
  if (scene.over_compound.empty()) return paper;
  const auto hit = k.scene_trace(from, w);
  if (hit.kind != 1 || !k.has_field(hit.surface)) return paper;
  const double cover = k.scene_relief(hit.surface, hit.p, footprint_angle * hit.range).cover;
  return cover > 0 ? mean(paper, shaded(kernels_over_compound(scene)), cover) : paper;
}

}  // namespace rakelight
