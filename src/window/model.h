// What the window is about, as values: the job's text through time, and what is being looked at. No drawing, no threads.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "base/loader.h"
#include "draw/draw.h"
#include "window/edits.h"
#include "window/work.h"

namespace rakelight {

enum class Question { when, finish, way_round, measured };

/// The job's text and what differs at the right, step by step.
class History {
 public:
  struct Step { std::string text; std::vector<Edit> variation; std::string what; };
  explicit History(std::string text) : steps_{{std::move(text), {}, "opened"}} {}
  const Step& now() const { return trial_ ? *trial_ : steps_[at_]; }
  /// One undo step.
  void push(Step step);
  /// Shown until push, drop, undo or redo: while something is dragged.
  void attempt(Step step) { trial_ = std::move(step); }
  void drop() { trial_.reset(); }
  /// The trial becomes a step.
  void settle();
  bool trying() const { return trial_.has_value(); }
  bool can_undo() const { return at_ > 0; }
  bool can_redo() const { return at_ + 1 < steps_.size(); }
  void undo();
  void redo();

 private:
  std::vector<Step> steps_;
  std::size_t at_ = 0;
  std::optional<Step> trial_;
};

/// Where the picture is taken from: a face square on, or somebody's eye.
struct Standpoint {
  std::string viewer;                  ///< its name; "here" = free
  dvec3 eye{0}, target{0};
  std::string facing;                  ///< a face's name: square on, and judged from `eye`; "" = in perspective
  double field_of_view = 1.2;          ///< rad
  bool only_facing() const { return !facing.empty(); }
};

struct Model {
  explicit Model(std::string text, std::string job_path = "");

  // the job
  History history;
  std::string path;                    ///< "" = never saved
  std::string saved_text;
  bool changed() const { return history.now().text != saved_text; }
  /// Files that the job names, beside it.
  Loader loader() const;
  std::optional<std::string> right_text() const;

  /// Makes edits to the job, or to what differs at the right. An edit that would break the job is refused with a notice.
  /// Returns whether it stands.
  bool edit(const std::vector<Edit>& edits, bool right = false);
  /// The same while dragging: an undo step only at settle().
  bool attempt(const std::vector<Edit>& edits, bool right = false);
  void settle();
  /// Another text of the job, as one undo step. It stands when it is sound, or when the job is not and this mends something.
  /// What is wrong goes to `said`; no notice.
  bool replace(const std::string& text, const std::string& what, Diagnostics& said);
  /// Another job at the right, as one undo step; one that would be broken is refused with a notice.
  bool compare(const std::vector<Edit>& edits);
  void undo();
  void redo();
  /// The right side becomes the job, or goes: one undo step.
  void keep_side(bool right);

  // what is looked at
  Question question = Question::when;
  std::string surface;                 ///< whose findings, chips and year; "" = chosen when the findings are there
  std::string joint;                   ///< id; "" = the worst
  std::optional<MomentSpec> moment;    ///< empty until chosen
  std::optional<Standpoint> place;
  bool worst_wanted = true;            ///< jump to the worst as soon as it is known
  double divider = 0.5;                ///< share of the picture's width
  bool swapped = false;                ///< while Space is held
  double amplify = 1;
  bool relief = true, outlines = false, figure = false, stipple = false, playing = false, walking = false;
  bool cures_wanted = false;           ///< the least work was asked for; it is looked for after every edit from then on
  bool controls = false;               ///< the arrow keys go from control to control
  bool sheet = false;                  ///< the sheet of the whole job is open
  bool plan_grown = false, help = false, drawer = false, opening = false, starting = false;
  int year_sky = clear_type;
  int year = usual_year;               ///< of the last date that was looked at: the chart's
  std::string notice;                  ///< what the last thing did or why it did not; shown until the next

  // a joint that was measured
  double gap = 0.0012, base = 0.400;   ///< m
  std::string profile_path;            ///< a CSV

  bool quit = false;
  bool moving = false;                 ///< something is dragged: coarse pictures

 private:
  bool put(const std::vector<Edit>& edits, bool right, bool trial);
};

/// Adds minutes to a civil time; days and months follow. Offsets are dropped: clocks of the site.
LocalTime moved_time(const LocalTime& time, int minutes);
/// Of a month, 1 to 12.
int days_in(int year, int month);
int day_of_year(const LocalTime& time);
/// That day of the year (1 = 1 January) at so many minutes after midnight.
LocalTime time_on_day(int year, int day, int minutes);

/// The worst time and place of a face, or of all; empty when nobody sees a joint.
struct Worst { const SurfaceResult* surface; const JointResult* joint; const Seen* seen; };
std::optional<Worst> worst_of(const Assessment& assessment, const Room& room, const std::string& surface = "");

Standpoint place_of(const Study& study, const Viewer& viewer);
Standpoint facing_place(const Study& study, int surface);
/// Goes to the worst there is: time, place, face and joint.
void go_to_worst(Model& model, const Found& found, bool any_surface);
/// Presets the window for a question.
void ask_question(Model& model, Question question, const Found* found);
/// Fills in what has not been chosen yet from what is known, and lets go of what the job no longer has.
void settle_choices(Model& model, const Found* found);
/// Whether one stands at a place of one's own choice, which no viewer of the job has.
bool stands_free(const Model& model);
Stand stand_of(const Model& model);

}  // namespace rakelight
