// Cures in words, with their numbers.
#pragma once
#include <string>
#include <vector>

#include "advice/cures.h"

namespace rakelight {

/// "the butts backed and sprung in, and dead matt paint"; "nothing" of none.
std::string mix_text(const Cure& cure);
/// "0.4–1.3 hours more", "0.5–0.9 hours less", "no hours more".
std::string hours_text(const Range& extra);
/// "about 1 in 30 that a joint shows; the most visible is long/B1 in \"evening sun\" (V 1.8, band 0.9–3.6)"; sketched figures are called so.
std::string outcome_text(const Study& study, const Outcome& outcome);

/// Sentences for people, the least work first. `sketch` is null where none was needed.
std::vector<std::string> cure_words(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, const SurfaceCures& cures, const Sketch* sketch);

/// One sentence on the least work for a surface: "The least work after which …".
std::string least_work_text(const Study& study, const SurfaceCures& cures);

/// For the client, who reads no V, the least work beside direction and level, which the recommendation has said: "Or, before it is
/// painted: dead matt paint and …, 0.4–1.3 hours more (estimate); about 1 in 30 that a joint shows". Empty where nothing is needed or enough.
std::string other_way_text(const SurfaceCures& cures);

}  // namespace rakelight
