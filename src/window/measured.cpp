#include "window/measured.h"

#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <vector>

#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "joint/fit.h"
#include "joint/measured.h"
#include "report/report.h"
#include "window/edits.h"

namespace rakelight {
std::optional<FittedSection> section_from_csv(const std::string& text, std::string& why) {
  Diagnostics diagnostics;
  const auto points = read_measured(text, diagnostics);
  if (points) return fit_section(*points);
  for (const Diagnostic& d : diagnostics.all()) why = say("line {}: {}: {}", place_of(text, d.at.known() ? d.at.begin : 0).line, d.wrong, d.right);
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

MeasureAnswer measure_answer(const MeasureOrder& order) {
  MeasureAnswer answer;
  const Study& study = *order.study;
  const JointLine& line = order.joint.line;
  const auto judge = [&](const FittedSection& section, const std::optional<RuleGap>& by) { answer.reasons = measure_joint(study, order.surface, line, section, by).reasons; };
  const auto take = [&](const MeasuredSpec& figures) { answer.edits = {{"finishing", "", "workmanship", workmanship_value(study.job, figures, Take::besides)}}; };
  const auto mm = [](double metres, int digits) { return fixed_text(metres * mm_per_m, digits); };
  if (order.gap) {
    const auto crown = crown_from_gap(order.joint, *order.gap);
    if (!crown) {
      answer.notice = say("no joint of this make has {} mm under {} mm: measure again, or give a cross-section", mm(order.gap->gap, 2), mm(order.gap->base, 0));
      return answer;
    }
    if (const auto section = section_from_gap(order.joint, *order.gap)) judge(*section, order.gap);
    take(crown_measured(line.kind, *crown));
    answer.notice = *crown < 0 ? say("that gap means a hollow of {} mm: one more measured joint of this kind, taken for all of them", mm(-*crown, 2))
                               : say("that gap means a crown of {} mm: one more measured joint of this kind, taken for all of them", mm(*crown, 2));
    return answer;
  }
  std::string why = say("it cannot be read");
  const std::optional<std::string> text = read_bytes(order.csv);
  const auto section = text ? section_from_csv(*text, why) : std::nullopt;
  if (!section) {
    answer.notice = std::filesystem::path(order.csv).filename().string() + ": " + why;
    return answer;
  }
  judge(*section, std::nullopt);
  take(figures_of({{line.kind, section->face}}));
  answer.notice = say("the section's figures: one more measured joint of this kind, taken for all of them");
  return answer;
}

}  // namespace rakelight
