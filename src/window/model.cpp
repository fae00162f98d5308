#include "window/model.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>

#include "base/say.h"
#include "base/text.h"
#include "report/report.h"

namespace rakelight {
namespace {

std::string first_error(const Diagnostics& diagnostics) {
  for (const Diagnostic& d : diagnostics.all())
    if (d.level == Diagnostic::Level::error) return d.right.empty() ? d.wrong : d.wrong + " – " + d.right;
  return "";
}

}  // namespace

void History::push(Step step) {
  trial_.reset();
  steps_.resize(at_ + 1);
  steps_.push_back(std::move(step));
  ++at_;
}

void History::settle() {
  if (!trial_) return;
  Step step = *std::move(trial_);
  trial_.reset();
  if (step.text == now().text && step.variation == now().variation) return;
  push(std::move(step));
}

void History::undo() {
  trial_.reset();
  if (can_undo()) --at_;
}

void History::redo() {
  trial_.reset();
  if (can_redo()) ++at_;
}

Model::Model(std::string text, std::string job_path) : history(text), path(std::move(job_path)), saved_text(std::move(text)) {}

Loader Model::loader() const { return loader_beside(std::filesystem::path(path).parent_path().string()); }

std::optional<std::string> Model::right_text() const {
  const History::Step& now = history.now();
  if (now.variation.empty()) return std::nullopt;
  Diagnostics ignored;  // each edit of the variation was tried when it was made
  return with_edits(JobText(now.text), now.variation, ignored).text();
}

bool Model::put(const std::vector<Edit>& edits, bool right, bool trial) {
  History::Step step = history.now();
  if (right)
    for (const Edit& e : edits) put_edit(step.variation, e);
  Diagnostics diagnostics;
  JobText text(step.text);
  if (!right) {
    text = with_edits(text, edits, diagnostics);
    step.text = text.text();
  }
  if (diagnostics.ok()) check_text(text, loader(), diagnostics);
  if (diagnostics.ok() && !step.variation.empty()) check_text(with_edits(text, step.variation, diagnostics), loader(), diagnostics);
  if (!diagnostics.ok()) {
    notice = say("not done: {}", first_error(diagnostics));
    return false;
  }
  if (step.text == history.now().text && step.variation == history.now().variation) return true;
  step.what = edits.empty() ? "" : edit_text(edits.front());
  notice.clear();
  if (trial) history.attempt(std::move(step));
  else history.push(std::move(step));
  return true;
}

bool Model::edit(const std::vector<Edit>& edits, bool right) { return put(edits, right, false); }
bool Model::attempt(const std::vector<Edit>& edits, bool right) { return put(edits, right, true); }
void Model::settle() { history.settle(); }

bool Model::replace(const std::string& text, const std::string& what, Diagnostics& said) {
  history.settle();
  History::Step step = history.now();
  check_text(JobText(text), loader(), said);
  const auto errors = [](const Diagnostics& d) { return std::count_if(d.all().begin(), d.all().end(), [](const Diagnostic& e) { return e.level == Diagnostic::Level::error; }); };
  if (!said.ok()) {
    Diagnostics before;
    check_text(JobText(step.text), loader(), before);
    if (errors(said) >= errors(before)) return false;
  } else if (!step.variation.empty()) {
    check_text(with_edits(JobText(text), step.variation, said), loader(), said);
    if (!said.ok()) return false;
  }
  if (text == step.text) return true;
  step.text = text;
  step.what = what;
  notice.clear();
  history.push(std::move(step));
  return true;
}

bool Model::compare(const std::vector<Edit>& edits) {
  history.drop();
  History::Step step = history.now();
  if (step.variation == edits) return true;
  step.variation = edits;
  step.what = edits.empty() ? say("one job alone") : say("compare {}", edit_text(edits.front()));
  Diagnostics diagnostics;
  check_text(with_edits(JobText(step.text), edits, diagnostics), loader(), diagnostics);
  if (!diagnostics.ok()) {
    notice = say("not compared: {}", first_error(diagnostics));
    return false;
  }
  notice.clear();
  history.push(std::move(step));
  return true;
}

void Model::undo() {
  if (!history.can_undo()) {
    notice = say("nothing to undo");
    return;
  }
  notice = say("undone: {}", history.now().what);
  history.undo();
}

void Model::redo() {
  if (!history.can_redo()) {
    notice = say("nothing to redo");
    return;
  }
  history.redo();
  notice = say("done again: {}", history.now().what);
}

void Model::keep_side(bool right) {
  const std::optional<std::string> other = right_text();
  if (!other) return;
  history.push({right ? *other : history.now().text, {}, right ? say("keep the right side") : say("keep the left side")});
  notice = right ? say("the right side is the job now; Ctrl Z takes it back") : say("the right side is gone; Ctrl Z brings it back");
}

int days_in(int year, int month) {
  static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
  return days[month - 1] + (month == 2 && leap ? 1 : 0);
}

LocalTime moved_time(const LocalTime& time, int minutes) {
  int total = time.hour * 60 + time.minute + minutes, day = day_of_year(time), year = time.year;
  while (total < 0) total += 24 * 60, --day;
  while (total >= 24 * 60) total -= 24 * 60, ++day;
  const auto length = [](int y) { return days_in(y, 2) == 29 ? 366 : 365; };
  while (day < 1) day += length(--year);
  while (day > length(year)) day -= length(year++);
  return time_on_day(year, day, total);
}

int day_of_year(const LocalTime& time) {
  int day = time.day;
  for (int m = 1; m < time.month; ++m) day += days_in(time.year, m);
  return day;
}

LocalTime time_on_day(int year, int day, int minutes) {
  LocalTime t;
  t.year = year;
  t.month = 1;
  while (t.month < 12 && day > days_in(year, t.month)) day -= days_in(year, t.month++);
  t.day = std::clamp(day, 1, days_in(year, t.month));
  t.hour = minutes / 60;
  t.minute = minutes % 60;
  return t;
}

std::optional<Worst> worst_of(const Assessment& assessment, const Room& room, const std::string& surface) {
  std::optional<Worst> worst;
  for (const SurfaceResult& result : assessment.surfaces) {
    if (!surface.empty() && room.surfaces[result.surface].name != surface) continue;
    const JointResult* joint = result.worst();
    if (!joint) continue;
    const Seen& seen = joint->seen[joint->worst];
    if (!worst || seen.judged.visibility > worst->seen->judged.visibility) worst = Worst{&result, joint, &seen};
  }
  return worst;
}

Standpoint facing_place(const Study& study, int surface) {
  const Surface& face = study.room.surfaces[surface];
  Standpoint place;
  place.viewer = "square on";
  place.facing = face.name;
  place.target = face.frame.world_from_surface(0.5 * (face.box.lo + face.box.hi));
  place.eye = place.target + std::min(2.0, 0.9 * study.room.height) * face.frame.n;
  for (const Viewer& viewer : study.viewers)
    if (viewer.only_surface == surface) {
      place.eye = viewer.eye;
      place.viewer = viewer.name;
    }
  return place;
}

Standpoint place_of(const Study& study, const Viewer& viewer) {
  if (viewer.only_surface >= 0) return facing_place(study, viewer.only_surface);
  return {viewer.name, viewer.eye, viewer.target, "", 1.2};
}

void go_to_worst(Model& model, const Found& found, bool any_surface) {
  if (!found.study || !found.assessment) return;
  const Study& study = *found.study;
  const auto worst = worst_of(*found.assessment, study.room, any_surface ? "" : model.surface);
  if (!worst) {
    if (!found.assessment->surfaces.empty()) model.notice = say("nobody sees a joint from any of the job's places at any of its times");
    return;
  }
  model.surface = study.room.surfaces[worst->surface->surface].name;
  model.joint = worst->joint->joint.line.id;
  model.moment = study.job.moments[static_cast<std::size_t>(worst->seen->moment)];
  model.place = place_of(study, study.viewers[static_cast<std::size_t>(worst->seen->viewer)]);
  model.walking = false;
}

namespace {

/// The next level up the scheme that is meant for paint; at the top the one below.
std::string other_level(const Study& study, const std::string& level) {
  for (std::size_t i = 0; i < study.scheme.levels.size(); ++i)
    if (study.scheme.levels[i].id == level) return study.scheme.levels[i + 1 < study.scheme.levels.size() ? i + 1 : i > 0 ? i - 1 : i].id;
  return level;
}

}  // namespace

void ask_question(Model& model, Question question, const Found* found) {
  model.question = question;
  model.notice.clear();
  model.plan_grown = model.starting = model.opening = model.walking = false;
  model.outlines = question == Question::way_round;
  if (!found || !found->study) return;
  const Study& study = *found->study;
  settle_choices(model, found);
  if (question != Question::measured) go_to_worst(model, *found, false);
  const int surface = study.room.find(model.surface);
  const bool boarded = surface >= 0 && study.room.surfaces[surface].spec >= 0;
  if (question == Question::finish && boarded) model.compare({{"surface", model.surface, "level", text_value(other_level(study, requested_finish(study, surface).level))}});
  if (question == Question::way_round && boarded) {
    const Run run = requested_finish(study, surface).run;
    std::string other = run_text(study.room, surface, run == Run::horizontal ? Run::upright : Run::horizontal);
    if (other.starts_with("towards ")) other = other.substr(8);
    model.compare({{"surface", model.surface, "run", text_value(other)}});
    model.place = facing_place(study, surface);
  }
  if (question == Question::when || question == Question::measured) model.compare({});
}

void settle_choices(Model& model, const Found* found) {
  if (!found || !found->study) return;
  const Study& study = *found->study;
  if (study.room.find(model.surface) < 0) {
    model.surface.clear();
    for (const Surface& s : study.room.surfaces)
      if (s.spec >= 0) {
        model.surface = s.name;
        break;
      }
  }
  if (model.worst_wanted && found->assessment) {
    model.worst_wanted = false;
    go_to_worst(model, *found, true);
  }
  // one of the job's own times is as the job has it now, where its lamps are held too
  if (model.moment && !model.moment->name->empty())
    for (const MomentSpec& own : study.job.moments)
      if (*own.name == *model.moment->name) {
        model.moment = own;
        break;
      }
  if (!model.moment && !study.job.moments.empty()) {
    model.moment = study.job.moments.front();
    const auto dated = std::find_if(study.job.moments.begin(), study.job.moments.end(), [](const MomentSpec& m) { return m.time.given; });
    if (dated != study.job.moments.end()) model.year = dated->time->year;
  }
  if (model.place && model.place->only_facing() && study.room.find(model.place->facing) < 0) model.place.reset();
  if (!model.place && !study.viewers.empty()) {
    const auto doorway = std::find_if(study.viewers.begin(), study.viewers.end(), [](const Viewer& v) { return v.only_surface < 0; });
    model.place = place_of(study, doorway == study.viewers.end() ? study.viewers.front() : *doorway);
  }
  // an eye that the room no longer holds
  if (model.place && !model.place->only_facing() && !study.room.contains({model.place->eye.x, model.place->eye.y})) {
    const dvec2 middle = study.room.middle();
    model.place->eye = {middle.x, middle.y, std::min(1.6, 0.7 * study.room.height)};
    model.place->viewer = "here";
  }
}

bool stands_free(const Model& model) { return model.place && model.place->viewer == "here" && !model.place->only_facing(); }

Stand stand_of(const Model& model) {
  Stand stand;
  if (model.moment) stand.moment = *model.moment;
  if (model.place) {
    stand.viewer = model.place->viewer;
    stand.eye = model.place->eye;
    if (model.place->only_facing()) stand.only_surface = model.place->facing;
  }
  return stand;
}

}  // namespace rakelight
