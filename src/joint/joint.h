// The shape a joint is left with, coat by coat (physics 1.1), and how joints cross (1.2).
#pragma once
#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/shared_list.h"
#include "base/vec.h"
#include "board/board.h"
#include "job/job.h"
#include "joint/level.h"
#include "joint/substrate.h"

namespace rakelight {

/// Spread of a workmanship figure (mean and standard deviation, m unless said).
struct Spread { double mean = 0, sd = 0; };

/// careful | everyday | rough: docs/reference/trade.md 4.3, engineering estimates, editable.
struct Workmanship {
  std::string name;
  Spread recessed_crown, butt_crown, backed_crown;  ///< finished crown over the board face
  Spread corner_crown;                 ///< of what lies in an internal corner
  Spread bead_nose;                    ///< how far a bead stands proud of the board
  Spread spot_crown;                   ///< over a fixing
  Spread lap_ridge;                    ///< height of a lap mark
  Spread step;                         ///< face to face at a butt
  Spread tape_edge;                    ///< telegraph of the tape's edge
  double lap_width = 0;                ///< full width of the Gaussian ridge at half height
};
/// Known names: careful, everyday, rough. Empty when unknown.
std::optional<Workmanship> workmanship(const std::string& name);

/// A cross-section across a joint: offset u across it (m, 0 at the joint, positive to the right of from→to),
/// heights over the ideal board face (m, positive into the room), sampled at a uniform step with exact slopes.
/// Between samples the cubic Hermite polynomial of heights and slopes, which shaders/kernels/relief.glsl evaluates,
/// so that a slope break spreads over one sample or two. Where the two faces of a butt differ by a step, heights are
/// over the line that leads evenly (smoothstep) from one face to the other between the feathers: each sheet's own
/// face is 0, and that even ramp (1.5 step / width at most, 0.75 mrad for 0.25 mm over 500 mm) is left out.
/// One pull of a blade, as offsets.
struct BladeEnds { double from = 0, to = 0; };
/// Corners, beads and their like have a section to the right of the line only, first = 0. A fixing's section is the cut
/// through its middle.
struct Section {
  double first = 0, step = 0;          ///< offset of sample 0; spacing
  SharedList<double> height, slope;    ///< finished, board face = 0 beyond both ends
  SharedList<double> bare;             ///< before any work
  std::vector<SharedList<double>> coats;  ///< after each coat (tape and bed first), dried; then skim and sanding
  std::vector<std::string> coat_names;
  std::vector<std::vector<BladeEnds>> blades;  ///< per coat; empty for sanding, skim and what sinks later
  double tape_from = 0, tape_to = 0, tape_thickness = 0;  ///< tape in the first coat; thickness 0 = none
  double left = 0, right = 0;          ///< feather edges of the coats; a skim reaches a little past them
  double cover = 1;                    ///< 1 where compound lies (films meet by their maximum); 0 bare (shapes add)
  double crown = 0;                    ///< highest (or, negative, lowest) point against the chord feather to feather
  double width() const { return right - left; }
  double last() const { return first + step * static_cast<double>(height.size() - 1); }
  double height_at(double u) const;    ///< 0 outside
  double slope_at(double u) const;
};

/// The figures that vary from joint to joint, in m: what the section is built from.
struct SectionFigures { double crown = 0, lap_ridge = 0, step = 0, tape_edge = 0, lap_width = 0.005; };
enum class Figure { crown, lap_ridge, step, tape_edge };
inline constexpr std::array<Figure, 4> all_figures{Figure::crown, Figure::lap_ridge, Figure::step, Figure::tape_edge};

/// How one joint is made.
struct Recipe {
  JointKind kind = JointKind::recessed;
  bool cut_left = false;               ///< cut_to_recessed: which side is cut
  double sprung_by = 0.002, sprung_over = 0.125;  ///< backed_butt, m
  Level level;
  std::vector<std::string> compound;   ///< per coat: "setting" | "drying" | "lightweight"
  TapeSpec tape = TapeSpec::paper;
  RecoatSpec recoat = RecoatSpec::dry;
  SandingSpec sanding = SandingSpec::light;
  std::vector<double> tools;           ///< blades owned, m
  std::optional<double> width;         ///< finished width asked for ([[joint]]), m
  double room_left = 1e9, room_right = 1e9;  ///< feathers stop there (at least 5 mm is kept)
};

/// Builds the section by pulls, tape, coats, shrinkage, lap marks, sanding and, at level 5, the drawn film
/// (physics 1.1). The last coats' blades are set so that the finished crown comes out as figures.crown (to 1e-6 m)
/// wherever the work can reach it: with one separate coat or more, and not under bed + tape + cover (0.72 mm with
/// paper) where the tape lies on a full face. Of a backed butt the crown stands over the chord between its feathers:
/// feathers narrower than the depression leave it hollow. A bead's nose is where it is fixed, figures.crown proud; the
/// blade rests on it. Without separate coats the section is what the work leaves: level 0 the bare joint, 1 the bed
/// with its tape, 2 the coat wiped tight over it; figures.crown then only tells how thin the bed is pressed.
/// figures.lap_ridge and tape_edge are as left after light sanding. Recoated early, drying compound goes on shrinking
/// after the last sanding and takes the crown down with it. recipe.width scales the coats over the bed; feathers stop
/// at the room.
Section make_section(const Recipe& recipe, const SectionFigures& figures);
SectionFigures mean_figures(const Workmanship& work, JointKind kind);
/// Standard deviation of each figure, in the order of all_figures.
std::array<double, 4> figure_sd(const Workmanship& work, JointKind kind);

/// A joint in place, with its section and its linear sensitivities: finished(figures + d) ≈ section + Σ d_i · change[i].
struct PlacedJoint {
  JointLine line;
  Recipe recipe;
  SectionFigures figures;
  Section section;
  std::array<Section, 4> change;       ///< per metre of each figure, sampled like `section`
  std::array<double, 4> sd{};          ///< of the figures
  std::shared_ptr<const FittedSection> measured;  ///< what `section` was fitted to; the crown's sd is then the fit's, and it
                                       ///< stands for the height of the whole
};

/// One film of a joint on its face: along a line whose ends it dies at, or round a core (a segment, or a point where the
/// length is 0) to all sides alike.
struct FilmPlace {
  int joint = 0;                       ///< index into Relief::joints
  dvec2 from{0}, along{1, 0};          ///< m; unit
  double length = 0;
  bool round = false;
};
struct FilmIndex;

/// Relief of one surface: placed joints over what the framing makes of the face; independent of the light. `index` finds the films near a point, as long as the joints keep their order; without it
/// (a relief put together by hand) every film is asked.
struct Relief {
  std::vector<PlacedJoint> joints;
  std::shared_ptr<const FilmIndex> index;
  std::optional<Substrate> substrate;
};
/// A joint's film along its whole line; where the joint runs on under a cornice or a skirting it is longer than the line
/// by as much as its end takes to die. `joint` is 0.
FilmPlace film_along(const PlacedJoint& joint);
/// All films, joint by joint: one each, and one for every spot of a row of fixings.
std::vector<FilmPlace> films_of(const Relief& relief);
struct ReliefPoint { double h = 0; dvec2 slope{0}; };

/// Height and gradient at a point of the surface (crossings by the smooth maximum of film thickness, feathers
/// dying at ends; the rule is shaders/kernels/relief.glsl's). m and m/m.
ReliefPoint relief_at(const Relief& relief, dvec2 p);

/// Places sections on a layout's joints for a level of the job's scheme. `level` overrides the surface's own;
/// `work` overrides finishing.workmanship. Where a joint's room ends at a parallel joint it takes half of it.
Relief make_relief(const Job& job, const Layout& layout, const Level& level, const Workmanship& work);

/// A kind of joint outside any job: setting compound below, drying on top; blades of 150, 200 and 300 mm.
Recipe typical_recipe(JointKind kind, const Level& level);
/// Its section (the `profile` command): mean figures of `work`.
Section typical_section(JointKind kind, const Level& level, const Workmanship& work);

}  // namespace rakelight
