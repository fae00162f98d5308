// render and compare: pictures, maps and films through a headless OpenGL context.
#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <limits>
#include <locale>
#include <optional>
#include <ostream>
#include <sstream>

#include "base/text.h"
#include "base/units.h"
#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "draw/draw.h"
#include "draw/room_details.h"
#include "draw/screen_true.h"
#include "report/film.h"
#include "report/map.h"
#include "report/report.h"

namespace rakelight {
namespace {

bool ends_with(const std::string& text, const std::string& end) { return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0; }

/// The room's basis with field grids where the picture will look.
std::shared_ptr<const LightBasis> picture_basis(const Study& study, const View& view) {
  LightDetail detail;
  if (view.kind == View::Kind::square_on) detail.fields = {view.surface};
  else
    for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) detail.fields.push_back(s);
  return with_fields(study.job, study.room, *study.basis, detail);
}

Lighting picture_light(const Study& study, int moment, const View& view) {
  return make_lighting(study.job, study.room, picture_basis(study, view), study.moments[moment]);
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

std::vector<std::string> caption_of(const Study& study, const std::string& place, const Moment& moment, double white, double amplify) {
  std::vector<std::string> lines{fmt::format("{} · {}", *study.job.title, place), moment_text(moment), display_text(white, amplify)};
  if (study.stage != PaintStage::painted) lines.insert(lines.begin(), stage_caution(study.stage));
  return lines;
}

/// "600,345,250" as distance, width and white.
ScreenPlace parse_screen(const std::string& text) {
  double d = 0, w = 0, b = 0;
  char c1 = 0, c2 = 0, rest = 0;
  std::istringstream in(text);
  in.imbue(std::locale::classic());
  if (!(in >> d >> c1 >> w >> c2 >> b) || c1 != ',' || c2 != ',' || (in >> rest) || d < 100 || d > 10000 || w < 50 || w > 10000 || b < 10 || b > 10000)
    throw Failure(Exit::usage, fmt::format("--screen-true {}: D,W,B: distance 100 to 10000 mm, the picture's width 50 to 10000 mm, white 10 to 10000 cd/m², such as 600,345,250\n", text));
  return {d * m_per_mm, w * m_per_mm, b};
}

/// Where somebody stands in a picture for scale, if that was asked for and there is such a place.
std::optional<dvec2> figure_in(const Image& both, const Camera& camera, const Study& study, bool asked, const Streams& streams) {
  const std::optional<dvec2> place = asked ? figure_place(both, camera, study.room) : std::nullopt;
  if (asked && !place) streams.err << "nobody can stand in this picture without being cut off or too near: it has no figure\n";
  return place;
}

/// Puts in what is there for the eye alone.
void dress(Image& both, const Camera& camera, const Study& study, const std::optional<dvec2>& figure) {
  draw_fittings(both, camera, study.job, study.room);
  if (figure) draw_figure(both, camera, *figure);
}

void refuse_figure(const View& view) {
  if (view.kind == View::Kind::square_on) throw Failure(Exit::usage, "--figure stands in a picture from a viewer: leave --surface out\n");
}

/// Draws stipple if that was asked for and some paint has one.
void take_stipple(View& view, bool asked, const Study& study, const Streams& streams) {
  view.stipple = asked && std::any_of(study.paints.begin(), study.paints.end(), [](const Paint& p) { return !p.stipple.empty(); });
  if (asked && !view.stipple) streams.err << "no paint of this job has a stipple: \"applied\", \"texture\" or \"lining\" in [surface.paint] say what grain a face has\n";
}

/// What else is in a picture.
std::string extras_text(const View& view, bool figure) {
  return std::string(figure ? " · figure 1.75 m" : "") + (view.stipple ? " · stipple, its pattern invented" : "");
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
  require_picture_name(options.view.output, options.screen.empty());
  std::optional<ScreenPlace> screen;
  if (!options.screen.empty()) {
    screen = parse_screen(options.screen);
    if (options.amplify != 1) throw Failure(Exit::usage, "--screen-true and --amplify both change contrast: take one\n");
  }
  const std::unique_ptr<Study> study = load_study(options.view.job, streams, *stage_named(options.view.stage));
  const int moment = find_moment(*study, options.view.moment);
  View view = make_view(*study, options.view);
  view.amplify = options.amplify;
  take_stipple(view, options.view.stipple, *study, streams);
  const std::string viewer = options.view.viewer.empty() ? study->viewers.front().name : options.view.viewer;
  const std::string place = place_text(*study, view, viewer);
  if (streams.verbosity > 0) streams.err << fmt::format("{} · {}\n", place, moment_text(study->moments[moment]));
  const bool exr = ends_with(options.view.output, ".exr");
  if (options.figure && exr) throw Failure(Exit::usage, "--figure stands in a .png: an .exr has what is predicted alone\n");
  if (options.figure) refuse_figure(view);
  const Lighting lighting = picture_light(*study, moment, view);
  const Scene scene = make_scene(study->room, lighting, make_reliefs(*study), study->paints);
  Canvas canvas(streams);
  Image both = render_both(*canvas.context, scene, view);
  // luminances are of what is predicted, without what is put in for the eye
  if (exr) return save(options.view.output, exr_bytes(luminance_of(both, view)), streams);
  const double white = exposure_of(scene, both);
  const Camera camera = camera_of(scene, view);
  const std::optional<dvec2> figure = figure_in(both, camera, *study, options.figure, streams);
  dress(both, camera, *study, figure);
  if (screen) {
    const Image shown = screen_true(both, degrees_per_pixel(study->room, view), *screen, white);
    std::vector<std::string> caption = caption_of(*study, place, study->moments[moment], white, 1);
    caption.front() += extras_text(view, figure.has_value());
    caption.back() = fmt::format("SCREEN-TRUE: relief as easily seen as on site from {} mm at {} mm wide, white {} cd/m² · white = {} cd/m² on site · a prediction, not an acceptance ruling",
                                 number_text(std::round(screen->distance * mm_per_m)), number_text(std::round(screen->width * mm_per_m)), number_text(screen->white), number_text(std::round(white)));
    return save(options.view.output, png_bytes(with_caption(display(shown, white), caption)), streams);
  }
  const Image luminance = luminance_of(both, view);
  std::vector<std::string> caption = caption_of(*study, place, study->moments[moment], white, view.amplify);
  caption.front() += extras_text(view, figure.has_value());
  save(options.view.output, png_bytes(with_caption(display(luminance, white), caption)), streams);
}

namespace {

/// The shade of each pixel of a face seen square on, cell by cell.
Map shade_map(const Study& study, int surface, int moment, int nx, int ny, const Streams& streams) {
  Map map;
  map.kind = MapKind::shade;
  map.surface = surface;
  map.box = study.room.surfaces[surface].box;
  map.nx = nx;
  map.ny = ny;
  View view;
  view.kind = View::Kind::square_on;
  view.surface = surface;
  view.region = map.box;
  view.eye = square_on_eye(study, surface);
  view.target = study.room.surfaces[surface].frame.world_from_surface(0.5 * (map.box.lo + map.box.hi));
  view.width = nx;
  view.height = ny;
  const Lighting lighting = picture_light(study, moment, view);
  const Scene scene = make_scene(study.room, lighting, make_reliefs(study), study.paints);
  Canvas canvas(streams);
  const Image both = render_both(*canvas.context, scene, view);
  map.value.assign(static_cast<std::size_t>(nx) * ny, std::numeric_limits<double>::quiet_NaN());
  for (int j = 0; j < ny; ++j)
    for (int i = 0; i < nx; ++i) {
      const int row = ny - 1 - j;
      const float flat = both.at(i, row, 1);
      if (flat > 0 && is_bare_face(study.room, surface, map.middle(i, j)))
        map.value[static_cast<std::size_t>(j) * nx + i] = static_cast<double>(both.at(i, row, 0)) / flat - 1;
    }
  return map;
}

}  // namespace

void map_command(const RenderOptions& options, const Streams& streams) {
  const ViewOptions& view = options.view;
  const bool table = ends_with(view.output, ".csv");
  if (!table && !ends_with(view.output, ".png")) throw Failure(Exit::usage, fmt::format("{}: a map's name ends in .png or .csv\n", view.output));
  if (view.surface.empty()) throw Failure(Exit::usage, "a map is of one face: name it with --surface\n");
  if (options.amplify != 1) throw Failure(Exit::usage, "a map tells figures as they are: leave --amplify out\n");
  if (view.width < least_map_width || view.height < least_map_height)
    throw Failure(Exit::usage, fmt::format("--size {}x{}: a map needs {}x{} for its words\n", view.width, view.height, least_map_width, least_map_height));
  const std::unique_ptr<Study> study = load_study(view.job, streams, *stage_named(view.stage));
  const MapKind kind = *map_named(options.map);
  const int surface = find_surface(study->room, view.surface), moment = find_moment(*study, view.moment);
  const Surface& face = study->room.surfaces[surface];
  if (face.spec < 0) throw Failure(Exit::usage, fmt::format("nothing is boarded on \"{}\": there is no [[surface]] of it\n", view.surface));
  const dvec2 room = map_room(view.width, view.height);
  // a table's cells are 50 mm wide, a picture's one pixel
  const double cell = table ? 0.05 : std::max(face.box.width() / room.x, face.box.height() / room.y);
  const int nx = std::max(1, static_cast<int>(face.box.width() / cell + 0.5)), ny = std::max(1, static_cast<int>(face.box.height() / cell + 0.5));
  const Map map = kind == MapKind::shade ? shade_map(*study, surface, moment, nx, ny, streams) : make_map(*study, surface, moment, kind, cell);
  if (table) return save(view.output, map_csv(map), streams);
  const Finish finish = requested_finish(*study, surface);
  std::vector<std::string> heading{fmt::format("{} · {}{} · level {}, {}", *study->job.title, face.name, face.kind == Surface::Kind::wall ? " wall" : "", finish.level,
                                               run_text(study->room, surface, finish.run))};
  std::string below = study->stage == PaintStage::painted ? "" : stage_caution(study->stage);
  if (kind != MapKind::relief && kind != MapKind::slope) below = moment_text(study->moments[moment]) + (below.empty() ? "" : " · " + below);
  heading.push_back(below);
  save(view.output, png_bytes(map_picture(*study, map, heading, view.width, view.height)), streams);
}

void film_command(const RenderOptions& options, const Streams& streams) {
  if (!ends_with(options.view.output, ".webp")) throw Failure(Exit::usage, fmt::format("{}: a film's name ends in .webp\n", options.view.output));
  const std::unique_ptr<Study> study = load_study(options.view.job, streams, *stage_named(options.view.stage));
  MomentSpec like;
  like.sky = SkyName::clear;
  if (!options.view.moment.empty()) {
    const auto& all = study->job.moments;
    const auto found = std::find_if(all.begin(), all.end(), [&](const MomentSpec& m) { return *m.name == options.view.moment; });
    // find_moment has the words for a name that is none
    if (found == all.end()) find_moment(*study, options.view.moment);
    else like = *found;
    if (*like.sky == SkyName::none) throw Failure(Exit::usage, fmt::format("moment \"{}\" has lamps alone: nothing moves\n", options.view.moment));
  }
  const auto instant = [&](const std::string& time, const char* option) {
    Diagnostics diagnostics;
    const auto moment = moment_at(study->job, time, diagnostics);
    if (moment) return moment->jd_ut;
    std::string message = fmt::format("{} {}:\n", option, time);
    for (const Diagnostic& d : diagnostics.all()) message += fmt::format("  {}{}{}\n", d.wrong, d.right.empty() ? "" : ": ", d.right);
    throw Failure(Exit::usage, message);
  };
  const double from = instant(options.from, "--from"), to = instant(options.to, "--to");
  if (to <= from) throw Failure(Exit::usage, fmt::format("--to {} is not after --from {}\n", options.to, options.from));

  View view = make_view(*study, options.view);
  view.amplify = options.amplify;
  take_stipple(view, options.view.stipple, *study, streams);
  if (options.figure) refuse_figure(view);
  const std::string place = place_text(*study, view, options.view.viewer.empty() ? study->viewers.front().name : options.view.viewer);
  const auto basis = picture_basis(*study, view);
  const std::vector<Relief> reliefs = make_reliefs(*study);
  Canvas canvas(streams);
  std::vector<Moment> moments;
  for (int k = 0; k < options.frames; ++k) {
    Diagnostics diagnostics;
    auto moment = moment_like(study->job, like, from + (to - from) * k / (options.frames - 1), diagnostics, study->climate ? &*study->climate : nullptr);
    if (!moment) throw Failure(Exit::bad_input, diagnostics.to_text(options.view.job, ""));
    moment->name = moment->at_text;
    moments.push_back(*std::move(moment));
  }
  // twice through: one exposure for all must be known before the first is shown, and all pictures at once may be too many
  double white = 0;
  const auto scene_at = [&](const Moment& moment) {
    return make_scene(study->room, make_lighting(study->job, study->room, basis, moment), reliefs, study->paints);
  };
  for (const Moment& moment : moments) white = std::max(white, exposure_for(*canvas.context, scene_at(moment), view));
  std::unique_ptr<Film> film;
  int height = 0;
  std::optional<dvec2> figure;
  for (int k = 0; k < options.frames; ++k) {
    const Scene scene = scene_at(moments[k]);
    const Camera camera = camera_of(scene, view);
    Image both = render_both(*canvas.context, scene, view);
    // whoever stands there stays
    if (k == 0) figure = figure_in(both, camera, *study, options.figure, streams);
    dress(both, camera, *study, figure);
    std::vector<std::string> caption = caption_of(*study, place, moments[k], white, view.amplify);
    caption.front() += extras_text(view, figure.has_value());
    Image frame = with_caption(display(luminance_of(both, view), white), caption);
    // room for a caption that takes a line more later
    if (!film) height = frame.height + frame.width / 40;
    if (!film) film = std::make_unique<Film>(frame.width, height, options.frame_ms);
    const float strip = frame.pixels.back();
    frame.height = height;
    frame.pixels.resize(static_cast<std::size_t>(frame.width) * height * frame.channels, strip);
    film->add(frame);
    if (streams.verbosity > 0) streams.err << fmt::format("{} of {}: {}\n", k + 1, options.frames, moment_text(moments[k]));
  }
  save(options.view.output, film->bytes(), streams);
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
  take_stipple(view, options.view.stipple, *study, streams);
  if (options.figure) refuse_figure(view);
  const std::string place = place_text(*study, view, viewer >= 0 ? study->viewers[viewer].name : "");
  if (streams.verbosity > 0) streams.err << fmt::format("{} · {}\n", place, moment_text(study->moments[moment]));

  const Lighting lighting = picture_light(*study, moment, view);
  Canvas canvas(streams);
  std::vector<Image> luminances;
  std::vector<std::string> headings;
  double white = 0;
  std::optional<dvec2> figure;
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
    Image both = render_both(*canvas.context, scene, view);
    white = std::max(white, exposure_of(scene, both));
    const Camera camera = camera_of(scene, view);
    // in the same place in every picture
    if (luminances.empty()) figure = figure_in(both, camera, *study, options.figure, streams);
    dress(both, camera, *study, figure);
    luminances.push_back(luminance_of(both, view));
  }
  std::vector<Image> pictures;
  for (const Image& luminance : luminances) pictures.push_back(display(luminance, white));
  std::vector<std::string> caption = caption_of(*study, place, study->moments[moment], white, view.amplify);
  caption.front() += extras_text(view, figure.has_value());
  save(options.view.output, png_bytes(with_caption(side_by_side(pictures, headings), caption)), streams);
}

}  // namespace rakelight
