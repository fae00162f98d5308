// Where the rows of a face's sheets could begin, so that what is seen most lies elsewhere.
#pragma once
#include <vector>

#include "advice/advice.h"
#include "board/rows.h"

namespace rakelight {

/// Ways that keep the sheet and its direction and begin elsewhere: first with other first sheets, then with another first row too.
/// None breaks more rules of laying than the way asked, and each leaves a fifth less joint to be seen, judged by how V of the joints in
/// `advice.results` changes over the face. Empty where nothing is won, on faces over
/// 100 m², where the face belongs to a tested system, and where the job says
/// something of its single joints, which then would be others.
std::vector<Way> other_starts(const Study& study, const SurfaceAdvice& advice);

}  // namespace rakelight
