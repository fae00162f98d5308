// From a study to its paper: what is judged, swept and drawn for it.
#pragma once
#include <memory>
#include <string>

#include "draw/draw.h"
#include "report/paper.h"

namespace rakelight {

/// What a paper rests on. The year is null where the site has no time zone.
struct PaperFindings {
  std::shared_ptr<const Assessment> assessment;
  std::shared_ptr<const Advice> advice;
  std::shared_ptr<const Year> year;
  std::shared_ptr<const Counsel> counsel;               ///< cures, and lamps that may come
};
/// Judges the job as it asks, compares its options and sweeps the year of its first dated moment under a clear sky.
/// What is known of it already is taken over.
PaperFindings paper_findings(const Study& study, PaperFindings known = {});

/// The paper, with pictures when there is a context to draw them in; else it says `why_no_pictures`.
Paper paper_of(const Study& study, const PaperFindings& findings, Headless* context, const std::string& why_no_pictures, const std::string& job_name, const std::string& job_text);

}  // namespace rakelight
