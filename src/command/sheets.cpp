// sheets: which way round, and where every joint lands.
#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <ostream>

#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "report/report.h"
#include "report/ways.h"

namespace rakelight {
namespace {

/// Adds the sun of the 21st of March, June and December, every second hour that it is up, under a clear sky. Returns how many.
int add_year(Study& study) {
  int year = 2026, added = 0;
  for (const MomentSpec& m : study.job.moments)
    if (m.time.given) {
      year = m.time->year;
      break;
    }
  for (int month : {3, 6, 12})
    for (int hour = 3; hour < 24; hour += 2) {
      Diagnostics ignored;  // an hour that daylight saving skips is left out
      const std::optional<Moment> moment = moment_at(study.job, fmt::format("{}-{:02}-21T{:02}:00", year, month, hour), ignored);
      if (!moment || moment->sky.sun.altitude <= 0) continue;
      study.moments.push_back(*moment);
      study.lighting.push_back(make_lighting(study.job, study.room, study.basis, *moment));
      ++added;
    }
  return added;
}

const WayOption& chosen(const FaceWays& ways, const std::string& way) {
  return way == "asked" ? ways.as_asked : way == "usual" ? ways.usual : ways.winner();
}

void write_one(const std::string& path, const WaysReport& report, dvec2 paper) {
  const std::vector<SettingOut> faces = settings_out(report);
  const std::string end = std::filesystem::path(path).extension().string();
  if (end == ".svg" || end == ".png") {
    if (faces.size() > 1) throw Failure(Exit::usage, fmt::format("-o {}: a picture is of one face; name it with --surface, or write a .pdf, or a folder with all\n", path));
    const Drawing page = setting_out_pages(faces[0], paper).front();
    write_file(path, end == ".svg" ? svg_text(page) : drawing_png(page));
  } else if (end == ".pdf") {
    std::vector<Drawing> pages;
    for (const SettingOut& face : faces)
      for (Drawing& page : setting_out_pages(face, paper)) pages.push_back(std::move(page));
    for (Drawing& page : table_pages("Sheets to buy", {stock_table(*report.study, report.cutting)}, paper)) pages.push_back(std::move(page));
    write_file(path, drawings_pdf(pages));
  } else if (end == ".csv") {
    write_file(path, setting_out_csv(faces));
  } else if (end == ".dxf") {
    write_file(path, setting_out_dxf(faces));
  } else if (end == ".html") {
    write_file(path, setting_out_html(faces, report.cutting));
  } else {
    throw Failure(Exit::usage, fmt::format("-o {}: .svg, .png, .pdf, .csv, .dxf or .html, or a folder for all of them\n", path));
  }
}

/// A picture for every face, the pages on A4 and A3, the tables.
std::vector<std::string> write_all(const std::string& folder, const WaysReport& report) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (error) throw std::runtime_error("cannot make the folder " + folder + ": " + error.message());
  std::vector<std::string> written;
  auto path = [&](const std::string& name) { return written.emplace_back((std::filesystem::path(folder) / name).string()); };
  for (const FaceReport& f : report.faces) {
    std::string name = report.study->room.surfaces[static_cast<std::size_t>(f.ways.surface)].name;
    std::replace(name.begin(), name.end(), ' ', '-');
    const SettingOut face{report.study, &f.plan, &f.judged, &report.cutting};
    write_file(path(name + ".svg"), svg_text(setting_out_pages(face, a4).front()));
  }
  write_one(path("setting-out-a4.pdf"), report, a4);
  write_one(path("setting-out-a3.pdf"), report, a3);
  for (const char* name : {"setting-out.csv", "setting-out.dxf", "setting-out.html"}) write_one(path(name), report, a4);
  return written;
}

}  // namespace

void sheets_command(const SheetsOptions& options, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(options.job, streams);
  const Room& room = study->room;
  WaysReport report;
  report.study = study.get();
  report.shown = options.way;
  if (options.year) {
    if (study->job.site.time_zone->empty()) throw Failure(Exit::bad_input, "--year needs the site: latitude, longitude and time_zone in [site]\n");
    report.year_times = add_year(*study);
  }
  std::vector<int> faces;
  if (!options.surface.empty()) {
    faces.push_back(find_surface(room, options.surface));
    if (room.surfaces[static_cast<std::size_t>(faces[0])].spec < 0) throw Failure(Exit::usage, fmt::format("{} has no [[surface]]: nothing is boarded there\n", options.surface));
  } else {
    // ceilings are hung before walls
    for (const bool ceiling : {true, false})
      for (int i = 0; i < static_cast<int>(room.surfaces.size()); ++i)
        if (room.surfaces[static_cast<std::size_t>(i)].spec >= 0 && (i == room.ceiling()) == ceiling) faces.push_back(i);
  }
  if (faces.empty()) throw Failure(Exit::bad_input, "the job has no [[surface]]: nothing is boarded\n");
  for (const int i : faces) {
    const std::string level = *study->job.surfaces[static_cast<std::size_t>(room.surfaces[static_cast<std::size_t>(i)].spec)].level;
    const ShowField field(*study, i, level);
    FaceReport& f = report.faces.emplace_back();
    f.ways = way_round(*study, i, field);
    const Way& way = chosen(f.ways, options.way).way;
    const bool asked = way == f.ways.as_asked.way;
    f.plan = asked ? plan_as_asked(*study, i) : plan_of(study->job, room, i, way);
    f.judged = asked ? assess_surface(*study, i, requested_finish(*study, i)) : assess_layout(*study, i, f.plan.layout, level);
  }
  std::vector<CuttingFace> cut;
  for (const FaceReport& f : report.faces) {
    const Surface& face = room.surfaces[static_cast<std::size_t>(f.ways.surface)];
    cut.push_back({f.ways.surface, face.name, &f.plan.layout, study->job.surfaces[static_cast<std::size_t>(face.spec)].sheet->x, f.plan.way.length});
  }
  report.cutting = cut_sheets(cut);

  const dvec2 paper = options.page == "A3" ? a3 : a4;
  if (!options.output.empty()) {
    std::vector<std::string> written{options.output};
    if (std::filesystem::path(options.output).has_extension() && !std::filesystem::is_directory(options.output)) write_one(options.output, report, paper);
    else written = write_all(options.output, report);
    if (streams.verbosity > 0)
      for (const std::string& path : written) streams.err << path << " written\n";
  }
  if (options.json) streams.out << ways_json(report, options.job == "-" ? "standard input" : std::filesystem::path(options.job).filename().string());
  else if (options.output.empty()) streams.out << ways_text(report, streams.colour);
}

}  // namespace rakelight
