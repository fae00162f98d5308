// Strips, panels and tabulated lamps: pixels against the same kernels in double.
#include <catch2/catch.hpp>

#include "draw/scene_lacks.h"
#include "gl/agreement.h"
#include "light/photometry.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// The long wall with a joint, lit by a cove strip, a turned lamp with a table and a panel near it.
Scene lamp_scene() {
  Job job = demo_job();
  LampSpec strip = lamp_spec("cove", {0.12, 0.4, 2.5}, 4000, 120, 0.02);
  strip.kind = LampKind::strip;
  strip.to = dvec3(0.12, 5.8, 2.5);
  strip.to.given = true;
  strip.aim = dvec3(-1, 0, -1);
  LampSpec washer = lamp_spec("washer", {0.5, 2, 2.65}, 900, 60);
  washer.photometry = std::string("generic-wall-washing");
  washer.turn = 2.6;
  LampSpec panel = lamp_spec("panel", {0.8, 4, 2.2}, 1500, 60);
  panel.photometry = std::string("panel");
  panel.turn = 0.3;
  panel.aim = dvec3(-0.2, 0.1, -1);
  job.lamps = {strip, washer, panel};
  Diagnostics diagnostics;
  load_photometry(job, [](const std::string&) {
    return std::optional<std::string>("IESNA:LM-63-2002\nTILT=NONE\n1 -1 1 4 3 1 2 .3 1.2 .05 1 1 1\n0 30 60 90\n0 45 90\n900 800 500 0\n700 600 300 0\n500 300 100 0\n");
  }, diagnostics);
  const Room room = room_of(job);
  LightDetail detail;
  detail.patch = 0.5;
  detail.fields = {0};
  Moment moment = lamps_only(job);
  moment.lamp_on[1] = 0.7;
  const Lighting lighting = make_lighting(job, room, make_basis(job, room, detail), moment);
  std::vector<Relief> reliefs(room.surfaces.size());
  reliefs[0].joints.push_back(raised_cosine(0, {0, 1.2}, {6.2, 1.2}, 0.8e-3, 0.14));
  reliefs[0].joints.push_back(raised_cosine(0, {3.0, 0}, {3.0, 1.2}, 1e-3, 0.2));
  const std::vector<Paint> paints(room.surfaces.size(), Stage::named("matt", 0.8));
  return make_scene(room, lighting, reliefs, paints);
}

}  // namespace

TEST_CASE("lamps with length, width and tables agree with the kernels in double") {
  test::Validated found("pictures: lamps with length, width and tables", "the same kernels in double, 400 pixels", "1e-4");
  Headless context;
  const Scene scene = lamp_scene();
  // of what a scene may lack, this one has boxes and tables
  for (const char* word : {"ONLY_DISCS", "ONLY_COSINES"}) CHECK(scene_lacks(scene.rows).find(word) == std::string::npos);
  View view = wall_view(320, 160);
  const Agreement a = agreement(context.renderer().both(scene, view, true), scene, view, 400, 21);
  INFO("pixels " << a.pixels << ", with relief " << a.with_relief << ", luminance " << a.luminance << ", contrast over allowance " << a.contrast);
  CHECK(a.pixels == 400);
  CHECK(a.with_relief > 10);
  // float against double: angles of a table's columns in float are good to 1e-6 of a step, a line's nodes to 1e-5
  CHECK(found.off(a.luminance) < 1e-4);
  CHECK(a.contrast < 1);
}
