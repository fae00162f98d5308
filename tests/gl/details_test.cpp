// Skirting, cornice and the figure stand where geometry puts them, and nowhere else.
#include <catch2/catch.hpp>

#include "draw/room_details.h"
#include "gl/stage.h"
#include "job/read.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

Job fitted_job() {
  Diagnostics diagnostics;
  const auto job = read_job(JobText("[room]\ncorners = [[0, 0], [0, 5000], [4000, 5000], [4000, 0]]\nwalls = [\"A\", \"B\", \"C\", \"D\"]\nheight = 2600\n"
                                    "[[surface]]\nname = \"A\"\njunction_bottom = \"skirting\"\nskirting = 100\njunction_top = \"cornice\"\ncornice = 90\n"),
                            diagnostics);
  REQUIRE(job);
  return *job;
}

/// Every pixel one face, 100 cd/m² as if flat, 2 % darker with its relief.
Image even_picture(int width, int height, int surface) {
  Image both(width, height, 3);
  for (std::size_t i = 0; i < both.pixels.size(); i += 3) {
    both.pixels[i] = 98;
    both.pixels[i + 1] = 100;
    both.pixels[i + 2] = static_cast<float>(1 + 64 * (surface + 1));
  }
  return both;
}

Camera standing(int width, int height) {
  Camera camera;
  camera.eye = {2, 0.4, 1.5};
  // level, along plan y, half as wide as far away
  const double pixel = 1.0 / width;
  camera.step_x = {pixel, 0, 0};
  camera.step_y = {0, 0, -pixel};
  camera.corner = dvec3(0, 1, 0) - 0.5 * width * camera.step_x - 0.5 * height * camera.step_y;
  camera.footprint_angle = pixel;
  return camera;
}

}  // namespace

TEST_CASE("a skirting and a cornice cover their strips of the wall that has them") {
  const Job job = fitted_job();
  Diagnostics diagnostics;
  const auto room = make_room(job, diagnostics);
  REQUIRE(room);
  // square on to wall A, 1 cm a pixel, the floor at the lower edge and the ceiling at the upper one
  Camera camera;
  camera.eye = {2.5, 2.5, 1.3};
  camera.step_x = {0, 0.01, 0};
  camera.step_y = {0, 0, -0.01};
  camera.corner = dvec3(0, 1, 2.6) - camera.eye;
  camera.facing = 0;
  Image both = even_picture(100, 260, 0);
  draw_fittings(both, camera, job, *room);
  for (int x : {0, 50, 99}) {
    // rows from the top: 9 of cornice, then the wall, 10 of skirting; one at each edge may be mixed
    for (int y = 0; y < 8; ++y) CHECK(both.at(x, y, 0) < 95);
    for (int y = 10; y < 249; ++y) REQUIRE(both.at(x, y, 0) == 98);
    for (int y = 251; y < 260; ++y) CHECK(both.at(x, y, 0) < 95);
    // nothing of the relief shows through
    for (int y : {3, 255}) CHECK(both.at(x, y, 0) == both.at(x, y, 1));
    // the edge towards the wall is the darkest
    CHECK(both.at(x, 250, 0) < both.at(x, 255, 0));
  }
  Image other = even_picture(100, 260, 2);
  draw_fittings(other, camera, job, *room);
  CHECK(other.pixels == even_picture(100, 260, 2).pixels);
}

TEST_CASE("the figure is 1.75 m tall where it stands") {
  const Camera camera = standing(400, 400);
  Image both = even_picture(400, 400, 0);
  draw_figure(both, camera, {2, 3.4});
  int top = 400, foot = -1, left = 400, right = -1;
  for (int y = 0; y < 400; ++y)
    for (int x = 0; x < 400; ++x)
      if (both.at(x, y, 2) == 0) {
        top = std::min(top, y);
        foot = std::max(foot, y);
        left = std::min(left, x);
        right = std::max(right, x);
      }
  // 3 m away a pixel is 7.5 mm: head 0.25 m over the eye, feet 1.5 m under it
  CHECK(top == Approx(200 - 0.25 / 0.0075).margin(1.5));
  CHECK(foot == Approx(200 + 1.5 / 0.0075).margin(1.5));
  // as far to either side of the middle, shoulders and arms of somebody slim to stout
  CHECK(left + right == Approx(399).margin(1));
  CHECK((right - left) * 0.0075 > 0.4);
  CHECK((right - left) * 0.0075 < 0.64);
}

TEST_CASE("the figure stands clear of walls, in the picture, and off the relief's shade") {
  const Job job = fitted_job();
  Diagnostics diagnostics;
  const auto room = make_room(job, diagnostics);
  const Camera camera = standing(400, 400);
  Image both = even_picture(400, 400, 0);
  // only the left half has any shade
  for (int y = 0; y < 400; ++y)
    for (int x = 200; x < 400; ++x) both.at(x, y, 0) = 100;
  const auto place = figure_place(both, camera, *room);
  REQUIRE(place);
  CHECK(place->x > 2);
  CHECK(place->x <= 4 - 0.45);
  CHECK(place->y <= 5 - 0.45);
  CHECK(glm::length(*place - dvec2(2, 0.4)) >= 1.8);
  // with the left half the face judged, nothing of it is hidden; where all is judged there is no place
  Image half = both;
  for (int y = 0; y < 400; ++y)
    for (int x = 200; x < 400; ++x) half.at(x, y, 2) = 1 + 64 * (2 + 1);
  const auto beside = figure_place(half, camera, *room, 0);
  REQUIRE(beside);
  Image with = half;
  draw_figure(with, camera, *beside);
  for (int y = 0; y < 400; ++y)
    for (int x = 0; x < 200; ++x) REQUIRE(with.at(x, y, 0) == half.at(x, y, 0));
  CHECK_FALSE(figure_place(both, camera, *room, 0));
  // looking up there is no place for feet
  Camera up = camera;
  up.corner.z += 0.6;
  CHECK_FALSE(figure_place(both, up, *room));
}
