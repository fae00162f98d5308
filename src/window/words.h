// What the window says about a job.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "board/rows.h"
#include "window/model.h"
#include "window/pictures.h"

namespace rakelight {

/// "long wall", "ceiling".
std::string face_text(const Room& room, int surface);
/// "21 June 20:40"; a moment without a time: its name.
std::string when_text(const MomentSpec& moment);
/// "the doorway", "along long", "square on": after "seen".
std::string where_text(const std::string& viewer);
/// kind_text, verdict_text and run_text in the language that is chosen.
std::string kind_words(JointKind kind);
std::string verdict_words(Verdict verdict);
std::string run_words(const Room& room, int surface, Run run);
/// A sky's text, as Moment::sky_text or type_text have it.
std::string sky_words(const std::string& sky);
/// "1.2–4.8": two digits.
std::string band_words(const Judged& judged);
std::string upper_first(std::string text);
/// "1500 mm", or 4' 11-1/16" in a job in inches: to the millimetre, or a sixteenth.
std::string length_words(Units units, double metres);
struct Counts {
  int joints = 0, shows = 0, faint = 0;
  Verdict worst() const { return shows > 0 ? Verdict::shows : faint > 0 ? Verdict::faint : Verdict::hidden; }
};
Counts counts_of(const SurfaceResult& result);
/// "2 of 8 joints show, 4 faint".
std::string counts_words(const Counts& counts);
/// Of one half of a pair, for its chip: what it is (level · run · paint); then, from the worst of the job's times and places, how many show;
/// from where one stands; what is hung; what it takes.
struct ChipWords {
  std::string what, shows, here, sheets, hours;
  std::optional<Verdict> verdict;      ///< empty until it was looked at
};
std::optional<ChipWords> chip_words(const Found& found, const HereFound* here, const std::string& surface);
/// "horizontal, sheets 1200 × 3000 mm, running bond": a way of laying a face.
std::string way_words(const Study& study, int surface, const Way& way);
const SurfaceResult* result_of(const Assessment& assessment, const Room& room, const std::string& surface);
const SurfaceResult* result_of(const std::vector<SurfaceResult>& results, const Room& room, const std::string& surface);
/// "seen from the doorway", "long wall, square on": where the window looks from.
std::string place_text(const Model& model, const Study& study);
/// The caption's lines under a picture, as it was drawn: job and place; time; exposure.
std::vector<std::string> caption_lines(const Study& study, const Pictures& pictures);

}  // namespace rakelight
