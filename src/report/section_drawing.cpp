// A joint's section as a drawing to pin up: coat by coat, heights a hundred times the widths, with the blades that laid
// each coat, the tape and the dimensions.
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "kernel/relief.h"
#include "report/in_units.h"
#include "report/drawing.h"
#include "report/report.h"

namespace rakelight {
namespace {

using Anchor = Words::Anchor;

constexpr double exaggeration = 100;
constexpr double paper_width = 297, side = 14, label_width = 44, right_side = 38;  // mm
constexpr double most_tall = 118;             ///< mm of paper for the section
constexpr double deepest_shown = 0.0022;      ///< m below the face: grooves that go deeper are cut off
constexpr double inch = mm_per_inch * m_per_mm;  ///< m
constexpr double tape_edge = 0.002;           ///< m, over which compound is wiped against the tape's edge
constexpr double small = 2.8, normal = 3.2, large = 5.2;
const Colour grid_colour = "#e4e2dd", tape_colour = "#54452e", skim_colour = "#f3ede0";
const std::array<Colour, 5> coat_colours{"#b9874f", "#d0a56f", "#e2c397", "#eedab9", "#f4e7d0"};

bool is_coat(const Section& s, std::size_t k) { return !s.blades[k].empty(); }

/// With a true minus sign, which type sets as wide as a plus.
std::string mm_text(double metres, int digits = 0) {
  const std::string text = fixed_text(metres * mm_per_m, digits);
  return text[0] == '-' ? "−" + text.substr(1) : text;
}
std::string signed_mm(double metres, int digits) {
  const std::string text = mm_text(metres, digits);
  return metres > 0 ? "+" + text : text;
}

class SectionDrawing {
 public:
  SectionDrawing(const Section& section, const std::string& heading, const std::vector<std::string>& notes, Units units)
      : s_(section), units_(units), one_sided_(section.first >= 0) {
    highest_ = 0.0002;
    lowest_ = -0.0002;
    auto include = [&](const std::vector<double>& h) {
      for (double v : h) {
        highest_ = std::max(highest_, v);
        lowest_ = std::min(lowest_, v);
      }
    };
    include(s_.bare);
    include(s_.height);
    for (const auto& coat : s_.coats) include(coat);
    cut_off_ = lowest_ < -deepest_shown;
    lowest_ = std::max(lowest_, -deepest_shown);
    const double span = std::max(s_.last(), s_.right + 0.02) - std::min(s_.first, s_.left - (one_sided_ ? 0.012 : 0.02));
    scale_ = std::min((paper_width - side - right_side - label_width) / (span * mm_per_m),
                      most_tall / (exaggeration * (highest_ - lowest_) * mm_per_m));
    // whole scales read better on paper: 1 : 1.25, 1.5, 2, 2.5 …
    for (double whole : {1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0})
      if (1 / whole <= scale_) {
        scale_ = 1 / whole;
        break;
      }
    const double middle = side + label_width + (paper_width - side - right_side - label_width) / 2;
    const double centre = (std::max(s_.last(), s_.right) + std::min(s_.first, s_.left)) / 2;
    zero_x_ = middle - centre * mm_per_m * scale_;
    top_ = 40;
    zero_y_ = top_ + highest_ * mm_per_m * scale_ * exaggeration;
    bottom_ = zero_y_ - lowest_ * mm_per_m * scale_ * exaggeration + 9;
    d_.width = paper_width;
    titles(heading);
    grid();
    layers();
    dimensions();
    lanes();
    footer(notes);
  }
  Drawing drawing() { return std::move(d_); }

 private:
  double x(double u) const { return zero_x_ + u * mm_per_m * scale_; }
  double y(double h) const { return std::min(zero_y_ - h * mm_per_m * scale_ * exaggeration, bottom_); }
  double left_edge() const { return x(std::min(s_.first, s_.left)) - (one_sided_ ? 5 : 0); }
  double right_edge() const { return x(std::max(s_.last(), s_.right)); }

