// A job through every stage that does not depend on how the surfaces are finished.
#include <algorithm>
#include <cassert>
#include <cmath>

#include "assess/assess.h"
#include "assess/plain_relief.h"
#include "base/long_work.h"
#include "base/text.h"
#include "joint/fit.h"
#include "joint/measured.h"
#include "joint/plain_relief.h"
#include "light/many.h"
#include "light/parallel.h"
#include "light/photometry.h"
#include "sky/bearing.h"

namespace rakelight {
namespace {

std::string quoted_list(const std::vector<std::string>& words) {
  std::string text;
  for (const auto& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known) {
  const std::string near = nearest_word(word, known);
  return (near.empty() ? "" : "did you mean \"" + near + "\"? ") + "known: " + quoted_list(known);
}

/// A scheme file's complaints stand under the key that names it.
std::optional<Scheme> scheme_from_file(const FinishingSpec& finishing, const Loader& loader, Diagnostics& diagnostics) {
  const auto text = loader ? loader(*finishing.scheme) : std::nullopt;
  if (!text) {
    diagnostics.error(finishing.scheme.at, "the scheme file " + *finishing.scheme + " cannot be read", "a file's path, relative to the job");
    return std::nullopt;
  }
  Diagnostics own;
  auto scheme = read_scheme(*text, *finishing.readings, own);
  if (!scheme)
    diagnostics.error(finishing.scheme.at, "the scheme file " + *finishing.scheme + " cannot be used:\n" + own.to_text(*finishing.scheme, *text),
                      "a file as docs/user/levels.md describes");
  return scheme;
}

std::optional<Scheme> find_scheme(const FinishingSpec& finishing, const Loader& loader, Diagnostics& diagnostics) {
  if (names_a_file(*finishing.scheme)) return scheme_from_file(finishing, loader, diagnostics);
  auto found = scheme(*finishing.scheme, *finishing.readings);
  if (!found)
    diagnostics.error(finishing.scheme.at, "unknown scheme \"" + *finishing.scheme + "\"",
                      suggestion(*finishing.scheme, scheme_ids()) + ", or a file of your own such as \"levels.toml\"");
  return found;
}

/// Puts in the levels that the job leaves to the scheme, and complains of those that it does not have.
void settle_levels(Job& job, const Scheme& scheme, Diagnostics& diagnostics) {
  std::vector<std::string> known, readings;
  for (const auto& level : scheme.levels) known.push_back(level.id);
  for (auto& surface : job.surfaces) {
    if (!surface.level.given) surface.level.value = scheme.standard;
    if (!scheme.find(*surface.level))
      diagnostics.error(surface.level.at, "scheme " + scheme.id + " has no level \"" + *surface.level + "\"",
                        suggestion(*surface.level, known));
  }
  for (const Reading& r : scheme.readings) readings.push_back(r.id);
  for (const auto& chosen : *job.finishing.readings)
    if (std::find(readings.begin(), readings.end(), chosen) == readings.end())
      diagnostics.error(job.finishing.readings.at, "scheme " + scheme.id + " has no reading \"" + chosen + "\"",
                        readings.empty() ? "leave readings out: its sources agree" : suggestion(chosen, readings));
}

std::optional<Climate> climate_of(const SiteSpec& site, const Loader& loader, Diagnostics& diagnostics) {
  const std::optional<std::string> text = loader ? loader(*site.climate) : std::nullopt;
  if (!text) {
    diagnostics.error(site.climate.at, "cannot read the climate file " + *site.climate, "an EPW file, its path relative to the job");
    return std::nullopt;
  }
  Diagnostics own;
  auto climate = read_climate(*text, own);
  if (!climate) {
    std::string report = own.to_text(*site.climate, *text);
    while (report.ends_with('\n')) report.pop_back();
    diagnostics.error(site.climate.at, "the climate file is damaged:\n" + report, "an EPW file as it was published");
    return std::nullopt;
  }
  if (std::abs(climate->latitude_deg - *site.latitude_deg) > 2 ||
      std::abs(std::remainder(climate->longitude_deg - *site.longitude_deg, 360.0)) > 3)
    diagnostics.warn(site.climate.at, "the climate file is of " + climate->place + ", far from the site", "a file of a place near it");
  return climate;
}

}  // namespace

std::unique_ptr<Study> make_study(const Job& job, Diagnostics& diagnostics, const LightDetail& detail, const Loader& loader, PaintStage stage,
                                  std::shared_ptr<const LightBasis> basis) {
  long_work("making a study");
  auto study = std::make_unique<Study>();
  study->job = job;
  study->stage = stage;
  check_paints(job, diagnostics);
  if (stage == PaintStage::sealed)
    for (const SurfaceSpec& s : job.surfaces)
      if (*s.paint.sealer == SealerSpec::none)
        diagnostics.warn(s.paint.sealer.at, "there is no sealer on " + *s.name + ": sealed, it is the bare board", "sealer = \"one coat\", or the stage before the sealer, bare");
  for (SurfaceSpec& s : study->job.surfaces) s.reflectance.value = stage_reflectance(s.paint, *s.reflectance, stage);

  load_photometry(study->job, loader, diagnostics);
  load_measured(study->job, loader, diagnostics);
  study->job.site = located(job, diagnostics);
  if (!job.site.climate->empty()) study->climate = climate_of(job.site, loader, diagnostics);

  auto room = make_room(study->job, diagnostics);
  if (room) {
    study->room = *std::move(room);
    study->viewers = make_viewers(job, study->room, diagnostics);
    study->layouts = lay_all(job, study->room, diagnostics);
    check_measured(study->job, study->layouts, diagnostics);
  }
  study->moments = make_moments(study->job, diagnostics, study->climate ? &*study->climate : nullptr);
  if (job.moments.empty())
    diagnostics.error(job.title.at, "the job has no [[moment]]", "at least one time at which the surfaces are looked at");

  if (auto found = find_scheme(job.finishing, loader, diagnostics)) {
    study->scheme = *std::move(found);
    settle_levels(study->job, study->scheme, diagnostics);
  }
  const auto& measured = job.finishing.measured;
  if (auto found = workmanship(measured ? *measured->like : *job.finishing.workmanship))
    study->work = measured ? learnt(*found, *measured) : *std::move(found);

  if (!diagnostics.ok()) return nullptr;
  // none needs another; the basis has most to do and takes the cores as they come free
  for_each_index(3, [&](int part) {
    if (part == 0) study->basis = basis ? std::move(basis) : make_basis(study->job, study->room, detail);
    else if (part == 1) study->paints = make_paints(study->job, study->room, stage);
    else get_ready_to_see();
  });
  study->lighting = make_lightings(study->job, study->room, study->basis, study->moments, true);
  return study;
}

Finish requested_finish(const Study& study, int surface) {
  const int spec = study.room.surfaces[surface].spec;
  if (spec < 0) return {};
  return {study.layouts[surface].run, *study.job.surfaces[spec].level};
}

namespace {

template <class Make>
Relief finished(const Study& study, const Layout& layout, int surface, const Finish& finish, Make make) {
  const Level* level = study.scheme.find(finish.level);
  assert(level);
  const Finish asked = requested_finish(study, surface);
  if (layout.run == asked.run && finish.level == asked.level) return make(study.job, layout, *level, study.work);
  Job job = study.job;
  // what was measured is the joint as it was finished
  for (JointSpec& joint : job.joints) joint.section.reset();
  if (layout.run == asked.run) return make(job, layout, *level, study.work);
  // what the job says of single joints belongs to the joints of its own layout; turned sheets have others
  const std::string prefix = study.room.surfaces[surface].name + "/";
  std::erase_if(job.joints, [&](const JointSpec& joint) { return joint.id->starts_with(prefix); });
  return make(job, layout, *level, study.work);
}

}  // namespace

Relief finished_relief(const Study& study, const Layout& layout, int surface, const Finish& finish) { return finished(study, layout, surface, finish, make_relief); }
Relief plain_relief(const Study& study, const Layout& layout, int surface, const Finish& finish) { return finished(study, layout, surface, finish, make_plain_relief); }

Layout finished_layout(const Study& study, int surface, const Finish& finish) {
  if (finish.run == study.layouts[surface].run) return study.layouts[surface];
  return lay_sheets(study.job, study.room, surface, finish.run);
}

std::vector<Relief> make_reliefs(const Study& study, int replaced_surface, const Finish& finish) {
  std::vector<Relief> reliefs(study.room.surfaces.size());
  for (int i = 0; i < static_cast<int>(reliefs.size()); ++i) {
    if (study.room.surfaces[i].spec < 0) continue;
    const Finish wanted = i == replaced_surface ? finish : requested_finish(study, i);
    reliefs[i] = finished_relief(study, finished_layout(study, i, wanted), i, wanted);
    reliefs[i].substrate = make_substrate(study.job, study.room.surfaces[i], study.layouts[i].run);
  }
  return reliefs;
}

}  // namespace rakelight
