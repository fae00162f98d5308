// What every target promises, and the entry that libFuzzer or driver.cpp calls.
#pragma once
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "base/diagnostics.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace fuzz {

/// Ends the run as a crash does.
inline void require(bool kept, const char* promise) {
  if (kept) return;
  std::fprintf(stderr, "broken promise: %s\n", promise);
  std::abort();
}

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) { return {reinterpret_cast<const char*>(data), size}; }

/// A value exactly when there is no error; every complaint has words and a place that lies in the text.
inline void require_sound(bool value, const rakelight::Diagnostics& diagnostics, std::string_view text) {
  require(value == diagnostics.ok(), "a value exactly when there is no error");
  for (const auto& d : diagnostics.all()) {
    require(!d.wrong.empty() && (!d.right.empty() || d.level == rakelight::Diagnostic::Level::warning), "words in every complaint");
    require(!d.at.known() || (d.at.begin <= d.at.end && d.at.end <= text.size()), "places that lie in the text");
    require(!d.other.known() || (d.other.begin <= d.other.end && d.other.end <= text.size()), "second places that lie in the text");
  }
  require(diagnostics.all().empty() || !diagnostics.to_text("fuzz", text).empty(), "a report");
}

}  // namespace fuzz
