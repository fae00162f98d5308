#include "window/measured.h"

#include <cmath>
#include <fmt/format.h>
#include <vector>

#include "base/text.h"
#include "base/units.h"
#include "joint/fit.h"
#include "joint/measured.h"
#include "window/edits.h"

namespace rakelight {
std::optional<FittedSection> section_from_csv(const std::string& text, std::string& why) {
  Diagnostics diagnostics;
  const auto points = read_measured(text, diagnostics);
  if (points) return fit_section(*points);
  for (const Diagnostic& d : diagnostics.all()) why = fmt::format("line {}: {}: {}", place_of(text, d.at.known() ? d.at.begin : 0).line, d.wrong, d.right);
  return std::nullopt;
}

std::string workmanship_value(const Job& job, const MeasuredSpec& more, Take take) {
  const MeasuredSpec before = job.finishing.measured.value_or(MeasuredSpec{});
  const std::string like = job.finishing.measured ? *before.like : *job.finishing.workmanship;
  std::string out = "{ like = " + text_value(like.empty() ? "everyday" : like);
  const auto list = [&](const char* key, const Key<std::vector<double>>& now, const Key<std::vector<double>>& then) {
    std::vector<double> values = now->empty() || take == Take::besides ? *then : *now;
    if (take == Take::besides) values.insert(values.end(), now->begin(), now->end());
    if (values.empty()) return;
    out += fmt::format(", {} = [", key);
    for (std::size_t i = 0; i < values.size(); ++i) {
      const double file = job.units == Units::inch ? values[i] * mm_per_m / mm_per_inch : values[i] * mm_per_m;
      out += (i ? ", " : "") + number_text(std::round(file * 1000) / 1000);
    }
    out += "]";
  };
  list("recessed_crown", more.recessed_crown, before.recessed_crown);
  list("butt_crown", more.butt_crown, before.butt_crown);
  list("lap_ridge", more.lap_ridge, before.lap_ridge);
  list("step", more.step, before.step);
  list("tape_edge", more.tape_edge, before.tape_edge);
  return out + " }";
}

MeasuredSpec crown_measured(JointKind kind, double crown) {
  MeasuredSpec spec;
  (is_recess(kind) ? spec.recessed_crown : spec.butt_crown).value = {crown};
  return spec;
}

}  // namespace rakelight
