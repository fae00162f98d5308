// A paint as a system (physics 3): what a sealer, coats, a lining and the tool make of paper beside compound.
#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <toml++/toml.h>

#include "base/text.h"
#include "embedded_assets.h"
#include "paint/coat.h"
#include "paint/paint.h"

namespace rakelight {
namespace {

struct System {
  SystemFigures figures;
  std::map<std::string, Stipple> stipple;
};

double number(const toml::table& t, const char* table, const char* key) {
  const auto value = t[table][key].value<double>();
  if (!value) throw std::logic_error(std::string("assets/paints/systems.toml: ") + table + " lacks " + key);
  return *value;
}

const System& systems() {
  static const System read = [] {
    const toml::table t = toml::parse(embedded_assets("paints/systems.toml"));
    System s;
    SystemFigures& f = s.figures;
    f.paper_reflectance = number(t, "bare", "paper_reflectance");
    f.compound_reflectance = number(t, "bare", "compound_reflectance");
    f.bare_gloss60 = number(t, "bare", "gloss60");
    f.bare_gloss85 = number(t, "bare", "gloss85");
    f.sealer_reflectance = number(t, "sealer", "reflectance");
    f.through_sealer = number(t, "sealer", "lets_through");
    f.per_coat = number(t, "sealer", "leaves");
    f.through_paint = number(t, "paint", "lets_through");
    f.gloss60_share = number(t, "banding", "gloss60_share");
    f.gloss60_most = number(t, "banding", "gloss60_most");
    f.gloss85_share = number(t, "banding", "gloss85_share");
    f.gloss85_most = number(t, "banding", "gloss85_most");
    f.lighter = number(t, "banding", "lighter");
    const toml::array* list = t["stipple"].as_array();
    if (!list) throw std::logic_error("assets/paints/systems.toml: no [[stipple]]");
    for (const toml::node& node : *list) {
      const toml::table& row = *node.as_table();
      const auto id = row["id"].value<std::string>();
      const auto height = row["peak_to_valley"].value<double>(), pitch = row["pitch"].value<double>();
      if (!id || !height || !pitch) throw std::logic_error("assets/paints/systems.toml: a stipple lacks id, peak_to_valley or pitch");
      s.stipple[*id] = {*height * 1e-6 / 4, *pitch * 1e-3};
    }
    return s;
  }();
  return read;
}

int sealer_coats(const PaintSpec& spec) {
  // one coat is the least that evens anything
  return *spec.sealer == SealerSpec::two_coats ? 2 : *spec.sealer == SealerSpec::none ? 0 : 1;
}

std::vector<Stipple> stipple_of(const PaintSpec& spec) {
  const auto& known = systems().stipple;
  std::vector<Stipple> all;
  if (spec.applied.given)
    all.push_back(known.at(*spec.applied == AppliedSpec::sprayed   ? "sprayed"
                           : *spec.applied == AppliedSpec::brushed ? "brushed"
                           : *spec.nap >= 0.018                    ? "rolled, nap from 18 mm"
                           : *spec.nap > 0.010                     ? "rolled, nap over 10 mm"
                                                                   : "rolled"));
  if (*spec.texture != TextureSpec::none)
    all.push_back(known.at(*spec.texture == TextureSpec::light ? "light" : *spec.texture == TextureSpec::medium ? "medium" : "heavy"));
  if (*spec.lining == LiningSpec::fleece) all.push_back(known.at("fleece"));
  return all;
}

/// Reflectance after the sealer over something of reflectance `under`.
double sealed(const PaintSpec& spec, double under) {
  const SystemFigures& f = system_figures();
  const int coats = sealer_coats(spec);
  if (coats == 0) return under;
  return f.sealer_reflectance + std::pow(f.through_sealer, coats) * (under - f.sealer_reflectance);
}

}  // namespace

const SystemFigures& system_figures() { return systems().figures; }

std::string stage_text(PaintStage stage) { return stage == PaintStage::bare ? "bare" : stage == PaintStage::sealed ? "sealed" : "painted"; }

std::optional<PaintStage> stage_named(const std::string& text) {
  for (const PaintStage s : {PaintStage::bare, PaintStage::sealed, PaintStage::painted})
    if (stage_text(s) == text) return s;
  return std::nullopt;
}

double banding_share(const PaintSpec& spec) {
  if (*spec.sealer == SealerSpec::even || *spec.lining == LiningSpec::fleece) return 0;
  return std::pow(system_figures().per_coat, sealer_coats(spec) + std::max(0, static_cast<int>(*spec.coats) - 2));
}

double stage_reflectance(const PaintSpec& spec, double reflectance, PaintStage stage) {
  if (stage == PaintStage::painted) return reflectance;
  const double paper = system_figures().paper_reflectance;
  return stage == PaintStage::bare ? paper : sealed(spec, paper);
}

Paint make_paint(const PaintSpec& spec, double reflectance, PaintStage stage) {
  const SystemFigures& f = system_figures();
  if (stage != PaintStage::painted) {
    const auto over = [&](double under) { return stage == PaintStage::bare ? under : sealed(spec, under); };
    const std::string name = stage == PaintStage::bare || sealer_coats(spec) == 0 ? "no paint" : "sealer";
    Paint paint = make_coat(name, f.bare_gloss60, f.bare_gloss85, over(f.paper_reflectance));
    paint.over_compound = std::make_shared<const Paint>(make_coat(name, f.bare_gloss60, f.bare_gloss85, over(f.compound_reflectance)));
    return paint;
  }
  double gloss60 = *spec.gloss60, gloss85 = *spec.gloss85;
  std::string name = "own";
  if (!spec.name->empty()) {
    const auto known = paint_class(*spec.name);
    if (!known) throw std::logic_error("no such paint: " + *spec.name);
    gloss60 = known->gloss60;
    gloss85 = known->gloss85;
    name = known->id;
  }
  Paint paint = make_coat(name, gloss60, gloss85, reflectance);
  paint.stipple = stipple_of(spec);
  const double share = banding_share(spec);
  if (share <= 0) return paint;
  const double shown = std::pow(f.through_paint, *spec.coats) * (sealed(spec, f.compound_reflectance) - sealed(spec, f.paper_reflectance));
  Paint over = make_coat(name, gloss60 - share * std::min(f.gloss60_share * gloss60, f.gloss60_most),
                         gloss85 - share * std::min(f.gloss85_share * gloss85, f.gloss85_most),
                         std::min(reflectance * (1 + share * f.lighter) + shown, 0.99));
  over.stipple = paint.stipple;
  paint.over_compound = std::make_shared<const Paint>(std::move(over));
  paint.by_suction = true;
  return paint;
}

void check_paints(const Job& job, Diagnostics& diagnostics) {
  for (const SurfaceSpec& s : job.surfaces) {
    const Key<std::string>& name = s.paint.name;
    if (name->empty() || paint_class(*name)) continue;
    const std::string near = nearest_word(*name, paint_ids());
    std::string all;
    for (const std::string& id : paint_ids()) all += (all.empty() ? "" : ", ") + id;
    diagnostics.error(name.at, "there is no paint class \"" + *name + "\"",
                      (near.empty() ? "" : "\"" + near + "\", ") + "one of " + all + ", or gloss units: { gloss60 = 4, gloss85 = 8 }");
  }
}

}  // namespace rakelight
