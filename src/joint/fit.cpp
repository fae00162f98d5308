#include "joint/fit.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

#include "base/dense.h"
#include "base/text.h"
#include "base/units.h"

namespace rakelight {
namespace {

constexpr std::size_t least_points = 7, most_points = 300;
constexpr double spacing_of_section = 0.5e-3;  // m
constexpr double finest_reading = 2e-6;        // m: no gauge on site tells less
constexpr double least_step_mm = 0.01;         // closer places are one place

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::optional<double> number_of(std::string_view text) {
  double value = 0;
  text = trimmed(text);
  if (text.starts_with('+')) {
    text.remove_prefix(1);
    if (text.starts_with('-')) return std::nullopt;
  }
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// Means of neighbouring points, at most `most_points` of them.
MeasuredPoints thinned(const MeasuredPoints& p) {
  const std::size_t n = p.offset.size();
  if (n <= most_points) return p;
  // all of one size or one more
  const std::size_t groups = n / ((n + most_points - 1) / most_points);
  MeasuredPoints out;
  for (std::size_t i = 0; i < groups; ++i) {
    const std::size_t begin = i * n / groups, end = (i + 1) * n / groups;
    double x = 0, y = 0;
    for (std::size_t k = begin; k < end; ++k) x += p.offset[k], y += p.height[k];
    out.offset.push_back(x / static_cast<double>(end - begin));
    out.height.push_back(y / static_cast<double>(end - begin));
  }
  return out;
}

/// What the spline needs: its values and second derivatives at the points, the diagonal of the smoother, and how far a spline ten
/// times less smooth lies above it: about what smoothing has taken off a pointed top, where stated errors of smoothing splines are
/// else too small (Nychka, J. Am. Stat. Assoc. 83, 1988, 1134).
struct Spline { std::vector<double> value, bend, leverage, flattened; double variance = 0; };

Spline smoothed(const std::vector<double>& x, const std::vector<double>& y) {
  const std::size_t n = x.size(), m = n - 2;
  // column j of q has three entries, from row j on; the form r has its diagonal and the ones beside it
  std::vector<std::array<double, 3>> q(m);
  std::vector<double> penalty(m * m, 0.0), r(m * m, 0.0);
  for (std::size_t j = 0; j < m; ++j) {
    const double before = x[j + 1] - x[j], after = x[j + 2] - x[j + 1];
    q[j] = {1 / before, -1 / before - 1 / after, 1 / after};
    r[j * m + j] = (before + after) / 3;
    if (j + 1 < m) r[j * m + j + 1] = r[(j + 1) * m + j] = after / 6;
  }
  for (std::size_t i = 0; i < m; ++i)
    for (std::size_t j = i; j < std::min(m, i + 3); ++j) {
      double sum = 0;
      for (std::size_t k = j - i; k < 3; ++k) sum += q[i][k] * q[j][k - (j - i)];
      penalty[i * m + j] = penalty[j * m + i] = sum;
    }
  // in these axes both penalty and fit are diagonal: for every smoothness at once
  const CommonAxes axes = common_axes(static_cast<int>(m), penalty, r);
  std::vector<double> lambda = axes.value, z(m, 0.0), qv(n * m, 0.0);  // of axis k at [k n, (k + 1) n)
  for (double& l : lambda) l = std::max(l, 0.0);
  for (std::size_t k = 0; k < m; ++k) {
    double* own = qv.data() + k * n;
    for (std::size_t j = 0; j < m; ++j)
      for (std::size_t i = 0; i < 3; ++i) own[j + i] += q[j][i] * axes.vector[k * m + j];
    for (std::size_t i = 0; i < n; ++i) z[k] += own[i] * y[i];
  }
  const auto residual = [&](double a) {
    double squares = 0, freedom = 0;
    for (std::size_t k = 0; k < m; ++k) {
      const double share = a * lambda[k] / (1 + a * lambda[k]);
      freedom += share;
      if (lambda[k] > 0) squares += share * share * z[k] * z[k] / lambda[k];
    }
    return std::pair(squares, freedom);
  };
  double best = 0, least = 0;
  constexpr int steps = 120;
  const auto [fewest, most] = std::minmax_element(lambda.begin(), lambda.end());
  const double lo = std::log(1e-2 / *most), hi = std::log(1e2 / std::max(*fewest, 1e-12 * *most));
  for (int i = 0; i <= steps; ++i) {
    const double a = std::exp(lo + (hi - lo) * i / steps);
    const auto [squares, freedom] = residual(a);
    const double score = squares / (freedom * freedom);
    if (i == 0 || score < least) {
      least = score;
      best = a;
    }
  }
  const auto [squares, freedom] = residual(best);
  Spline s;
  s.value = y;
  s.bend.assign(n, 0.0);
  s.leverage.assign(n, 1.0);
  for (std::size_t k = 0; k < m; ++k) {
    const double weight = 1 / (1 + best * lambda[k]);
    const double* own = qv.data() + k * n;
    for (std::size_t j = 0; j < m; ++j) s.bend[j + 1] += weight * z[k] * axes.vector[k * m + j];
    for (std::size_t i = 0; i < n; ++i) {
      s.value[i] -= best * weight * z[k] * own[i];
      s.leverage[i] -= best * weight * own[i] * own[i];
    }
  }
  s.flattened.assign(n, 0.0);
  constexpr double closer = 0.1;
  for (std::size_t k = 0; k < m; ++k) {
    const double* own = qv.data() + k * n;
    const double taken = best / (1 + best * lambda[k]) - closer * best / (1 + closer * best * lambda[k]);
    for (std::size_t i = 0; i < n; ++i) s.flattened[i] += taken * z[k] * own[i];
  }
  s.variance = squares / freedom;
  return s;
}

}  // namespace

std::optional<MeasuredPoints> read_measured(std::string_view text, Diagnostics& diagnostics) {
  MeasuredPoints points;
  bool heading = false, sound = true;
  Span first, last;
  double before_mm = 0;
  const auto wrong = [&](std::size_t begin, std::size_t end, const std::string& what, const std::string& right) {
    diagnostics.error({begin, std::max(end, begin + 1)}, what, right);
    sound = false;
  };
  std::size_t at = text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  while (at < text.size() && sound) {
    const std::size_t end = std::min(text.find('\n', at), text.size()), begin = at;
    const std::string_view line = trimmed(text.substr(begin, end - begin));
    at = end + 1;
    if (line.empty() || line.front() == '#') continue;
    const std::size_t comma = line.find(',');
    if (!heading) {
      heading = true;
      if (comma == line.npos || trimmed(line.substr(0, comma)) != "offset_mm" || trimmed(line.substr(comma + 1)) != "height_mm")
        wrong(begin, end, "the file does not start with its heading", "offset_mm,height_mm");
      continue;
    }
    const auto x = number_of(line.substr(0, comma)), h = comma == line.npos ? std::nullopt : number_of(line.substr(comma + 1));
    if (!x || !h) {
      wrong(begin, end, "this line is not two numbers", "offset_mm,height_mm such as -120.5,0.35");
    } else if (!points.offset.empty() && !(*x > before_mm)) {
      wrong(begin, end, fmt::format("offset {} does not lie right of the one before, {}", number_text(*x), number_text(before_mm)),
            "points in order from left to right, each place once");
    } else if (!points.offset.empty() && *x - before_mm < least_step_mm * (1 - 1e-6)) {  // steps of just that come out rounded
      wrong(begin, end, fmt::format("offset {} lies too near the one before, {}", number_text(*x), number_text(before_mm)),
            fmt::format("steps of at least {} mm", number_text(least_step_mm)));
    } else if (std::abs(*h) > 50) {
      wrong(begin, end, fmt::format("a height of {} mm is none of a joint's", number_text(*h)), "millimetres from -50 to 50");
    } else if (!points.offset.empty() && *x * m_per_mm - points.offset.front() > 3) {
      wrong(begin, end, "the points reach over more than 3 m", "offsets in millimetres across one joint");
    } else {
      last = {begin, end};
      if (points.offset.empty()) first = last;
      before_mm = *x;
      points.offset.push_back(*x * m_per_mm);
      points.height.push_back(*h * m_per_mm);
    }
  }
  if (!sound) return std::nullopt;
  if (points.offset.size() < least_points) {
    wrong(text.empty() ? 0 : text.size() - 1, text.size(), fmt::format("{} too few for a section", points.offset.size() == 1 ? "1 point is" : fmt::format("{} points are", points.offset.size())),
          fmt::format("at least {}, better one every 5 mm", least_points));
    return std::nullopt;
  }
  if (!(points.offset.front() < 0)) wrong(first.begin, first.end, "no point lies left of the joint", "offsets from below 0 to above it: offset 0 is the joint's line");
  if (!(points.offset.back() > 0)) wrong(last.begin, last.end, "no point lies right of the joint", "offsets from below 0 to above it: offset 0 is the joint's line");
  if (!sound) return std::nullopt;
  return points;
}

FittedSection fit_section(const MeasuredPoints& all) {
  assert(all.offset.size() >= least_points && all.offset.size() == all.height.size());
  const MeasuredPoints p = thinned(all);
  const std::size_t n = p.offset.size();
  // in millimetres the numbers are near one another
  std::vector<double> x = p.offset, y = p.height;
  for (double& v : x) v *= mm_per_m;
  for (double& v : y) v *= mm_per_m;
  Spline s = smoothed(x, y);
  // of single readings, of which each point is the mean of some
  const double gathered = static_cast<double>(all.offset.size()) / static_cast<double>(p.offset.size());
  s.variance = std::max(s.variance, std::pow(finest_reading * mm_per_m, 2) / gathered);

  FittedSection fit;
  fit.points = static_cast<int>(all.offset.size());
  fit.noise = std::sqrt(s.variance * gathered) * m_per_mm;
  for (std::size_t i = 1; i < all.offset.size(); ++i) fit.spacing = std::max(fit.spacing, all.offset[i] - all.offset[i - 1]);
  const double width = x[n - 1] - x[0], rise = (s.value[n - 1] - s.value[0]) / width;
  const int cells = std::max(2, static_cast<int>(std::lround(width * m_per_mm / spacing_of_section)));
  fit.face.first = x[0] * m_per_mm;
  fit.face.step = width / cells * m_per_mm;
  const auto spread = [&](std::size_t i) { return s.variance * std::max(s.leverage[i], 0.0) + s.flattened[i] * s.flattened[i]; };
  std::size_t peak = 0, k = 0;
  for (int c = 0; c <= cells; ++c) {
    const double u = x[0] + width * c / cells;
    while (k + 2 < n && x[k + 1] < u) ++k;
    const double h = x[k + 1] - x[k], a = (u - x[k]) / h, b = 1 - a;
    const double value = b * s.value[k] + a * s.value[k + 1] - a * b * h * h / 6 * ((1 + b) * s.bend[k] + (1 + a) * s.bend[k + 1]);
    const double slope = (s.value[k + 1] - s.value[k]) / h + h / 6 * ((1 - 3 * b * b) * s.bend[k] + (3 * a * a - 1) * s.bend[k + 1]);
    fit.face.height.push_back((value - s.value[0] - rise * (u - x[0])) * m_per_mm);
    fit.face.slope.push_back(slope - rise);
    // the chord from end to end has its own uncertainty
    const double along = static_cast<double>(c) / cells;
    const double own = b * spread(k) + a * spread(k + 1), chord = (1 - along) * (1 - along) * spread(0) + along * along * spread(n - 1);
    fit.sd.push_back(c == 0 || c == cells ? 0 : std::sqrt(own + chord) * m_per_mm);
    if (std::abs(fit.face.height.back()) > std::abs(fit.face.height[peak])) peak = fit.face.height.size() - 1;
  }
  fit.face.height.back() = 0;
  fit.crown = fit.face.height[peak];
  fit.crown_sd = fit.sd[peak];
  return fit;
}

Section section_of(const FittedSection& fit) {
  Section s;
  s.first = fit.face.first;
  s.step = fit.face.step;
  s.height = fit.face.height;
  s.slope = fit.face.slope;
  s.bare = std::vector<double>(s.height.size(), 0.0);
  s.left = s.first;
  s.right = s.last();
  s.crown = fit.crown;
  return s;
}

void load_measured(Job& job, const Loader& loader, Diagnostics& diagnostics) {
  for (JointSpec& joint : job.joints) {
    const std::string& name = *joint.measured;
    if (name.empty() || joint.section) continue;
    if (joint.width.given) {
      diagnostics.error(joint.width.at, "a measured section has its own width", "width or measured, not both", joint.measured.at, "measured is here");
      continue;
    }
    const auto text = loader ? loader(name) : std::nullopt;
    if (!text) {
      diagnostics.error(joint.measured.at, "cannot read the measured section " + name, "a file of lines offset_mm,height_mm, its path relative to the job");
      continue;
    }
    Diagnostics own;
    const auto points = read_measured(*text, own);
    if (!points) {
      std::string report = own.to_text(name, *text);
      while (report.ends_with('\n')) report.pop_back();
      diagnostics.error(joint.measured.at, "the measured section cannot be used:\n" + report, "lines offset_mm,height_mm from the left feather to the right");
      continue;
    }
    joint.section = std::make_shared<const FittedSection>(fit_section(*points));
    if (joint.section->spacing > 0.010)
      diagnostics.warn(joint.measured.at, fmt::format("points of {} lie up to {} mm apart: marks narrower than {} mm are not in it", name,
                                                      fixed_text(joint.section->spacing * mm_per_m, 0), fixed_text(2 * joint.section->spacing * mm_per_m, 0)),
                       "a point every 5 mm, closer over tape edges and laps");
  }
}

void check_measured(const Job& job, const std::vector<Layout>& layouts, Diagnostics& diagnostics) {
  for (const JointSpec& joint : job.joints) {
    if (joint.measured->empty()) continue;
    for (const Layout& layout : layouts)
      for (const JointLine& line : layout.joints)
        if (line.id == *joint.id && !joins_sheets(line.kind))
          diagnostics.error(joint.measured.at, "a " + kind_text(line.kind) + " cannot be measured as a section", "joints between sheets");
  }
}

}  // namespace rakelight
