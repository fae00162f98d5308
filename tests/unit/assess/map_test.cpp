#include "assess/map.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <sstream>

#include "assess/looks.h"
#include "base/units.h"
#include "job/read.h"
#include "light/face_light.h"
#include "support/validated.h"
#include "unit/assess/studies.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

// a black room with one lamp: nothing bounces
constexpr const char* black_room = R"(format = 1
title = "black room"
[room]
corners = [[0, 0], [0, 4000], [5000, 4000], [5000, 0]]
height = 2500
walls = ["west", "north", "east", "south"]
floor_reflectance = 0.0
wall_reflectance = 0.0
ceiling_reflectance = 0.0
[[lamp]]
name = "L"
kind = "pendant"
at = [1000, 2000, 2000]
flux = 1000
beam = 120
size = 1
[[surface]]
name = "west"
run = "horizontal"
sheet = [1200, 3000]
edge = "recessed"
level = "4"
paint = "matt"
reflectance = 0.0
[[moment]]
name = "lamp"
sky = "none"
lamps = "on"
)";

}  // namespace

TEST_CASE("a map of illuminance follows the law of inverse squares and cosines") {
  test::Validated found("map of illuminance", "law of inverse squares and cosines in a black room, 1,000 cells", "1e-3");
  // Lambert 1760: E = I cos(incidence) / d2; a lamp of cos n form has I = flux (n + 1) / 2 pi cos^n, half at half its beam: n = 1
  const auto study = study_of(black_room);
  const int west = study->room.find("west");
  REQUIRE(west >= 0);
  const Map map = make_map(*study, west, 0, MapKind::illuminance, 0.1);
  const Frame& f = study->room.surfaces[static_cast<std::size_t>(west)].frame;
  const dvec3 lamp{1, 2, 2};
  int lit = 0;
  for (int j = 0; j < map.ny; ++j)
    for (int i = 0; i < map.nx; ++i) {
      const dvec3 to = lamp - f.world_from_surface(map.middle(i, j));
      const double d = glm::length(to), down = to.z / d;  // cosine from the lamp's axis
      const double expected = down > 0 ? 1000 * 2 / (2 * pi) * down * glm::dot(to, f.n) / d / (d * d) : 0;
      if (expected > 20) found.off(map.at(i, j) / expected - 1);
      CHECK(map.at(i, j) == Approx(expected).margin(0.02).epsilon(1e-3));
      lit += expected > 1;
    }
  CHECK(lit > 100);
  // strokes point towards the lamp
  const Map raking = make_map(*study, west, 0, MapKind::raking, 0.1);
  REQUIRE(raking.strokes.size() > 20);
  for (const Stroke& s : raking.strokes) {
    const dvec2 to = f.surface_from_world(lamp) - s.at;
    if (glm::length(to) > 0.05) CHECK(glm::dot(s.towards, glm::normalize(to)) > 1 - 1e-6);
  }
}

TEST_CASE("maps of light, relief and visibility agree with what is judged") {
  const auto study = demo();
  const int wall = study->room.find("long");
  REQUIRE(wall >= 0);
  int evening = -1;
  for (std::size_t m = 0; m < study->moments.size(); ++m)
    if (study->moments[m].name == "evening sun, midsummer") evening = static_cast<int>(m);
  REQUIRE(evening >= 0);

  SECTION("light against the exact one") {
    const Map e = make_map(*study, wall, evening, MapKind::illuminance, 0.05), r = make_map(*study, wall, evening, MapKind::raking, 0.05);
    int close = 0, all = 0;
    for (int j = 3; j < e.ny; j += 11)
      for (int i = 3; i < e.nx; i += 13) {
        const dvec2 p = e.middle(i, j);
        if (!is_bare_face(study->room, wall, p)) continue;
        const LightVector exact = total_light(study->lighting[static_cast<std::size_t>(evening)], wall, p);
        const double ratio = glm::length(exact.tangential()) / exact.n;
        ++all;
        // what a field grid promises of 95 of 100 points (light/light.h)
        close += std::abs(e.at(i, j) / exact.n - 1) < 0.005 && std::abs(r.at(i, j) / ratio - 1) < 0.015;
      }
    CHECK(all > 40);
    CHECK(close >= 0.95 * all);
  }

  SECTION("relief is highest on a butt's crown, and flat between joints") {
    const Map map = make_map(*study, wall, evening, MapKind::relief, 0.01);
    const Relief relief = make_reliefs(*study)[static_cast<std::size_t>(wall)];
    for (int j = 0; j < map.ny; j += 17)
      for (int i = 0; i < map.nx; i += 19) {
        const dvec2 p = map.middle(i, j);
        if (is_bare_face(study->room, wall, p)) CHECK(map.at(i, j) == Approx(relief_at(relief, p).h).margin(1e-12));
      }
  }

  SECTION("visibility along a joint is that of assess, and nothing lies off the joints") {
    const SurfaceResult judged = assess_surface(*study, wall, requested_finish(*study, wall), {evening});
    const std::vector<SeenAlong> along = seen_along(*study, wall, evening);
    REQUIRE(along.size() == judged.joints.size());
    int compared = 0;
    for (std::size_t j = 0; j < along.size(); ++j) {
      if (judged.joints[j].worst < 0) continue;
      const Seen& worst = judged.joints[j].seen[static_cast<std::size_t>(judged.joints[j].worst)];
      double most = 0;
      for (const double v : along[j].visibility) most = std::max(most, v);
      // where assess looked is among the stations of the map, whose more can only be seen more
      CHECK(most >= worst.judged.visibility * (1 - 1e-9));
      ++compared;
    }
    CHECK(compared >= 3);
    const Map map = make_map(*study, wall, evening, MapKind::visibility, 0.02);
    int on = 0, off = 0;
    for (const double v : map.value) (std::isfinite(v) ? on : off) += 1;
    CHECK(on > 100);
    CHECK(off > on);
  }

  SECTION("an opening is no part of the face") {
    const int street = study->room.find("street");
    const Window& w = study->room.windows.front();
    REQUIRE(w.surface == street);
    CHECK_FALSE(is_bare_face(study->room, street, 0.5 * (w.opening.lo + w.opening.hi)));
    CHECK(is_bare_face(study->room, street, w.opening.hi + 0.05));
    CHECK_FALSE(is_bare_face(study->room, street, dvec2(-0.1, 1)));
  }
}

TEST_CASE("every map has a name that finds it") {
  for (const MapKind kind : all_maps) CHECK(map_named(map_name(kind)) == kind);
  CHECK_FALSE(map_named("contour"));
}