  void titles(const std::string& heading) {
    d_.say({side, 15}, heading, large, Anchor::start, true);
    d_.say({side, 21.5}, fmt::format("Section, seen from the end. Widths 1 : {}; heights drawn {} times as tall as widths.", number_text(1 / scale_),
                                      number_text(exaggeration)), normal);
  }

  void grid() {
    const bool inches = units_ == Units::inch;
    const double room = highest_ - lowest_, step = inches ? inch * (room > 0.004 ? 0.05 : room > 0.0012 ? 0.02 : 0.01) : room > 0.004 ? 0.001 : room > 0.0012 ? 0.0005 : 0.0002;
    const auto label = [&](int k) { return inches ? (k > 0 ? "+" : "") + fixed_text(k * step / inch, 2) + (k == 1 ? " in" : "") : signed_mm(k * step, 1) + (k == 1 ? " mm" : ""); };
    for (int k = static_cast<int>(std::ceil(lowest_ / step - 1e-9)); k * step <= highest_ + 1e-9; ++k) {
      d_.line({left_edge() - 3, y(k * step)}, {right_edge() + 3, y(k * step)}, grid_colour, 0.2);
      d_.say({left_edge() - 5, y(k * step) + 1}, k == 0 ? "board face 0" : label(k), small, Anchor::end);
    }
  }

  /// Corners of a curve, thinned to a tenth of a millimetre on paper.
  std::vector<dvec2> curve(const std::vector<double>& h) const {
    std::vector<dvec2> out;
    const auto stride = std::max<std::size_t>(1, static_cast<std::size_t>(0.12 / (s_.step * mm_per_m * scale_)));
    for (std::size_t i = 0; i < h.size(); i = i + stride < h.size() || i + 1 == h.size() ? i + stride : h.size() - 1)
      out.push_back({x(s_.first + s_.step * static_cast<double>(i)), y(h[i])});
    return out;
  }

  void band(const std::vector<double>& below, const std::vector<double>& above, const Colour& colour) {
    std::vector<dvec2> outline = curve(above), back = curve(below);
    outline.insert(outline.end(), back.rbegin(), back.rend());
    d_.polygon(outline, colour);
  }

  void layers() {
    std::vector<double> floor(s_.bare.size(), -1);
    band(floor, s_.bare, board_colour);
    if (one_sided_ && !has_nose()) d_.box({x(0) - 5, top_ - 4}, {x(0), bottom_}, board_colour);
    // what later stages take away is not drawn as filled
    std::vector<std::vector<double>> ceiling(s_.coats.size());
    std::vector<double> least = s_.height;
    bool last_coat = true;
    for (std::size_t k = s_.coats.size(); k-- > 0;) {
      // the last coat reaches up to what it was sanded to, tape edge and all
      if (!(last_coat && is_coat(s_, k) && k + 1 < s_.coats.size()))
        for (std::size_t i = 0; i < least.size(); ++i) least[i] = std::min(least[i], s_.coats[k][i]);
      if (is_coat(s_, k)) last_coat = false;
      ceiling[k] = least;
    }
    std::vector<double> below = s_.bare;
    for (std::size_t i = 0; i < below.size() && !ceiling.empty(); ++i) below[i] = std::min(below[i], std::max(ceiling[0][i], s_.bare[i]));
    std::size_t coat = 0;
    for (std::size_t k = 0; k < s_.coats.size(); ++k) {
      const bool skim = s_.coat_names[k] == "skim";
      if (!is_coat(s_, k) && !skim) continue;
      std::vector<double> above = ceiling[k];
      for (std::size_t i = 0; i < above.size(); ++i) above[i] = std::max(above[i], below[i]);
      band(below, above, skim ? skim_colour : coat_colours[std::min(coat++, coat_colours.size() - 1)]);
      if (k == 0 && s_.tape_thickness > 0) tape(above);
      below = above;
    }
    // as the blade left it, before sanding or sinking
    if (!s_.coats.empty())
      for (std::size_t k = s_.coats.size(); k-- > 0;)
        if (is_coat(s_, k)) {
          if (k + 1 < s_.coats.size()) d_.curve(curve(s_.coats[k]), "#7a5a30", 0.2, {1.2, 0.8});
          break;
        }
    d_.curve(curve(s_.bare), face_colour, 0.25);
    d_.curve(curve(s_.height), "#000000", 0.55);
    if (cut_off_) d_.say({right_edge(), bottom_ + 4.2}, in_units(units_, "the groove goes on below: " + mm_text(-*std::min_element(s_.bare.begin(), s_.bare.end()), 1) + " mm deep"), small, Anchor::end);
  }

