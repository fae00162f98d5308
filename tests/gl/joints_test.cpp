// Picture and findings never disagree: at every joint that assess reports on the demo, the picture's L / L_flat − 1
// equals the reported contrast.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <fmt/format.h>

#include "assess/assess.h"
#include "draw/draw.h"
#include "kernel/scene.h"
#include "job/read.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

std::unique_ptr<Study> study_of(const std::string& file) {
  std::ifstream in(RAKELIGHT_SOURCE_DIR "/assets/demo/" + file);
  const JobText text(std::string(std::istreambuf_iterator<char>(in), {}));
  Diagnostics diagnostics;
  const auto job = read_job(text, diagnostics);
  REQUIRE(job);
  auto study = make_study(*job, diagnostics);
  REQUIRE(study);
  return study;
}

/// The picture's contrast where a joint's own was reported: a strip of 9 × 9 pixels, each as large as one cell of the
/// section, with the reported place in the middle of its middle pixel.
double pictured_contrast(Headless& context, const Study& study, const Scene& scene, int surface, const JointResult& joint, const Seen& seen) {
  const JointLine& line = joint.joint.line;
  const double lap = joint.joint.figures.lap_width;
  const double cell = lap > 0 ? std::min(1e-3, lap / 4) : 1e-3;
  const dvec2 at = line.from + seen.station * line.along() + seen.offset * line.across();
  View view;
  view.kind = View::Kind::square_on;
  view.surface = surface;
  view.width = view.height = 9;
  view.region = {at - dvec2(4.5 * cell), at + dvec2(4.5 * cell)};
  view.eye = study.viewers[seen.viewer].eye;
  const Image both = render_both(context, scene, view);
  return both.at(4, 4, 0) / both.at(4, 4, 1) - 1.0;
}

/// Returns how many were compared. `apart`: the largest difference, and `beside_a_face` within 0.1 m of a face's edge or an opening's.
int compare_all(const std::string& file, double apart, double beside_a_face) {
  test::Validated found("picture against findings: contrast at every reported joint of " + file, "assess",
                        fmt::format("{} points, {} beside the next face", 100 * apart, 100 * beside_a_face), " points", 100);
  const auto study = study_of(file);
  const Assessment assessment = assess(*study);
  Headless context;
  int compared = 0;
  std::map<std::pair<int, int>, Scene> scenes;
  std::vector<Lighting> kept;  // a scene copies its rows, but the lighting must outlive its making
  for (const SurfaceResult& surface : assessment.surfaces)
    for (const JointResult& joint : surface.joints) {
      if (joint.worst < 0) continue;
      const Seen& seen = joint.seen[joint.worst];
      const auto key = std::pair(surface.surface, seen.moment);
      if (!scenes.count(key)) {
        LightDetail detail;
        detail.fields = {surface.surface};
        detail.grid = 0.025;
        kept.push_back(make_lighting(study->job, study->room, make_basis(study->job, study->room, detail), study->moments[seen.moment]));
        scenes[key] = make_scene(study->room, kept.back(), make_reliefs(*study), study->paints);
      }
      const double pictured = pictured_contrast(context, *study, scenes[key], surface.surface, joint, seen);
      INFO(joint.joint.line.id << " " << study->moments[seen.moment].name << " from " << study->viewers[seen.viewer].name);
      const Rect box = study->room.surfaces[surface.surface].box;
      const dvec2 at = joint.joint.line.from + seen.station * joint.joint.line.along() + seen.offset * joint.joint.line.across();
      const dvec2 inside = glm::min(at - box.lo, box.hi - at);
      bool beside = std::min(inside.x, inside.y) < 0.1;
      // a reveal is a face too
      for (const Window& w : study->room.windows) {
        const dvec2 off = glm::max(glm::max(w.opening.lo - at, at - w.opening.hi), dvec2(0));
        beside = beside || (w.surface == surface.surface && glm::length(off) < 0.1);
      }
      CHECK(found.near(pictured, seen.contrast) == Approx(seen.contrast).margin(beside ? beside_a_face : apart));
      ++compared;
    }
  return compared;
}

}  // namespace

// 0.05 points: what the display's dither can carry, and a twentieth of the least step that anybody sees
TEST_CASE("at each reported joint the picture's contrast is the reported one") { CHECK(compare_all("home.toml", 5e-4, 5e-4) >= 15); }

// 0.1 points, since one of its walls is lit edge-on and by bounced light alone, which pictures take from a grid of 25 mm;
// 0.6 beside the next face or a reveal, where that light turns within less than the grid's step
TEST_CASE("so it is at corners, beads, spots and strips over fixings", "[long]") { CHECK(compare_all("kinds.toml", 1e-3, 6e-3) >= 25); }

// pixels with an edge are drawn by the table of sheen alone, also where it does not hold
TEST_CASE("where a bead meets a window's reveal a picture's edge keeps what tilting adds") {
  const auto study = study_of("kinds.toml");
  const int street = study->room.find("street");
  const auto named = [](const auto& all, const std::string& name) { return static_cast<std::size_t>(std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; }) - all.begin()); };
  const std::size_t moment = named(study->moments, "downlight after dark"), doorway = named(study->viewers, "doorway");
  REQUIRE(moment < study->moments.size());
  REQUIRE(doorway < study->viewers.size());
  LightDetail detail;
  detail.fields = {street};
  detail.grid = 0.025;
  const Lighting lighting = make_lighting(study->job, study->room, make_basis(study->job, study->room, detail), study->moments[moment]);
  const Scene scene = make_scene(study->room, lighting, make_reliefs(*study), study->paints);
  const dvec2 at(0.2995, 2.06);
  const double cell = 1e-3;
  View view;
  view.kind = View::Kind::square_on;
  view.surface = street;
  view.width = view.height = 9;
  view.region = {at - dvec2(4.5 * cell), at + dvec2(4.5 * cell)};
  view.eye = study->viewers[doorway].eye;
  Headless context;
  const Image both = render_both(context, scene, view);
  kernel::SceneKernels k{scene.rows.data()};
  const auto shaded = k.shade_point(street, at, view.eye, cell, k.field_light(street, at));
  const double pictured = both.at(4, 4, 0) / both.at(4, 4, 1) - 1, expected = shaded.luminance / shaded.flat_luminance - 1;
  // the pixel's own half millimetre beyond the bead is the reveal's
  INFO(pictured << " " << expected);
  CHECK(expected < -0.005);
  CHECK(std::abs(pictured - expected) < 0.006);
}
