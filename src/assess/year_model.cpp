// What the tables of a year say at one place of the sun.
#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "assess/looks.h"
#include "assess/year_parts.h"
#include "base/units.h"
#include "sight/sight.h"

namespace rakelight {
namespace {


double between(const std::array<float, cut_nodes>& values, double share) {
  const double at = std::clamp(share, 0.0, 1.0) * (cut_nodes - 1);
  const std::size_t i = std::min(static_cast<std::size_t>(at), cut_nodes - 2);
  const double t = at - static_cast<double>(i);
  return (1 - t) * values[i] + t * values[i + 1];
}

}  // namespace

SunNow YearModel::Parts::now(DaySun::Place place) const {
  SunNow n;
  n.sun = DaySun::position(latitude, place);
  if (n.sun.altitude < -17 * rad_per_deg) n.sun.altitude = n.sun.apparent_altitude = -17 * rad_per_deg;
  n.towards = sun_direction(site, n.sun);
  n.level = sky_level(site, n.sun, sky_type);
  double sum = 0;
  for (std::size_t i = 0; i < held.size(); ++i) {
    const dvec3 off = direction_of(place) - held[i];
    const double d2 = glm::dot(off, off) + 1e-4;
    sum += n.held[i] = 1 / (d2 * d2);  // after Shepard 1968
  }
  for (double& w : n.held) w /= sum > 0 ? sum : 1;
  n.over_skyline = n.level.direct_normal > 0 ? sun_over_skyline(around, n.towards) : 0;
  return n;
}

SkyState YearModel::Parts::sky_of(const SunNow& now) const {
  SkyState sky;
  sky.dark = false;
  sky.sun_up = now.level.direct_normal > 0;
  sky.sun = now.sun;
  sky.sun_direction = now.towards;
  sky.direct_normal = now.level.direct_normal;
  static_cast<Outskirts&>(sky) = around;
  return sky;
}

LightVector YearModel::Parts::smooth(DaySun::Place place, const SunNow& now, int spot) const {
  std::array<float, 3> sky{}, bounced{}, beam{};
  fast_sky.find(fast, place, 3 * spot, 3, sky.data());
  bounce.find(middling, place, 3 * spot, 3, bounced.data());
  const double diffuse = now.diffuse(), direct = now.direct();
  if (direct > 0) beam_bounce.find(beams, place, 3 * spot, 3, beam.data());
  return {diffuse * (sky[0] + bounced[0]) + direct * beam[0], diffuse * (sky[1] + bounced[1]) + direct * beam[1],
          std::max(0.0, diffuse * (sky[2] + bounced[2]) + direct * beam[2])};
}

LightVector YearModel::Parts::total(DaySun::Place place, int spot) const {
  const SunNow n = now(place);
  if (n.level.total <= 0) return {};
  const Spot& s = spots[spot];
  LightVector e = smooth(place, n, spot);
  if (n.over_skyline <= 0) return e;
  const Frame& frame = study->room.surfaces[surfaces[s.face]].frame;
  const dvec3 sun = frame.surface_direction(n.towards);
  if (sun.z <= -kernel::sun_radius()) return e;
  const double lux = SunBeams(study->room, sky_of(n), glazing).at(s.world, -1).normal_illuminance;
  const double facing = kernel::disc_terminator(std::asin(std::clamp(sun.z, -1.0, 1.0)), kernel::sun_radius());
  e += LightVector{lux * sun.x, lux * sun.y, lux * facing};
  return e;
}

Sunlit YearModel::Parts::sunlit(const SunNow& now, const SunBeams& sun, const Spot& spot) const {
  Sunlit lit;
  if (glm::dot(study->room.surfaces[surfaces[spot.face]].frame.n, now.towards) <= -kernel::sun_radius()) return lit;
  const auto at = [&](double u) { return sun.at(spot.world + u * spot.across, -1).normal_illuminance; };
  const double left = at(spot.lo), right = at(spot.hi), ends = std::max(left, right);
  if (std::min(left, right) >= 0.99 * ends) {
    lit.beam = left > 0 ? 0.5 * (left + right) : at(0);
    return lit;
  }
  lit.beam = ends;
  lit.side = left > right ? -1 : 1;
  double lo = 0, hi = 1;
  for (int i = 0; i < 7; ++i) {
    const double middle = 0.5 * (lo + hi);
    const bool bright = at(spot.lo + middle * (spot.hi - spot.lo)) > 0.5 * ends;
    (bright == (lit.side < 0) ? lo : hi) = middle;
  }
  lit.edge = 0.5 * (lo + hi);
  return lit;
}

SlopeAnswer YearModel::Parts::answer(const SpotView& view, SlopeLight smooth, SlopeLight sun, const Sunlit& lit, double veil) const {
  SlopeLight bright = smooth;
  bright += sun;
  const double share = lit.side == 0 ? 1 : lit.side < 0 ? lit.edge : 1 - lit.edge;
  const double flat = smooth.flat + share * sun.flat, smooth_change = std::abs(smooth.change);
  if (flat <= darkest) return {};
  double answer = std::abs(bright.change) / bright.flat;
  if (lit.side != 0) {
    const double dark = smooth.flat > 0 ? smooth_change / smooth.flat : 0;
    const auto& of_lit = lit.side < 0 ? view.left : view.right;
    const auto& of_dark = lit.side < 0 ? view.right : view.left;
    answer = std::pow(std::pow(answer * between(of_lit, lit.edge), pooling) + std::pow(dark * between(of_dark, lit.edge), pooling), 1 / pooling);
  }
  // the sun's own part is exact to the first order
  const double near = smooth_change > 0 ? smooth_change / (smooth_change + share * std::abs(sun.change)) : 0;
  return {*study->job.verdict.gain * answer * flat / (flat + veil), flat + veil, near};
}

SunReach::SunReach(const Study& study, const std::vector<int>& surfaces, dvec3 sun) {
  for (const int surface : surfaces) {
    const Frame& face = study.room.surfaces[static_cast<std::size_t>(surface)].frame;
    auto& boxes = boxes_.emplace_back();
    const double up = glm::dot(face.n, sun);
    if (up <= -kernel::sun_radius()) continue;
    for (const Window& w : study.room.windows) {
      const Frame& wall = study.room.surfaces[static_cast<std::size_t>(w.surface)].frame;
      if (glm::dot(wall.n, sun) >= 0) continue;
      if (up <= 3 * kernel::sun_radius()) {
        boxes = {{dvec2(-1e9), dvec2(1e9)}};
        break;
      }
      Rect box{dvec2(1e9), dvec2(-1e9)};
      double longest = 0;
      for (int k = 0; k < 4; ++k) {
        const dvec3 corner = wall.world_from_surface({k % 2 == 0 ? w.opening.lo.x : w.opening.hi.x, k < 2 ? w.opening.lo.y : w.opening.hi.y});
        const double way = face.height_of(corner) / up;
        longest = std::max(longest, std::abs(way));
        const dvec2 p = face.surface_from_world(corner - way * sun);
        box.lo = glm::min(box.lo, p);
        box.hi = glm::max(box.hi, p);
      }
      const double blur = 0.01 + 2.5 * kernel::sun_radius() * longest / up;  // penumbra, thrown slantwise
      boxes.push_back({box.lo - blur, box.hi + blur});
    }
  }
}

bool SunReach::may(int face, dvec2 p, double about) const {
  for (const Rect& box : boxes_[static_cast<std::size_t>(face)])
    if (p.x > box.lo.x - about && p.x < box.hi.x + about && p.y > box.lo.y - about && p.y < box.hi.y + about) return true;
  return false;
}

std::shared_ptr<const LightBasis> year_basis(const Study& study) {
  LightDetail detail;
  detail.patch = 0.5;
  return make_basis(study.job, study.room, detail);
}

YearModel::YearModel(const Study& study, int sky_type, std::shared_ptr<const LightBasis> basis) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.study = &study;
  p.site = study.job.site;
  p.around = outskirts(p.site);
  p.latitude = *p.site.latitude_deg * rad_per_deg;
  p.sky_type = sky_type;
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s)
    if (study.room.surfaces[s].spec >= 0) p.surfaces.push_back(s);
  p.basis = basis ? std::move(basis) : year_basis(study);
  for (const Window& w : study.room.windows) p.glazing.push_back(make_glazing(w));
  make_year_tables(p);
}
YearModel::~YearModel() = default;
YearModel::YearModel(YearModel&&) noexcept = default;

