#include "assess/map.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "assess/looks.h"
#include "assess/search.h"
#include "light/face_light.h"
#include "light/parallel.h"

namespace rakelight {
namespace {

constexpr double stroke_pitch = 0.3, least_ratio = 0.02, station_pitch = 0.05, most_cells = 5000;
constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

constexpr std::array<const char*, 6> names{"relief", "slope", "illuminance", "raking", "shade", "visibility"};

Map empty_map(const Room& room, int surface, MapKind kind, double cell) {
  Map map;
  map.kind = kind;
  map.surface = surface;
  map.box = room.surfaces[surface].box;
  const double side = std::max(cell, std::max(map.box.width(), map.box.height()) / most_cells);
  map.nx = std::max(1, static_cast<int>(std::lround(map.box.width() / side)));
  map.ny = std::max(1, static_cast<int>(std::lround(map.box.height() / side)));
  map.value.assign(static_cast<std::size_t>(map.nx) * map.ny, no_value);
  return map;
}

template <class ValueAt>
void fill(Map& map, const Room& room, ValueAt&& value_at) {
  for_each_index(map.ny, [&](int j) {
    for (int i = 0; i < map.nx; ++i)
      if (const dvec2 p = map.middle(i, j); is_bare_face(room, map.surface, p)) map.value[static_cast<std::size_t>(j) * map.nx + i] = value_at(p);
  });
}

void fill_light(Map& map, const Study& study, int moment) {
  LightDetail detail;
  detail.fields = {map.surface};
  const Lighting lighting = make_lighting(study.job, study.room, with_fields(study.job, study.room, *study.basis, detail), study.moments[moment]);
  const FaceLight light(lighting, map.surface);
  const auto ratio = [](const LightVector& e) { return e.n > 0 ? glm::length(e.tangential()) / e.n : no_value; };
  fill(map, study.room, [&](dvec2 p) {
    const LightVector e = light.at(p);
    return map.kind == MapKind::illuminance ? e.n : ratio(e);
  });
  if (map.kind != MapKind::raking) return;
  const int columns = std::max(1, static_cast<int>(std::lround(map.box.width() / stroke_pitch)));
  const int rows = std::max(1, static_cast<int>(std::lround(map.box.height() / stroke_pitch)));
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < columns; ++i) {
      const dvec2 p = map.box.lo + dvec2((i + 0.5) / columns * map.box.width(), (j + 0.5) / rows * map.box.height());
      if (!is_bare_face(study.room, map.surface, p)) continue;
      const LightVector e = light.at(p);
      if (e.n > 0 && ratio(e) > least_ratio) map.strokes.push_back({p, glm::normalize(e.tangential())});
    }
}

/// V at a station, between those looked at in proportion.
double visibility_at(const SeenAlong& seen, double s) {
  if (seen.station.empty()) return no_value;
  const auto above = std::upper_bound(seen.station.begin(), seen.station.end(), s);
  if (above == seen.station.begin()) return seen.visibility.front();
  if (above == seen.station.end()) return seen.visibility.back();
  const auto i = static_cast<std::size_t>(above - seen.station.begin());
  const double t = (s - seen.station[i - 1]) / (seen.station[i] - seen.station[i - 1]);
  return seen.visibility[i - 1] + t * (seen.visibility[i] - seen.visibility[i - 1]);
}

void fill_visibility(Map& map, const Study& study, int moment) {
  const Finish finish = requested_finish(study, map.surface);
  const Relief relief = finished_relief(study, finished_layout(study, map.surface, finish), map.surface, finish);
  const std::vector<SeenAlong> seen = seen_along(study, map.surface, moment);
  assert(seen.size() == relief.joints.size());
  // where films meet the one seen more is told
  for (const FilmPlace& film : films_of(relief)) {
    const Section& section = relief.joints[static_cast<std::size_t>(film.joint)].section;
    const JointLine& line = relief.joints[static_cast<std::size_t>(film.joint)].line;
    const SeenAlong& along = seen[static_cast<std::size_t>(film.joint)];
    if (along.viewer < 0) continue;
    const dvec2 across{film.along.y, -film.along.x}, end = film.from + film.length * film.along;
    const double reach = std::max(std::abs(section.left), std::abs(section.right));
    const auto cell_of = [&](dvec2 p) {
      return std::array<int, 2>{std::clamp(static_cast<int>((p.x - map.box.lo.x) / map.box.width() * map.nx), 0, map.nx - 1),
                                std::clamp(static_cast<int>((p.y - map.box.lo.y) / map.box.height() * map.ny), 0, map.ny - 1)};
    };
    const auto lo = cell_of(glm::min(film.from, end) - reach), hi = cell_of(glm::max(film.from, end) + reach);
    for (int j = lo[1]; j <= hi[1]; ++j)
      for (int i = lo[0]; i <= hi[0]; ++i) {
        const dvec2 p = map.middle(i, j);
        const double s = glm::dot(p - film.from, film.along), u = glm::dot(p - film.from, across);
        const double past = s - std::clamp(s, 0.0, film.length);
        const bool inside = film.round ? std::hypot(past, u) <= section.right : past == 0 && u >= section.left && u <= section.right;
        if (!inside || !is_bare_face(study.room, map.surface, p)) continue;
        const double v = visibility_at(along, glm::dot(p - line.from, line.along()));
        double& value = map.value[static_cast<std::size_t>(j) * map.nx + i];
        if (!(value >= v)) value = v;
      }
  }
}

}  // namespace

