// year: the hours in which something shows.
#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <ostream>

#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "report/report.h"
#include "report/year.h"

namespace rakelight {
namespace {

int sky_of(const std::string& word) {
  if (word == "clear" || word == "climate") return clear_type;
  if (word == "overcast") return overcast_type;
  if (word == "intermediate") return intermediate_type;
  return std::stoi(word);  // the options allow 1 to 15 alone
}

/// The year of the first dated moment; without one, 2026.
int year_of(const Job& job) {
  for (const MomentSpec& m : job.moments)
    if (m.time.given) return m.time->year;
  return 2026;
}

}  // namespace

void year_command(const YearOptions& options, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(options.job, streams);
  const SiteSpec& site = study->job.site;
  if (site.time_zone->empty()) throw Failure(Exit::bad_input, "a year needs the site: latitude, longitude and time_zone in [site]\n");
  const bool weighted = options.sky == "climate";
  if (weighted && !study->climate) throw Failure(Exit::bad_input, "--sky climate needs a climate file: climate = \"place.epw\" in [site]\n");
  const std::string end = options.output.size() > 4 ? options.output.substr(options.output.size() - 4) : "";
  if (!options.output.empty() && end != ".png" && end != ".csv")
    throw Failure(Exit::usage, fmt::format("-o {}: a year is written as .png or .csv\n", options.output));

  const int number = options.year ? *options.year : year_of(study->job);
  const std::vector<LampsAlone> lamps = lamps_alone(*study);
  Year year = sweep_year(*study, YearModel(*study, sky_of(options.sky)), number);
  Year overcast;
  if (weighted) {
    overcast = sweep_year(*study, YearModel(*study, overcast_type), number);
    weigh(*study, *study->climate, year, overcast);
  }
  const YearReport report{*study, year, lamps, weighted ? &overcast : nullptr, weighted ? &*study->climate : nullptr};
  if (end == ".png") write_file(options.output, png_bytes(year_chart(report)));
  if (end == ".csv") write_file(options.output, year_csv(report));
  if (streams.verbosity > 1) streams.err << fmt::format("{} positions of the sun looked at\n", year.steps);
  if (options.json) {
    const std::string name = options.job == "-" ? "standard input" : std::filesystem::path(options.job).filename().string();
    streams.out << year_json(report, name);
  } else if (options.output.empty()) {
    streams.out << year_text(report, streams.colour);
  }
}

}  // namespace rakelight
