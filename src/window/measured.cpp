#include "window/measured.h"

#include <cmath>
#include <fmt/format.h>
#include <vector>

#include "assess/assess.h"
#include "base/text.h"
#include "base/units.h"
#include "joint/fit.h"
#include "joint/measured.h"
#include "joint/straightedge.h"
#include "window/edits.h"

namespace rakelight {
namespace {

constexpr double least_crown = -0.005, most_crown = 0.010;  // m, as the job file's key allows

double gap_with(const PlacedJoint& joint, double crown, double base, bool hollow) {
  SectionFigures figures = joint.figures;
  figures.crown = crown;
  return read_rule(face_of(make_section(joint.recipe, figures)), hollow ? Held::bridging : Held::balanced, base, 0).gap;
}

}  // namespace

std::optional<double> crown_from_gap(const PlacedJoint& joint, double gap, double base, bool hollow) {
  double lo = hollow ? least_crown : 0, hi = hollow ? 0 : most_crown;
  const auto off = [&](double crown) { return (hollow ? -1 : 1) * (gap_with(joint, crown, base, hollow) - gap); };
  if (off(lo) > 0 || off(hi) < 0) return std::nullopt;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (lo + hi);
    (off(middle) < 0 ? lo : hi) = middle;
  }
  return 0.5 * (lo + hi);
}

std::optional<MeasuredSpec> figures_from_csv(const std::string& text, JointKind kind, std::string& why) {
  Diagnostics diagnostics;
  const auto points = read_measured(text, diagnostics);
  if (points) return figures_of({{kind, fit_section(*points).face}});
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
