// The paper is made beside the window, which stays alive meanwhile.
#include <catch2/catch.hpp>

#include "script.h"
#include "small_job.h"

namespace rakelight {

TEST_CASE("Paper writes a PDF beside the job, and the window goes on meanwhile") {
  // one sheet long, one joint: what takes the time is drawing and searching each joint
  std::string text = small_job;
  for (auto at = text.find("3600"); at != std::string::npos; at = text.find("3600", at)) text.replace(at, 4, "2400");
  const JobFile job("paper", text);
  Script s(job.path());
  s.until([&] { return s.window.found() && s.window.found()->study && !s.window.found()->draft; });
  s.settle();
  s.click("paper");
  CHECK(s.window.model().notice == "making the paper …");
  const long before = s.window.frames_drawn();
  s.until([&] { return s.window.model().notice != "making the paper …"; });
  CHECK(s.window.frames_drawn() > before);
  const std::string path = (job.folder / "job-paper.pdf").string();
  CHECK(s.window.model().notice == path + " written");
  CHECK(read_back(path).substr(0, 5) == "%PDF-");
  CHECK(s.window.complaints() == "");

  // where it cannot be written it is said, and what was there stays; the same keys do the same
  std::filesystem::remove_all(job.folder);
  s.key('P', true, true);
  s.until([&] { return s.window.model().notice != "making the paper …"; });
  CHECK(s.window.model().notice.find("the folder does not exist") != std::string::npos);
}

}  // namespace rakelight
