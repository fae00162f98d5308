// What can be changed so that a joint is not noticed, and how much work each change is (physics 5).
#pragma once
#include <array>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "advice/advice.h"

namespace rakelight {

/// In the order in which a job goes: framing, sheets, joints, paint, light.
enum class Lever { framing, run, layout, level, width, sheen, texture, lamp, cover };
inline constexpr int lever_count = 9;
std::string lever_text(Lever lever);

/// Light that settings have changed, made once for all that ask: for every surface of a job, and every mix. Not for two threads
/// at once but for prepare_light's.
struct ChangedLight {
  std::shared_ptr<const LightBasis> coarse;                               ///< of the room as it is, in large patches
  std::map<std::string, std::shared_ptr<const LightBasis>> bases;         ///< by what covers are changed
  std::map<std::string, std::vector<std::optional<Lighting>>> lit;        ///< per moment, by what covers and lamps are changed
};

/// The light's basis of the room as it is in large patches, made once.
const std::shared_ptr<const LightBasis>& coarse_basis(const Study& study, ChangedLight& light);

/// One position of a lever.
struct Setting {
  std::string text;                  ///< for people: "the butts backed and sprung in"
  std::string by;                    ///< who does it: framer, hanger, finisher, painter, electrician, client
  Range hours;                       ///< besides the finishing, which cost_of reckons; an estimate from memory
  std::vector<Change> changes;       ///< of the job file
  std::function<void(Job&)> set;     ///< the same of the job's values; null as it is
  double value = 0;                  ///< how far: share of the width, m of the lamp, gloss units, share of the framing's errors
  bool own_run = false;              ///< of sheets that run as the job has them: says nothing of turned ones
  bool look = false;                 ///< a sketch looks at it itself, and interpolates nothing
  std::shared_ptr<ChangedLight> light = {};  ///< of lamps and covers
};
/// settings[0] is as the job has it.
struct LeverSettings { Lever lever = Lever::framing; std::vector<Setting> settings; };
/// Per lever the index of its setting.
using Mix = std::array<int, lever_count>;
inline int& at(Mix& mix, Lever lever) { return mix[static_cast<std::size_t>(lever)]; }
inline int at(const Mix& mix, Lever lever) { return mix[static_cast<std::size_t>(lever)]; }
int changed_levers(const Mix& mix);

/// No joint is filled wider (common practice under severe light), m.
inline constexpr double widest_joint = 0.900;

/// All levers of a surface, each with the settings that make sense there: not lower levels, not shinier paint, lamps only
/// further off and where they shine on it, sheets of the usual lengths that end a row's butts, rows begun elsewhere where that leaves less to be seen. Widths are of the joints that
/// may show in some of `advice.results`. A surface that belongs to a tested system keeps its sheets, backing and framing.
/// `light`: of other surfaces of the same study, whose lamps and covers are changed likewise; null: its own.
std::vector<LeverSettings> levers_of(const Study& study, const SurfaceAdvice& advice, std::shared_ptr<ChangedLight> light = nullptr);

/// The edits of the job file that make a mix; a paint's class and texture in one where they share a key.
std::vector<Change> changes_of(const Study& study, int surface, const std::vector<LeverSettings>& levers, const Mix& mix);

/// The study of a job so changed, for one surface: its sheets, paint and the lamps' light are made anew where the mix touches
/// them. `study` must outlive it. Its own finish is requested_finish of it. `moments`: those that will be looked at, whose light
/// alone is made anew; null: all.
std::unique_ptr<Study> mixed_study(const Study& study, int surface, const std::vector<LeverSettings>& levers, const Mix& mix, const std::vector<bool>* moments = nullptr);
/// Makes ready what light of these settings' lamps and covers has in common. After that several threads may make mixed_study of
/// mixes that change light in one of those ways each.
void prepare_light(const Study& study, const std::vector<LeverSettings>& levers);
/// A copy that shares the room, light basis and everything else with `study`, which must outlive it.
std::unique_ptr<Study> copy_of(const Study& study);

}  // namespace rakelight
