// render and compare: pictures through a headless OpenGL context.
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <ostream>

#include "base/text.h"
#include "base/units.h"
#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "draw/draw.h"
#include "report/report.h"

namespace rakelight {
namespace {

bool ends_with(const std::string& text, const std::string& end) { return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0; }

/// Light of one moment with field grids where the picture will look.
Lighting picture_light(const Study& study, int moment, const View& view) {
  LightDetail detail;
  if (view.kind == View::Kind::square_on) detail.fields = {view.surface};
  else
    for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) detail.fields.push_back(s);
  return make_lighting(study.job, study.room, make_basis(study.job, study.room, detail), study.moments[moment]);
}

int find_viewer(const Study& study, const std::string& name) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < study.viewers.size(); ++i) {
    if (study.viewers[i].name == name) return static_cast<int>(i);
    names.push_back(study.viewers[i].name);
  }
  const std::string near = nearest_word(name, names);
  throw Failure(Exit::usage, fmt::format("nobody named \"{}\" stands in the room{}; viewers: {}\n", name, near.empty() ? "" : fmt::format(": did you mean \"{}\"?", near),
                                         fmt::join(names, ", ")));
}

/// Where a square-on picture's sheen is seen from: the inspection position of that surface, else 2 m off its middle.
dvec3 square_on_eye(const Study& study, int surface) {
  for (const Viewer& viewer : study.viewers)
    if (viewer.only_surface == surface) return viewer.eye;
  const Surface& face = study.room.surfaces[surface];
  return face.frame.world_from_surface(0.5 * (face.box.lo + face.box.hi), 2.0);
}

View perspective_view(const Viewer& viewer, int width, int height) {
  View view;
  view.kind = View::Kind::perspective;
  view.eye = viewer.eye;
  view.target = viewer.target;
  view.width = width;
  view.height = height;
  return view;
}

View make_view(const Study& study, const ViewOptions& options) {
  if (!options.surface.empty()) {
    const int surface = find_surface(study.room, options.surface);
    return square_on_view(study.room, surface, square_on_eye(study, surface), options.width, options.height);
  }
  return perspective_view(study.viewers[options.viewer.empty() ? 0 : find_viewer(study, options.viewer)], options.width, options.height);
}

std::string place_text(const Study& study, const View& view, const std::string& viewer) {
  if (view.kind == View::Kind::square_on) {
    const Surface& face = study.room.surfaces[view.surface];
    return fmt::format("{}{}, square on", face.name, face.kind == Surface::Kind::wall ? " wall" : "");
  }
  return fmt::format("seen from: {}", viewer);
}

std::string moment_text(const Moment& moment) {
  std::string text = moment.name;
  if (!moment.at_text.empty() && moment.at_text != moment.name) text += " · " + moment.at_text;
  text += moment.sky.dark ? " · lamps only" : " · " + moment.sky_text + " sky";
  if (moment.sky.sun_up) text += fmt::format(" · sun {}° high", fixed_text(moment.sky.sun.apparent_altitude * deg_per_rad, 1));
  return text;
}

std::string display_text(double white, double amplify) {
  return fmt::format("white = {} cd/m² · {} · a prediction, not an acceptance ruling", number_text(std::round(white)),
                     amplify == 1 ? "contrast true" : fmt::format("RELIEF SHADE ×{}", number_text(amplify)));
}

std::vector<std::string> caption_of(const Study& study, const std::string& place, int moment, double white, double amplify) {
  std::vector<std::string> lines{fmt::format("{} · {}", *study.job.title, place), moment_text(study.moments[moment]), display_text(white, amplify)};
  if (study.stage != PaintStage::painted) lines.insert(lines.begin(), stage_caution(study.stage));
  return lines;
}

struct Canvas {
  explicit Canvas(const Streams& streams) {
    try {
      context = std::make_unique<Headless>();
    } catch (const std::exception& e) {
      throw Failure(Exit::no_opengl, std::string(e.what()) + "\n");
    }
    if (streams.verbosity > 1) streams.err << context->description() << "\n";
  }
  std::unique_ptr<Headless> context;
};

void save(const std::string& path, const std::string& bytes, const Streams& streams) {
  write_file(path, bytes);
  if (streams.verbosity > 0) streams.err << path << " written\n";
}

void require_picture_name(const std::string& path, bool exr) {
  if (ends_with(path, ".png") || (exr && ends_with(path, ".exr"))) return;
  throw Failure(Exit::usage, fmt::format("{}: a picture's name ends in .png{}\n", path, exr ? " or .exr" : ""));
}

}  // namespace

