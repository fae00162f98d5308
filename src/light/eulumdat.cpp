// EULUMDAT (Stockmar 1990): one value a line, candela per kilolumen.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "base/units.h"
#include "light/photometry.h"
#include "light/photometry_text.h"

namespace rakelight {
namespace {

/// Lines one after another; the first that is not what it should be is reported and ends it.
class Fields {
 public:
  Fields(std::string_view text, Diagnostics& diagnostics) : lines_(text), size_(text.size()), diagnostics_(diagnostics) {}

  bool ok() const { return ok_; }
  Span last() const { return {line_.begin, line_.begin + line_.text.size()}; }

  std::string_view words(const std::string& what) {
    if (!ok_) return {};
    const auto line = lines_.next();
    if (!line) {
      line_ = {{}, size_};
      fail(fmt::format("the file ends where {} should be", what), "one value a line");
      return {};
    }
    line_ = *line;
    return trimmed(line_.text);
  }
  void skip(int count, const std::string& what) {
    for (int i = 0; i < count && ok_; ++i) words(what);
  }
  double number(const std::string& what, double least, double most) {
    const std::string_view text = words(what);
    if (!ok_) return 0;
    const auto value = number_in(text);
    if (!value) return fail(fmt::format("{} is {}", what, shown(text)), "a number");
    if (!(*value >= least && *value <= most)) return fail(fmt::format("{} is {:g}", what, *value), fmt::format("a number from {:g} to {:g}", least, most));
    return *value;
  }
  int whole(const std::string& what, int least, int most) {
    const double value = number(what, least, most);
    if (ok_ && value != std::floor(value)) fail(fmt::format("{} is {:g}", what, value), "a whole number");
    return ok_ ? static_cast<int>(value) : 0;
  }
  double fail(const std::string& wrong, const std::string& right) {
    if (ok_) diagnostics_.error(last(), wrong, right);
    ok_ = false;
    return 0;
  }
  bool rest_is_blank() {
    for (auto line = lines_.next(); line; line = lines_.next()) {
      line_ = *line;
      if (const auto text = trimmed(line_.text); !text.empty() && text != "\x1a") return false;
    }
    return true;
  }