const std::vector<int>& YearModel::surfaces() const { return parts_->surfaces; }
const std::vector<std::vector<PlacedJoint>>& YearModel::joints() const { return parts_->joints; }
const std::vector<double>& YearModel::stations(int face, int joint) const { return parts_->stations[face][joint]; }

namespace {

/// How a view is lit, as far as neighbours must be alike for V to go smoothly between them.
enum class Lit : char { none, whole, edge };

/// The highest V near the highest of a row's, and where: the top of the parabola through ln V there and at the stations beside it.
/// v: of the row's views; lit: of any view of the row.
struct Top { double visibility = 0, along = 0; };
template <class How>
Top top_of(const YearModel::Parts& parts, const ViewRow& row, const float* v, How&& lit) {
  const int best = static_cast<int>(std::max_element(v, v + row.count) - v);
  const auto spot = [&](int i) -> const Spot& { return parts.spots[parts.spot_of[row.first + i]]; };
  const Top top{v[best], spot(best).station};
  if (best == 0 || best + 1 == row.count || std::min(v[best - 1], v[best + 1]) < 0.4f * v[best]) return top;
  const Spot &a = spot(best - 1), &b = spot(best), &c = spot(best + 1);
  const Lit here = lit(best);
  if (a.order + 1 != b.order || b.order + 1 != c.order || a.stretch != b.stretch || c.stretch != b.stretch || here == Lit::edge || lit(best - 1) != here || lit(best + 1) != here) return top;
  const double below = a.station - b.station, above = c.station - b.station;
  const double before = std::log(v[best - 1] / v[best]), after = std::log(v[best + 1] / v[best]);
  const double slope = (before * above / below - after * below / above) / (above - below), bend = (after / above - before / below) / (above - below);
  if (bend >= 0) return top;
  const double to = std::clamp(-slope / (2 * bend), 0.5 * below, 0.5 * above);
  return {v[best] * std::exp(slope * to + bend * to * to), b.station + to};
}

/// What a look finds of every view, and works with.
struct Looking {
  ViewLight light;
  std::vector<float> contrast, luminance, smooth, v;
  std::vector<double> eye_beam;
  std::vector<Sunlit> lit;                   ///< per spot; empty where the sun lies on none
};

}  // namespace

