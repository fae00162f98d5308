// Relighting again and again leaves no OpenGL object behind and takes no more memory.
#include <catch2/catch.hpp>

#include <fstream>
#include <unistd.h>

#include "gl/stage.h"

using namespace rakelight;
using namespace rakelight::testing;

namespace {

/// Objects of all kinds that the renderer makes, by asking for every name up to far beyond those ever given: some drivers give
/// no name twice, and the long test makes tens of thousands.
int count_objects() {
  int count = 0;
  for (GLuint name = 1; name < 131072; ++name)
    count += glIsTexture(name) + glIsBuffer(name) + glIsFramebuffer(name) + glIsRenderbuffer(name) + glIsProgram(name) + glIsShader(name) + glIsQuery(name) + glIsVertexArray(name);
  return count;
}

/// Memory of this process that is in main memory, MB.
double resident_memory() {
  std::ifstream in("/proc/self/statm");
  double all = 0, resident = 0;
  REQUIRE((in >> all >> resident));
  return resident * static_cast<double>(sysconf(_SC_PAGESIZE)) / (1024.0 * 1024.0);
}

void relight(int times) {
  Headless context;
  Renderer& renderer = context.renderer();
  Scene scene = drawn_scene();
  const dvec4 sun = scene.rows[3];
  // a bit of the wall with a joint, whose table of sheen is small
  View view = wall_view(48, 24);
  view.region = {{1.4, 1.1}, {1.8, 1.3}};
  const auto draw = [&](int step) {
    scene.rows[3].w = sun.w * (0.5 + 0.5 * (step % 100) / 100.0);
    view.width = step % 3 == 0 ? 24 : 48;
    view.height = view.width / 2;
    if (Renderer::can_compute()) renderer.draw_by_compute(step % 2 == 0);
    return render(context, scene, view).pixels.front();
  };
  for (int step = 0; step < 12; ++step) draw(step);
  const int objects = count_objects();
  const double memory = resident_memory();
  REQUIRE(objects > 20);
  float least = 1e30f, most = 0;
  for (int step = 0; step < times; ++step) {
    const float luminance = draw(step);
    least = std::min(least, luminance);
    most = std::max(most, luminance);
  }
  INFO(objects << " objects, " << memory << " MB at first, " << resident_memory() << " MB after " << times);
  CHECK(count_objects() == objects);
  // what malloc and the driver keep for later; any object forgotten a time would be thousands of them in the long test
  CHECK(resident_memory() - memory < 16);
  // and the light did change
  CHECK(most > 1.05f * least);
}

}  // namespace

TEST_CASE("an object made and kept is counted") {
  Headless context;
  context.renderer();
  const int before = count_objects();
  {
    const Texture kept("kept", GL_RGBA32F, 4, 4);
    CHECK(count_objects() == before + 1);
  }
  CHECK(count_objects() == before);
}

TEST_CASE("200 relights leave no object and no memory behind") { relight(200); }
TEST_CASE("ten thousand relights leave no object and no memory behind", "[long]") { relight(10000); }
