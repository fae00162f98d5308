// Things taken up into the job by one step: a measured distribution for a lamp, a place where one stands.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "assess/assess.h"
#include "window/edits.h"
#include "window/model.h"

namespace rakelight {

/// Whether the file's name is that of a photometric file: .ies or .ldt, in any case.
bool names_photometry(const std::string& path);
/// What a photometric file holds, for people: "spot.ies: a luminaire, 812 lm". On damage empty, and `why` is "spot.ies:12: what is wrong".
std::optional<std::string> photometry_words(const std::string& path, const std::string& text, std::string& why);
/// How a job at `job_path` names a file: relative to the job's folder; a job that no file has, and files that cannot be reached so: in full.
std::string path_beside(const std::string& job_path, const std::string& path);
/// Gives the lamp the distribution; a beam that it has goes, since the two say the same.
std::vector<Edit> photometry_given(const Job& job, const std::string& lamp, const std::string& named);

/// A name for a place that the job does not have yet.
std::string free_viewer_name(const Study& study);
/// The eye as one more of the job's viewers. A job that names none is judged from the usual ones: these are written with it, so that none is
/// lost. Empty when the name is taken or empty.
std::vector<Edit> viewer_kept(const Study& study, const std::string& name, dvec3 eye, dvec3 target);

}  // namespace rakelight
