#include "window/taken.h"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fmt/format.h>

#include "base/say.h"
#include "light/photometry.h"

namespace rakelight {
namespace {

/// Where the line of sight meets a face, so that the job says what is looked at; 1 m on where it meets none.
dvec3 looked_at(const Room& room, dvec3 eye, dvec3 target) {
  const dvec3 direction = glm::normalize(target - eye);
  double nearest = 1e30;
  for (const Surface& face : room.surfaces) {
    const double towards = glm::dot(direction, face.frame.n);
    if (towards > -1e-9) continue;
    const double t = glm::dot(face.frame.origin - eye, face.frame.n) / towards;
    if (t > 1e-3 && t < nearest && face.contains(face.frame.surface_from_world(eye + t * direction))) nearest = t;
  }
  return eye + (nearest < 1e30 ? nearest : 1.0) * direction;
}

}  // namespace

bool names_photometry(const std::string& path) {
  std::string ending = std::filesystem::path(path).extension().string();
  for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return ending == ".ies" || ending == ".ldt";
}

std::optional<std::string> photometry_words(const std::string& path, const std::string& text, std::string& why) {
  const std::string file = std::filesystem::path(path).filename().string();
  Diagnostics diagnostics;
  const auto photometry = read_photometry(text, diagnostics);
  if (photometry && diagnostics.ok()) return say("{}: {}, {:.0f} lm", file, photometry->name.empty() ? photometry->format : photometry->name, luminous_flux(*photometry));
  why = file;
  for (const Diagnostic& d : diagnostics.all())
    if (d.level == Diagnostic::Level::error) {
      why = fmt::format("{}:{}: {}{}{}", file, place_of(text, d.at.known() ? d.at.begin : 0).line, d.wrong, d.right.empty() ? "" : " – ", d.right);
      break;
    }
  return std::nullopt;
}

std::string path_beside(const std::string& job_path, const std::string& path) {
  std::error_code failed;
  const auto full = std::filesystem::absolute(path, failed).lexically_normal();
  if (failed) return path;
  if (job_path.empty()) return full.generic_string();
  const auto folder = std::filesystem::absolute(job_path, failed).parent_path().lexically_normal();
  if (failed) return full.generic_string();
  const auto beside = full.lexically_relative(folder);
  return (beside.empty() ? full : beside).generic_string();
}

std::vector<Edit> photometry_given(const Job& job, const std::string& lamp, const std::string& named) {
  std::vector<Edit> edits{{"lamp", lamp, "photometry", text_value(named)}};
  for (const LampSpec& l : job.lamps)
    if (*l.name == lamp && l.beam.given) edits.push_back({"lamp", lamp, "beam", ""});
  return edits;
}

std::string free_viewer_name(const Study& study) {
  for (int i = 1;; ++i) {
    const std::string name = say("place {}", i);
    if (std::none_of(study.viewers.begin(), study.viewers.end(), [&](const Viewer& v) { return v.name == name; })) return name;
  }
}

std::vector<Edit> viewer_kept(const Study& study, const std::string& name, dvec3 eye, dvec3 target) {
  if (name.empty()) return {};
  const Units units = study.job.units;
  std::vector<Edit> edits;
  const auto add = [&](const std::string& called, dvec3 from, dvec3 to) {
    edits.push_back({"viewer", called, "eye", point_value(units, from)});
    edits.push_back({"viewer", called, "look", point_value(units, looked_at(study.room, from, to))});
  };
  bool taken = name == "here";
  for (const Viewer& v : study.viewers) taken = taken || v.name == name;
  for (const ViewerSpec& v : study.job.viewers) taken = taken || *v.name == name;
  if (study.job.viewers.empty())
    for (const Viewer& v : study.viewers) {
      const std::string called = v.only_surface >= 0 ? fmt::format("{} {}", v.name, study.room.surfaces[v.only_surface].name) : v.name;
      taken = taken || called == name;
      add(called, v.eye, v.target);
    }
  if (taken) return {};
  add(name, eye, target);
  return edits;
}

}  // namespace rakelight
