// The ten hard jobs of tests/cli/test_hard_jobs.py edited by the window's own path: values typed into the sheet, entries added
// and taken out, a wall made longer, names changed; each stands or is answered, and undo brings the very bytes back.
#include <catch2/catch.hpp>

#include <cstdio>
#include <fmt/format.h>

#include "assess/assess.h"
#include "base/random.h"
#include "small_job.h"
#include "window/outline.h"
#include "window/renames.h"
#include "window/sheet_edits.h"
#include "window/job_values.h"

namespace rakelight {
namespace {

struct Hard { std::string name, text; };

/// The jobs as the script writes them, by their names.
std::vector<Hard> hard_jobs() {
  const std::string command = std::string("/usr/bin/python3 ") + RAKELIGHT_SOURCE_DIR + "/tests/cli/test_hard_jobs.py --print";
  FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe);
  std::string all;
  char buffer[65536];
  for (std::size_t n; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) all.append(buffer, n);
  REQUIRE(::pclose(pipe) == 0);
  std::vector<Hard> jobs;
  const std::string mark = "\x1e";  // before each job, whose first line is its name
  for (std::size_t at = all.find(mark); at != all.npos;) {
    const std::size_t next = all.find(mark, at + 1), line = all.find('\n', at);
    jobs.push_back({all.substr(at + 1, line - at - 1), all.substr(line + 1, (next == all.npos ? all.size() : next) - line - 1)});
    at = next;
  }
  return jobs;
}

std::unique_ptr<Study> study_of(const std::string& text) {
  Diagnostics diagnostics;
  const auto job = read_job(JobText(text), diagnostics);
  INFO(diagnostics.to_text("job", text));
  REQUIRE(job);
  auto study = make_study(*job, diagnostics);
  REQUIRE(study);
  return study;
}

bool set(Model& m, SheetDesk& desk, const TablePlace& place, const char* key, const std::vector<std::string>& fields) { return set_fields(m, desk, place, *find_key(place.name(), key), fields); }

/// Edits of every sort that any of the ten takes.
void edited_by_hand(Model& m, const Study& study) {
  SheetDesk desk;
  const bool inch = study.job.units == Units::inch;
  REQUIRE(set(m, desk, {"room", -1, ""}, "floor_reflectance", {"0.3"}));
  REQUIRE(set(m, desk, {"surface", 0, ""}, "level", {"3"}));
  REQUIRE(set(m, desk, {"surface", 0, "paint"}, "sealer", {"one coat"}));
  REQUIRE(set(m, desk, {"finishing", -1, ""}, "compound", {"setting", "drying"}));
  REQUIRE(set(m, desk, {"framing", -1, ""}, "spacing", {inch ? "16" : "400"}));
  CHECK_FALSE(set(m, desk, {"framing", -1, ""}, "spacing", {"tight"}));
  if (study.job.site.latitude_deg.given) {
    REQUIRE(set(m, desk, {"site", -1, ""}, "skyline", {"0", "3", "90", "12", "200", "5"}));
    REQUIRE(set(m, desk, {"site", -1, ""}, "skyline", {"0", "3", "90", "14", "120", "14", "200", "5"}));
  }
  for (const char* table : {"lamp", "viewer"}) REQUIRE(add_entry(m, desk, table, &study) >= 0);
  const int moment = add_entry(m, desk, "moment", &study);
  REQUIRE(moment >= 0);
  REQUIRE(set(m, desk, {"moment", moment, ""}, "lamps", {"on"}));
  REQUIRE(remove_entry(m, desk, "moment", moment));
  // a wall's new name goes to all that name it
  Diagnostics said;
  const std::string was = study.room.surfaces[0].name;
  const JobText named = with_wall_named(JobText(m.history.now().text), 0, "renamed", said);
  REQUIRE(m.replace(named.text(), "renamed", said));
  // its outline walked round: a tenth longer
  const std::vector<dvec2> corners = *study.job.room.corners;
  const auto longer = with_length(corners, 0, 1.1 * legs_of(corners)[0].length);
  REQUIRE(longer);
  std::vector<Edit> moved;
  for (std::size_t i = 0; i < corners.size(); ++i)
    if (glm::length(corners[i] - (*longer)[i]) > 1e-9) moved.push_back({"room", "", fmt::format("corners[{}]", i), place_value(study.job.units, (*longer)[i])});
  REQUIRE(m.edit(moved));
}

/// `few`: those that are worked out in a moment.
void edit_all(bool few) {
  const std::vector<Hard> jobs = hard_jobs();
  REQUIRE(jobs.size() == 10);
  for (const Hard& job : jobs) {
    INFO(job.name);
    if (few && job.name != "half_metre_room" && job.name != "forty_corners" && job.name != "inches") continue;
    Model m{job.text};
    edited_by_hand(m, *study_of(job.text));
    const std::string edited = m.history.now().text;
    const auto study = study_of(edited);
    CHECK(study->room.surfaces[0].name == "renamed");
    if (!few) {
      const Assessment a = assess(*study);
      REQUIRE(!a.surfaces.empty());
      for (const SurfaceResult& surface : a.surfaces)
        for (const JointResult& joint : surface.joints)
          for (const Seen& seen : joint.seen) REQUIRE(std::isfinite(seen.contrast));
    }
    while (m.history.can_undo()) m.undo();
    CHECK(m.history.now().text == job.text);
  }
}

}  // namespace

TEST_CASE("Hard jobs are edited by the sheet and undone to the byte") { edit_all(true); }
TEST_CASE("Ten hard jobs are edited by the sheet, assessed, and undone to the byte", "[long]") { edit_all(false); }

}  // namespace rakelight
