// IES LM-63: ANSI/IESNA LM-63-86, -91, -95, -02 and ANSI/IES LM-63-19. Keyword lines, a TILT line, then one stream of numbers
// that takes no notice of line breaks.
#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

#include "light/photometry.h"
#include "light/photometry_text.h"

namespace rakelight {
namespace {

constexpr double m_per_foot = 0.3048;

bool space(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == ',' || c == '\f' || c == '\v'; }

/// Numbers one after another, each with its place; the first that is none is reported and ends it.
class Numbers {
 public:
  Numbers(std::string_view text, std::size_t at, Diagnostics& diagnostics) : text_(text), at_(at), diagnostics_(diagnostics) {}

  bool ok() const { return ok_; }
  Span last() const { return last_; }

  /// `what`: how people call it.
  double next(const std::string& what) {
    if (!ok_) return 0;
    while (at_ < text_.size() && space(text_[at_])) ++at_;
    const std::size_t from = at_;
    while (at_ < text_.size() && !space(text_[at_])) ++at_;
    last_ = {from, at_};
    if (from == at_ || text_[from] == '\x1a') return fail("the file ends where " + what + " should be", "a number");
    const auto value = number_in(text_.substr(from, at_ - from));
    if (!value) return fail(fmt::format("{} is {}", what, shown(text_.substr(from, at_ - from))), "a number");
    return *value;
  }

  double within(const std::string& what, double least, double most) {
    const double value = next(what);
    if (ok_ && !(value >= least && value <= most))
      return fail(fmt::format("{} is {:g}", what, value), fmt::format("a number from {:g} to {:g}", least, most));
    return value;
  }

  int whole(const std::string& what, int least, int most) {
    const double value = next(what);
    if (ok_ && !(value >= least && value <= most && value == std::floor(value)))
      fail(fmt::format("{} is {:g}", what, value), fmt::format("a whole number from {} to {}", least, most));
    return ok_ ? static_cast<int>(value) : 0;
  }

  std::vector<double> ascending(const std::string& what, int count, double least, double most) {
    std::vector<double> out;
    for (int i = 0; i < count && ok_; ++i) {
      out.push_back(within(fmt::format("{} {} of {}", what, i + 1, count), least, most));
      if (ok_ && i > 0 && !(out[i] > out[i - 1]))
        fail(fmt::format("{} {} is {:g} after {:g}", what, i + 1, out[i], out[i - 1]), "angles that rise");
    }
    return out;
  }

  double fail(const std::string& wrong, const std::string& right) {
    if (ok_) diagnostics_.error(last_, wrong, right);
    ok_ = false;
    return 0;
  }

  /// What is left after the last number, blanks and the end mark of old systems aside.
  Span rest() const {
    std::size_t at = at_;
    while (at < text_.size() && (space(text_[at]) || text_[at] == '\x1a' || text_[at] == '\0')) ++at;
    return {at, text_.size()};
  }

