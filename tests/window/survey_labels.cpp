#include "survey_labels.h"

#include "report/paper.h"

namespace rakelight {

std::vector<std::string> asked_on_paper() {
  std::vector<std::string> out;
  for (const PaperSection& section : survey_paper(PageSize::a4, false).sections)
    for (const PaperBlock& block : section.blocks) {
      if (const auto* lines = std::get_if<Blanks>(&block))
        for (const Blank& blank : lines->blanks) out.push_back(blank.label);
      if (const auto* grid = std::get_if<Grid>(&block)) out.insert(out.end(), grid->head.begin(), grid->head.end());
    }
  return out;
}

}  // namespace rakelight
