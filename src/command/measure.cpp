// measure: one joint, as it was found on site.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <ostream>

#include "advice/measure.h"
#include "base/text.h"
#include "base/units.h"
#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "joint/fit.h"
#include "report/measure.h"

namespace rakelight {
namespace {

struct MeasuredLine { int surface = 0; JointLine line; };

MeasuredLine find_line(const Study& study, const std::string& id) {
  std::vector<std::string> ids;
  for (std::size_t s = 0; s < study.layouts.size(); ++s)
    for (const JointLine& line : study.layouts[s].joints) {
      if (line.id == id) {
        if (!joins_sheets(line.kind)) throw Failure(Exit::usage, fmt::format("{} is a {}: only joints between sheets can be measured\n", id, kind_text(line.kind)));
        return {static_cast<int>(s), line};
      }
      if (joins_sheets(line.kind)) ids.push_back(line.id);
    }
  const std::string near = nearest_word(id, ids);
  throw Failure(Exit::usage, fmt::format("no joint has the id \"{}\"{}; the job has: {}\n", id, near.empty() ? "" : fmt::format(": did you mean \"{}\"?", near), fmt::join(ids, " ")));
}

}  // namespace

void measure_command(const MeasureOptions& options, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(options.job, streams);
  const auto [surface, line] = find_line(*study, options.joint);
  std::optional<FittedSection> section;
  std::optional<RuleGap> gap;
  if (!options.csv.empty()) {
    const std::string text = read_text(options.csv);
    Diagnostics diagnostics;
    const auto points = read_measured(text, diagnostics);
    if (!points) throw Failure(Exit::bad_input, diagnostics.to_text(options.csv == "-" ? "standard input" : options.csv, text));
    section = fit_section(*points);
  } else {
    gap = RuleGap{*options.gap_mm * m_per_mm, *options.base_mm * m_per_mm, options.hollow};
    // how the job makes it; what it measured there before is put aside
    Job job = study->job;
    std::erase_if(job.joints, [&](const JointSpec& j) { return *j.id == line.id && j.section; });
    Layout alone = study->layouts[surface];
    alone.joints = {line};
    const Relief relief = make_relief(job, alone, *study->scheme.find(requested_finish(*study, surface).level), study->work);
    section = section_from_gap(relief.joints.front(), *gap);
    if (!section)
      throw Failure(Exit::bad_input, fmt::format("no {} of this make has {} mm under {} mm{}: {}\n", kind_text(line.kind), number_text(*options.gap_mm), number_text(*options.base_mm),
                                                 options.hollow ? ", bridging" : ", balanced on its crown", "measure again, or give points across it with --csv"));
  }
  const Measured measured = measure_joint(*study, surface, line, *section, gap);
  streams.out << (options.json ? measure_json(*study, measured) : measure_text(*study, measured, streams.colour));
}

}  // namespace rakelight
