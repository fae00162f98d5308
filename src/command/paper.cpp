// report, quantities and survey: what is printed.
#include <filesystem>
#include <fmt/format.h>
#include <ostream>

#include "advice/advice.h"
#include "command/commands.h"
#include "command/failure.h"
#include "command/load.h"
#include "draw/draw.h"
#include "report/paper.h"
#include "report/paper_work.h"
#include "report/quantities.h"
#include "report/report.h"

namespace rakelight {
namespace {

enum class Form { pdf, html };

Form form_of(const std::string& path) {
  const std::string end = std::filesystem::path(path).extension().string();
  if (end == ".pdf") return Form::pdf;
  if (end == ".html") return Form::html;
  throw Failure(Exit::usage, fmt::format("-o {}: a paper is written as .pdf or .html\n", path));
}

void save(const std::string& path, const Paper& paper, const Streams& streams) {
  write_file(path, form_of(path) == Form::pdf ? paper_pdf(paper) : paper_html(paper));
  if (streams.verbosity > 0) streams.err << path << " written\n";
}

std::string name_of(const std::string& path) { return path == "-" ? "standard input" : std::filesystem::path(path).filename().string(); }

}  // namespace

void report_command(const ReportOptions& options, const Streams& streams) {
  form_of(options.output);
  const std::string text = read_text(options.job);
  const std::unique_ptr<Study> study = study_of_text(text, options.job, streams);
  // a job without OpenGL is told so before the long work
  std::unique_ptr<Headless> context;
  if (!options.no_pictures) {
    try {
      context = std::make_unique<Headless>();
    } catch (const std::exception& e) {
      throw Failure(Exit::no_opengl, fmt::format("{}\n--no-pictures makes the paper without them\n", e.what()));
    }
  }
  const PaperFindings findings = paper_findings(*study);
  save(options.output, paper_of(*study, findings, context.get(), "Made without pictures (--no-pictures).", name_of(options.job), text), streams);
}

void quantities_command(const QuantitiesOptions& options, const Streams& streams) {
  const std::unique_ptr<Study> study = load_study(options.job, streams);
  const std::vector<SurfaceResult> made = made_surfaces(*study);
  const std::vector<Visit> visits = visits_of(*study, all_of(made));
  const Quantities quantities = quantities_of(*study, all_of(made));
  const Programme programme = programme_of(study->job, visits);
  const Prices prices = prices_of(study->job, visits, quantities);
  const QuantitiesReport report{*study, quantities, visits, programme, prices};
  streams.out << (options.json ? quantities_json(report, name_of(options.job)) : quantities_text(report, streams.colour));
}

void survey_command(const SurveyOptions& options, const Streams& streams) {
  form_of(options.output);
  save(options.output, survey_paper(options.page == "Letter" ? PageSize::letter : PageSize::a4, options.inches), streams);
}

}  // namespace rakelight
