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
    CHECK(joint.straightedge.size() > 10);
    CHECK(joint.rules.size() == 3);
    REQUIRE(joint.in_tolerance());
    CHECK_FALSE(joint.in_tolerance(true));  // ASTM C840 names no tolerance
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

TEST_CASE("levels come from the job's scheme") {
  const auto study_of = [](const std::string& text, const Loader& loader, std::string& errors) {
    Diagnostics diagnostics;
    const auto job = read_job(JobText(text), diagnostics);
    auto study = job ? make_study(*job, diagnostics, {}, loader) : nullptr;
    errors = diagnostics.to_text("job.toml", text);
    return study;
  };
  std::string errors;
  // without a level the scheme's own: Q2 is meant where nothing is named (V2)
  const std::string no_level = replaced(small_room, "level = \"4\"\n", "");
  auto study = study_of(replaced(no_level, "\"c840\"", "\"q\""), {}, errors);
  INFO(errors);
  REQUIRE(study);
  CHECK(requested_finish(*study, 0).level == "2");
  CHECK(study->scheme.levels.size() == 4);
  const auto known = assumed(study->job);
  CHECK(std::any_of(known.begin(), known.end(), [](const Assumed& a) { return a.key == "surface.A.level" && a.value == "2"; }));
  // another reading of it
  study = study_of(replaced(no_level, "scheme = \"c840\"", "scheme = \"q\"\nreadings = [\"q4-thick\"]"), {}, errors);
  REQUIRE(study);
  CHECK(study->scheme.find("4")->skim == Approx(0.003));
  CHECK_FALSE(study_of(replaced(small_room, "scheme = \"c840\"", "scheme = \"c840\"\nreadings = [\"q4-thick\"]"), {}, errors));
  CHECK(errors.find("scheme c840 has no reading \"q4-thick\"") != std::string::npos);
  CHECK_FALSE(study_of(replaced(small_room, "\"c840\"", "\"c84\""), {}, errors));
  CHECK(errors.find("did you mean \"c840\"") != std::string::npos);

  // a file of one's own, which only the loader reads
  const std::string own = replaced(no_level, "\"c840\"", "\"firm/levels.toml\"");
  const std::string scheme_text = "id = \"firm\"\ntitle = \"Ours\"\nsource = \"us\"\nstandard = \"good\"\n[[level]]\nid = \"good\"\ntitle = \"good\"\n"
      "tape = true\ncoats = 1\nrecessed_widths = [150, 280]\nbutt_widths = [150, 450]\nsealer = \"none\"\nuse = \"all\"\nsource = \"us\"\n";
  const auto loads = [&](const std::string& text) { return [&text](const std::string& path) { return path == "firm/levels.toml" ? std::optional(text) : std::nullopt; }; };
  study = study_of(own, loads(scheme_text), errors);
  INFO(errors);
  REQUIRE(study);
  CHECK(requested_finish(*study, 0).level == "good");
  const auto result = assess(*study);
  CHECK(result.surfaces[0].joints[0].width == Approx(0.280).margin(1e-3));
  CHECK_FALSE(study_of(own, {}, errors));
  CHECK(errors.find("job.toml:21:10: error: the scheme file firm/levels.toml cannot be read") != std::string::npos);
  const std::string broken = replaced(scheme_text, "coats = 1", "coats = 2");
  CHECK_FALSE(study_of(own, loads(broken), errors));
  CHECK(errors.find("firm/levels.toml:10:19: error: recessed_widths of level good has 2 widths") != std::string::npos);
}

TEST_CASE("a measured section takes the place of the computed one, and is judged by it") {
  const auto study_of = [](const std::string& entry, const std::string& file, std::string& errors) {
    const std::string text = small_room + ("\n[[joint]]\nid = \"A/R1\"\n" + entry);
    Diagnostics diagnostics;
    const auto job = read_job(JobText(text), diagnostics);
    auto study = job ? make_study(*job, diagnostics, {}, [&](const std::string& path) { return path == "r1.csv" ? std::optional(file) : std::nullopt; }) : nullptr;
    errors = diagnostics.to_text("job.toml", text);
    return study;
  };
  // the joint as it would be computed, read every 2.5 mm without error
  std::string errors, file = "offset_mm,height_mm\n";
  const auto plain = study_of("", "", errors);
  INFO(errors);
  REQUIRE(plain);
  const auto computed = assess(*plain);
  const PlacedJoint& made = computed.surfaces[0].joints[0].joint;
  REQUIRE(made.line.id == "A/R1");
  for (double u = made.section.left; u <= made.section.right + 1e-9; u += 2.5e-3)
    file += std::to_string(u * 1e3) + "," + std::to_string(made.section.height_at(u) * 1e3) + "\n";
  const std::string entry = "measured = \"r1.csv\"\n";
  const auto study = study_of(entry, file, errors);
  INFO(errors);
  REQUIRE(study);
  const auto result = assess(*study);
  const JointResult &measured = result.surfaces[0].joints[0], &other = result.surfaces[0].joints[1];
  REQUIRE(measured.joint.measured);
  CHECK_FALSE(other.joint.measured);
  CHECK(measured.crown == Approx(made.section.crown).margin(0.02e-3));
  // the same section is seen as much: laps 7 mm wide lie between points 2.5 mm apart and are rounded over: 8 % at most
  CHECK(measured.seen[0].judged.visibility == Approx(computed.surfaces[0].joints[0].seen[0].judged.visibility).epsilon(0.08));
  CHECK(other.seen[0].judged.visibility == computed.surfaces[0].joints[1].seen[0].judged.visibility);
  CHECK(measured.straightedge.size() > 10);
  CHECK(measured.spread.size() == 32);
  // another level is not what was measured
  const auto fifth = assess_surface(*study, result.surfaces[0].surface, {result.surfaces[0].finish.run, "5"});
  CHECK_FALSE(fifth.joints[0].joint.measured);

  CHECK_FALSE(study_of("measured = \"r2.csv\"\n", file, errors));
  CHECK(errors.find("cannot read the measured section r2.csv") != std::string::npos);
  CHECK_FALSE(study_of(entry, "offset_mm,height_mm\n1,2\nx,3\n", errors));
  CHECK(errors.find("r1.csv:3:1: error: this line is not two numbers") != std::string::npos);
  CHECK_FALSE(study_of(entry + "width = 300\n", file, errors));
  CHECK(errors.find("a measured section has its own width") != std::string::npos);
  // coarse points are used, with a warning
  CHECK(study_of(entry, "offset_mm,height_mm\n-150,0\n-100,0.1\n-50,0.2\n0,0.3\n50,0.2\n100,0.1\n150,0\n", errors));
  CHECK(errors.find("marks narrower than 100 mm are not in it") != std::string::npos);
}