 private:
  std::string_view text_;
  std::size_t at_;
  Diagnostics& diagnostics_;
  Span last_;
  bool ok_ = true;
};

struct Header {
  int year = 1986;
  std::size_t numbers = 0;   ///< where they begin, after the TILT line
  bool tilt = false;
};

std::optional<Header> read_header(std::string_view text, Photometry& p, Diagnostics& diagnostics) {
  Header header;
  Lines lines(text);
  bool first = true;
  std::string free_line;
  for (auto line = lines.next(); line; line = lines.next()) {
    const std::string_view words = trimmed(line->text);
    if (first) {
      first = false;
      constexpr std::array<std::pair<std::string_view, int>, 4> editions{{{"IESNA91", 1991}, {"IESNA:LM-63-1995", 1995}, {"IESNA:LM-63-2002", 2002}, {"IES:LM-63-2019", 2019}}};
      for (const auto& [mark, year] : editions)
        if (words.starts_with(mark)) header.year = year;
      if (header.year == 1986 && words.starts_with("IES") && words.find("63") != std::string_view::npos) {
        diagnostics.warn({line->begin, line->begin + line->text.size()}, "an edition of LM-63 that is not known here; read as that of 2019", "IES:LM-63-2019 or older");
        header.year = 2019;
      }
      if (header.year > 1986) continue;
    }
    if (words.starts_with("TILT=") || words.starts_with("tilt=") || words.starts_with("Tilt=")) {
      const std::string_view what = trimmed(words.substr(5));
      header.numbers = std::min(line->begin + line->text.size() + 1, text.size());
      const std::size_t at = line->begin + line->text.find('=') + 1;
      header.tilt = what == "INCLUDE" || what == "include";
      if (!header.tilt && what != "NONE" && what != "none") {
        diagnostics.error({at, std::min(text.size(), at + std::max<std::size_t>(1, what.size()))}, fmt::format("TILT={} is not read", what.empty() ? "" : shown(what)), "TILT=NONE, or TILT=INCLUDE with the table in this file");
        return std::nullopt;
      }
      if (p.name.empty()) p.name = free_line;
      p.format = fmt::format("LM-63-{}", header.year);
      return header;
    }
    if (words.starts_with("[LUMINAIRE]") && p.name.empty()) p.name = utf8_text(trimmed(words.substr(11)).substr(0, 200));
    if (free_line.empty() && !words.starts_with("[")) free_line = utf8_text(words.substr(0, 200));
  }
  diagnostics.error({0, std::min<std::size_t>(text.size(), 1)}, "an LM-63 file without a TILT line", "a line TILT=NONE or TILT=INCLUDE after the keywords");
  return std::nullopt;
}

/// The opening by the signs of width (along C 90), length (along C 0) and height: LM-63-2002 table 1, with the shorter
/// forms of 1995. A negative measure is a diameter.
void set_opening(Photometry& p, double width, double length, double height) {
  const auto round_alone = [](double& w, double& l) {
    if (w < 0 && l == 0) l = w;
    if (l < 0 && w == 0) w = l;
  };
  round_alone(width, length);
  const bool lying = (width < 0) != (length < 0);
  // a cylinder that lies along its positive side is as high as it is wide
  if (lying && height == 0 && width != 0 && length != 0) height = std::min(width, length);
  p.round = width < 0 && length < 0 && height == 0;
  p.opening = {std::abs(length), std::abs(width), std::abs(height)};
}

constexpr double same_angle = 1e-3;
bool near(double a, double b) { return std::abs(a - b) < same_angle; }

bool sides_fit(Photometry& p, Numbers& numbers, Diagnostics& diagnostics, Span at) {
  std::vector<double>& c = p.horizontal_deg;
  if (c.size() == 1) return true;
  const double first = c.front(), last = c.back();
  if (p.web != Photometry::Web::c) {
    if ((near(first, 0) || near(first, -90)) && near(last, 90)) return true;
    numbers.fail(fmt::format("horizontal angles run from {:g} to {:g}", first, last), "-90 to 90, or 0 to 90 for a symmetric lamp");
    return false;
  }
  if (near(first, 90) && near(last, 270)) return true;
  if (near(first, 0) && (near(last, 90) || near(last, 180) || near(last, 360))) return true;
  // all planes but the last, which repeats the first
  const double step = c[1] - c[0];
  if (near(first, 0) && last > 180 && near(last + step, 360)) {
    diagnostics.warn(at, fmt::format("the plane at 360 is left out; the last is {:g}", last), "360 as the last horizontal angle, with the values of 0");
    c.push_back(360);
    return true;
  }
  numbers.fail(fmt::format("horizontal angles run from {:g} to {:g}", first, last), "0 alone, 0 to 90, 0 to 180, 90 to 270 or 0 to 360");
  return false;
}

void read_tilt(Photometry& p, Numbers& numbers) {
  p.tilt.geometry = numbers.whole("the lamp's geometry for TILT", 1, 3);
  const int count = numbers.whole("the number of TILT angles", 1, 1000);
  p.tilt.angle_deg = numbers.ascending("TILT angle", count, -360, 360);
  for (int i = 0; i < count && numbers.ok(); ++i) p.tilt.factor.push_back(numbers.within(fmt::format("TILT factor {} of {}", i + 1, count), 0, 100));
}

}  // namespace

std::optional<Photometry> read_lm63(std::string_view text, Diagnostics& diagnostics) {
  Photometry p;
  const auto header = read_header(text, p, diagnostics);
  if (!header) return std::nullopt;
  Numbers numbers(text, header->numbers, diagnostics);
  if (header->tilt) read_tilt(p, numbers);
  const int lamps = numbers.whole("the number of lamps", 0, 100000);
  const double lumens = numbers.within("lumens per lamp", -1e9, 1e9);
  p.absolute = lumens < 0;
  p.lamp_lumens = p.absolute ? 0 : lamps * lumens;
  double factor = numbers.within("the candela multiplier", 1e-9, 1e9);
  const int vertical = numbers.whole("the number of vertical angles", 2, 3601);
  const int horizontal = numbers.whole("the number of horizontal angles", 1, 3601);
  if (static_cast<long>(vertical) * horizontal > 1000000) numbers.fail("more than a million candela values", "fewer angles");
  const int web = numbers.whole("the photometric type", 1, 3);
  p.web = web == 1 ? Photometry::Web::c : web == 2 ? Photometry::Web::b : Photometry::Web::a;
  const int units = numbers.whole("the unit of the opening", 1, 2);
  const double m = units == 1 ? m_per_foot : 1;
  const double width = m * numbers.within("the opening's width", -1000, 1000);
  const double length = m * numbers.within("the opening's length", -1000, 1000);
  const double height = m * numbers.within("the opening's height", -1000, 1000);
  if (numbers.ok()) set_opening(p, width, length, height);
  factor *= numbers.within("the ballast factor", 1e-9, 1e9);
  const double other = numbers.next("the number after the ballast factor");
  // the ballast-lamp photometric factor until 1991; since then kept for later use, in 2019 how the file came to be
  if (header->year <= 1991) {
    if (numbers.ok() && !(other > 0 && other < 1e9)) numbers.fail(fmt::format("the ballast-lamp photometric factor is {:g}", other), "a number over 0");
    factor *= other;
  }
  p.input_watts = numbers.within("the input watts", 0, 1e9);

  const bool polar = p.web == Photometry::Web::c;
  p.vertical_deg = numbers.ascending("vertical angle", vertical, polar ? 0 : -90, polar ? 180 : 90);
  const Span verticals = numbers.last();
  if (numbers.ok()) {
    const double first = p.vertical_deg.front(), last = p.vertical_deg.back();
    if (polar && !((near(first, 0) || near(first, 90)) && (near(last, 90) || near(last, 180))))
      diagnostics.warn(verticals, fmt::format("vertical angles run from {:g} to {:g}; beyond them the lamp is taken as dark", first, last), "0 or 90 first, 90 or 180 last");
    if (!polar && near(first, 0)) diagnostics.warn(verticals, "vertical angles begin at 0; below it the lamp is taken to be as above", "-90 to 90");
  }
  p.horizontal_deg = numbers.ascending("horizontal angle", horizontal, polar ? 0 : -90, polar ? 360 : 90);
  if (!numbers.ok() || !sides_fit(p, numbers, diagnostics, numbers.last())) return std::nullopt;
  for (int j = 0; j < horizontal && numbers.ok(); ++j)
    for (int i = 0; i < vertical && numbers.ok(); ++i)
      p.candela.push_back(factor * numbers.within(fmt::format("candela {} of {} at horizontal angle {:g}", i + 1, vertical, p.horizontal_deg[j]), 0, 1e12));
  if (!numbers.ok()) return std::nullopt;
  if (p.horizontal_deg.size() > static_cast<std::size_t>(horizontal)) p.candela.insert(p.candela.end(), p.candela.begin(), p.candela.begin() + vertical);
  if (const Span rest = numbers.rest(); rest.begin < rest.end)
    diagnostics.warn({rest.begin, std::min(rest.begin + 1, rest.end)}, "text after the last candela value is passed over", fmt::format("{} x {} values, as the file says", horizontal, vertical));
  if (*std::max_element(p.candela.begin(), p.candela.end()) <= 0) {
    diagnostics.error(numbers.last(), "every candela value is 0", "a lamp that shines");
    return std::nullopt;
  }
  return p;
}

}  // namespace rakelight
