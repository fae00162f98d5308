#include "report/picture_views.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "draw/camera.h"
#include "draw/room_details.h"
#include "base/units.h"
#include "report/paper_parts.h"
#include "report/report.h"

namespace rakelight {
namespace {

constexpr double most_nodes = 60000;         // of the light's grids: what they weigh is bounded, however large the room is
constexpr int room_width = 1200, room_height = 640, wall_width = 1000;

Lighting light_for(const Study& study, int moment, const std::vector<int>& faces) {
  LightDetail detail;
  detail.fields = faces;
  double area = 0;
  for (const int face : faces) {
    const Rect& box = study.room.surfaces[static_cast<std::size_t>(face)].box;
    area += box.width() * box.height();
  }
  detail.grid = std::max(detail.grid, std::sqrt(area / most_nodes));
  return make_lighting(study.job, study.room, with_fields(study.job, study.room, *study.basis, detail), study.moments[static_cast<std::size_t>(moment)]);
}

/// The most that shades may be multiplied by and still be told from each other.
double amplification(double contrast) {
  for (double n : {5.0, 2.0})
    if (contrast * n <= 0.35) return n;
  return 1;
}

}  // namespace

std::string moment_caption(const Moment& m) {
  std::string text = m.name;
  if (!m.at_text.empty() && m.at_text != m.name) text += " · " + m.at_text;
  text += m.sky.dark ? " · lamps only" : " · " + m.sky_text + " sky";
  if (m.sky.sun_up) text += fmt::format(" · sun {}° high", fixed_text(m.sky.sun.apparent_altitude * deg_per_rad, 1));
  return text;
}

PaperPictures paper_pictures(Headless& context, const Study& study, const Assessment& assessment, const Advice& advice) {
  PaperPictures out;
  const SurfaceResult* face = worst_face(assessment);
  if (!face) {
    out.why_none = "No joint is in sight at the times and places looked at, so there is nothing to picture.";
    return out;
  }
  const JointResult& worst = *face->worst();
  const Seen& seen = worst.seen[static_cast<std::size_t>(worst.worst)];
  const Viewer& viewer = study.viewers[static_cast<std::size_t>(seen.viewer)];
  const std::string moment = moment_caption(study.moments[static_cast<std::size_t>(seen.moment)]);
  {
    View view;
    view.kind = View::Kind::perspective;
    view.eye = viewer.eye;
    view.target = viewer.target;
    // the inspection position looks at a wall alone: the room is seen from the first place that is none
    std::size_t stand = static_cast<std::size_t>(seen.viewer);
    for (std::size_t v = 0; study.viewers[stand].only_surface >= 0 && v < study.viewers.size(); ++v)
      if (study.viewers[v].only_surface < 0) stand = v;
    view.eye = study.viewers[stand].eye;
    view.target = study.viewers[stand].target;
    view.width = room_width;
    view.height = room_height;
    std::vector<int> faces;
    for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) faces.push_back(s);
    const Lighting lighting = light_for(study, seen.moment, faces);
    const Scene scene = make_scene(study.room, lighting, make_reliefs(study), study.paints);
    Image both = render_both(context, scene, view);
    const double white = exposure_of(scene, both);
    const Camera camera = camera_of(scene, view);
    const std::optional<dvec2> figure = figure_place(both, camera, study.room);
    draw_fittings(both, camera, study.job, study.room);
    if (figure) draw_figure(both, camera, *figure);
    out.room.image = display(luminance_of(both, view), white);
    out.room.alt = "The room at " + moment;
    out.room_caption = fmt::format("The room as asked, seen {}: {}. Contrast true, white = {} cd/m².", stand_text(study, static_cast<int>(stand)), moment, fixed_text(white, 0));
    if (figure) out.room_caption += " The figure, 1.75 m tall, stands there for scale.";
  }
  const SurfaceAdvice* offered = nullptr;
  for (const SurfaceAdvice& a : advice.surfaces)
    if (a.surface == face->surface) offered = &a;
  if (!offered) return out;
  const Surface& surface = study.room.surfaces[static_cast<std::size_t>(face->surface)];
  const double aspect = (surface.box.hi.x - surface.box.lo.x) / std::max(0.1, surface.box.hi.y - surface.box.lo.y);
  const int height = std::clamp(static_cast<int>(std::lround(wall_width / std::clamp(aspect, 1.6, 3.2))), 16, wall_width);
  View view = square_on_view(study.room, face->surface, viewer.eye, wall_width, height);
  out.amplify = view.amplify = amplification(std::abs(seen.contrast));
  const Lighting lighting = light_for(study, seen.moment, {face->surface});
  std::vector<Image> luminances;
  double white = 0;
  const std::vector<int> shown = offers(*offered);
  for (const int i : shown) {
    const Finish& finish = offered->options[static_cast<std::size_t>(i)].finish;
    const Scene scene = make_scene(study.room, lighting, make_reliefs(study, face->surface, finish), study.paints);
    Image both = render_both(context, scene, view);
    white = std::max(white, exposure_of(scene, both));
    draw_fittings(both, camera_of(scene, view), study.job, study.room);
    luminances.push_back(luminance_of(both, view));
  }
  for (std::size_t k = 0; k < shown.size(); ++k) {
    const std::string name = level_text(study, face->surface, offered->options[static_cast<std::size_t>(shown[k])].finish);
    out.levels.push_back({display(luminances[k], white), name, fmt::format("The {} at {}, {}", face_text(study, face->surface), moment, name)});
  }
  out.levels_caption = fmt::format("The {}, square on, shaded as seen {}: {}. {}", face_text(study, face->surface), stand_text(study, seen.viewer), moment,
                                   out.amplify == 1 ? "Contrast true." : fmt::format("SHADE OF JOINTS ×{} FOR PRINT: in the room it is that much weaker.", number_text(out.amplify)));
  return out;
}

}  // namespace rakelight
