// From text to Job and back by splices.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "job/job.h"
#include "job/starter.h"

namespace rakelight {

/// The job file's text. Edits are splices at spans, so comments, order and spacing live on; text that is
/// opened and saved is byte-identical.
class JobText {
 public:
  explicit JobText(std::string text) : text_(std::move(text)) {}
  const std::string& text() const { return text_; }
  /// Replaces [at.begin, at.end) by `with`. Precondition: the span lies in the text.
  JobText spliced(Span at, std::string_view with) const;
  /// Sets `path` (such as `surface[1].level`, array tables counted from 0) to `value`, a TOML value as
  /// text: in place when the key is written, else as a new line at the end of its table. Of a list or an inline
  /// table only the items that differ are changed; comments within live, those of a part that goes on lines of
  /// their own before it. Errors (no such table, unknown key, a value that does not parse) go to `diagnostics`,
  /// and the text is returned as is.
  JobText with(std::string_view path, std::string_view value, Diagnostics& diagnostics) const;
  /// Takes the key at `path` out with its line; comments behind and within its value stay. Nothing happens without
  /// such a key; one that cannot be taken out in place (a table of headings) is an error.
  JobText without(std::string_view path, Diagnostics& diagnostics) const;

 private:
  std::string text_;
};

/// Reads a job. One syntax error, or all errors of meaning within the text (unknown keys with a
/// suggestion, wrong types, ranges, names that refer to nothing, duplicate names). Geometry is Room's.
/// Empty when there was an error.
std::optional<Job> read_job(const JobText& text, Diagnostics& diagnostics);

/// docs/user/job-file.md, generated from the key table.
std::string job_file_page();

}  // namespace rakelight
