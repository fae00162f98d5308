#include "command/load.h"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fmt/format.h>
#include <iostream>
#include <sstream>

#include "base/text.h"
#include "command/failure.h"
#include "report/report.h"

namespace rakelight {
namespace {

/// Prints warnings; throws when there is an error.
void settle(const Diagnostics& diagnostics, const std::string& file, const std::string& text, const Streams& streams) {
  if (!diagnostics.ok()) throw Failure(Exit::bad_input, diagnostics.to_text(file, text));
  if (streams.verbosity > 0 && !diagnostics.all().empty()) streams.err << diagnostics.to_text(file, text);
}

std::string shown_name(const std::string& path) { return path == "-" ? "standard input" : path; }

}  // namespace

std::string read_text(const std::string& path) {
  if (path == "-") {
    std::ostringstream bytes;
    bytes << std::cin.rdbuf();
    return bytes.str();
  }
  std::optional<std::string> text = read_bytes(path);
  if (!text) throw Failure(Exit::cannot_read_or_write, fmt::format("cannot read {}: {}\n", path, errno == EISDIR ? "it is no file" : std::strerror(errno)));
  return *std::move(text);
}

Job load_job(const std::string& path, const Streams& streams) {
  const JobText text(read_text(path));
  Diagnostics diagnostics;
  std::optional<Job> job = read_job(text, diagnostics);
  settle(diagnostics, shown_name(path), text.text(), streams);
  return *job;
}

std::unique_ptr<Study> load_study(const std::string& path, const Streams& streams, PaintStage stage) { return study_of_text(read_text(path), path, streams, stage); }

std::unique_ptr<Study> study_of_text(const std::string& bytes, const std::string& path, const Streams& streams, PaintStage stage) {
  const JobText text(bytes);
  Diagnostics diagnostics;
  std::optional<Job> job = read_job(text, diagnostics);
  std::unique_ptr<Study> study;
  if (job) study = make_study(*job, diagnostics, {}, loader_beside(path == "-" ? "" : std::filesystem::path(path).parent_path().string()), stage);
  settle(diagnostics, shown_name(path), text.text(), streams);
  return study;
}

int find_moment(Study& study, const std::string& name) {
  if (study.moments.empty() && name.empty()) throw Failure(Exit::bad_input, "the job has no [[moment]]; name a local time with --moment\n");
  if (name.empty()) return 0;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < study.moments.size(); ++i) {
    if (study.moments[i].name == name) return static_cast<int>(i);
    names.push_back(study.moments[i].name);
  }
  Diagnostics diagnostics;
  std::optional<Moment> moment = moment_at(study.job, name, diagnostics);
  if (!moment) {
    const std::string near = nearest_word(name, names);
    std::string message = fmt::format("no moment is named \"{}\"", name);
    message += near.empty() ? "; the job has:" : fmt::format(": did you mean \"{}\"? The job has:", near);
    for (const std::string& n : names) message += fmt::format(" \"{}\"", n);
    message += "\nor give a local time such as 2026-06-21T20:40\n";
    for (const Diagnostic& d : diagnostics.all()) message += fmt::format("  {}{}{}\n", d.wrong, d.right.empty() ? "" : ": ", d.right);
    throw Failure(Exit::usage, message);
  }
  study.moments.push_back(*moment);
  study.lighting.push_back(make_lighting(study.job, study.room, study.basis, *moment));
  return static_cast<int>(study.moments.size()) - 1;
}

int find_surface(const Room& room, const std::string& name) {
  const int index = room.find(name);
  if (index >= 0) return index;
  std::vector<std::string> names;
  for (const Surface& s : room.surfaces) names.push_back(s.name);
  const std::string near = nearest_word(name, names);
  std::string message = fmt::format("no surface is named \"{}\"", name);
  message += near.empty() ? "; the room has:" : fmt::format(": did you mean \"{}\"? The room has:", near);
  for (const std::string& n : names) message += " " + n;
  throw Failure(Exit::usage, message + "\n");
}

}  // namespace rakelight
