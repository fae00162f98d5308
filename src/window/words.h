// What the window says about a job.
#pragma once
#include <string>
#include <vector>

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
/// For a chip: level · run · paint | sheets, butts, metres | how many show | hours.
std::vector<std::string> chip_lines(const Found& found, const HereFound* here, const std::string& surface);
struct Counts { int joints = 0, shows = 0, faint = 0; };
Counts counts_of(const SurfaceResult& result);
const SurfaceResult* result_of(const Assessment& assessment, const Room& room, const std::string& surface);
const SurfaceResult* result_of(const std::vector<SurfaceResult>& results, const Room& room, const std::string& surface);
/// "seen from the doorway", "long wall, square on": where the window looks from.
std::string place_text(const Model& model, const Study& study);
/// The caption's lines under a picture, as it was drawn: job and place; time; exposure.
std::vector<std::string> caption_lines(const Study& study, const Pictures& pictures);

}  // namespace rakelight
