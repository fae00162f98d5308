#include "joint/dates.h"

#include <algorithm>
#include <cmath>

#include "joint/data.h"

namespace rakelight {
namespace {

Movement movement_of(const DataTable& t) {
  return {t.metres("usual"), t.metres("bad"), t.text("text"), t.text("cure"), {t.text("source"), t.word("confidence", {"V", "V2", "M+", "M", "M-", "D"})}};
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
    s.peak_width = peaking.metres("width");
    s.backed_share = peaking.fraction("backed_share");
    s.peaking = movement_of(peaking);
    s.pop_width = root.sub("pops").metres("width");
    s.pops = movement_of(root.sub("pops"));
    s.sag_spacing = root.sub("sag").metres("spacing");
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
  std::vector<double> height = section.height, slope = section.slope;
  for (std::size_t i = 0; i < height.size(); ++i) {
    const double u = section.first + section.step * static_cast<double>(i), x = std::abs(u);
    if (x >= a) continue;
    height[i] += x < r ? peak - 0.5 * k * x * x / r : k * (a - x);
    slope[i] -= x < r ? k * u / r : std::copysign(k, u);
  }
  const auto [lo, hi] = std::minmax_element(height.begin(), height.end());
  section.crown = height.empty() ? 0 : *hi >= -*lo ? *hi : *lo;
  section.height = std::move(height);
  section.slope = std::move(slope);
  return section;
}

Relief moved(Relief relief, double peak, double pop, bool backed) {
  for (PlacedJoint& joint : relief.joints) {
    if (joint.line.kind == JointKind::fixings && !joint.line.spots.empty()) joint.section = peaked(std::move(joint.section), pop, season().pop_width);
    if (!joins_sheets(joint.line.kind)) continue;
    const double share = backed && is_long(joint.line.kind) ? season().backed_share : 1;
    joint.section = peaked(std::move(joint.section), share * peak, season().peak_width);
  }
  return relief;
}

Substrate sagged(const Job& job, const Surface& ceiling, Run run, double sag) {
  Substrate s = straight_members(job, ceiling, run);
  // a ceiling's heights are positive downwards, a substrate's sag lies behind the face
  s.sag = -sag * std::pow(s.spacing / season().sag_spacing, 4);
  return s;
}

Substrate lifted(const Job& job, const Surface& ceiling, Run run, double lift) {
  Substrate s = straight_members(job, ceiling, run);
  // even bays, so that the last member lies at the far wall, and one at least that lifts
  s.members.resize(std::max<std::size_t>(3, s.members.size()));
  s.spacing = (s.upright ? ceiling.box.width() : ceiling.box.height()) / static_cast<double>(s.members.size() - 1);
  for (auto& m : s.members) m.off = -lift;
  s.members.front().off = s.members.back().off = 0;
  bend(s);
  return s;
}

}  // namespace rakelight
