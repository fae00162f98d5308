// A paint as a system (physics 3): what a sealer, coats, a lining and the tool make of paper beside compound.
#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>
#include <string_view>

#include "base/text.h"
#include "joint/data.h"
#include "paint/coat.h"
#include "paint/paint.h"

namespace rakelight {
namespace {

struct System {
  SystemFigures figures;
  std::map<std::string, Stipple> stipple;
};

struct FigureRow { const char *table, *key; double SystemFigures::* figure; };
constexpr FigureRow figure_rows[] = {
    {"bare", "paper_reflectance", &SystemFigures::paper_reflectance},
    {"bare", "compound_reflectance", &SystemFigures::compound_reflectance},
    {"bare", "gloss60", &SystemFigures::bare_gloss60},
    {"bare", "gloss85", &SystemFigures::bare_gloss85},
    {"sealer", "reflectance", &SystemFigures::sealer_reflectance},
    {"sealer", "lets_through", &SystemFigures::through_sealer},
    {"sealer", "leaves", &SystemFigures::per_coat},
    {"paint", "lets_through", &SystemFigures::through_paint},
    {"banding", "gloss60_share", &SystemFigures::gloss60_share},
    {"banding", "gloss60_most", &SystemFigures::gloss60_most},
    {"banding", "gloss85_share", &SystemFigures::gloss85_share},
    {"banding", "gloss85_most", &SystemFigures::gloss85_most},
    {"banding", "lighter", &SystemFigures::lighter},
};

void read_ground(const DataTable& t) {
  t.text("source");
  t.word("confidence", {"V", "V2", "M+", "M", "M-", "D"});
  t.finish();
}

const System& systems() {
  static const System read = [] {
    const std::string file = "paints/systems.toml";
    const TomlNode tree = embedded_tree(file);
    Diagnostics diagnostics;
    const DataTable root(tree, diagnostics);
    System s;
    for (const char* name : {"bare", "sealer", "paint", "banding"}) {
      const DataTable t = root.sub(name);
      for (const FigureRow& row : figure_rows)
        if (std::string_view(row.table) == name) s.figures.*row.figure = t.number(row.key);
      read_ground(t);
    }
    for (const DataTable& t : root.subs("stipple")) {
      s.stipple[t.text("id")] = {t.number("peak_to_valley") * 1e-6 / 4, t.metres("pitch")};  // four standard deviations, µm
      read_ground(t);
    }
    if (s.stipple.empty()) root.wrong("stipple", "no stipple is named", "[[stipple]]");
    root.finish();
    require_sound(file, diagnostics);
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
