// Which way round: the search over sheet direction, first row, stagger and lengths that leaves the least joint to be seen, with hours
// and material beside it.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "advice/show_field.h"
#include "board/plan.h"
#include "board/stock.h"

namespace rakelight {

inline constexpr double alike = 0.01, alike_m = 0.020;  ///< ways within 1 % or 20 mm of visible joint are told apart by work

struct WayOption {
  Way way;
  double visible = 0;                  ///< expected metres of joint that show
  double long_metres = 0, end_metres = 0;  ///< of joints between sheets, where they are seen
  double hours = 0;                    ///< hanging and finishing; an estimate, middle of its range
  int pieces = 0, stock = 0;           ///< hung; bought
  double bought = 0;                   ///< m²
  int breaches = 0;                    ///< of rules that the job does not relax
};

struct FaceWays {
  int surface = 0;
  std::string level;
  std::vector<WayOption> front;        ///< none of them beaten in visible metres, hours and material alike; least visible first
  int best = 0;                        ///< of the front: least work of those within 1 % (and 20 mm) of the least visible
  WayOption as_asked;                  ///< as the job has it
  WayOption usual;                     ///< sheets horizontal (ceilings: along the longer side), running bond from the corner
  bool locked = false;                 ///< part of a tested system: the direction is not searched
  long tried = 0;                      ///< layouts scored
  std::vector<std::string> reasons;    ///< why the best is, in words with numbers
  const WayOption& winner() const { return front[static_cast<std::size_t>(best)]; }
};

/// Scores layouts of one face: fast, since what a line costs is looked up and remembered.
class WayScorer {
 public:
  /// All outlive the scorer. Precondition: boarded, the level is one of the scheme.
  WayScorer(const Job& job, const Room& room, int surface, const ShowField& field, const Level& level);
  /// Breaches but those of the whole face's rules (control, floor-line, lift, turn), which no search over ways changes; sheets as bought where no opening
  /// makes a piece smaller.
  WayOption score(const Way& way);
  /// Exact, from the plan: breaches of every rule, sheets bought after openings are cut out.
  WayOption measured(const Plan& plan) const;
  /// The first sheets, one per row, of the least visible joint (and `per_end_metre` for each metre of end), all rows together, for a direction,
  /// a length and a first row; ends only at `firsts`, m.
  std::vector<double> best_firsts(Run run, double length, double first_row, const std::vector<double>& firsts, double per_end_metre);
  /// Candidates for the first sheet of a row and for the first row.
  std::vector<double> firsts(Run run, double length) const;
  std::vector<double> first_rows(Run run) const;
  long scored() const { return scored_; }

 private:
  struct LineCost { double visible = 0, metres = 0; int breaches = 0; Interval reach; };
  struct Side {                        ///< one direction
    Run run;
    FaceGround along, across;
    Framing framing;
    std::vector<double> places;
    std::map<long, LineCost> levels;   ///< by v
    std::map<std::array<long, 3>, LineCost> ends;  ///< by u, bottom, top
  };
  Side& side(Run run) { return sides_[run == Run::horizontal ? 0 : 1]; }
  const Side& side(Run run) const { return sides_[run == Run::horizontal ? 0 : 1]; }
  const LineCost& level_at(Side& s, double v);
  const LineCost& end_at(Side& s, double u, double bottom, double top);
  void reach(const Side& s, bool level, double at, const Intervals& parts, LineCost& out) const;
  std::vector<double> ends_of(const Side& s, const Way& way, std::size_t row, double bottom, double top) const;
  int clashes(Side& s, const std::vector<double>& below, const std::vector<double>& above, double b0, double b1, double b2);
  double hours(double long_metres, double end_metres, int pieces) const;

  const Job& job_;
  const Room& room_;
  int surface_;
  const ShowField& field_;
  const SurfaceSpec& spec_;
  double foot_ = 0, top_ = 0, area_ = 0, joint_hours_ = 0, area_hours_ = 0, end_weight_ = 1, factor_ = 1;
  std::array<Side, 2> sides_;
  long scored_ = 0;
};

/// The search. For every direction (of a tested system the one asked for), stock length that gets in and may be lifted, and first row: the best first sheets by dynamic
/// programming over the rows, exact among the candidates, and every pair of first sheets in turn; what is beaten in all three is dropped, and of
/// the rest what breaks more rules than need be. `only`: no other direction is searched (a tested system's own stands).
FaceWays way_round(const Study& study, int surface, const ShowField& field, std::optional<Run> only = {});

/// The plan of a face as the job has it, its [[joint]] entries included: the joints that assess judges.
Plan plan_as_asked(const Study& study, int surface);

/// Sentences on why the best is the best, beside what was asked and the usual way. docs/user/sheets.md.
std::vector<std::string> way_reasons(const Study& study, const FaceWays& ways, const ShowField& field);

/// "horizontal, 1200 × 3000, first row 250, first sheets 3000, 1800 mm".
std::string way_text(const Study& study, int surface, const Way& way);

/// The job's keys that ask for this way, as lines of TOML for its [[surface]].
std::vector<std::string> way_keys(const Study& study, int surface, const Way& way);

/// [[joint]] entries of a face that no longer mean the same joint under another layout, each with what stands nearest: "long/B1 (width 560 mm): …".
std::vector<std::string> entries_moved(const Study& study, int surface, const Layout& layout);

}  // namespace rakelight
