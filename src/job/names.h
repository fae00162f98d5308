// Names that must differ, and names that must refer to something.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "job/job.h"

namespace rakelight {
/// A name with its own place in the text.
using Mention = std::pair<std::string, Span>;
/// Reports duplicates (both places), reserved names, and references to nothing (with a suggestion).
/// `lamp_mentions`: the lamps and groups that moments name.
void check_names(const Job& job, const std::vector<Mention>& lamp_mentions, Diagnostics& diagnostics);
}  // namespace rakelight