  void tape(const std::vector<double>& top) {
    std::vector<dvec2> over, under;
    for (std::size_t i = 0; i < top.size(); ++i) {
      const double u = s_.first + s_.step * static_cast<double>(i);
      if (u < (one_sided_ ? 0 : s_.tape_from) || u > s_.tape_to) continue;
      over.push_back({x(u), y(top[i])});
      const double there = one_sided_ ? 1 : kernel::ease(u - s_.tape_from, tape_edge).height;
      under.push_back({x(u), y(std::max(top[i] - s_.tape_thickness * there * kernel::ease(s_.tape_to - u, tape_edge).height, s_.bare[i]))});
    }
    over.insert(over.end(), under.rbegin(), under.rend());
    d_.polygon(over, tape_colour);
  }

  void dimensions() {
    const double above = top_ - 6;
    if (s_.cover > 0) {
      d_.dimension({x(s_.left), above}, {x(s_.right), above}, in_units(units_, fmt::format("{} mm {}", mm_text(s_.width()), one_sided_ ? "from the line to the feather" : "feather to feather")));
      for (double u : {s_.left, s_.right}) d_.line({x(u), above + 1.5}, {x(u), zero_y_}, face_colour, 0.15, {0.8, 0.8});
    }
    // the crown against the face
    std::size_t at = 0;
    for (std::size_t i = 0; i < s_.height.size(); ++i)
      if (std::abs(s_.height[i]) > std::abs(s_.height[at])) at = i;
    const double u = s_.first + s_.step * static_cast<double>(at);
    const double beside = right_edge() + 6;
    d_.line({x(u), y(s_.height[at])}, {beside + 2, y(s_.height[at])}, face_colour, 0.15, {0.8, 0.8});
    if (std::abs(y(s_.height[at]) - zero_y_) > 2) d_.dimension({beside, y(s_.height[at])}, {beside, zero_y_}, "");
    d_.words.push_back({{beside + 4, (y(s_.height[at]) + zero_y_) / 2}, in_units(units_, fmt::format("{} {} mm", s_.height[at] < 0 ? "hollow" : has_nose() ? "nose" : "crown", signed_mm(s_.height[at], 2))),
                        small, Anchor::middle, false, true, "#000000"});
    // offsets along the foot
    const bool inches = units_ == Units::inch;
    const double span = s_.last() - s_.first, step = inches ? inch * (span > 0.45 ? 4 : span > 0.18 ? 2 : 1) : span > 0.45 ? 0.1 : span > 0.18 ? 0.05 : 0.02;
    d_.line({x(s_.first), bottom_}, {right_edge(), bottom_}, "#000000", 0.18);
    for (int k = static_cast<int>(std::ceil(s_.first / step - 1e-9)); k * step <= s_.last() + 1e-9; ++k) {
      d_.line({x(k * step), bottom_}, {x(k * step), bottom_ + 1.3}, "#000000", 0.18);
      if (!(cut_off_ && k * step > s_.last() * 0.3)) d_.say({x(k * step), bottom_ + 4.2}, inches ? number_text(std::round(k * step / inch)) : mm_text(k * step), small, Anchor::middle);
    }
    d_.say({left_edge() - 5, bottom_ + 4.2}, std::string(inches ? "inches" : "mm") + (one_sided_ ? " from the line" : " from the joint"), small, Anchor::end);
  }

  bool has_nose() const { return one_sided_ && s_.tape_thickness == 0; }

