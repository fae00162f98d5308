// From a path to a job or a study, with every complaint printed.
#pragma once
#include <memory>
#include <string>

#include "assess/assess.h"
#include "command/commands.h"
#include "job/read.h"

namespace rakelight {

/// The bytes of a file, or of standard input for "-". Failure: cannot read.
std::string read_text(const std::string& path);

/// Reads a job; warnings go to err. Failure: bad input, with all diagnostics in its message.
Job load_job(const std::string& path, const Streams& streams);

/// Reads a job and runs all stages on it. Failure as load_job.
std::unique_ptr<Study> load_study(const std::string& path, const Streams& streams, PaintStage stage = PaintStage::painted);

/// The same from text that was read already; `path` says where from.
std::unique_ptr<Study> study_of_text(const std::string& text, const std::string& path, const Streams& streams, PaintStage stage = PaintStage::painted);

/// The index of a moment by name, or of a new one at a local time, which is added to the study with its light.
/// "" gives the first. Failure: usage, with a suggestion.
int find_moment(Study& study, const std::string& name);

/// The index of a surface by name. Failure: usage, with a suggestion.
int find_surface(const Room& room, const std::string& name);

}  // namespace rakelight
