#include "job/windows.h"

#include <fmt/format.h>

#include "base/text.h"

namespace rakelight {

UsualCover usual_cover(CoverSpec cover) {
  switch (cover) {
    case CoverSpec::sheer: return {0.30, 0.35, 0.30, "a light net curtain (estimate)"};
    case CoverSpec::blind: return {0.0, 0.12, 0.60, "a light roller blind, drawn (estimate)"};
    case CoverSpec::none: break;
  }
  return {1, 0, 0, ""};
}

namespace {

void check_roof(const WindowSpec& w, Diagnostics& diagnostics) {
  const std::string name = "window " + *w.name;
  if (!w.place.given) diagnostics.error(w.wall.at, name + " is in the ceiling and has no place", "place = [x, y], the corner of its opening on plan");
  const auto idle = [&](const auto& key, const char* word) {
    if (key.given) diagnostics.error(key.at, fmt::format("{} says nothing of a roof window", word), "only windows in walls have it", w.wall.at, name + " is in the ceiling");
  };
  idle(w.from_left, "from_left");
  idle(w.sill, "sill");
  idle(w.eaves, "eaves");
  idle(w.eaves_above, "eaves_above");
  idle(w.eaves_past, "eaves_past");
  idle(w.fin_left, "fin_left");
  idle(w.fin_right, "fin_right");
  idle(w.fin_off, "fin_off");
  idle(w.outer_reflectance, "outer_reflectance");
}

void check_shades(const WindowSpec& w, Diagnostics& diagnostics) {
  const auto needs = [&](const Key<double>& key, const char* word, bool there, const char* right) {
    if (key.given && !there) diagnostics.warn(key.at, fmt::format("{} changes nothing: window {} has none", word, *w.name), right);
  };
  const bool eaves = *w.eaves > 0, fins = *w.fin_left > 0 || *w.fin_right > 0;
  needs(w.eaves_above, "eaves_above", eaves, "eaves = how far they stand out");
  needs(w.eaves_past, "eaves_past", eaves, "eaves = how far they stand out");
  needs(w.fin_off, "fin_off", fins, "fin_left or fin_right = how far it stands out");
  needs(w.outer_reflectance, "outer_reflectance", eaves || fins, "eaves, fin_left or fin_right");
}

void settle_cover(WindowSpec& w, Diagnostics& diagnostics) {
  const UsualCover usual = usual_cover(*w.cover);
  if (*w.cover == CoverSpec::none)
    for (const auto& [key, word] : {std::pair{&w.cover_direct, "cover_direct"}, {&w.cover_scatter, "cover_scatter"}, {&w.cover_reflectance, "cover_reflectance"}})
      if (key->given) diagnostics.error(key->at, fmt::format("{} without a cover", word), "cover = \"sheer\" or \"blind\"", w.at, "the window is this");
  if (!w.cover_direct.given) w.cover_direct.value = usual.direct;
  if (!w.cover_scatter.given) w.cover_scatter.value = usual.scatter;
  if (!w.cover_reflectance.given) w.cover_reflectance.value = usual.reflectance;
  const double sum = *w.cover_direct + *w.cover_scatter + *w.cover_reflectance;
  if (*w.cover == CoverSpec::none || sum <= 1 + 1e-9) return;
  const Key<double>& written = w.cover_scatter.given ? w.cover_scatter : w.cover_direct.given ? w.cover_direct : w.cover_reflectance;
  diagnostics.error(written.at, fmt::format("the cover of window {} passes {}, scatters {} and throws back {}: {} of the light on it", *w.name, number_text(*w.cover_direct),
                                            number_text(*w.cover_scatter), number_text(*w.cover_reflectance), number_text(sum)),
                    "three shares that come to 1 at most", w.cover.at, "what stands in for shares left out goes with this");
}

}  // namespace

void settle_window(WindowSpec& w, Diagnostics& diagnostics) {
  if (*w.wall == "ceiling") {
    check_roof(w, diagnostics);
  } else {
    if (!w.from_left.given) diagnostics.error(w.at, "from_left of [[window]] is missing", "from_left = a length from 0 to 100000 mm");
    if (w.place.given)
      diagnostics.error(w.place.at, "place is of roof windows", "wall = \"ceiling\", or from_left in place of it", w.wall.at, fmt::format("window {} is in this wall", *w.name));
    check_shades(w, diagnostics);
  }
  settle_cover(w, diagnostics);
}

std::vector<Assumed> assumed_window(const WindowSpec& w) {
  std::vector<Assumed> out;
  if (*w.cover == CoverSpec::none) return out;
  const std::string why(usual_cover(*w.cover).why);
  const auto add = [&](const char* key, const Key<double>& value) {
    if (!value.given) out.push_back({"window." + *w.name + "." + key, number_text(*value), why});
  };
  add("cover_direct", w.cover_direct);
  add("cover_scatter", w.cover_scatter);
  add("cover_reflectance", w.cover_reflectance);
  return out;
}

}  // namespace rakelight