  /// One lane a coat: what it is, the blades that pulled it, how wide.
  void lanes() {
    double foot = bottom_ + 12;
    std::size_t coat = 0;
    auto lane = [&](const Colour& colour, const std::string& name) {
      if (!colour.empty()) d_.box({side, foot - 2.9}, {side + 5, foot + 0.3}, colour, face_colour, 0.15);
      d_.say({side + 7, foot}, name, normal);
      foot += 7;
    };
    for (std::size_t k = 0; k < s_.coats.size(); ++k) {
      if (!is_coat(s_, k)) continue;
      double lo = 1, hi = -1;
      for (std::size_t i = 0; i < s_.blades[k].size(); ++i) {
        const BladeEnds& b = s_.blades[k][i];
        const double level = foot - 1.3 + (i % 2 ? 1.1 : -0.6);  // neighbours overlap: one a little lower
        d_.line({x(b.from), level}, {x(b.to), level}, "#000000", 0.6);
        for (double u : {b.from, b.to}) d_.line({x(u), level - 1}, {x(u), level + 1}, "#000000", 0.3);
        lo = std::min(lo, b.from);
        hi = std::max(hi, b.to);
      }
      const std::size_t n = s_.blades[k].size();
      d_.say({x(hi) + 3, foot}, in_units(units_, fmt::format("{} mm{}", mm_text(hi - lo), n == 1 ? ", one pull" : fmt::format(", {} pulls", n))), small);
      lane(coat_colours[std::min(coat++, coat_colours.size() - 1)], s_.coat_names[k]);
    }
    if (coat > 0) d_.say({side, bottom_ + 7.5}, "blades, pull by pull", small, Anchor::start, false, face_colour);
    if (s_.tape_thickness > 0) {
      const double from = one_sided_ ? 0 : s_.tape_from;
      d_.box({x(from), foot - 2.2}, {x(s_.tape_to), foot - 0.6}, tape_colour);
      d_.say({x(s_.tape_to) + 3, foot}, in_units(units_, fmt::format("{} mm, {} mm thick", mm_text(s_.tape_to - from), mm_text(s_.tape_thickness, 2))), small);
      lane(tape_colour, one_sided_ ? "tape, folded" : "tape");
    }
    for (std::size_t k = 0; k < s_.coats.size(); ++k)
      if (s_.coat_names[k] == "skim") lane(skim_colour, "skim (thin film)");
    foot_ = foot;
  }

  void footer(const std::vector<std::string>& notes) {
    double foot = foot_ + 1;
    d_.line({side, foot - 4.5}, {paper_width - side, foot - 4.5}, face_colour, 0.15);
    d_.line({side, foot - 0.8}, {side + 9, foot - 0.8}, "#000000", 0.55);
    double at = side + 11;
    d_.say({at, foot}, "finished", small);
    at += 18;
    bool sanded = false;
    for (const std::string& n : s_.coat_names) sanded = sanded || n == "sanded" || n == "over-sanded";
    if (sanded) {
      d_.line({at, foot - 0.8}, {at + 9, foot - 0.8}, "#7a5a30", 0.2, {1.2, 0.8});
      d_.say({at + 11, foot}, "last coat as the blade left it", small);
      at += 60;
    }
    double steepest = 0, where = 0;
    for (std::size_t i = 0; i < s_.slope.size(); ++i)
      if (std::abs(s_.slope[i]) > std::abs(steepest)) {
        steepest = s_.slope[i];
        where = s_.first + s_.step * static_cast<double>(i);
      }
    d_.say({at, foot}, in_units(units_, fmt::format("steepest {} mm per m, {} mm from the line", fixed_text(std::abs(steepest) * 1e3, 0), mm_text(where))), small);
    for (const std::string& note : notes) {
      foot += 4.6;
      d_.say({side, foot}, in_units(units_, note), small);
    }
    d_.height = foot + 7;
  }

  const Section& s_;
  Units units_;  // of the words; scales stay metric
  bool one_sided_, cut_off_ = false;
  double highest_ = 0, lowest_ = 0, scale_ = 1, zero_x_ = 0, zero_y_ = 0, top_ = 0, bottom_ = 0, foot_ = 0;
  Drawing d_;
};

}  // namespace

Drawing section_drawing(const Section& section, const std::string& heading, const std::vector<std::string>& notes, Units units) {
  return SectionDrawing(section, heading, notes, units).drawing();
}

}  // namespace rakelight
