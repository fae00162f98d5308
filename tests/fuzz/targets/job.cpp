#include "fuzz/targets/target.h"
#include "job/read.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  rakelight::Diagnostics diagnostics;
  const auto job = rakelight::read_job(rakelight::JobText(std::string(text)), diagnostics);
  fuzz::require_sound(job.has_value(), diagnostics, text);
  if (job) fuzz::require(rakelight::assumed(*job).size() < 100000, "a list of assumptions");
  return 0;
}
