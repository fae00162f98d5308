// The commands, each a function of its options. Data goes to `out`, messages to `err`.
#pragma once
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace rakelight {

struct Streams {
  std::ostream& out;
  std::ostream& err;
  bool colour = false;   ///< out is a terminal that takes colour
  int verbosity = 1;     ///< 0 quiet, 1 normal, 2 verbose
};

struct AssessOptions { std::string job, fail_on, stage = "painted"; bool json = false; };
/// `stipple`: the grain of paint and textures is drawn too.
struct ViewOptions { std::string job, output, surface, viewer, moment, stage = "painted"; int width = 1920, height = 1080; bool stipple = false; };
/// `map`: a map's name instead of a picture. `from`, `to`: local times of a film of `frames` pictures, each shown for frame_ms.
/// `screen`: "D,W,B" of a picture that is true to a screen.
struct RenderOptions { ViewOptions view; double amplify = 1; std::string map, from, to, screen; int frames = 0, frame_ms = 120; bool figure = false; };
struct CompareOptions { ViewOptions view; std::vector<std::string> levels; double amplify = 1; bool figure = false; };
struct YearOptions { std::string job, output, sky = "clear"; std::optional<int> year; bool json = false; };
struct SheetsOptions { std::string job, output, surface, way = "best", page = "A4"; bool json = false, year = false; };
struct ProbeOptions { std::string job, surface, moment; dvec2 at_mm{0}; bool json = false; };
struct ProfileOptions { std::string job, joint, kind, output, scheme = "c840", level = "4", workmanship = "everyday"; bool csv = false; };
struct MeasureOptions { std::string job, joint, csv; std::optional<double> gap_mm, base_mm; bool hollow = false, json = false; };
struct SightOptions { double luminance = 0, width_mm = 0, distance_mm = 0; bool json = false; };
struct ReportOptions { std::string job, output; bool no_pictures = false; };
struct QuantitiesOptions { std::string job; bool json = false; };
struct SurveyOptions { std::string output, page = "A4"; bool inches = false; };

void assess_command(const AssessOptions& options, const Streams& streams);
void render_command(const RenderOptions& options, const Streams& streams);
/// What render does when a map or a film is asked for.
void map_command(const RenderOptions& options, const Streams& streams);
void film_command(const RenderOptions& options, const Streams& streams);
void compare_command(const CompareOptions& options, const Streams& streams);
void year_command(const YearOptions& options, const Streams& streams);
void sheets_command(const SheetsOptions& options, const Streams& streams);
void probe_command(const ProbeOptions& options, const Streams& streams);
void profile_command(const ProfileOptions& options, const Streams& streams);
void measure_command(const MeasureOptions& options, const Streams& streams);
void sight_command(const SightOptions& options, const Streams& streams);
void report_command(const ReportOptions& options, const Streams& streams);
void quantities_command(const QuantitiesOptions& options, const Streams& streams);
void survey_command(const SurveyOptions& options, const Streams& streams);
void check_command(const std::string& job, const Streams& streams);
void new_command(const std::string& path, const Streams& streams);
/// Opens a job in a window; "" = a copy of the demo. `language`: a code of languages(). Failure: no display or no OpenGL 4.1 core (4), cannot read (5).
void window_command(const std::string& job, const std::string& language);

/// Parses arguments (without the program's name) and runs. Returns the exit code; never throws.
int run(const std::vector<std::string>& arguments, const Streams& streams);

}  // namespace rakelight
