#include "joint/make_up.h"

#include <algorithm>
#include <array>

#include "joint/data.h"

namespace rakelight {
namespace {

Spread spread(const DataTable& t, const char* key) {
  const std::vector<double> v = t.list_of_metres(key);
  if (v.size() != 2) t.wrong(key, std::string(key) + " must be two numbers", "[mean, standard deviation]");
  return v.size() == 2 ? Spread{v[0], v[1]} : Spread{};
}

struct Crafts {
  std::vector<Workmanship> all;
  MakeUp make_up;
};

const Crafts& crafts() {
  static const Crafts read = [] {
    const std::string file = "schemes/workmanship.toml";
    const TomlNode tree = embedded_tree(file);
    Diagnostics diagnostics;
    const DataTable root(tree, diagnostics);
    Crafts c;
    for (const DataTable& t : root.subs("workmanship")) {
      Workmanship w;
      w.name = t.text("name");
      w.recessed_crown = spread(t, "recessed_crown");
      w.butt_crown = spread(t, "butt_crown");
      w.backed_crown = spread(t, "backed_crown");
      w.corner_crown = spread(t, "corner_crown");
      w.bead_nose = spread(t, "bead_nose");
      w.spot_crown = spread(t, "spot_crown");
      w.lap_ridge = spread(t, "lap_ridge");
      w.step = spread(t, "step");
      w.tape_edge = spread(t, "tape_edge");
      w.lap_width = t.metres("lap_width");
      c.all.push_back(w);
    }
    MakeUp& m = c.make_up;
    const DataTable board = root.sub("board"), fittings = root.sub("fittings"), widths = root.sub("widths");
    const DataTable shrinkage = root.sub("shrinkage"), sanding = root.sub("sanding");
    m.taper_depth = board.metres("taper_depth");
    m.taper_width = board.metres("taper_width");
    m.shoulder = board.metres("shoulder");
    m.nose_depth = board.metres("nose_depth");
    m.nose_width = board.metres("nose_width");
    m.chamfer_depth = board.metres("chamfer_depth");
    m.chamfer_width = board.metres("chamfer_width");
    m.pared_depth = board.metres("pared_depth");
    m.pared_width = board.metres("pared_width");
    const std::vector<DataTable> tapes = root.subs("tape");
    constexpr std::array names{"paper", "mesh", "fleece", "none"};
    if (tapes.size() != names.size()) root.wrong("tape", "there must be a [[tape]] for each kind", "paper, mesh, fleece, none");
    for (std::size_t i = 0; i < std::min(names.size(), tapes.size()); ++i) {
      const DataTable& t = tapes[i];
      if (t.text("name") != names[i]) t.wrong("name", "the tapes are out of order", names[i]);
      m.tapes[i] = {t.metres("thickness"), t.metres("half_width"), t.metres("bed_least"), t.metres("bed_most")};
    }
    m.cover = fittings.metres("cover");
    m.bead_nose = fittings.metres("bead_nose");
    m.bead_flange = fittings.metres("bead_flange");
    m.bead_flange_width = fittings.metres("bead_flange_width");
    m.dimple_depth = fittings.metres("dimple_depth");
    m.dimple_radius = fittings.metres("dimple_radius");
    m.corner_widths = widths.list_of_metres("corner");
    m.bead_widths = widths.list_of_metres("bead");
    m.fixing_widths = widths.list_of_metres("fixing");
    m.setting_shrinkage = shrinkage.fraction("setting");
    m.drying_shrinkage = shrinkage.fraction("drying");
    m.lightweight_shrinkage = shrinkage.fraction("lightweight");
    m.early = shrinkage.fraction("early");
    m.sanding_fraction = sanding.fraction("fraction");
    m.over_sanding_fraction = sanding.fraction("over");
    m.sanding_block = sanding.metres("block");
    m.scuff = sanding.metres("scuff");
    m.scuff_width = sanding.metres("scuff_width");
    require_sound(file, diagnostics);
    return c;
  }();
  return read;
}

}  // namespace

std::optional<Workmanship> workmanship(const std::string& name) {
  for (const Workmanship& w : crafts().all)
    if (w.name == name) return w;
  return std::nullopt;
}

const MakeUp& make_up() { return crafts().make_up; }

int coats_on(const Level& level, JointKind kind) {
  if (!level.tape) return 0;
  const int separate = level.wiped_coat ? 1 : level.coats;
  if (joins_sheets(kind)) return 1 + separate;
  if (kind == JointKind::internal_corner || kind == JointKind::square_set) return 1 + std::min(separate, 1);
  return level.coats > 0 ? level.coats + 1 : separate;
}

double shrinkage_of_coat(const std::vector<std::string>& compound, int k) {
  const MakeUp& m = make_up();
  if (compound.empty()) return m.drying_shrinkage;
  const std::string& name = compound[std::min(static_cast<std::size_t>(k), compound.size() - 1)];
  return name == "setting" ? m.setting_shrinkage : name == "lightweight" ? m.lightweight_shrinkage : m.drying_shrinkage;
}

}  // namespace rakelight
