// How stages that touch no disk come by the files that a job names.
#pragma once
#include <functional>
#include <optional>
#include <string>

namespace rakelight {
/// The bytes of a file that the job names, its path as written there (relative to the job); empty when it cannot be
/// read. The command line's loader opens files; tests hand in text.
using Loader = std::function<std::optional<std::string>(const std::string& path)>;
}  // namespace rakelight
