// The least work after which no joint of a surface is expected to be noticed.
#pragma once
#include <string>
#include <vector>

#include "advice/sketch.h"

namespace rakelight {

/// Levers that may be used; all by default.
struct Allowed {
  std::array<bool, lever_count> lever;
  Allowed() { lever.fill(true); }
  static Allowed only(const std::vector<Lever>& levers);
  static Allowed without(const std::vector<Lever>& levers);
  bool operator()(const Mix& mix) const;
};

struct Cure {
  Mix mix{};
  std::string when;                  ///< until when it can be done: "before the sheets are hung" …
  std::vector<std::string> what, by; ///< change by change; who does them
  std::vector<Change> changes;       ///< of the job file
  Range hours;                       ///< beyond the job as it is; an estimate
  Outcome outcome;
  bool reached = false;              ///< within the aim
};

/// The cheapest mix of what is allowed (middle of its hours; of equal ones the fewest changes) that keeps the chance within
/// `aim`; at most `most_changed` levers are moved. Mixes are tried in the order of their cost by the sketch, with V taken a quarter
/// lower than it says so that none is passed over, and each that it lets through is looked at; when more than `looks` have
/// failed, those are trusted that the sketch has well within. Without any the least likely to show, looked at, reached = false.
Cure least_work(Sketch& sketch, double aim, const Allowed& allowed = {}, int looks = 3, int most_changed = 4);
/// All mixes of what is allowed, cheapest first.
std::vector<Mix> all_mixes(const Sketch& sketch, const Allowed& allowed, int most_changed = 4);
Cure cure_of(const Sketch& sketch, const Mix& mix, double aim);

/// Width at which a raised cosine of this crown under light that crosses it at `across` (E_t / E_n) has the contrast:
/// w = π c R / C (physics 5), m.
inline constexpr double casual_contrast = 0.02;  ///< what a casual viewer takes (1–2 %, docs/reference/trade.md 8.1, from memory)
double width_needed(double crown, double across, double contrast);
/// Distance off the face at which a lamp's light comes down at least at `least` (rad above the face) at a point z below it:
/// a = z tan α (physics 5), m.
double lamp_distance(double z, double least);

/// Why no width is enough.
struct WidthLimit {
  std::string joint;
  double crown = 0, across = 0, width = 0, needed = 0;  ///< m; width: as far as the lever goes; needed: width_needed at casual_contrast
  double visibility = 0, chance = 0;                    ///< at `width`: V, and that it shows
};

struct SurfaceCures {
  int surface = 0;
  double aim = 0;                    ///< chance that any of its joints shows
  Outcome now;
  bool needed = false;               ///< now is over the aim
  std::vector<Cure> mixes;           ///< cheapest first, those that reach the aim before those that do not; the first is the least work of all
  std::vector<Cure> singles;         ///< lever by lever: the least that does it alone, else what lowers it most
  std::vector<WidthLimit> no_width;  ///< joints that no width cures
  int looks = 0;
  std::vector<std::string> reasons;  ///< in words with their numbers
};
/// `asked`: the surface as the job has it. Without need nothing is searched. `light`: see levers_of.
SurfaceCures cures_of(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, double aim, std::shared_ptr<ChangedLight> light = nullptr);

}  // namespace rakelight
