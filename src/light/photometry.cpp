#include "light/photometry.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"
#include "base/units.h"
#include "embedded_assets.h"
#include "light/photometry_text.h"

namespace rakelight {
namespace {

/// Two neighbours among ascending nodes and the share of the second. Precondition: inside.
struct Between { std::size_t at = 0, next = 0; double share = 0; };
Between between(const std::vector<double>& nodes, double x) {
  if (nodes.size() == 1) return {};
  const auto above = static_cast<std::size_t>(std::upper_bound(nodes.begin(), nodes.end(), x) - nodes.begin());
  const std::size_t i = std::clamp<std::size_t>(above, 1, nodes.size() - 1) - 1;
  return {i, i + 1, std::clamp((x - nodes[i]) / (nodes[i + 1] - nodes[i]), 0.0, 1.0)};
}

/// C folded into the planes of a symmetric file, deg.
double folded(const std::vector<double>& c, double x) {
  if (c.size() == 1) return c.front();
  const double span = c.back() - c.front();
  double u = x - c.front() - 360 * std::floor((x - c.front()) / 360);
  if (span > 270) return c.front() + u;
  u = std::min(u, 360 - u);
  if (span < 135) u = std::min(u, 180 - u);
  return c.front() + u;
}

constexpr double slack = 1e-9;

double on_grid(const Photometry& p, double vertical, double horizontal) {
  if (vertical < p.vertical_deg.front() - slack || vertical > p.vertical_deg.back() + slack) return 0;
  const Between v = between(p.vertical_deg, vertical), h = between(p.horizontal_deg, horizontal);
  const std::size_t n = p.vertical_deg.size();
  const auto along = [&](std::size_t plane) { return (1 - v.share) * p.candela[plane * n + v.at] + v.share * p.candela[plane * n + v.next]; };
  return h.share > 0 ? (1 - h.share) * along(h.at) + h.share * along(h.next) : along(h.at);
}

/// Steps of an even grid that has every one of the angles as a node, or 0 when up to `most` steps do not.
int even_steps(const std::vector<double>& angles, int most) {
  const double span = angles.back() - angles.front();
  for (int n = static_cast<int>(angles.size()) - 1; n <= most; ++n)
    if (std::all_of(angles.begin(), angles.end(), [&](double a) {
          const double at = (a - angles.front()) * n / span;
          return std::abs(at - std::round(at)) < 1e-3;
        }))
      return n;
  return 0;
}

constexpr std::array<std::string_view, 5> generic_names{"generic-narrow", "generic-medium", "generic-wide", "generic-wall-washing", "generic-strip"};

}  // namespace

double Photometry::intensity(double gamma, double c) const {
  if (web == Web::c) return on_grid(*this, deg_per_rad * gamma, folded(horizontal_deg, deg_per_rad * c));
  const double x = std::sin(gamma) * std::cos(c), y = std::sin(gamma) * std::sin(c), z = std::cos(gamma);
  double v = 0, h = 0;
  if (web == Web::b) {
    h = std::asin(std::clamp(x, -1.0, 1.0));
    v = std::atan2(y, z);
  } else {
    v = std::asin(std::clamp(y, -1.0, 1.0));
    h = std::atan2(x, z);
  }
  v *= deg_per_rad;
  h *= deg_per_rad;
  if (vertical_deg.front() > -1e-3) v = std::abs(v);
  if (horizontal_deg.size() > 1) {
    if (horizontal_deg.front() > -1e-3) h = std::abs(h);
    if (h < horizontal_deg.front() - slack || h > horizontal_deg.back() + slack) return 0;
  }
  return on_grid(*this, v, h);
}

namespace {
/// A flux of 0 could not be scaled.
std::optional<Photometry> shining(std::optional<Photometry> p, std::string_view text, Diagnostics& diagnostics) {
  if (!p || luminous_flux(*p) > 0) return p;
  diagnostics.error({0, std::min<std::size_t>(text.size(), 1)}, "the file's intensities add up to no light", "a lamp that shines");
  return std::nullopt;
}
}  // namespace

std::optional<Photometry> read_photometry(std::string_view text, Diagnostics& diagnostics) {
  Lines lines(text);
  for (int i = 0; i < 200; ++i) {
    const auto line = lines.next();
    if (!line) break;
    const std::string_view words = trimmed(line->text);
    if ((i == 0 && words.starts_with("IES")) || words.starts_with("TILT=") || words.starts_with("Tilt=") || words.starts_with("tilt="))
      return shining(read_lm63(text, diagnostics), text, diagnostics);
  }
  Lines again(text);
  again.next();
  const auto second = again.next(), third = again.next();
  if (third && number_in(second->text) && number_in(third->text)) return shining(read_eulumdat(text, diagnostics), text, diagnostics);
  diagnostics.error({0, std::min<std::size_t>(text.size(), 1)}, "neither an LM-63 nor an EULUMDAT file",
                    "keywords and a line TILT=NONE (LM-63), or a number alone in each of lines 2 and 3 (EULUMDAT)");
  return std::nullopt;
}

std::vector<double> zonal_lumens(const Photometry& p, const std::vector<double>& edges_deg) {
  // planes at which the mean over C is taken; trapezia are exact where the distribution is linear between them
  std::vector<double> at = p.horizontal_deg;
  if (p.web != Photometry::Web::c) {
    at.clear();
    for (int i = 0; i <= 144; ++i) at.push_back(2.5 * i);
  }
  const auto mean = [&](double gamma_deg) {
    double before = p.intensity(rad_per_deg * gamma_deg, rad_per_deg * at[0]), sum = 0;
    if (at.size() == 1) return before;
    for (std::size_t i = 1; i < at.size(); ++i) {
      const double next = p.intensity(rad_per_deg * gamma_deg, rad_per_deg * at[i]);
      sum += 0.5 * (at[i] - at[i - 1]) * (before + next);
      before = next;
    }
    return sum / (at.back() - at.front());
  };
  std::vector<double> lumens;
  double before = edges_deg.empty() ? 0 : mean(edges_deg[0]);
  for (std::size_t i = 1; i < edges_deg.size(); ++i) {
    const double next = mean(edges_deg[i]);
    lumens.push_back(pi * (before + next) * (std::cos(rad_per_deg * edges_deg[i - 1]) - std::cos(rad_per_deg * edges_deg[i])));
    before = next;
  }
  return lumens;
}

double luminous_flux(const Photometry& p) {
  std::vector<double> edges = p.vertical_deg;
  if (p.web != Photometry::Web::c) {
    edges.clear();
    for (int i = 0; i <= 180; ++i) edges.push_back(i);
  }
  double sum = 0;
  for (const double zone : zonal_lumens(p, edges)) sum += zone;
  return sum;
}

double tilt_factor(const Photometry& p, double tilt) {
  if (p.tilt.angle_deg.empty()) return 1;
  // geometry 2: the lamp stays level however the luminaire is tilted
  const double angle = p.tilt.geometry == 2 ? 0 : deg_per_rad * tilt;
  const Between b = between(p.tilt.angle_deg, angle);
  return (1 - b.share) * p.tilt.factor[b.at] + b.share * p.tilt.factor[b.next];
}

std::vector<dvec4> distribution_rows(const Photometry& p) {
  const bool polar = p.web == Photometry::Web::c;
  const double g0 = polar ? p.vertical_deg.front() : 0, g_span = polar ? p.vertical_deg.back() - g0 : 180;
  const double c0 = polar ? p.horizontal_deg.front() : 0, c_span = polar ? p.horizontal_deg.back() - c0 : 360;
  int g_steps = polar ? even_steps(p.vertical_deg, 1440) : 180;
  if (g_steps == 0) g_steps = static_cast<int>(std::ceil(g_span));
  int c_steps = 0;
  if (c_span > 0) {
    c_steps = polar ? even_steps(p.horizontal_deg, 720) : 144;
    if (c_steps == 0) c_steps = static_cast<int>(std::ceil(c_span / 2.5));
  }
  const double full = c_span == 0 ? 0 : c_span < 135 ? pi / 2 : c_span < 270 ? pi : 2 * pi;
  std::vector<dvec4> rows;
  rows.push_back({rad_per_deg * g0, rad_per_deg * g_span / g_steps, g_steps + 1.0, 0});
  rows.push_back({rad_per_deg * c0, c_steps > 0 ? rad_per_deg * c_span / c_steps : 0, c_steps + 1.0, full});
  std::vector<double> candela;
  for (int j = 0; j <= c_steps; ++j)
    for (int i = 0; i <= g_steps; ++i)
      candela.push_back(p.intensity(rad_per_deg * (g0 + g_span * i / g_steps), c_steps > 0 ? rad_per_deg * (c0 + c_span * j / c_steps) : rad_per_deg * c0));
  while (candela.size() % 4 != 0) candela.push_back(0);
  for (std::size_t i = 0; i < candela.size(); i += 4) rows.push_back({candela[i], candela[i + 1], candela[i + 2], candela[i + 3]});
  return rows;
}

std::vector<std::string> generic_lamps() { return {generic_names.begin(), generic_names.end()}; }

void load_photometry(Job& job, const Loader& loader, Diagnostics& diagnostics) {
  for (LampSpec& lamp : job.lamps) {
    const std::string& name = *lamp.photometry;
    if (name.empty() || lamp.distribution) continue;
    std::string text(generic_lamp(name));
    if (text.empty()) {
      const auto bytes = loader ? loader(name) : std::nullopt;
      if (!bytes) {
        const std::string near = nearest_word(name, generic_lamps());
        diagnostics.error(lamp.photometry.at, "cannot read the photometric file " + name,
                          near.empty() ? "an LM-63 or EULUMDAT file, its path relative to the job" : "did you mean \"" + near + "\"?");
        continue;
      }
      text = utf8_text(*bytes);
    }
    Diagnostics own;
    const auto photometry = read_photometry(text, own);
    std::string report = own.to_text(name, text);
    while (report.ends_with('\n')) report.pop_back();
    if (photometry) {
      if (!report.empty()) diagnostics.warn(lamp.photometry.at, "about the photometric file:\n" + report, "");
      lamp.distribution = std::make_shared<const Photometry>(*photometry);
    } else {
      diagnostics.error(lamp.photometry.at, "the photometric file is damaged:\n" + report, "the file as its maker gives it out");
    }
  }
}

std::string_view generic_lamp(std::string_view name) {
  if (std::find(generic_names.begin(), generic_names.end(), name) == generic_names.end()) return {};
  return embedded_assets("lamps/" + std::string(name) + ".ies");
}

}  // namespace rakelight
