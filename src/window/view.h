// What the regions share while one frame is drawn.
#pragma once
#include <imgui.h>

#include <array>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/say.h"
#include "window/input.h"
#include "window/keeper.h"
#include "window/keys.h"
#include "window/measured.h"
#include "window/model.h"
#include "window/pictures.h"
#include "window/sheet_edits.h"

namespace rakelight {

/// A place on the window, in its units.
struct Spot {
  dvec2 lo{0}, hi{0};
  dvec2 middle() const { return 0.5 * (lo + hi); }
};

/// What is being dragged in plan or picture, as it was when the drag began.
struct Drag {
  std::string what;                    ///< "window W1 left" …
  std::string said;                    ///< the live dimension
  dvec2 at{0};                         ///< where to say it
  dvec2 from{0};                       ///< where the button went down
  bool moved = false;                  ///< farther than a click's tremble
};

/// What a person has under way that is no part of the job: half-typed fields, drags, chosen things.
struct Desk {
  SheetDesk sheet;
  std::optional<Drag> drag;
  std::string chosen;                  ///< in the grown plan: "window W1", "lamp spot", "viewer doorway"
  FirstRoom room;
  std::array<double, 5> typed{5000, 4000, 2500, 0, 0};  ///< of the first room: length, width, height (mm), –, bearing
  bool inches = false;                                  ///< it is asked for and written in inches
  std::map<std::string, std::string> first_said;        ///< what else the first room's survey says, by its questions' names
  std::string first_text, first_wrong;                  ///< the job that comes of it; what cannot be
  std::string zone = "Europe/London", path, name_for_saving;
  bool naming = false;                 ///< the file name is asked for
  bool difference = false;             ///< of what the file says and unsaved work, shown line by line
  std::vector<std::string> recent;
  double caught_at = -1;               ///< time of the last step of playing, s
  std::shared_ptr<const YearFound> charted;  ///< whose chart the strokes are
  std::string charted_face;
  struct Stroke { int day; double from, to; Verdict verdict; bool light; };  ///< hours
  std::vector<Stroke> strokes;
  double first_hour = 4, last_hour = 23;
  bool hollow = false;
  std::string measured_joint;          ///< the joint whose measurement was judged last
  std::vector<std::string> measured_said;  ///< what came of it
  std::string photometry, photometry_words;  ///< a dropped file that waits for a lamp, and what it holds
  bool placing = false;                ///< a name for the place to keep is asked for
  std::string place_name;
  std::string date, clock, typing_in;  ///< as typed, and in which field
  std::string ray_key;                 ///< of the light on the chosen joint
  double ray_across = 0, ray_normal = 1;  ///< lx
};

/// What regions may ask of the window itself.
struct Wishes {
  bool save = false, save_picture = false, print_paper = false, reread = false, quit = false;
  std::string open_path, save_as;
  bool new_room = false;
  std::string language;                ///< a code; "" = as it is
  std::optional<MeasureOrder> measure; ///< a measured joint to judge
};

struct Sight {
  Model& model;
  Desk& desk;
  Wishes& wishes;
  const Input& input;
  const Work::State& work;             ///< what is not there yet is what was there before
  const Found* assessed;               ///< the last left job whose joints were judged; null until then
  const Pictures* pictures;            ///< null until the first
  ImTextureID left = nullptr, right = nullptr;  ///< null when there is none
  bool picture_busy, paper_busy;
  PictureMaker::Preparing preparing;   ///< shaders that are being compiled
  float em;
  std::map<std::string, Spot>& spots;  ///< where the things of this frame are, by name
  Keeper& keeper;

  const Found* found() const { return work.left.get(); }
  const Study* study() const { return work.left ? work.left->study.get() : nullptr; }
  /// Names the item just made, for scripts and for nobody else.
  void mark(const std::string& name) const;
  void mark(const std::string& name, ImVec2 lo, ImVec2 hi) const;
};

struct Region { ImVec2 at, size; };
/// Begins a fixed region; pair with end_region. `over`: it lies over the others.
void begin_region(const char* name, const Region& region, ImU32 ground, bool scrolls = false, bool over = false);
void end_region();

// theme.cpp
namespace tone {
inline constexpr ImU32 surround = IM_COL32(119, 119, 119, 255), panel = IM_COL32(168, 168, 168, 255), raised = IM_COL32(186, 186, 186, 255), pressed = IM_COL32(204, 204, 204, 255),
                       line = IM_COL32(92, 92, 92, 255), ink = IM_COL32(16, 16, 16, 255), soft = IM_COL32(52, 52, 52, 255), accent = IM_COL32(196, 84, 20, 255), white = IM_COL32(245, 245, 245, 255),
                       night = IM_COL32(70, 70, 72, 255), hidden = IM_COL32(206, 206, 204, 255), faint = IM_COL32(146, 142, 138, 255);
}
void set_theme(float em);
/// Text that is read first; pair with end_large.
void begin_large();
void end_large();
/// Font of the right size for the display; called before the first frame and whenever the size changes.
void load_font(float em_pixels);
/// Empty, half or full, the height of the text, as an item on the line.
void disc(const Sight& s, Verdict verdict);
/// A button that looks like an underlined word.
bool word(const Sight& s, const std::string& name, const std::string& text);
/// A button; `on`: it is chosen.
bool button(const Sight& s, const std::string& name, const std::string& text, bool on = false);
void tip(std::string_view words);
/// Words on a line of their own; in the softer tone; broken between words where the region ends, or where `wide` (window
/// units) does.
void text(std::string_view words);
void soft_text(std::string_view words);
void wrapped_text(std::string_view words, float wide = 0);
void soft_wrapped_text(std::string_view words, float wide = 0);
/// The text, or as much of it as is no wider, with dots where it is cut.
std::string shortened(std::string text, float wide);
/// The next item beside the last, where `wide` fits before `right` (window units), else on the next line.
void beside_or_below(float wide, float right);
/// How wide a button with these words is, and its gap to the next.
float button_wide(std::string_view words);

// the regions, one file each
void questions_region(Sight& s, const Region& r);
void answer_region(Sight& s, const Region& r);
void picture_region(Sight& s, const Region& r);
void plan_inset(Sight& s, const Region& r);
void plan_grown(Sight& s, const Region& r);
/// All that the job holds, row by row.
void job_sheet(Sight& s, const Region& r);
void findings_region(Sight& s, const Region& r, bool drawer);
void joint_details(Sight& s, const JointResult& joint, const SurfaceResult& surface);
void measured_details(Sight& s, const JointResult& joint, const SurfaceResult& surface);
/// Ways of laying a face, drawn; each to try and to apply.
void ways_details(Sight& s, const SurfaceResult& surface);
/// What can be changed, to try at the right and to apply as one step.
void try_and_apply(Sight& s, const std::string& name, const std::vector<Edit>& edits);
void cures(Sight& s, const JointResult& joint, const SurfaceResult& surface);
void time_region(Sight& s, const Region& r);
void help_overlay(Sight& s, const Region& r);
void open_overlay(Sight& s, const Region& r);
void start_overlay(Sight& s, const Region& r);
void trouble_overlay(Sight& s, const Region& r);
void photometry_overlay(Sight& s, const Region& r);
void place_overlay(Sight& s, const Region& r);
/// Unsaved work that was found, or a file that others changed in the same places: what is to be done.
void keeper_overlay(Sight& s, const Region& r);

/// All of it, for a window of input's size.
void draw_view(Sight& s);
/// Does what a key asks.
void act(Sight& s, Action action);

}  // namespace rakelight
