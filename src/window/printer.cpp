#include "window/printer.h"

#include "base/say.h"
#include "draw/draw.h"
#include "report/paper_work.h"
#include "report/report.h"

namespace rakelight {
namespace {

void make(const Found& found, const std::string& job_name, const std::string& path) {
  PaperFindings known{found.assessment, found.advice, nullptr, found.counsel};
  // the window's year may be under another sky
  if (found.year && found.year->year.sky_type == clear_type && !found.year->year.faces.empty()) known.year = std::shared_ptr<const Year>(found.year, &found.year->year);
  const PaperFindings findings = paper_findings(*found.study, known);
  std::unique_ptr<Headless> context;
  std::string why;
  try {
    context = std::make_unique<Headless>();
  } catch (const std::exception& error) {
    why = std::string("Made without pictures: ") + error.what();
  }
  write_file(path, paper_pdf(paper_of(*found.study, findings, context.get(), why, job_name, found.text)));
}

}  // namespace

PaperPrinter::PaperPrinter(std::function<void()> ready) : ready_(std::move(ready)) {}

PaperPrinter::~PaperPrinter() {
  stop_.request();
  if (thread_.joinable()) thread_.join();
}

bool PaperPrinter::print(std::shared_ptr<const Found> found, const std::string& job_name, const std::string& path) {
  {
    const std::lock_guard lock(mutex_);
    if (busy_) return false;
    busy_ = true;
  }
  if (thread_.joinable()) thread_.join();
  thread_ = std::thread([this, found = std::move(found), job_name, path] {
    std::string said;
    try {
      const StopScope scope(&stop_);
      make(*found, job_name, path);
      said = say("{} written", path);
    } catch (const Stopped&) {
      // the window is being closed
    } catch (const std::exception& error) {
      said = error.what();
    }
    {
      const std::lock_guard lock(mutex_);
      said_ = said;
      busy_ = false;
    }
    ready_();
  });
  return true;
}

bool PaperPrinter::busy() const {
  const std::lock_guard lock(mutex_);
  return busy_;
}

std::optional<std::string> PaperPrinter::said() {
  const std::lock_guard lock(mutex_);
  return std::exchange(said_, std::nullopt);
}

}  // namespace rakelight