 private:
  Lines lines_;
  std::size_t size_;
  Diagnostics& diagnostics_;
  Line line_;
  bool ok_ = true;
};

/// Which of the listed C angles have their values in the file.
struct Stored { int first = 0, count = 0; };
Stored stored_planes(int symmetry, int planes) {
  switch (symmetry) {
    case 1: return {0, 1};
    case 2: return {0, planes / 2 + 1};
    case 3: return {3 * planes / 4, planes / 2 + 1};
    case 4: return {0, planes / 4 + 1};
    default: return {0, planes};
  }
}

}  // namespace

std::optional<Photometry> read_eulumdat(std::string_view text, Diagnostics& diagnostics) {
  Photometry p;
  p.format = "EULUMDAT";
  p.length_along_c90 = true;
  Fields fields(text, diagnostics);
  fields.skip(1, "line 1, the maker");
  fields.skip(1, "line 2, the kind of lamp");
  const int symmetry = fields.whole("line 3, the symmetry", 0, 4);
  const int planes = fields.whole("line 4, the number of C planes", 1, 721);
  fields.number("line 5, the angle between C planes", 0, 360);
  const int angles = fields.whole("line 6, the number of intensities in a plane", 2, 721);
  fields.number("line 7, the angle between intensities", 0, 180);
  if (fields.ok() && (symmetry == 2 || symmetry == 3 || symmetry == 4) && planes % (symmetry == 2 ? 2 : 4) != 0)
    fields.fail(fmt::format("{} C planes do not part into the {} of symmetry {}", planes, symmetry == 2 ? "halves" : "quarters", symmetry),
                symmetry == 2 ? "an even number of C planes" : "a number of C planes that 4 divides");
  fields.skip(1, "line 8, the report's number");
  p.name = utf8_text(fields.words("line 9, the luminaire's name").substr(0, 200));
  fields.skip(6, "lines 10 to 15, numbers and measures of the luminaire");
  const double length = m_per_mm * fields.number("line 16, the length of the luminous opening", 0, 1e6);
  const double width = m_per_mm * fields.number("line 17, the width of the luminous opening", 0, 1e6);
  double height = 0;
  for (const char* side : {"18 (C 0)", "19 (C 90)", "20 (C 180)", "21 (C 270)"})
    height = std::max(height, m_per_mm * fields.number(fmt::format("line {}, the height of the luminous opening", side), 0, 1e6));
  p.round = width == 0 && length > 0 && height == 0;
  p.opening = {width == 0 ? length : width, length, height};
  fields.skip(2, "lines 22 and 23, flux fraction and light output ratio");
  const double conversion = fields.number("line 24, the conversion factor of intensities", 1e-9, 1e9);
  const std::string_view tilt = fields.words("line 25, the tilt of measurement");
  if (fields.ok() && number_in(tilt).value_or(0) != 0)
    diagnostics.warn(fields.last(), "the luminaire was measured tilted, which is passed over", "0");
  const int sets = fields.whole("line 26, the number of lamp sets", 1, 1000);
  double lumens = 0;
  for (int i = 0; i < sets && fields.ok(); ++i) {
    const auto named = [&](const char* letter, const char* what) { return fmt::format("line 26{} of lamp set {}, {}", letter, i + 1, what); };
    const int lamps = fields.whole(named("a", "the number of lamps"), -100000, 100000);
    fields.skip(1, named("b", "the lamp's kind"));
    if (i == 0) {
      lumens = fields.number(named("c", "the lamps' flux, lm"), 1e-6, 1e9);
      p.absolute = lamps < 0;
    } else {
      fields.skip(1, named("c", "the lamps' flux"));
    }
    fields.skip(2, named("d and e", "colour and colour rendering"));
    const std::string_view watts = fields.words(named("f", "the input watts"));
    if (i == 0) p.input_watts = std::clamp(number_in(watts).value_or(0), 0.0, 1e9);
    if (i == 1 && fields.ok()) diagnostics.warn(fields.last(), fmt::format("{} lamp sets: the first is taken", sets), "the set that is used first, or alone");
  }
  p.lamp_lumens = lumens;
  fields.skip(10, "lines 27, direct ratios");

  std::vector<double> listed;
  for (int i = 0; i < planes && fields.ok(); ++i) listed.push_back(fields.number(fmt::format("C angle {} of {}", i + 1, planes), 0, 360));
  const Stored stored = stored_planes(symmetry, planes);
  if (fields.ok()) {
    for (int k = 0; k < stored.count; ++k) {
      const int index = stored.first + k;
      // planes C 270 to C 90 run through C 0
      const double turn = symmetry == 3 && index < planes ? -360 : 0;
      p.horizontal_deg.push_back(listed[index % planes] + turn);
    }
    auto& c = p.horizontal_deg;
    for (std::size_t i = 1; i < c.size(); ++i)
      if (fields.ok() && !(c[i] > c[i - 1])) fields.fail(fmt::format("C angle {:g} follows {:g}", c[i], c[i - 1]), "C angles that rise from 0");
    constexpr double first[] = {0, 0, 0, -90, 0}, last[] = {0, 0, 180, 90, 90};
    if (fields.ok() && symmetry >= 2 && (std::abs(c.front() - first[symmetry]) > 1e-3 || std::abs(c.back() - last[symmetry]) > 1e-3))
      fields.fail(fmt::format("the planes of symmetry {} run from C {:g} to C {:g}", symmetry, c.front(), c.back()),
                  symmetry == 3 ? "C 270 over C 0 to C 90" : fmt::format("C 0 to C {:g}", last[symmetry]));
    if (fields.ok() && symmetry == 0 && planes > 1 && std::abs(c.front()) > 1e-3) fields.fail(fmt::format("the first C angle is {:g}", c.front()), "0");
  }
  for (int i = 0; i < angles && fields.ok(); ++i) {
    p.vertical_deg.push_back(fields.number(fmt::format("gamma {} of {}", i + 1, angles), 0, 180));
    if (fields.ok() && i > 0 && !(p.vertical_deg[i] > p.vertical_deg[i - 1]))
      fields.fail(fmt::format("gamma {} is {:g} after {:g}", i + 1, p.vertical_deg[i], p.vertical_deg[i - 1]), "angles that rise");
  }
  const double candela_per_value = conversion * lumens / 1000;
  for (int k = 0; k < stored.count && fields.ok(); ++k)
    for (int i = 0; i < angles && fields.ok(); ++i)
      p.candela.push_back(candela_per_value * fields.number(fmt::format("intensity {} of {} in plane C {:g}", i + 1, angles, p.horizontal_deg[k]), 0, 1e9));
  if (!fields.ok()) return std::nullopt;
  if (*std::max_element(p.candela.begin(), p.candela.end()) <= 0) {
    fields.fail("every intensity is 0", "a lamp that shines");
    return std::nullopt;
  }
  if (symmetry == 0 && planes > 1 && p.horizontal_deg.back() < 360 - 1e-3) {
    p.horizontal_deg.push_back(360);
    p.candela.insert(p.candela.end(), p.candela.begin(), p.candela.begin() + angles);
  }
  if (!fields.rest_is_blank())
    diagnostics.warn(fields.last(), "lines after the last intensity are passed over", fmt::format("{} x {} values, as the file says", stored.count, angles));
  return p;
}

}  // namespace rakelight