std::string map_name(MapKind kind) { return names[static_cast<std::size_t>(kind)]; }

std::optional<MapKind> map_named(const std::string& name) {
  for (const MapKind kind : all_maps)
    if (map_name(kind) == name) return kind;
  return std::nullopt;
}

double Map::at(dvec2 p) const {
  const int i = std::clamp(static_cast<int>((p.x - box.lo.x) / box.width() * nx), 0, nx - 1);
  const int j = std::clamp(static_cast<int>((p.y - box.lo.y) / box.height() * ny), 0, ny - 1);
  return at(i, j);
}

bool is_bare_face(const Room& room, int surface, dvec2 p) {
  if (!room.surfaces[surface].contains(p)) return false;
  for (const Window& w : room.windows)
    if (w.surface == surface && w.opening.contains(p)) return false;
  for (const Door& d : room.doors)
    if (d.surface == surface && d.opening.contains(p)) return false;
  return true;
}

std::vector<SeenAlong> seen_along(const Study& study, int surface, int moment) {
  const Finish finish = requested_finish(study, surface);
  // where joints are seen best is not left to chance
  const SurfaceResult judged = assess_surface(study, surface, finish, {moment});
  Relief relief;
  for (const JointResult& r : judged.joints) relief.joints.push_back(r.joint);
  const std::vector<int> viewers = viewers_of(study, surface);
  std::vector<SeenAlong> seen(relief.joints.size());
  std::vector<std::vector<Focus>> focus(relief.joints.size());
  for (std::size_t j = 0; j < relief.joints.size(); ++j) {
    std::vector<double> stations;
    for (const auto& [from, to] : clear_stretches(relief, static_cast<int>(j))) {
      const int steps = static_cast<int>(std::ceil((to - from) / station_pitch));
      for (int k = 0; k <= steps; ++k) stations.push_back(steps > 0 ? from + k * (to - from) / steps : from);
    }
    for (const Seen& look : judged.joints[j].seen) stations.push_back(look.station);
    std::sort(stations.begin(), stations.end());
    // a station twice is looked at once
    stations.erase(std::unique(stations.begin(), stations.end(), [](double a, double b) { return b - a < 1e-6; }), stations.end());
    for (const double s : stations)
      for (const int v : viewers) focus[j].push_back({moment, v, s});
  }
  const SurfaceResult result = assess_surface_at(study, surface, finish, focus);
  for (std::size_t j = 0; j < seen.size(); ++j) {
    std::vector<std::array<double, 2>> best;  // station, V
    double most = -1;
    for (const Seen& look : result.joints[j].seen) {
      const double v = look.judged.visibility;
      const auto same = std::find_if(best.begin(), best.end(), [&](const auto& b) { return b[0] == look.station; });
      if (same == best.end()) best.push_back({look.station, v});
      else (*same)[1] = std::max((*same)[1], v);
      if (v > most) {
        most = v;
        seen[j].viewer = look.viewer;
      }
    }
    std::sort(best.begin(), best.end());
    for (const auto& [station, v] : best) {
      seen[j].station.push_back(station);
      seen[j].visibility.push_back(v);
    }
  }
  return seen;
}

Map make_map(const Study& study, int surface, int moment, MapKind kind, double cell) {
  assert(kind != MapKind::shade && study.room.surfaces[surface].spec >= 0);
  Map map = empty_map(study.room, surface, kind, cell);
  if (kind == MapKind::illuminance || kind == MapKind::raking) {
    fill_light(map, study, moment);
  } else if (kind == MapKind::visibility) {
    fill_visibility(map, study, moment);
  } else {
    const Relief relief = make_reliefs(study)[static_cast<std::size_t>(surface)];
    fill(map, study.room, [&](dvec2 p) {
      const ReliefPoint r = relief_at(relief, p);
      return kind == MapKind::relief ? r.h : glm::length(r.slope);
    });
  }
  return map;
}

}  // namespace rakelight