void YearModel::Parts::look(const SunNow& now, const ViewRows& found, std::vector<std::vector<YearLook>>& looks, std::vector<YearLook>* tops) const {
  const SunBeams sun_beams(study->room, sky_of(now), glazing);
  const bool enters = sun_beams.any();
  const double gain = *study->job.verdict.gain;
  thread_local Looking all;
  auto& [light, contrast, luminance, smooth, v, eye_beam, lit] = all;
  light.mix(found, views.size(), now.diffuse(), enters ? now.direct() : 0);
  lit.clear();
  if (enters) {
    const SunReach reach(*study, surfaces, now.towards);
    for (std::size_t s = 0; s < spots.size(); ++s) {
      if (!reach.any(spots[s].face) || !reach.may(spots[s].face, spots[s].p, std::max(-spots[s].lo, spots[s].hi))) continue;
      const Sunlit here = sunlit(now, sun_beams, spots[s]);
      if (here.beam <= 0) continue;
      if (lit.empty()) lit.resize(spots.size());
      lit[s] = here;
    }
    eye_beam.clear();
    for (const Viewer& viewer : study->viewers) eye_beam.push_back(sun_beams.at(viewer.eye, -1).normal_illuminance);
    for (const ViewRow& row : rows) {
      if (eye_beam[row.viewer] <= 0) continue;
      const std::vector<GlareSource> sun{{now.towards, eye_beam[row.viewer], "sun"}};
      for (int k = row.first; k < row.first + row.count; ++k)
        light.veil[k] += static_cast<float>(veil_at(sun, study->viewers[row.viewer].eye, spots[spot_of[k]].world, *study->job.verdict.age));
    }
  }
  light.answers(gain, contrast, luminance);
  smooth.clear();
  if (!lit.empty()) {
    smooth.assign(contrast.size(), 1.0f);
    for (std::size_t k = 0; k < views.size(); ++k) {
      const Sunlit& sun = lit[spot_of[k]];
      if (sun.beam <= 0) continue;
      const SlopeAnswer a = answer(views[k], {light.flat[k], light.change[k]}, views[k].eye.sun(now.towards, sun.beam), sun, light.veil[k]);
      contrast[k] = static_cast<float>(a.contrast);
      luminance[k] = std::max(static_cast<float>(darkest), static_cast<float>(a.luminance));
      smooth[k] = static_cast<float>(a.smooth);
    }
  }
  visible.find(contrast, luminance, smooth, now.held, v);
  if (tops) tops->assign(rows.size(), {});
  for (const ViewRow& row : rows) {
    YearLook& joint = looks[row.face][row.joint];
    const auto how = [&](int i) {
      if (lit.empty()) return Lit::none;
      const Sunlit& sun = lit[spot_of[row.first + i]];
      return sun.side != 0 ? Lit::edge : sun.beam > 0 ? Lit::whole : Lit::none;
    };
    const Top top = top_of(*this, row, v.data() + row.first, how);
    if (tops) (*tops)[static_cast<std::size_t>(&row - rows.data())] = {top.visibility, 0, top.along, row.viewer};
    if (top.visibility <= joint.visibility) continue;
    joint.visibility = top.visibility;
    joint.along = top.along;
    joint.viewer = row.viewer;
  }
}

