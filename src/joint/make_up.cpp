#include "joint/make_up.h"

#include <algorithm>

#include "joint/embedded_table.h"

namespace rakelight {
namespace {

struct Crafts {
  std::vector<Workmanship> all;
  MakeUp make_up;
};

const Crafts& crafts() {
  static const Crafts read = [] {
    const std::string file = "schemes/workmanship.toml";
    toml::table table = parse_embedded(file);
    Embedded root(file, table);
    Crafts c;
    for (const Embedded& t : root.subs("workmanship"))
      c.all.push_back({t.text("name"), t.spread("recessed_crown"), t.spread("butt_crown"), t.spread("lap_ridge"),
                       t.spread("step"), t.spread("tape_edge"), t.metres("lap_width")});
    Embedded board = root.sub("board"), tape = root.sub("tape"), shrinkage = root.sub("shrinkage"), sanding = root.sub("sanding");
    MakeUp& m = c.make_up;
    m.taper_depth = board.metres("taper_depth");
    m.taper_width = board.metres("taper_width");
    m.shoulder = board.metres("shoulder");
    m.tape_thickness = tape.metres("thickness");
    m.tape_half_width = tape.metres("half_width");
    m.bed_least = tape.metres("bed_least");
    m.bed_most = tape.metres("bed_most");
    m.cover = tape.metres("cover");
    m.setting_shrinkage = shrinkage.fraction("setting");
    m.drying_shrinkage = shrinkage.fraction("drying");
    m.sanding_fraction = sanding.fraction("fraction");
    m.sanding_block = sanding.metres("block");
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

double shrinkage_of_coat(const std::vector<std::string>& compound, int k) {
  if (compound.empty()) return make_up().drying_shrinkage;
  std::size_t i = std::min(static_cast<std::size_t>(k), compound.size() - 1);
  return compound[i] == "setting" ? make_up().setting_shrinkage : make_up().drying_shrinkage;
}

}  // namespace rakelight
