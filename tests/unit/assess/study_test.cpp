// What make_study reports. Whole rooms are judged in tests/laws.
#include <catch2/catch.hpp>

#include "assess/assess.h"
#include "job/read.h"

using namespace rakelight;

namespace {

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  const auto at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), with);
}

std::string errors_of(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  if (job) CHECK_FALSE(make_study(*job, diagnostics));
  REQUIRE_FALSE(diagnostics.ok());
  return diagnostics.to_text("job.toml", text);
}

const char* small_room = R"(format = 1
[site]
latitude = 52
longitude = 10
time_zone = "Europe/Berlin"
[room]
corners = [[0, 0], [0, 3000], [3000, 3000], [3000, 0]]
height = 2500
[[lamp]]
name = "lamp"
kind = "downlight"
at = [300, 1500, 2500]
flux = 700
beam = 60
[[surface]]
name = "A"
run = "upright"
sheet = [1200, 2500]
level = "4"
paint = "matt"
[finishing]
scheme = "c840"
[[moment]]
name = "evening"
sky = "none"
lamps = "on"
[[viewer]]
name = "here"
eye = [2500, 1500, 1600]
look = "A"
)";

}  // namespace

TEST_CASE("a level that the scheme does not have is an error where it stands") {
  const std::string text = errors_of(replaced(small_room, "level = \"4\"", "level = \"7\""));
  CHECK(text.find("job.toml:19:9: error: scheme c840 has no level \"7\"") != std::string::npos);
  CHECK(text.find("0, 1, 2, 3, 4, 5") != std::string::npos);
}

TEST_CASE("several stages report at once") {
  auto text = replaced(small_room, "level = \"4\"", "level = \"44\"");
  text = replaced(text, "at = [300, 1500, 2500]", "at = [9000, 1500, 2500]");
  const std::string errors = errors_of(text);
  INFO(errors);
  CHECK(errors.find("no level \"44\"") != std::string::npos);
  CHECK(errors.find("lamp") != std::string::npos);
}

TEST_CASE("a small room is judged, and a wider joint of the job's own counts") {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(small_room), diagnostics);
  INFO(diagnostics.to_text("job.toml", small_room));
  REQUIRE(job);
  const auto study = make_study(*job, diagnostics);
  REQUIRE(study);
  CHECK(study->lighting.size() == 1);
  const auto result = assess(*study);
  REQUIRE(result.surfaces.size() == 1);
  const auto& surface = result.surfaces[0];
  REQUIRE(surface.joints.size() == 2);  // 3 m of 1.2 m sheets
  CHECK(surface.finish.level == "4");
  CHECK(surface.finish.run == Run::upright);
  for (const auto& joint : surface.joints) {
    REQUIRE(joint.seen.size() == 1);
    CHECK(joint.worst == 0);
    CHECK(joint.straightedge.size() == 7);
    CHECK(joint.spread.size() == 32);
    CHECK(joint.width > 0.1);
    const Seen& seen = joint.seen[0];
    CHECK(seen.threshold == Approx(std::abs(seen.contrast) / seen.judged.visibility));
    CHECK(seen.judged.high == Approx(2 * seen.judged.visibility));
  }
  // looking at one moment only is the same here
  const auto one = assess_surface(*study, surface.surface, surface.finish, {0});
  CHECK(one.chance_any_shows == surface.chance_any_shows);
}