namespace {

void clear(const YearModel::Parts& parts, std::vector<std::vector<YearLook>>& looks) {
  looks.resize(parts.surfaces.size());
  for (std::size_t f = 0; f < looks.size(); ++f) looks[f].assign(parts.joints[f].size(), {});
}

bool too_dark(const SunNow& now) { return now.level.total <= 0 || now.sun.altitude < lowest_sun; }

void look_once(const YearModel::Parts& p, DaySun::Place place, std::vector<std::vector<YearLook>>& looks, std::vector<YearLook>* tops) {
  clear(p, looks);
  const SunNow now = p.now(place);
  if (too_dark(now)) return;
  const int views = static_cast<int>(p.views.size());
  ViewRows found;
  found.make(p.views.size());
  p.view_sky.find(p.fast, place, 0, 2 * views, found.sky.data());
  p.view_veil.find(p.slow, place, 0, views, found.veil.data());
  if (now.direct() > 0) p.view_beam.find(p.beams, place, 0, 2 * views, found.beam.data());
  p.look(now, found, looks, tops);
}

}  // namespace

void YearModel::look(DaySun::Place place, std::vector<std::vector<YearLook>>& looks) const { look_once(*parts_, place, looks, nullptr); }

std::vector<YearLook> YearModel::Parts::tops(DaySun::Place place, int face, int joint) const {
  std::vector<std::vector<YearLook>> looks;
  std::vector<YearLook> all, own;
  look_once(*this, place, looks, &all);
  for (std::size_t r = 0; r < all.size(); ++r)
    if (rows[r].face == face && rows[r].joint == joint && all[r].visibility > 0) own.push_back(all[r]);
  return own;
}

LightVector YearModel::light(DaySun::Place place, int face, int joint, double along) const {
  const std::vector<double>& at = stations(face, joint);
  if (at.empty()) return {};
  const std::size_t after = static_cast<std::size_t>(std::lower_bound(at.begin(), at.end(), along) - at.begin());
  const int first = parts_->first_spot[face][joint];
  if (after == at.size()) return parts_->total(place, first + static_cast<int>(after) - 1);
  if (after == 0 || at[after] - along < 1e-9) return parts_->total(place, first + static_cast<int>(after));
  const double share = (along - at[after - 1]) / (at[after] - at[after - 1]);
  return (1 - share) * parts_->total(place, first + static_cast<int>(after) - 1) + share * parts_->total(place, first + static_cast<int>(after));
}

DayCourse::DayCourse(const YearModel::Parts& parts, const DaySun& sun, double from) : parts_(parts), sun_(sun), from_(from), hour_from_(sun.place(from).hour_angle) {
  const SunGrid* grids[] = {&parts.fast, &parts.beams, &parts.slow};
  for (std::size_t t = 0; t < 3; ++t) {
    first_[t] = static_cast<int>(std::floor(grids[t]->column_of(hour_from_))) - 1;
    columns_[t].resize(static_cast<std::size_t>(grids[t]->hours()) + grids[t]->hours() / 12 + 6);  // a day of 25 hours
  }
  rows_.make(parts.views.size());
}

void DayCourse::find(std::size_t which, const SunGrid& grid, const SunTable& table, double hour_angle, std::vector<float>& row) {
  const std::size_t width = static_cast<std::size_t>(table.width());
  const SunGrid::Line line = grid.hours_about(grid.column_of(hour_angle));
  std::array<const float*, 4> rows{};
  for (std::size_t i = 0; i < 4; ++i) {
    std::vector<float>& column = columns_[which][static_cast<std::size_t>(line.at[i] - first_[which])];
    if (column.empty()) {
      column.resize(width);
      // when the sun comes by there: its hour angle goes a whole turn a day, within half a minute
      const double then = from_ + (grid.hour_of(line.at[i]) - hour_from_) / (2 * pi);
      table.column(grid, line.at[i], sun_.place(then).declination, 0, table.width(), column.data());
    }
    rows[i] = column.data();
  }
  blend(rows, line, width, table.grouped(), row.data());
}

void DayCourse::look(double jd_ut, std::vector<std::vector<YearLook>>& looks) {
  clear(parts_, looks);
  const DaySun::Place place = sun_.place(jd_ut);
  const SunNow now = parts_.now(place);
  if (too_dark(now)) return;
  const double about = hour_from_ + 2 * pi * (jd_ut - from_);
  const double hour = place.hour_angle + 2 * pi * std::round((about - place.hour_angle) / (2 * pi));
  find(0, parts_.fast, parts_.view_sky, hour, rows_.sky);
  if (now.direct() > 0) find(1, parts_.beams, parts_.view_beam, hour, rows_.beam);
  find(2, parts_.slow, parts_.view_veil, hour, rows_.veil);
  parts_.look(now, rows_, looks);
}

}  // namespace rakelight
