#include "fuzz/targets/photometry.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  rakelight::Diagnostics diagnostics;
  const auto p = rakelight::read_lm63(text, diagnostics);
  fuzz::require_sound(p.has_value(), diagnostics, text);
  if (p) fuzz::require_distribution(*p);
  return 0;
}
