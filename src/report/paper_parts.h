// The sections of the paper, and what they share.
#pragma once
#include <string>
#include <vector>

#include "cost/programme.h"
#include "cost/quantities.h"
#include "cost/work.h"
#include "report/measures.h"
#include "report/paper.h"

namespace rakelight {

/// "long wall", "ceiling".
std::string face_text(const Study& study, int surface);
/// The face with the joint that is seen most; null when none is in sight.
const SurfaceResult* worst_face(const Assessment& assessment);
/// Options of a surface that are offered side by side, least work first: as asked, recommended, the levels beside it; at most three.
std::vector<int> offers(const SurfaceAdvice& advice);

/// Worked out once for all sections.
struct PaperFacts {
  explicit PaperFacts(const PaperSource& source);
  const PaperSource& source;
  const Study& study;
  const Job& job;
  Measures measures;
  std::vector<Visit> visits;
  Quantities quantities;
  Programme programme;
  Prices prices;

  std::string face(int surface) const { return face_text(study, surface); }
  const SurfaceAdvice* advice_of(int surface) const;
  /// Hours, visits and prices of the whole job with one surface finished otherwise.
  struct Alternative { Range hours; int visits = 0; Prices prices; };
  Alternative with(int surface, const Finish& finish) const;
  std::string day(long number) const;              ///< "Mon 18 May 2026", or "day 12" of an undated programme
  std::string short_day(long number) const;        ///< without its year, and not to be broken: for tables
};

PaperSection client_section(const PaperFacts& facts);
PaperSection finisher_section(const PaperFacts& facts);
PaperSection quantities_section(const PaperFacts& facts);
PaperSection figures_section(const PaperFacts& facts);
PaperSection cautions_section();

/// "the doorway", "along the long wall", "2 m in front of it (inspection)": where a viewer of the study stands.
std::string stand_text(const Study& study, int viewer);
/// "evening sun, midsummer (21 Jun 2026 20:40)".
std::string when_text(const Moment& moment);
/// "upright, 1,500 mm from the left end": where a joint lies on its face.
std::string place_text(const PaperFacts& facts, const JointLine& line);
std::string level_text(const Study& study, int surface, const Finish& finish);
/// The plan with windows, doors, lamps (their distances from walls) and which way the sun comes in.
Drawing plan_drawing(const PaperFacts& facts);
/// "not expected to be noticed, about 1 in 40 that any joint shows", or how likely one shows.
std::string expectation(double chance, double aim);

}  // namespace rakelight
