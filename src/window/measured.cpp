#include "window/measured.h"

#include <cmath>
#include <fmt/format.h>
#include <sstream>
#include <vector>

#include "base/text.h"
#include "base/units.h"
#include "joint/straightedge.h"
#include "window/edits.h"

namespace rakelight {
namespace {

constexpr double least_crown = -0.005, most_crown = 0.010;  // m, as the job file's key allows

double gap_with(const PlacedJoint& joint, double crown, double base, bool hollow) {
  SectionFigures figures = joint.figures;
  figures.crown = crown;
  const Section section = make_section(joint.recipe, figures);
  HeightCurve curve;
  curve.first = section.first;
  curve.step = section.step;
  curve.height = section.height;
  curve.slope = section.slope;
  return read_rule(curve, hollow ? Held::bridging : Held::balanced, base, 0).gap;
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

std::optional<HeightCurve> read_section_csv(const std::string& text, std::string& why) {
  std::vector<double> offset, height;
  std::istringstream lines(text);
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    for (char& c : line)
      if (c == ',' || c == ';' || c == '\t' || c == '\r') c = ' ';
    if (line.find_first_not_of(' ') == std::string::npos || line[line.find_first_not_of(' ')] == '#') continue;
    std::istringstream in(line);
    in.imbue(std::locale::classic());
    double u = 0, h = 0;
    if (!(in >> u >> h) || !std::isfinite(u) || !std::isfinite(h)) {
      if (offset.empty() && number == 1) continue;
      why = fmt::format("line {}: an offset and a height in mm, such as -150, 0.4", number);
      return std::nullopt;
    }
    if (!offset.empty() && u * m_per_mm <= offset.back()) {
      why = fmt::format("line {}: offsets must rise from line to line", number);
      return std::nullopt;
    }
    if (std::abs(u) > 2000 || std::abs(h) > 50) {
      why = fmt::format("line {}: an offset within 2000 mm and a height within 50 mm of the joint", number);
      return std::nullopt;
    }
    offset.push_back(u * m_per_mm);
    height.push_back(h * m_per_mm);
  }
  if (offset.size() < 5 || offset.front() >= 0 || offset.back() <= 0) {
    why = "at least five points, on both sides of the joint at 0";
    return std::nullopt;
  }
  const double from = offset.front(), to = offset.back();
  HeightCurve curve(from, to, 0.001);
  std::size_t k = 0;
  for (int i = 0; i < curve.size(); ++i) {
    const double u = std::min(curve.offset(i), to);
    while (k + 2 < offset.size() && offset[k + 1] < u) ++k;
    const double slope = (height[k + 1] - height[k]) / (offset[k + 1] - offset[k]), chord = (height.back() - height.front()) / (to - from);
    curve.height[static_cast<std::size_t>(i)] = height[k] + slope * (u - offset[k]) - height.front() - chord * (u - from);
    curve.slope[static_cast<std::size_t>(i)] = slope - chord;
  }
  return curve;
}

std::string workmanship_value(const Job& job, const MeasuredSpec& more) {
  const MeasuredSpec before = job.finishing.measured.value_or(MeasuredSpec{});
  const std::string like = job.finishing.measured ? *before.like : *job.finishing.workmanship;
  std::string out = "{ like = " + text_value(like.empty() ? "everyday" : like);
  const auto list = [&](const char* key, const Key<std::vector<double>>& now, const Key<std::vector<double>>& then) {
    const std::vector<double>& values = now->empty() ? *then : *now;
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
