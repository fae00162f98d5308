// Every joint × moment × viewer.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/loader.h"
#include "board/board.h"
#include "joint/dates.h"
#include "joint/joint.h"
#include "joint/straightedge.h"
#include "light/light.h"
#include "look/look.h"
#include "room/room.h"
#include "sight/sight.h"
#include "sky/climate.h"
#include "sky/sky.h"

namespace rakelight {

/// A job with all its stages that do not depend on how the surfaces are finished. Built once.
struct Study {
  Job job;
  PaintStage stage = PaintStage::painted;          ///< of the work; reflectances of the job are that stage's
  Room room;
  std::vector<Viewer> viewers;
  std::optional<Climate> climate;        ///< the file that the site names
  std::vector<Moment> moments;
  Scheme scheme;
  Workmanship work;
  std::vector<Layout> layouts;           ///< per surface, as requested
  std::vector<Paint> paints;             ///< per surface
  std::shared_ptr<const LightBasis> basis;
  std::vector<Lighting> lighting;        ///< per moment
};
/// Runs every stage; empty when a stage reported an error (all that can still run has reported too).
/// Lighting points into Study::room, hence the pointer. `loader` brings the files that the job names. Before the last stage of
/// the work boarded faces are as light as board or sealer is, and what shows is no judgement of the work. `basis`: one made
/// before for the same room, reflectances and lamps, which saves most of the time; null: it is made.
std::unique_ptr<Study> make_study(const Job& job, Diagnostics& diagnostics, const LightDetail& detail = {}, const Loader& loader = {},
                                  PaintStage stage = PaintStage::painted, std::shared_ptr<const LightBasis> basis = nullptr);

/// How one surface is finished: what assess judges and advice varies.
struct Finish { Run run = Run::horizontal; std::string level; };
Finish requested_finish(const Study& study, int surface);

/// A joint against one published limit; `own`: a tolerance that the level's own scheme names.
struct StraightedgeReading { const Limit* limit = nullptr; double gap = 0; bool ok = true, own = false; };  ///< m
/// What one rule reads on a joint by how it is held: balanced and bridging where they read most, rocked where it
/// balances, feet with the joint at its middle; m.
struct RuleReadings { double base = 0, balanced = 0, rocked = 0, bridging = 0, feet = 0; };

struct Seen {
  int moment = 0, viewer = 0;            ///< indices into the study
  double raking_ratio = 0, across_ratio = 0;
  double contrast = 0, threshold = 0;    ///< largest along the section, signed; |contrast| / V
  double shade = 0;                      ///< what light across the slopes and the paint's band can make of it at most; the paint mirrors the rest (ContrastProfile)
  /// Whether it is seen by what the paint mirrors more than by shade; shadows only fall where light crosses steeply.
  bool mirrored() const { return std::abs(contrast) > 2 * shade && across_ratio < 3; }
  Judged judged;
  double station = 0, offset = 0;        ///< where the contrast peaks: along and across the joint, m
  double flat_luminance = 0, veil = 0;   ///< cd/m²
};

/// A joint's look together with the face that framing gives it, and that face alone.
struct Framed { Judged together, alone; };
/// A joint's look by its relief alone, and by what the paint makes of it alone; docs/user/paint.md.
struct Banded { Judged relief, band; double contrast = 0; };  ///< contrast: of the band, the largest, signed
/// A joint's look after the first heating season, should it peak, or a fixing pop: usually, and where timber dries hard; the
/// chance of showing if it moves as usual. A risk, never a promise.
struct Later { Judged usual, bad; double chance_shows = 0; };

/// Judged where along the joint it is seen best, by every viewer at every moment (assess/search.h), the gaze on that place.
/// `contrast` is L/L_flat − 1; V is taken from (L − L_flat)/(mean L_flat + veil), clamped to ±1.
struct JointResult {
  PlacedJoint joint;
  double crown = 0, width = 0;           ///< m, of the finished section
  std::vector<StraightedgeReading> straightedge;  ///< against every published limit for its kind; only from assess_surface
  std::vector<RuleReadings> rules;                ///< under 200, 400 and 450 mm; likewise
  /// Within every published limit, or every one that the level's scheme names itself; empty where there is none.
  std::optional<bool> in_tolerance(bool own_only = false) const;
  std::vector<Seen> seen;
  int worst = -1;                        ///< index into seen: highest visibility; -1 when nobody can see the joint
  double chance_shows = 0;               ///< over workmanship and gain, at the worst of seen
  std::optional<Framed> framing;         ///< at the worst of seen, where the job says how flat the framing is; only from assess_surface
  std::optional<Banded> banding;         ///< at the worst of seen, where paint is not alike on paper and compound
  std::optional<Later> later;            ///< at the worst of seen; only from assess
  /// Whether the framing alone is seen more than the joint.
  bool framing_governs() const { return framing && worst >= 0 && framing->alone.visibility > seen[worst].judged.visibility; }
  /// Whether the band is seen at all, and more than the relief.
  bool banding_governs() const {
    return banding && banding->band.verdict != Verdict::hidden && banding->band.visibility > banding->relief.visibility;
  }
  std::vector<Framed> over;              ///< over faces that may come later; only within add_later
  std::vector<double> spread;            ///< V there, gain 1, over equally likely workmanship, ascending
};

/// What is known of the observer's gain g: ln g is normal about ln(gain), and the band [V/band, V·band] is taken as
/// two standard deviations either side.
struct GainSpread { double gain = 1, band = 2; };
/// Pr(g·V >= limit) with V drawn from `spread`.
double chance_over(const std::vector<double>& spread, const GainSpread& gain, double limit);
/// Pr(any of them). Workmanship differs from joint to joint independently; the gain is one and the same for all, since
/// one person looks at all of them.
double chance_any_over(const std::vector<const std::vector<double>*>& spreads, const GainSpread& gain, double limit);
/// A spread of V, ascending, each value taken `by` times; the spread outlives it.
struct ScaledSpread {
  const std::vector<double>* spread = nullptr;
  double by = 1;
  double least() const { return spread->front() * by; }
  double most() const { return spread->back() * by; }
};
/// chance_any_over of scaled spreads. Joints that no eye within four standard deviations of the gain sees cost next to nothing.
double chance_any_over_scaled(const std::vector<ScaledSpread>& spreads, const GainSpread& gain, double limit);

/// Lays the rules on a finished joint of a kind, slid from feather to feather; in corners and on beads along the face, one end
/// at the line. Fixings and shadow lines have no limits.
std::vector<StraightedgeReading> read_straightedge(const Section& section, JointKind kind, const Level& level);
std::vector<RuleReadings> read_rules(const Section& section);
/// The finished surface of a section, for rules to be laid on.
HeightCurve face_of(const Section& section);

/// One movement of the first heating season on one surface: the joint that would be seen most, by relief of this kind alone
/// where it is the face's (sag, truss lift), else with its own. A risk, never a promise.
struct MovementResult {
  const Movement* movement = nullptr;
  std::string what;                      ///< "peaking", "pops", "sag", "truss lift"
  Judged usual, bad;
};

struct SurfaceResult {
  int surface = 0;
  Finish finish;
  Layout layout;
  std::vector<JointResult> joints;
  double chance_any_shows = 0;
  double chance_any_shows_later = 0;     ///< should all joints peak as usual; only from assess
  std::vector<MovementResult> movements;  ///< that some joint in sight would show; only from assess
  std::optional<Substrate> substrate;    ///< what the job's framing makes of the face
  const JointResult* worst() const;      ///< highest visibility; null when no joint is seen
};

/// `chance_any_shows` of the whole job: all surfaces' joints together.
struct Assessment { std::vector<SurfaceResult> surfaces; double chance_any_shows = 0; };

/// Judges one surface under a finish. `moments`: indices to look at (empty = all).
SurfaceResult assess_surface(const Study& study, int surface, const Finish& finish, const std::vector<int>& moments = {});
/// All boarded surfaces as the job asks; what may come later only of painted work.
Assessment assess(const Study& study);

/// One look at a joint: at a moment, from a viewer, at a station along it, m.
struct Focus { int moment = 0, viewer = 0; double station = 0; };
/// Per joint the looks that matter: at each moment the viewer who sees it best, where it is seen best, if within 0.4 of the
/// joint's highest visibility, and the runner-up if within 0.6.
std::vector<std::vector<Focus>> focus_of(const SurfaceResult& result);
/// Judges a surface under a finish whose joints run as those of `focus`'s result, from those looks alone, each at the nearest place
/// that is clear of films that cross (assess/search.h). The visibility found is never above assess_surface's, and within some
/// percent of it where the level is the same, at a tenth of the time; under another level a joint may be seen best elsewhere.
/// Without `spreads` no chances and no banding, in half of that. `made`: its relief, where that is known already.
SurfaceResult assess_surface_at(const Study& study, int surface, const Finish& finish,
                                const std::vector<std::vector<Focus>>& focus, bool spreads = true, const Relief* made = nullptr);

/// Looks again where each joint is seen best, moved as after the first heating season (joint/dates.h).
void add_later(const Study& study, SurfaceResult& result);

/// The sheets of a surface under a finish, and the relief they are left with. [[joint]] entries hold for the job's own
/// sheet direction only. Precondition: the level is one of the study's scheme.
Layout finished_layout(const Study& study, int surface, const Finish& finish);
Relief finished_relief(const Study& study, const Layout& layout, int surface, const Finish& finish);

/// Reliefs of all surfaces as requested, or with one surface's finish replaced; for pictures.
std::vector<Relief> make_reliefs(const Study& study, int replaced_surface = -1, const Finish& finish = {});

}  // namespace rakelight
