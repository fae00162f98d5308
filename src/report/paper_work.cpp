#include "report/paper_work.h"

#include "base/long_work.h"
#include "report/picture_views.h"

namespace rakelight {
namespace {

constexpr int usual_paper_year = 2026;

int year_of(const Job& job) {
  for (const MomentSpec& m : job.moments)
    if (m.time.given) return m.time->year;
  return usual_paper_year;
}

/// Advice without the sections of every option, which the paper has no use for.
std::shared_ptr<const Advice> advice_alone(Advice advice) {
  for (SurfaceAdvice& a : advice.surfaces) a.results = {};
  return std::make_shared<const Advice>(std::move(advice));
}

}  // namespace

PaperFindings paper_findings(const Study& study, PaperFindings out) {
  if (!out.assessment) out.assessment = std::make_shared<const Assessment>(assess(study));
  if (!out.advice || !out.counsel) {
    Advice advice = advise(study, *out.assessment);
    out.counsel = std::make_shared<const Counsel>(counsel(study, *out.assessment, advice));
    out.advice = advice_alone(std::move(advice));
  }
  if (!out.year && !study.job.site.time_zone->empty()) out.year = std::make_shared<const Year>(sweep_year(study, YearModel(study, clear_type), year_of(study.job)));
  return out;
}

Paper paper_of(const Study& study, const PaperFindings& findings, Headless* context, const std::string& why_no_pictures, const std::string& job_name, const std::string& job_text) {
  long_work("making the paper");
  PaperPictures pictures;
  if (context) pictures = paper_pictures(*context, study, *findings.assessment, *findings.advice);
  else pictures.why_none = why_no_pictures;
  const std::vector<LampsAlone> no_lamps;
  std::optional<YearReport> year;
  if (findings.year) year.emplace(YearReport{study, *findings.year, no_lamps});
  return make_paper({study, *findings.assessment, *findings.advice, year ? &*year : nullptr, *findings.counsel, pictures, job_name, job_text});
}

}  // namespace rakelight