void render_command(const RenderOptions& options, const Streams& streams) {
  require_picture_name(options.view.output, true);
  const std::unique_ptr<Study> study = load_study(options.view.job, streams, *stage_named(options.view.stage));
  const int moment = find_moment(*study, options.view.moment);
  View view = make_view(*study, options.view);
  view.amplify = options.amplify;
  const std::string viewer = options.view.viewer.empty() ? study->viewers.front().name : options.view.viewer;
  const std::string place = place_text(*study, view, viewer);
  if (streams.verbosity > 0) streams.err << fmt::format("{} · {}\n", place, moment_text(study->moments[moment]));
  const Lighting lighting = picture_light(*study, moment, view);
  const Scene scene = make_scene(study->room, lighting, make_reliefs(*study), study->paints);
  Canvas canvas(streams);
  const Image luminance = render(*canvas.context, scene, view);
  if (ends_with(options.view.output, ".exr")) return save(options.view.output, exr_bytes(luminance), streams);
  const double white = exposure_for(*canvas.context, scene, view);
  const std::vector<std::string> caption = caption_of(*study, place, moment, white, view.amplify);
  save(options.view.output, png_bytes(with_caption(display(luminance, white), caption)), streams);
}

void compare_command(const CompareOptions& options, const Streams& streams) {
  require_picture_name(options.view.output, false);
  const std::unique_ptr<Study> study = load_study(options.view.job, streams, *stage_named(options.view.stage));
  std::vector<std::string> levels = options.levels;
  if (levels.empty())
    for (const Level& level : study->scheme.levels)
      if (level.coats > 0) levels.push_back(level.id);
  for (const std::string& level : levels)
    if (!study->scheme.find(level)) throw Failure(Exit::usage, fmt::format("scheme {} has no level \"{}\"\n", study->scheme.id, level));

  const Assessment assessment = assess(*study);
  const SurfaceResult* shown = nullptr;
  for (const SurfaceResult& result : assessment.surfaces) {
    if (!options.view.surface.empty() && study->room.surfaces[result.surface].name != options.view.surface) continue;
    const JointResult* worst = result.worst();
    const JointResult* best_so_far = shown ? shown->worst() : nullptr;
    if (!shown || (worst && (!best_so_far || worst->seen[worst->worst].judged.visibility > best_so_far->seen[best_so_far->worst].judged.visibility))) shown = &result;
  }
  if (!shown) throw Failure(Exit::usage, options.view.surface.empty() ? "the job has no [[surface]] to compare\n" : fmt::format("nothing is boarded on \"{}\"\n", options.view.surface));
  const JointResult* worst = shown->worst();
  const Seen* seen = worst ? &worst->seen[worst->worst] : nullptr;
  const int moment = options.view.moment.empty() && seen ? seen->moment : find_moment(*study, options.view.moment);

  ViewOptions chosen = options.view;
  int viewer = -1;
  if (!chosen.viewer.empty()) {
    viewer = find_viewer(*study, chosen.viewer);
    chosen.surface.clear();
  } else if (chosen.surface.empty() && seen && study->viewers[seen->viewer].only_surface < 0) {
    viewer = seen->viewer;
  } else {
    chosen.surface = study->room.surfaces[shown->surface].name;
  }
  View view = viewer >= 0 ? perspective_view(study->viewers[viewer], chosen.width, chosen.height) : make_view(*study, chosen);
  view.amplify = options.amplify;
  const std::string place = place_text(*study, view, viewer >= 0 ? study->viewers[viewer].name : "");
  if (streams.verbosity > 0) streams.err << fmt::format("{} · {}\n", place, moment_text(study->moments[moment]));

  const Lighting lighting = picture_light(*study, moment, view);
  Canvas canvas(streams);
  std::vector<Image> luminances;
  std::vector<std::string> headings;
  double white = 0;
  for (const std::string& level : levels) {
    const Finish finish{shown->finish.run, level};
    const SurfaceResult result = assess_surface(*study, shown->surface, finish);
    int shows = 0, faint = 0;
    for (const JointResult& joint : result.joints)
      if (joint.worst >= 0) {
        const Verdict verdict = joint.seen[joint.worst].judged.verdict;
        shows += verdict == Verdict::shows;
        faint += verdict == Verdict::faint;
      }
    headings.push_back(fmt::format("{} · level {} · {} · {} joints: {} show, {} faint", study->room.surfaces[shown->surface].name, level,
                                   run_text(study->room, shown->surface, finish.run), result.joints.size(), shows, faint));
    const Scene scene = make_scene(study->room, lighting, make_reliefs(*study, shown->surface, finish), study->paints);
    luminances.push_back(render(*canvas.context, scene, view));
    white = std::max(white, exposure_for(*canvas.context, scene, view));
  }
  std::vector<Image> pictures;
  for (const Image& luminance : luminances) pictures.push_back(display(luminance, white));
  const std::vector<std::string> caption = caption_of(*study, place, moment, white, view.amplify);
  save(options.view.output, png_bytes(with_caption(side_by_side(pictures, headings), caption)), streams);
}

}  // namespace rakelight
