// Studies of job texts and of the demo, for the tests of what assess makes of them.
#pragma once
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "assess/assess.h"
#include "job/read.h"

namespace rakelight::testing {

inline std::unique_ptr<Study> study_of(const std::string& text, const LightDetail& light = {}) {
  Diagnostics diagnostics;
  const JobText job_text(text);
  const auto job = read_job(job_text, diagnostics);
  auto study = job ? make_study(*job, diagnostics, light) : nullptr;
  INFO(diagnostics.to_text("job", text));
  REQUIRE(study);
  return study;
}

inline std::unique_ptr<Study> demo(const LightDetail& light = {}) {
  std::ifstream in(RAKELIGHT_SOURCE_DIR "/assets/demo/home.toml");
  return study_of({std::istreambuf_iterator<char>(in), {}}, light);
}

}  // namespace rakelight::testing
