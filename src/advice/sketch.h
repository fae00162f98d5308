// A fast model of what every mix of changes makes of one surface: a few real looks, what lies between them interpolated.
//
// V of a joint at a moment is taken as its V as it is times one factor per lever. Factors come from looks at the joint of
// each group (long edges, ends, the rest) that is seen best at that moment, with that one lever moved; sheets laid otherwise
// have their own V. What levers do to one another is left out, so a mix that matters is looked at in full (look), and what
// the sketch missed there corrects its neighbours. A joint of eight metres or more is looked at all along: what is seen best of it moves.
#pragma once
#include <array>
#include <map>
#include <string>
#include <vector>

#include "advice/levers.h"

namespace rakelight {

/// What a mix comes to on its surface.
struct Outcome {
  double chance = 0;                 ///< that any joint shows, or the framing, where the job says how flat that is
  Judged judged;                     ///< of what is seen most
  std::string joint;                 ///< its id; "framing"; "" when nothing is in sight
  int moment = -1;
  bool looked = false;               ///< really looked at, not only sketched
  std::vector<std::vector<double>> spreads;  ///< V at gain 1 over workmanship, of each joint in sight and the framing
};

class Sketch {
 public:
  /// Makes the looks. `asked` is the surface as the job has it, `advice` its own; both outlive the sketch, as does the study.
  Sketch(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked);
  /// The same with fewer settings.
  Sketch(const Study& study, const SurfaceAdvice& advice, const SurfaceResult& asked, std::vector<LeverSettings> levers);

  const Study& study() const { return study_; }
  int surface() const { return asked_.surface; }
  const SurfaceResult& asked() const { return asked_; }
  const std::vector<LeverSettings>& levers() const { return levers_; }

  /// Hours beyond the job as it is: an estimate; less than nothing where there is less to do.
  Range hours(const Mix& mix) const;
  /// Whether all of its settings mean something together.
  bool possible(const Mix& mix) const { return at(mix, Lever::run) == 0 || !levers_[static_cast<std::size_t>(Lever::layout)].settings[static_cast<std::size_t>(at(mix, Lever::layout))].own_run; }
  /// The joints between sheets that it leaves, each with V where it is seen best, by the sketch.
  std::vector<std::pair<JointLine, double>> lines(const Mix& mix) const;
  /// By the sketch, or what a look has shown.
  Outcome expected(const Mix& mix) const;
  /// Of that the chance that any joint shows and the highest V alone.
  std::pair<double, double> weighed(const Mix& mix) const;
  /// Quick: the chance of the joint that the sketch has most of, and its V; the first is never above weighed's by more than 0.005.
  std::pair<double, double> weighed_by_worst(const Mix& mix) const;
  /// Whether the sketch has it within `aim` if all V were `lean` times what it says; quick.
  bool within(const Mix& mix, double aim, double lean) const;
  /// What a mix's width alone makes of V of a kind at a moment.
  double width_factor(const Mix& mix, int moment, JointKind kind) const;
  /// Whether it has been looked at in full.
  bool looked_at(const Mix& mix) const { return looked_.contains(mix); }
  /// Looks at the mix itself, at every moment that counts, once. Joints that even seen twice as well as they are now, and better where
  /// its light or level shows them better, have no chance of 1 in 10,000 of showing are left as the sketch has them.
  const Outcome& look(const Mix& mix);
  /// Whether such a look finds it within `aim`. The joint that the sketch has most of is looked at first, when it has that most: where
  /// it alone is over the aim, the rest need not be looked at.
  bool holds(const Mix& mix, double aim);
  /// Mixes looked at, so far.
  int looks() const { return static_cast<int>(looked_.size() + failed_.size()); }

 private:
  enum Group { longs, ends, others };
  static constexpr int groups = 3;
  static Group group_of(JointKind kind);

  struct Piece {                     // a joint of one layout
    JointLine line;
    Group group = others;
    double width = 0, framing = 0;   // framing alone at its worst moment, V
    int worst = -1;                  // moment
    std::vector<double> v;           // per moment, V of who sees it best; 0 when nobody does
    std::vector<Focus> focus;        // per moment
    std::vector<double> spread;      // over V at the worst moment; gain left out
  };
  struct Base {                      // a layout: sheet direction and what else moves joints
    SurfaceResult bare;              // its layout and joints' widths alone, for costs
    std::vector<Piece> pieces;
    std::vector<std::vector<double>> by_level;  // [setting][piece]: factor of the level
    std::vector<std::vector<std::vector<Focus>>> level_focus;  // [setting][piece]: where it is seen best at that level
    int same_as = -1;                // layout setting that it equals
  };
  /// What the sketch makes of a mix: who is seen most, and V over workmanship of all that are seen.
  struct Thought {
    double most = 0, chance = 0;
    int piece = -1, moment = -1;     // -1: the framing, or nothing
    std::vector<ScaledSpread> spreads;
  };
  Thought thought_of(const Mix& mix, double lean) const;
  using Factors = std::vector<std::array<double, groups>>;  // [moment][group]
  struct Rep { int run = -1; std::size_t piece = 0; double v = 0; };  // a joint that stands for its group

  /// How the sheets and joints of a mix are finished, made once. `study` is the mix's own.
  const Relief& relief_of(const Study& study, const Mix& mix);
  /// Where its joints are looked at: from where and when they are seen best, by the sketch.
  std::vector<std::vector<Focus>> focus_of_mix(const Mix& mix) const;
  /// Which joints of a mix cannot matter, whatever the sketch may have missed.
  std::vector<bool> out_of_question(const Mix& mix) const;
  void add_base(int run, int layout);
  Base base_of(const SurfaceResult& full) const;
  void find_level_factors(int run, Base& base) const;
  /// Factors of all levers but the level's.
  void find_factors();
  /// Who stands for a group at a moment.
  std::vector<std::array<Rep, groups>> reps() const;
  /// Factors of one setting, by looks. `plain`: reliefs without spreads, by run and setting of the width.
  Factors looked_factors(Lever lever, int setting, const std::vector<std::array<Rep, groups>>& reps, const std::array<std::vector<Relief>, 2>& plain) const;
  Factors mixed(const Factors& a, const Factors& b, double share) const;
  const Base& base(const Mix& mix) const;
  const SurfaceResult* result_at(Run run, const std::string& level) const;
  void put_visibilities(const Mix& mix, double lean, std::vector<double>& v, std::vector<int>& moment) const;
  double framing_visibility(const Mix& mix, double lean) const;
  double correction(const Mix& mix) const;
  double factor(const Mix& mix, int moment, Group group) const;

  const Study& study_;
  const SurfaceAdvice& advice_;
  const SurfaceResult& asked_;
  std::vector<LeverSettings> levers_;
  std::array<std::vector<Base>, 2> bases_;                    // [run setting][layout setting]
  std::array<std::vector<Factors>, lever_count> factors_;     // [lever][setting]
  std::map<Mix, Outcome> looked_;
  std::map<Mix, double> failed_;                              // not looked at in full: the chance that its first joint shows
  std::vector<std::pair<Mix, double>> missed_;                // ln of V looked over V sketched
  mutable std::map<std::array<int, 4>, Range> finishing_;    // by run, layout, level and width
  std::map<std::array<int, 4>, Relief> reliefs_;             // likewise
};

}  // namespace rakelight
