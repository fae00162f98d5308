#include "window/work.h"

#include <algorithm>
#include <fmt/format.h>

#include "base/say.h"
#include "base/text.h"
#include "base/units.h"
#include "light/photometry.h"
#include "paint/paint.h"
#include "window/edits.h"

namespace rakelight {
namespace {

constexpr std::size_t kept = 8;              // jobs: undo, redo and the other half come back at once
constexpr double draft_patch = 0.5, draft_grid = 0.15;  // m

/// Everything that a light basis is made of.
std::string light_key(const Job& job, const Room& room, bool draft) {
  std::string key = draft ? "draft" : "";
  const auto add = [&](double v) { key += number_text(v) + " "; };
  add(*job.site.skyline);
  for (dvec2 p : job.site.skyline_points) add(p.x), add(p.y);
  // where the skyline stands against the plan
  if (!job.site.skyline_points.empty()) add(*job.site.north);
  add(*job.site.ground_below);
  add(*job.site.house_height);
  add(room.height);
  for (dvec2 p : room.plan) add(p.x), add(p.y);
  for (const Surface& s : room.surfaces) add(s.reflectance);
  for (const Window& w : room.windows) {
    for (double v : {double(w.surface), w.opening.lo.x, w.opening.lo.y, w.opening.hi.x, w.opening.hi.y, w.reveal, w.reveal_reflectance, w.frame, double(w.glazing), w.transmittance}) add(v);
    const WindowShades& s = w.shades;
    for (double v : {s.eaves, s.eaves_y, s.eaves_lo, s.eaves_hi, s.left, s.left_x, s.right, s.right_x, s.reflectance, w.cover.direct, w.cover.scatter, w.cover.reflectance}) add(v);
  }
  for (const Door& d : room.doors)
    for (double v : {double(d.surface), d.opening.lo.x, d.opening.lo.y, d.opening.hi.x, d.opening.hi.y, d.reflectance}) add(v);
  for (const LampSpec& l : job.lamps) {
    for (double v : {double(*l.kind), l.position->x, l.position->y, l.position->z, l.to->x, l.to->y, l.to->z, l.aim->x, l.aim->y, l.aim->z, *l.turn, *l.size, *l.flux, *l.beam, *l.dim}) add(v);
    key += *l.photometry + " ";
  }
  return key;
}

/// A study's copy that looks at one moment from one place.
std::unique_ptr<Study> at_stand(const Study& study, const Stand& stand, const Moment& moment) {
  auto here = std::make_unique<Study>(study);
  here->moments = {moment};
  here->lighting = {make_lighting(here->job, here->room, here->basis, moment)};
  here->viewers = {{stand.viewer, stand.eye, stand.eye, stand.only_surface.empty() ? -1 : here->room.find(stand.only_surface)}};
  return here;
}

std::string first_complaint(const Diagnostics& diagnostics) {
  for (const Diagnostic& d : diagnostics.all())
    if (d.level == Diagnostic::Level::error) return d.right.empty() ? d.wrong : d.wrong + ": " + d.right;
  return "";
}

HereFound look_from(const Study& study, const Stand& stand, const std::string& text) {
  HereFound here{text, stand.key(), {}, "", {}};
  Diagnostics diagnostics;
  here.moment = make_moment(study.job, stand.moment, diagnostics, study.climate ? &*study.climate : nullptr);
  if (!here.moment || !diagnostics.ok()) {
    here.moment.reset();
    here.trouble = first_complaint(diagnostics);
    return here;
  }
  const auto now = at_stand(study, stand, *here.moment);
  for (int s = 0; s < static_cast<int>(study.room.surfaces.size()); ++s) {
    if (study.room.surfaces[s].spec < 0) continue;
    if (now->viewers[0].only_surface >= 0 && now->viewers[0].only_surface != s) continue;
    here.surfaces.push_back(assess_surface(*now, s, requested_finish(study, s)));
  }
  return here;
}

std::shared_ptr<const WaysFound> ways_of(const Study& study, const std::string& name) {
  auto found = std::make_shared<WaysFound>();
  found->surface = name;
  const int surface = study.room.find(name);
  if (surface < 0 || study.room.surfaces[surface].spec < 0) return found;
  const std::string level = *study.job.surfaces[study.room.surfaces[surface].spec].level;
  const ShowField field(study, surface, level);
  found->ways = way_round(study, surface, field);
  for (const Run run : {Run::horizontal, Run::upright}) {
    const WayOption* best = found->ways.winner().way.run == run ? &found->ways.winner() : nullptr;
    for (const WayOption& o : found->ways.front)
      if (!best && o.way.run == run) best = &o;  // least visible first
    // a direction that is beaten in everything is worth seeing all the same
    std::optional<FaceWays> other;
    if (!best && !found->ways.locked) {
      other = way_round(study, surface, field, run);
      best = &other->winner();
    }
    if (!best) continue;
    // the way that is asked for keeps the job's own [[joint]] entries
    const bool asked = best->way == found->ways.as_asked.way;
    Plan plan = asked ? plan_as_asked(study, surface) : plan_of(study.job, study.room, surface, best->way);
    SurfaceResult judged = asked ? assess_surface(study, surface, requested_finish(study, surface)) : assess_layout(study, surface, plan.layout, level);
    found->looked.push_back({*best, std::move(plan), std::move(judged)});
  }
  return found;
}

std::shared_ptr<const YearFound> year_of(const Study& study, int sky, int year) {
  auto found = std::make_shared<YearFound>();
  if (study.job.site.time_zone->empty()) return found;
  Study copy = study;  // lamps_alone may add a moment
  found->lamps = lamps_alone(copy);
  found->year = sweep_year(study, YearModel(study, sky), year);
  return found;
}

}  // namespace

std::string Stand::key() const {
  const LocalTime& t = *moment.time;
  std::string key = fmt::format("{} {} {} {} {} {} {} {} {}|{}|{} {} {}|{}", moment.time.given, time_value(t), static_cast<int>(*moment.sky), moment.iso_type, moment.all_lamps,
                                *moment.name, moment.lamps.given, moment.lamp_uses.size(), moment.lamps->size(), viewer, number_text(eye.x), number_text(eye.y), number_text(eye.z), only_surface);
  for (const std::string& lamp : *moment.lamps) key += " " + lamp;
  for (const LampUse& use : moment.lamp_uses)
    key += fmt::format(" {} {} {} {} {}", *use.name, number_text(*use.dim), number_text(use.position->x), number_text(use.position->y), number_text(use.position->z));
  return key;
}

Work::Work(std::function<void()> ready) : ready_(std::move(ready)), quick_([this] { run(false); }), slow_([this] { run(true); }) {}

Work::~Work() {
  {
    const std::lock_guard lock(mutex_);
    over_ = true;
    if (quick_stop_) quick_stop_->request();
    if (slow_stop_) slow_stop_->request();
  }
  wake_.notify_all();
  quick_.join();
  slow_.join();
}

void Work::ask(const Asked& asked) {
  {
    const std::lock_guard lock(mutex_);
    const bool same_files = asked.generation == asked_.generation;
    const bool same_jobs = same_files && asked.left == asked_.left && asked.right == asked_.right && asked.draft == asked_.draft;
    const bool same_stand = asked.stand.has_value() == asked_.stand.has_value() && (!asked.stand || asked.stand->key() == asked_.stand->key());
    const bool same_year = same_files && asked.left == asked_.left && asked.year_sky == asked_.year_sky && asked.year == asked_.year;
    // what is dragged would never be seen if each move gave up the last one's study
    if (quick_stop_ && (!same_jobs || !same_stand) && !(same_files && asked.draft && in_study_)) quick_stop_->request();
    const bool other_ways = asked.ways != asked_.ways && !asked.ways.empty();
    if (slow_stop_ && (!same_year || other_ways)) slow_stop_->request();
    if (!same_files) found_.clear(), here_.clear();
    if (asked.year_sky != asked_.year_sky || asked.year != asked_.year)
      for (auto& found : found_)
        if (found->year) {
          Found without = *found;
          without.year = nullptr;
          found = std::make_shared<const Found>(std::move(without));
        }
    asked_ = asked;
  }
  wake_.notify_all();
}

std::shared_ptr<const Found> Work::known(const std::string& text, bool draft) const {
  for (const auto& found : found_)
    if (found->text == text && (draft || !found->draft)) return found;
  return nullptr;
}

void Work::keep(std::shared_ptr<const Found> found) {
  if (found->generation != asked_.generation) return;
  std::erase_if(found_, [&](const auto& other) { return other->text == found->text && (other->draft || !found->draft); });
  found_.push_front(std::move(found));
  if (found_.size() > kept) found_.pop_back();
}

std::shared_ptr<const HereFound> Work::known_here(const std::string& text) const {
  if (!asked_.stand) return nullptr;
  const std::string key = asked_.stand->key();
  for (const auto& here : here_)
    if (here->text == text && here->stand == key) return here;
  return nullptr;
}

Work::State Work::state() const {
  const std::lock_guard lock(mutex_);
  State s;
  s.left = known(asked_.left, true);
  s.left_here = known_here(asked_.left);
  if (asked_.right) {
    s.right = known(*asked_.right, true);
    s.right_here = known_here(*asked_.right);
  }
  s.doing = doing_;
  s.also_doing = also_doing_;
  return s;
}

void Work::run(bool slow) {
  std::unique_lock lock(mutex_);
  while (!over_) {
    const bool worked = slow ? next_slow(lock) : next_quick(lock);
    if (over_) break;
    if (worked) {
      lock.unlock();
      wake_.notify_all();
      ready_();
      lock.lock();
      continue;
    }
    std::string& doing = slow ? also_doing_ : doing_;
    if (!doing.empty()) {
      doing.clear();
      lock.unlock();
      ready_();
      lock.lock();
      continue;  // something may have been asked meanwhile
    }
    wake_.wait(lock);
  }
}

template <class Stage>
bool Work::stage(std::unique_lock<std::mutex>& lock, const std::string& text, std::string& doing, std::shared_ptr<Stop>& stop, const std::string& words, Stage&& work) {
  doing = words;
  const long generation = asked_.generation;
  const auto mine = std::make_shared<Stop>();
  stop = mine;
  lock.unlock();
  ready_();
  bool done = false;
  std::string trouble;
  try {
    const StopScope scope(mine.get());
    work();
    done = true;
  } catch (const Stopped&) {
    // something else is wanted by now
  } catch (const std::exception& error) {
    trouble = error.what();
  }
  lock.lock();
  stop = nullptr;
  if (!trouble.empty()) {
    const auto now = known(text, true);
    Found found = now ? *now : Found{};
    found.text = text;
    found.generation = generation;
    found.draft = false;
    found.trouble = trouble;
    keep(std::make_shared<const Found>(std::move(found)));
  }
  return done;
}

Found Work::study_of(const std::string& text, const Asked& asked) {
  const bool draft = asked.draft;
  const Loader& loader = asked.loader;
  Found found;
  found.text = text;
  found.generation = asked.generation;
  found.draft = draft;
  try {
    std::optional<Job> job = read_job(JobText(text), found.diagnostics);
    if (!job) return found;
    Diagnostics quick;  // make_study reports the same again
    Job lit = *job;
    for (SurfaceSpec& surface : lit.surfaces) surface.reflectance.value = stage_reflectance(surface.paint, *surface.reflectance, PaintStage::painted);
    load_photometry(lit, loader, quick);
    const std::optional<Room> room = make_room(lit, quick);
    std::string key;
    Bases* bases = nullptr;
    const auto find = [&](bool coarse) {
      key = fmt::format("{} {}", asked.generation, light_key(lit, *room, coarse));
      const auto at = std::find_if(bases_.begin(), bases_.end(), [&](const Bases& b) { return b.key == key; });
      return at == bases_.end() ? nullptr : &*at;
    };
    if (room) {
      bases = find(false);
      if (draft && (!bases || !bases->fields)) bases = find(true);
    }
    LightDetail detail;
    if (draft && !bases) detail.patch = draft_patch;
    auto study = make_study(*job, found.diagnostics, detail, loader, PaintStage::painted, bases ? bases->plain : nullptr);
    if (!study) return found;
    if (!bases) {
      if (bases_.size() > 3) bases_.erase(bases_.begin());
      bases = &bases_.emplace_back(Bases{key, study->basis, nullptr});
    }
    if (!bases->fields) {
      LightDetail fine;
      if (draft) fine.grid = draft_grid;
      for (int s = 0; s < static_cast<int>(study->room.surfaces.size()); ++s) fine.fields.push_back(s);
      bases->fields = with_fields(study->job, study->room, *study->basis, fine);
    }
    found.fields = bases->fields;
    found.study = std::move(study);
  } catch (const std::exception& error) {
    found.trouble = error.what();
  }
  return found;
}

bool Work::next_quick(std::unique_lock<std::mutex>& lock) {
  if (asked_.left.empty()) return false;
  std::vector<std::string> texts{asked_.left};
  if (asked_.right) texts.push_back(*asked_.right);
  const Asked asked = asked_;
  const bool draft = asked.draft;
  for (const std::string& text : texts)
    if (!known(text, draft)) {
      Found found;
      in_study_ = true;
      if (stage(lock, text, doing_, quick_stop_, later("working out the light"), [&] { found = study_of(text, asked); })) keep(std::make_shared<const Found>(std::move(found)));
      in_study_ = false;
      return true;
    }
  if (draft) return false;
  for (const std::string& text : texts) {
    const auto found = known(text, false);
    if (found->broken()) continue;
    if (!found->assessment) {
      Found fuller = *found;
      if (stage(lock, text, doing_, quick_stop_, later("looking at every joint"), [&] { fuller.assessment = std::make_shared<const Assessment>(assess(*found->study)); }))
        keep(std::make_shared<const Found>(std::move(fuller)));
      return true;
    }
    if (asked_.stand && !known_here(text)) {
      const Stand stand = *asked_.stand;
      auto here = std::make_shared<HereFound>();
      if (stage(lock, text, doing_, quick_stop_, later("looking from here"), [&] { *here = look_from(*found->study, stand, text); }) && asked.generation == asked_.generation) {
        here_.push_front(std::move(here));
        if (here_.size() > 2 * kept) here_.pop_back();
      }
      return true;
    }
  }
  return false;
}

bool Work::next_slow(std::unique_lock<std::mutex>& lock) {
  if (asked_.left.empty() || asked_.draft) return false;
  const auto found = known(asked_.left, false);
  if (!found || !found->assessment || found->broken()) return false;
  // the quick thread may have kept a fuller one meanwhile
  const auto merge = [&](auto&& put) {
    const auto now = known(found->text, false);
    Found fuller = now ? *now : *found;
    put(fuller);
    keep(std::make_shared<const Found>(std::move(fuller)));
  };
  if (!asked_.ways.empty() && (!found->ways || found->ways->surface != asked_.ways)) {
    std::shared_ptr<const WaysFound> ways;
    const std::string face = asked_.ways;
    if (stage(lock, found->text, also_doing_, slow_stop_, later("comparing ways of laying"), [&] { ways = ways_of(*found->study, face); }))
      merge([&](Found& f) { f.ways = ways; });
    return true;
  }
  if (!found->advice) {
    auto advice = std::make_shared<Advice>();
    if (stage(lock, found->text, also_doing_, slow_stop_, later("comparing levels and directions"), [&] { *advice = advise(*found->study, *found->assessment); }))
      merge([&](Found& f) { f.advice = advice; });
    return true;
  }
  if (asked_.counsel && !found->counsel) {
    auto cures = std::make_shared<Counsel>();
    if (stage(lock, found->text, also_doing_, slow_stop_, later("searching for the least work"), [&] { *cures = counsel(*found->study, *found->assessment, *found->advice); }))
      merge([&](Found& f) { f.counsel = cures; });
    return true;
  }
  if (!found->year) {
    std::shared_ptr<const YearFound> year;
    const int sky = asked_.year_sky, number = asked_.year;
    if (stage(lock, found->text, also_doing_, slow_stop_, later("sweeping the year"), [&] { year = year_of(*found->study, sky, number); }) && sky == asked_.year_sky && number == asked_.year)
      merge([&](Found& f) { f.year = year; });
    return true;
  }
  return false;
}

}  // namespace rakelight
