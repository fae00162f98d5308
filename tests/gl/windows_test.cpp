// Eaves, fins, houses, shade on the ground, covers and roof windows: pixels against the same kernels in double.
#include <catch2/catch.hpp>

#include "draw/scene_lacks.h"
#include "gl/agreement.h"
#include "support/validated.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// The long room with a shaded window, a sheer before another, a roof window and a house across the street, in low sun.
const Scene& windows_scene() {
  static const Scene scene = [] {
    Job job = demo_job();
    job.lamps.clear();
    job.site.skyline_points = {{0.0, 0.06}, {0.35, 0.06}, {0.35, 0.3}, {0.8, 0.3}, {0.8, 0.1}, {5.5, 0.2}};
    job.site.skyline.value = 0.3;
    job.site.ground_below = 0.5;
    job.site.house_height = 6.0;
    WindowSpec& w = job.windows[0];
    w.eaves = 0.7;
    w.eaves_above = 0.05;
    w.eaves_past = Key<double>(0.2);
    w.eaves_past.given = true;
    w.fin_right = 0.5;
    w.fin_off = 0.05;
    w.outer_reflectance = 0.5;
    WindowSpec sheer = window_spec("W2", "B", 2.3, 0.9, 1.4, 1.3);
    sheer.cover = CoverSpec::sheer;
    sheer.cover_direct = 0.3;
    sheer.cover_scatter = 0.35;
    sheer.cover_reflectance = 0.3;
    WindowSpec roof = window_spec("R1", "ceiling", 0, 0, 1.0, 0.9);
    roof.place = dvec2(1.6, 2.4);
    roof.reveal = 0.3;
    WindowSpec side = window_spec("W3", "C", 1.2, 0.7, 1.6, 1.4);  // looks away from the sun, on shaded ground
    job.windows.push_back(sheer);
    job.windows.push_back(roof);
    job.windows.push_back(side);
    const Room room = room_of(job);
    LightDetail detail;
    detail.patch = 0.5;
    detail.fields = {0, room.floor()};
    Moment moment = clear_sky(job, {-0.17, 1, 0.22}, 20000);
    static_cast<Outskirts&>(moment.sky) = outskirts(job.site);
    moment.sky.shaded_ground_luminance = 700;
    moment.sky.direct_horizontal = 9000;
    moment.sky.diffuse_horizontal = 7000;
    const Lighting lighting = make_lighting(job, room, make_basis(job, room, detail), moment);
    std::vector<Relief> reliefs(room.surfaces.size());
    reliefs[0].joints.push_back(raised_cosine(0, {0, 1.2}, {6.2, 1.2}, 0.8e-3, 0.14));
    reliefs[0].joints.push_back(raised_cosine(0, {3.0, 0}, {3.0, 1.2}, 1e-3, 0.2));
    const std::vector<Paint> paints(room.surfaces.size(), Stage::named("matt", 0.8));
    return make_scene(room, lighting, reliefs, paints);
  }();
  return scene;
}

/// How many pixels show each kind of what lies beyond glass.
std::array<int, 6> kinds_seen(const Scene& scene, const View& view) {
  kernel::SceneKernels k = kernels_of(scene);
  const Camera camera = camera_of(scene, view);
  std::array<int, 6> seen{};
  for (int y = 0; y < view.height; y += 2)
    for (int x = 0; x < view.width; x += 2) {
      const dvec3 w = camera.direction(x + 0.5, y + 0.5);
      const auto hit = k.scene_trace(camera.eye, w);
      if (hit.kind == 4) ++seen[static_cast<std::size_t>(outside_band(k, hit, w))];
    }
  return seen;
}

void check(const View& view, std::uint64_t seed) {
  Headless context;
  const Scene& scene = windows_scene();
  const Agreement a = agreement(context.renderer().both(scene, view, true), scene, view, 400, seed);
  INFO("pixels " << a.pixels << ", with relief " << a.with_relief << ", luminance " << a.luminance << ", contrast over allowance " << a.contrast);
  CHECK(a.pixels == 400);
  // as for the other pictures; the edges of what lies beyond are left out with the pixels they cross
  CHECK(a.luminance < 1e-4);
  CHECK(a.contrast < 1);
}

}  // namespace

TEST_CASE("windows with all that stands round them agree with the kernels in double") {
  test::Validated found("pictures: windows with all that stands round them", "the same kernels in double",
                        "luminance 1e-4, contrast 0.0005 + 0.01 |C|");
  SECTION("the wall beside them") { check(wall_view(320, 160), 31); }
  SECTION("towards the windows") {
    View view = room_view(320, 240);
    view.eye = {0.6, 4.6, 1.3};
    view.target = {1.3, 6.2, 1.6};
    const auto seen = kinds_seen(windows_scene(), view);
    // ground, skyline, sky, eaves and a fin are in the picture
    for (int kind = 0; kind < 5; ++kind) {
      INFO("kind " << kind);
      CHECK(seen[static_cast<std::size_t>(kind)] > 8);
    }
    check(view, 32);
  }
  SECTION("up to the roof window") {
    View view = room_view(240, 240);
    view.eye = {2.1, 1.4, 1.2};
    view.target = {2.1, 2.9, 2.65};
    CHECK(kinds_seen(windows_scene(), view)[2] > 100);
    check(view, 33);
  }
  SECTION("out on the ground in the house's shadow") {
    View view = room_view(320, 240);
    view.eye = {1.5, 3.5, 2.3};
    view.target = {4.2, 4.2, 1.0};
    CHECK(kinds_seen(windows_scene(), view)[5] > 50);
    check(view, 34);
  }
}

TEST_CASE("a scene with roof windows, shades and houses lacks none of them") {
  for (const char* word : {"NO_ROOF_WINDOWS", "NO_SHADES", "LEVEL_SKYLINE"}) CHECK(scene_lacks(windows_scene().rows).find(word) == std::string::npos);
}
