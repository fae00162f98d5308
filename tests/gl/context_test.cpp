// The context, the shaders as the driver and an independent compiler see them, and how failures speak.
#include <catch2/catch.hpp>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "draw/scene_lacks.h"
#include "embedded_shaders.h"
#include "gl/stage.h"

using namespace rakelight;
using namespace rakelight::testing;

TEST_CASE("a context comes up without a display and says what it is") {
  const Headless context;
  INFO(context.description());
  CHECK(context.description().find("OpenGL 4.") != std::string::npos);
  CHECK(context.description().find("EGL") != std::string::npos);
}

TEST_CASE("two contexts on one thread do not mix") {
  Headless first;
  const View view = room_view(32, 18);
  const Image before = render_both(first, drawn_scene(), view);
  {
    Headless second;
    CHECK(render_both(second, drawn_scene(), view).pixels == before.pixels);
  }
  CHECK(render_both(first, drawn_scene(), view).pixels == before.pixels);
}

TEST_CASE("every pass satisfies the reference compiler") {
  if (std::system("glslangValidator --version > /dev/null 2>&1") != 0) {
    WARN("glslangValidator is not installed: not checked");
    return;
  }
  const auto folder = std::filesystem::temp_directory_path() / "rakelight-shaders";
  std::filesystem::create_directories(folder);
  for (const char* pass : {"full_screen", "corners", "sheen_nodes", "sheen_fit", "faces", "mixed", "hidden", "flats", "tilts", "exact", "count"}) {
    const ShaderSource source = assemble_shader(embedded_loader(), std::string("passes/") + pass + ".glsl");
    const std::string file = (folder / pass).string() + (pass == std::string("full_screen") ? ".vert" : ".frag");
    std::ofstream(file) << source.text;
    INFO(file);
    CHECK(std::system(("glslangValidator " + file + " > " + file + ".log 2>&1").c_str()) == 0);
  }
  // what scenes lack is left out of texts that all passes share: those that shade most have all of them
  for (const char* pass : {"mixed", "tilts", "exact", "sheen_nodes"}) {
    const std::string file = (folder / pass).string() + "-plain.frag";
    std::ofstream(file) << assemble_shader(embedded_loader(), std::string("passes/") + pass + ".glsl", 410, scene_lacks({})).text;
    INFO(file);
    CHECK(std::system(("glslangValidator " + file + " > " + file + ".log 2>&1").c_str()) == 0);
  }
  for (const char* pass : {"corners_compute", "sheen_nodes_compute", "sheen_fit_compute", "faces_compute", "mixed_compute", "hidden_compute", "flats_compute", "tilts_compute", "exact_compute"}) {
    const std::string file = (folder / pass).string() + ".comp";
    std::ofstream(file) << assemble_shader(embedded_loader(), std::string("passes/") + pass + ".glsl", 430).text;
    INFO(file);
    CHECK(std::system(("glslangValidator " + file + " > " + file + ".log 2>&1").c_str()) == 0);
  }
}

TEST_CASE("all kernels that shade are in the picture's pass, and none but the display's is left out") {
  const ShaderSource source = assemble_shader(embedded_loader(), "passes/mixed.glsl");
  for (const auto path : embedded_shaders_paths()) {
    if (path.substr(0, 8) != "kernels/") continue;
    const bool in = std::find(source.files.begin(), source.files.end(), path) != source.files.end();
    // polygon.glsl makes the light's basis and display.glsl the grey levels, both in C++ only
    if (path != "kernels/polygon.glsl" && path != "kernels/display.glsl") CHECK(in);
  }
}

TEST_CASE("a shader that does not compile is named with its file and line") {
  Headless context;
  context.renderer();
  const ShaderLoader broken = [](const std::string& path) {
    std::string text(embedded_shaders(path));
    if (path == "kernels/lamp.glsl") text = "\n\nKERNEL float oops(float x) { return y; }\n" + text;
    return text;
  };
  // drivers write a line as FILE:LINE or FILE(LINE)
  CHECK_THROWS_WITH(Renderer(broken), Catch::Contains("kernels/lamp.glsl:3") || Catch::Contains("kernels/lamp.glsl(3)"));
  CHECK_THROWS_WITH(assemble_shader([](const std::string&) { return std::string(); }, "passes/x.glsl"), Catch::Contains("no shader file passes/x.glsl"));
}

TEST_CASE("a renderer tells how far its shaders are compiled") {
  Headless context;
  context.renderer();
  std::vector<std::pair<int, int>> told;
  Renderer renderer(embedded_loader(), [&](int done, int all) { told.emplace_back(done, all); });
  // eight passes and, of fragments, the one that counts and the kernels alone; none first, then one by one
  const int all = renderer.by_compute() ? 8 : 10;
  REQUIRE(told.size() == static_cast<std::size_t>(all) + 1);
  for (int i = 0; i <= all; ++i) CHECK(told[static_cast<std::size_t>(i)] == std::pair(i, all));
}

TEST_CASE("a debug message of high severity makes rendering throw, once") {
  Headless context;
  context.renderer();
  if (!GLAD_GL_KHR_debug) {
    WARN("no KHR_debug here: not checked");
    return;
  }
  glDebugMessageInsert(GL_DEBUG_SOURCE_APPLICATION, GL_DEBUG_TYPE_ERROR, 1, GL_DEBUG_SEVERITY_HIGH, -1, "planted");
  CHECK_THROWS_WITH(render(context, drawn_scene(), room_view(8, 8)), Catch::Contains("planted"));
  CHECK_NOTHROW(render(context, drawn_scene(), room_view(8, 8)));
  glDebugMessageInsert(GL_DEBUG_SOURCE_APPLICATION, GL_DEBUG_TYPE_OTHER, 2, GL_DEBUG_SEVERITY_LOW, -1, "idle talk");
  CHECK_NOTHROW(render(context, drawn_scene(), room_view(8, 8)));
}
