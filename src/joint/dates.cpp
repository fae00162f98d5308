#include "joint/dates.h"

#include <algorithm>
#include <cmath>

#include "joint/data.h"

namespace rakelight {
namespace {

Movement movement_of(const DataTable& t) {
  return {t.text("text"), t.text("cure"), {t.text("source"), t.word("confidence", {"V", "V2", "M+", "M", "M-", "D"})}};
}

}  // namespace

const Season& season() {
  static const Season read = [] {
    const std::string file = "schemes/season.toml";
    const TomlNode tree = embedded_tree(file);
    Diagnostics diagnostics;
    const DataTable root(tree, diagnostics);
    const DataTable peaking = root.sub("peaking");
    Season s;
    s.usual_peak = peaking.metres("usual");
    s.bad_peak = peaking.metres("bad");
    s.peak_width = peaking.metres("width");
    s.backed_share = peaking.fraction("backed_share");
    s.peaking = movement_of(peaking);
    s.pops = movement_of(root.sub("pops"));
    s.sag = movement_of(root.sub("sag"));
    s.truss_lift = movement_of(root.sub("truss_lift"));
    require_sound(file, diagnostics);
    return s;
  }();
  return read;
}

Section peaked(Section section, double peak, double width) {
  if (peak == 0) return section;
  // a tent of half-width a whose top is a parabola over |u| < r, so that height and slope are continuous: the tent's apex
  // stands r/2 of its slope above the parabola's
  const double a = 0.5 * width, r = 0.25 * a, k = peak / (a - 0.5 * r);
  for (std::size_t i = 0; i < section.height.size(); ++i) {
    const double u = section.first + section.step * static_cast<double>(i), x = std::abs(u);
    if (x >= a) continue;
    section.height[i] += x < r ? peak - 0.5 * k * x * x / r : k * (a - x);
    section.slope[i] -= x < r ? k * u / r : std::copysign(k, u);
  }
  const auto [lo, hi] = std::minmax_element(section.height.begin(), section.height.end());
  section.crown = section.height.empty() ? 0 : *hi >= -*lo ? *hi : *lo;
  return section;
}

Relief peaked(Relief relief, double peak, bool backed) {
  for (PlacedJoint& joint : relief.joints) {
    if (!joins_sheets(joint.line.kind)) continue;
    const double share = backed && is_long(joint.line.kind) ? season().backed_share : 1;
    joint.section = peaked(std::move(joint.section), share * peak, season().peak_width);
  }
  return relief;
}

}  // namespace rakelight
