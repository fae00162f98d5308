// The command line: options, help and exit codes by the GNU conventions.
#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>
#include <ostream>
#include <sstream>

#include "assess/map.h"
#include "base/say.h"
#include "base/text.h"
#include "board/board.h"
#include "command/commands.h"
#include "command/failure.h"

namespace rakelight {
namespace {

constexpr const char* about =
    "rakelight JOB opens a job in a window, rakelight alone a copy of the demo.\n"
    "Shows how plasterboard joints will look when low light rakes across them, and what to do about it.\n"
    "JOB is a job file (docs/user/job-file.md), or - for standard input. Exit codes: 0 done, 1 --fail-on exceeded,\n"
    "2 usage, 3 bad input, 4 no OpenGL, 5 cannot read or write.";

/// Whether the arguments are a job alone, to be opened in a window: one word that is no command and looks like a file.
bool names_a_job(const CLI::App& app, const std::vector<std::string>& arguments) {
  if (arguments.size() != 1 || arguments[0].empty() || arguments[0][0] == '-') return false;
  if (!app.get_subcommands([&](const CLI::App* command) { return command->get_name() == arguments[0]; }).empty()) return false;
  std::error_code ignored;
  return arguments[0].find_first_of("./") != std::string::npos || std::filesystem::is_regular_file(arguments[0], ignored);
}

/// Takes --language and its code out of the arguments; empty when it is not there.
std::optional<std::string> take_language(std::vector<std::string>& arguments) {
  for (auto at = arguments.begin(); at != arguments.end(); ++at) {
    constexpr std::string_view joined = "--language=";
    if (at->starts_with(joined)) {
      std::string code = at->substr(joined.size());
      arguments.erase(at);
      return code;
    }
    if (*at == "--language" && at + 1 != arguments.end()) {
      std::string code = *(at + 1);
      arguments.erase(at, at + 2);
      return code;
    }
  }
  return std::nullopt;
}

/// "1920x1080" into width and height.
void parse_size(const std::string& text, int& width, int& height) {
  int w = 0, h = 0;
  char x = 0, rest = 0;
  std::istringstream in(text);
  in.imbue(std::locale::classic());
  if (!(in >> w >> x >> h) || x != 'x' || (in >> rest) || w < 16 || h < 16 || w > 16384 || h > 16384)
    throw Failure(Exit::usage, fmt::format("--size {}: WxH in pixels, 16x16 to 16384x16384, such as 1920x1080\n", text));
  width = w;
  height = h;
}

dvec2 parse_point(const std::string& text) {
  double x = 0, y = 0;
  char comma = 0, rest = 0;
  std::istringstream in(text);
  in.imbue(std::locale::classic());
  if (!(in >> x >> comma >> y) || comma != ',' || (in >> rest) || !std::isfinite(x) || !std::isfinite(y))
    throw Failure(Exit::usage, fmt::format("--at {}: X,Y in millimetres from the surface's origin, such as 3000,1200\n", text));
  return {x, y};
}

std::string joined_suggestion(const CLI::App& app, const std::vector<std::string>& arguments) {
  std::vector<std::string> words;
  for (const CLI::App* sub : app.get_subcommands([](const CLI::App*) { return true; })) words.push_back(sub->get_name());
  for (const std::string& argument : arguments) {
    if (argument.empty() || argument[0] == '-') continue;
    if (std::find(words.begin(), words.end(), argument) != words.end()) return "";
    const std::string near = nearest_word(argument, words);
    return near.empty() ? "" : fmt::format("did you mean \"{}\"?\n", near);
  }
  return "";
}

std::string option_suggestion(const CLI::App& app, const std::vector<std::string>& arguments) {
  const CLI::App* sub = app.get_subcommands().empty() ? &app : app.get_subcommands().front();
  std::vector<std::string> names;
  for (const CLI::Option* option : sub->get_options())
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  for (const std::string& argument : arguments) {
    const std::string bare = argument.substr(0, argument.find('='));
    if (bare.rfind("--", 0) != 0 || bare == "--" || std::find(names.begin(), names.end(), bare) != names.end()) continue;
    const std::string near = nearest_word(bare, names);
    if (!near.empty()) return fmt::format("did you mean {}?\n", near);
  }
  return "";
}

}  // namespace

int run(const std::vector<std::string>& arguments, const Streams& given) {
  Streams streams = given;
  CLI::App app{about, "rakelight"};
  app.set_version_flag("--version", fmt::format("rakelight {}", program_version()));
  app.require_subcommand(1);
  app.fallthrough();
  bool quiet = false, verbose = false;
  app.add_flag("-q,--quiet", quiet, "say only what was asked for");
  app.add_flag("-v,--verbose", verbose, "say more");
  std::vector<std::string> codes;
  for (const Language& l : languages()) codes.push_back(l.code);
  std::string window_language;
  const CLI::Option* of_window = app.add_option("--language", window_language, "the window's language, else what LANG says")->check(CLI::IsMember(codes));

  AssessOptions assess_options;
  CLI::App* assess = app.add_subcommand("assess", "which joints show, when and from where, and what to do");
  assess->add_option("JOB", assess_options.job)->required();
  assess->add_flag("--json", assess_options.json, "for other programs (docs/schema/assess.json)");
  assess->add_option("--fail-on", assess_options.fail_on, "exit 1 when a joint is this or worse")->check(CLI::IsMember({"faint", "shows"}));

  const auto stage_option = [](CLI::App* command, std::string& stage) {
    command->add_option("--stage", stage, "how far the work is: bare (board and compound), sealed or painted")
        ->check(CLI::IsMember({"bare", "sealed", "painted"}))
        ->capture_default_str();
  };
  stage_option(assess, assess_options.stage);

  std::string size = "1920x1080";
  auto view_options = [&](CLI::App* command, ViewOptions& view) {
    command->add_option("JOB", view.job)->required();
    command->add_option("-o,--output", view.output, "the picture to write")->required();
    CLI::Option* surface = command->add_option("--surface", view.surface, "a wall or ceiling, square on");
    command->add_option("--viewer", view.viewer, "the room from where somebody stands")->excludes(surface);
    command->add_option("--moment", view.moment, "a moment's name, or a local time such as 2026-06-21T20:40");
    command->add_option("--size", size, "pixels, WxH");
    stage_option(command, view.stage);
    return command->add_flag("--stipple", view.stipple, "draw the grain of roller, spray, brush or texture too, where a surface's paint says which");
  };
  auto amplify_option = [](CLI::App* command, double& amplify) {
    command->add_option("--amplify", amplify, "multiply the relief's shade, labelled in the picture")->check(CLI::IsMember({2.0, 5.0, 10.0}));
  };
  RenderOptions render_options;
  CLI::App* render = app.add_subcommand("render", "a picture: .png as seen, .exr in cd/m²; the first moment and viewer unless named");
  CLI::Option* stipple = view_options(render, render_options.view);
  amplify_option(render, render_options.amplify);
  CLI::Option* screen = render->add_option("--screen-true", render_options.screen,
                                           "D,W,B: contrast as easily seen as on site by who looks from D mm at a picture W mm wide, white B cd/m², such as 600,345,250");
  CLI::Option* figure = render->add_flag("--figure", render_options.figure, "somebody 1.75 m tall stands in the picture, for scale (with --viewer)");
  std::vector<std::string> maps;
  for (const MapKind kind : all_maps) maps.push_back(map_name(kind));
  CLI::Option* map = render->add_option("--map", render_options.map, "a map of a surface instead of a picture (.png or .csv)")->check(CLI::IsMember(maps));
  CLI::Option* from = render->add_option("--from", render_options.from, "a film (.webp): its first local time; sky and lamps are those of --moment, else a clear sky");
  CLI::Option* to = render->add_option("--to", render_options.to, "its last local time")->needs(from);
  CLI::Option* frames = render->add_option("--frames", render_options.frames, "how many pictures")->check(CLI::Range(2, 2000))->needs(from);
  render->add_option("--frame-ms", render_options.frame_ms, "how long each is shown")->check(CLI::Range(20, 10000))->needs(from)->capture_default_str();
  from->needs(to)->needs(frames)->excludes(map)->excludes(screen);
  map->excludes(screen);
  figure->excludes(map);
  stipple->excludes(map);

  CompareOptions compare_options;
  CLI::App* compare = app.add_subcommand("compare", "one view in several finish levels; the worst moment and viewer unless named");
  view_options(compare, compare_options.view);
  amplify_option(compare, compare_options.amplify);
  compare->add_flag("--figure", compare_options.figure, "somebody 1.75 m tall stands in each picture, for scale (with --viewer)");
  compare->add_option("--levels", compare_options.levels, "levels of the job's scheme, such as 3,4,5")->delimiter(',');

  SheetsOptions sheets_options;
  CLI::App* sheets = app.add_subcommand("sheets", "which way round, and where every joint lands: ways compared, setting out, sheet list");
  sheets->add_option("JOB", sheets_options.job)->required();
  sheets->add_option("-o,--output", sheets_options.output, "setting out: .svg or .png of one face, .pdf, .csv, .dxf, .html (for a telephone), or a folder for all of them");
  sheets->add_option("--surface", sheets_options.surface, "one wall or ceiling; without it all that are boarded");
  sheets->add_option("--way", sheets_options.way, "which is set out: the best found, the job's own (asked), or the usual")->check(CLI::IsMember({"best", "asked", "usual"}))->capture_default_str();
  sheets->add_option("--page", sheets_options.page, "paper of a .pdf, .svg or .png")->check(CLI::IsMember({"A4", "A3"}))->capture_default_str();
  sheets->add_flag("--year", sheets_options.year, "besides the job's times, the sun of the 21st of March, June and December under a clear sky");
  sheets->add_flag("--json", sheets_options.json, "for other programs (docs/schema/sheets.json)");

  YearOptions year_options;
  CLI::App* year = app.add_subcommand("year", "the hours of a year in which something shows, under one kind of sky");
  year->add_option("JOB", year_options.job)->required();
  year->add_flag("--json", year_options.json, "for other programs (docs/schema/year.json)");
  year->add_option("-o,--output", year_options.output, "a chart (.png) or a table (.csv)");
  std::vector<std::string> skies{"clear", "overcast", "intermediate", "climate"};
  for (int type = 1; type <= 15; ++type) skies.push_back(std::to_string(type));
  year->add_option("--sky", year_options.sky, "clear, overcast, intermediate, 1 to 15, or climate: clear and overcast weighted by the job's climate file")
      ->check(CLI::IsMember(skies))
      ->capture_default_str();
  year->add_option("--year", year_options.year, "which year; without it that of the first moment")->check(CLI::Range(1950, 2050));

  ProbeOptions probe_options;
  std::string at;
  CLI::App* probe = app.add_subcommand("probe", "the light at one point of a surface, exact, by source");
  probe->add_option("JOB", probe_options.job)->required();
  probe->add_option("--surface", probe_options.surface, "a wall, ceiling or floor")->required();
  probe->add_option("--at", at, "X,Y in millimetres from the surface's origin")->required();
  probe->add_option("--moment", probe_options.moment, "a moment's name, or a local time");
  probe->add_flag("--json", probe_options.json, "for other programs (docs/schema/probe.json)");

  ProfileOptions profile_options;
  std::vector<std::string> known_kinds = kind_names();
  known_kinds.emplace_back("all");
  CLI::App* profile = app.add_subcommand("profile", "a joint's section, coat by coat");
  profile->add_option("JOB", profile_options.job);
  profile->add_option("--joint", profile_options.joint, "its id, as assess prints it");
  profile->add_option("--kind", profile_options.kind, "without a job: the kind of joint, such as butt or cut-to-recessed; all draws every kind")->check(CLI::IsMember(known_kinds));
  profile->add_option("--scheme", profile_options.scheme, "finish level scheme")->capture_default_str();
  profile->add_option("--level", profile_options.level, "finish level")->capture_default_str();
  profile->add_option("--workmanship", profile_options.workmanship, "careful, everyday or rough")->capture_default_str();
  CLI::Option* csv = profile->add_flag("--csv", profile_options.csv, "every point");
  profile->add_option("-o,--output", profile_options.output, "a drawing to write: .svg or .png, heights a hundred times the widths")->excludes(csv);

  MeasureOptions measure_options;
  CLI::App* measured = app.add_subcommand("measure", "a joint as it was found on site: in tolerance, will it show, what cures it");
  measured->add_option("JOB", measure_options.job)->required();
  measured->add_option("--joint", measure_options.joint, "its id, as assess prints it")->required();
  CLI::Option* points = measured->add_option("--csv", measure_options.csv, "points across it: lines offset_mm,height_mm under that heading");
  CLI::Option* gap = measured->add_option("--gap", measure_options.gap_mm, "the gap under a rule over its middle, mm")->check(CLI::Range(0.0, 20.0))->excludes(points);
  CLI::Option* base = measured->add_option("--base", measure_options.base_mm, "how long that rule is, mm")->check(CLI::Range(50.0, 2500.0))->excludes(points);
  gap->needs(base);
  base->needs(gap);
  measured->add_flag("--hollow", measure_options.hollow, "the gap is in the middle: the rule bridges a hollow")->excludes(points);
  measured->add_flag("--json", measure_options.json, "for other programs (docs/schema/measure.json)");

  SightOptions sight_options;
  CLI::App* sight = app.add_subcommand("sight", "the least contrast seen: one light-and-dark cycle over a width");
  sight->add_option("--luminance", sight_options.luminance, "cd/m²")->required()->check(CLI::Range(0.01, 1e5));
  sight->add_option("--width", sight_options.width_mm, "mm")->required()->check(CLI::Range(0.1, 1e4));
  sight->add_option("--distance", sight_options.distance_mm, "mm")->required()->check(CLI::Range(50.0, 1e5));
  sight->add_flag("--json", sight_options.json, "for other programs (docs/schema/sight.json)");

  ReportOptions report_options;
  CLI::App* report = app.add_subcommand("report", "the paper for client and site: .pdf, or .html for the screen");
  report->add_option("JOB", report_options.job)->required();
  report->add_option("-o,--output", report_options.output, "the paper to write: .pdf or .html")->required();
  report->add_flag("--no-pictures", report_options.no_pictures, "without pictures, where there is no OpenGL");

  QuantitiesOptions quantities_options;
  CLI::App* quantities = app.add_subcommand("quantities", "compound, tape, sheets, hours by visit and days, as ranges");
  quantities->add_option("JOB", quantities_options.job)->required();
  quantities->add_flag("--json", quantities_options.json, "for other programs (docs/schema/quantities.json)");

  SurveyOptions survey_options;
  CLI::App* survey = app.add_subcommand("survey", "one blank sheet to fill in on site");
  survey->add_option("-o,--output", survey_options.output, "the sheet to write: .pdf, or .html for a phone")->required();
  survey->add_option("--page", survey_options.page, "A4 or Letter")->check(CLI::IsMember({"A4", "Letter"}))->capture_default_str();
  survey->add_flag("--inches", survey_options.inches, "ask for inches instead of millimetres");

  std::string check_job, new_path;
  CLI::App* check = app.add_subcommand("check", "read a job and say what is wrong with it");
  check->add_option("JOB", check_job)->required();
  CLI::App* fresh = app.add_subcommand("new", "write a small commented job to start from");
  fresh->add_option("FILE", new_path)->required();

  try {
    std::vector<std::string> beside = arguments;
    const std::optional<std::string> asked_language = take_language(beside);
    if (beside.empty() || names_a_job(app, beside)) {
      if (asked_language && std::find(codes.begin(), codes.end(), *asked_language) == codes.end())
        throw Failure(Exit::usage, fmt::format("--language {}: one of {}\n", *asked_language, fmt::join(codes, ", ")));
      window_command(beside.empty() ? "" : beside[0], asked_language.value_or(language_of_environment()));
      return static_cast<int>(Exit::done);
    }
    try {
      std::vector<std::string> reversed(arguments.rbegin(), arguments.rend());
      app.parse(reversed);
    } catch (const CLI::CallForHelp&) {
      const auto chosen = app.get_subcommands();
      streams.out << (chosen.empty() ? app.help() : chosen.front()->help());
      return static_cast<int>(Exit::done);
    } catch (const CLI::CallForVersion& version) {
      streams.out << version.what() << "\n";
      return static_cast<int>(Exit::done);
    } catch (const CLI::ParseError& error) {
      std::string hint = app.get_subcommands().empty() ? joined_suggestion(app, arguments) : "";
      if (hint.empty()) hint = option_suggestion(app, arguments);
      throw Failure(Exit::usage, fmt::format("{}\n{}try --help\n", error.what(), hint));
    }
    if (of_window->count() > 0) throw Failure(Exit::usage, "--language is for the window alone: rakelight --language CODE JOB\n");
    streams.verbosity = quiet ? 0 : verbose ? 2 : 1;
    if (render->parsed()) parse_size(size, render_options.view.width, render_options.view.height);
    if (compare->parsed()) parse_size(size, compare_options.view.width, compare_options.view.height);
    if (assess->parsed()) assess_command(assess_options, streams);
    if (render->parsed()) {
      if (!render_options.map.empty()) map_command(render_options, streams);
      else if (!render_options.from.empty()) film_command(render_options, streams);
      else render_command(render_options, streams);
    }
    if (compare->parsed()) compare_command(compare_options, streams);
    if (year->parsed()) year_command(year_options, streams);
    if (sheets->parsed()) sheets_command(sheets_options, streams);
    if (probe->parsed()) {
      probe_options.at_mm = parse_point(at);
      probe_command(probe_options, streams);
    }
    if (profile->parsed()) profile_command(profile_options, streams);
    if (measured->parsed()) {
      if (measure_options.csv.empty() && !measure_options.gap_mm) throw Failure(Exit::usage, "measure needs --csv F, or --gap MM with --base MM\n");
      measure_command(measure_options, streams);
    }
    if (sight->parsed()) sight_command(sight_options, streams);
    if (report->parsed()) report_command(report_options, streams);
    if (quantities->parsed()) quantities_command(quantities_options, streams);
    if (survey->parsed()) survey_command(survey_options, streams);
    if (check->parsed()) check_command(check_job, streams);
    if (fresh->parsed()) new_command(new_path, streams);
    streams.out.flush();
    if (!streams.out) throw Failure(Exit::cannot_read_or_write, "cannot write to standard output\n");
    return static_cast<int>(Exit::done);
  } catch (const Failure& failure) {
    streams.out.flush();
    streams.err << (failure.code() == Exit::bad_input ? "" : "rakelight: ") << failure.what();
    return static_cast<int>(failure.code());
  } catch (const std::exception& error) {
    // what is left is the environment: files that cannot be written, a missing time zone database
    streams.err << "rakelight: " << error.what() << "\n";
    return static_cast<int>(Exit::cannot_read_or_write);
  }
}

}  // namespace rakelight
