#include "fuzz/targets/target.h"
#include "sky/climate.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  rakelight::Diagnostics diagnostics;
  const auto climate = rakelight::read_climate(text, diagnostics);
  fuzz::require_sound(climate.has_value(), diagnostics, text);
  return 0;
}
