// Setting out a face: the sheets drawn with running dimensions from one corner and the floor, marks that stay when studs are covered, and the
// lists that go with them. Lengths for people in the job's unit, whole millimetres or sixteenths of an inch.
#pragma once
#include <string>
#include <vector>

#include "advice/way_round.h"
#include "board/plan.h"
#include "board/stock.h"
#include "report/drawing.h"

namespace rakelight {

/// What is set out: a plan (plan_as_asked or a winner's, advice/way_round.h), and what is known of its joints. All outlive this.
struct SettingOut {
  const Study* study = nullptr;
  const Plan* plan = nullptr;
  const SurfaceResult* judged = nullptr;   ///< of the plan's layout; null: joints are drawn without verdicts
  const Cutting* cutting = nullptr;        ///< of the plan's sheets, perhaps among others'; null: no numbers of stock sheets
};

/// "2400", or 94-1/2" in a job in inches.
std::string site_text(Units units, double metres);

/// How far to feather a joint either side, m: what its section asks for, rounded up to blades owned: one pull where a blade spans it, else one pull
/// each side; wider than the widest blade each side, in passes, to 25 mm. No further than the joint has room.
struct Feather { double left = 0, right = 0; bool one_pull = false; };
Feather feather_of(const PlacedJoint& joint, const std::vector<double>& tools);

/// Draws a face into the rectangle lo to hi of a drawing (mm; at least 120 × 70) to the largest usual scale that fits; one that would
/// come out smaller than 1 : 50 in up to four lengths under each other, where that draws it larger: sheets with numbers and cut sizes,
/// framing, blocks, joints by verdict (letter, pattern and disc), feather ticks, running dimensions, marks on floor and ceiling.
/// Returns the scale, 1 : n.
double draw_setting_out(Drawing& drawing, dvec2 lo, dvec2 hi, const SettingOut& face);

/// A page of it with heading and key; then pages with its lists (joints, sheets, members). Paper in mm, lying.
inline constexpr dvec2 a4{297, 210}, a3{420, 297};
std::vector<Drawing> setting_out_pages(const SettingOut& face, dvec2 paper);

/// A table of a list page or of the telephone page.
struct SiteTable { std::string title; std::vector<std::vector<std::string>> rows; };  ///< the first row is the heading
std::vector<SiteTable> site_tables(const SettingOut& face);
/// What is bought, what is cut from what, and what is left over, for all faces together.
SiteTable stock_table(const Study& study, const Cutting& cutting);

/// Pages with tables that flow over them.
std::vector<Drawing> table_pages(const std::string& title, const std::vector<SiteTable>& tables, dvec2 paper);

/// Points, lines and words in the faces' own millimetres, ASCII R12: faces side by side a metre apart; layers OUTLINE, OPENINGS, FRAMING, SHEETS,
/// BLOCKS, JOINTS-HIDDEN, -FAINT, -SHOWS or JOINTS, BREAKS, TEXT.
std::string setting_out_dxf(const std::vector<SettingOut>& faces);
/// A line per member, sheet, joint, block and break; lengths in mm.
std::string setting_out_csv(const std::vector<SettingOut>& faces);
/// One page that needs no network: big type, drawings, and lists to tick off, which the telephone remembers.
std::string setting_out_html(const std::vector<SettingOut>& faces, const Cutting& cutting);

}  // namespace rakelight
