#include "job/keys.h"

#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

#include "base/text.h"
#include "base/units.h"
#include "job/tree.h"

namespace rakelight {
namespace {

constexpr auto optional = KeyRow::Status::optional;
constexpr auto required = KeyRow::Status::required;

constexpr std::array tables{
    TableRow{"site", false, "Where the room stands and what stands round it. Needed as soon as a moment has a sky."},
    TableRow{"room", false, "The room's outline in plan. Every job has one."},
    TableRow{"window", true, "One table per window."},
    TableRow{"door", true, "One table per door: a flush leaf in the wall's face."},
    TableRow{"lamp", true, "One table per lamp."},
    TableRow{"surface", true, "One table per wall or ceiling that is boarded and finished; the others are plain faces that only bounce light."},
    TableRow{"framing", false, "What the sheets are fixed to."},
    TableRow{"access", false, "How sheets get to where they are hung, and who lifts them."},
    TableRow{"finishing", false, "How the joints are filled."},
    TableRow{"joint", true, "What differs from the level's rule at one joint."},
    TableRow{"moment", true, "A date and time with a sky and lamps, or lamps alone with sky = \"none\"."},
    TableRow{"viewer", true, "Where somebody stands. Without any: square-on to each surface, in the first door, along each surface, and seated in the middle."},
    TableRow{"verdict", false, "When a joint is called hidden, faint or showing."},
    TableRow{"rates", false, "Your prices: money is printed only where its rate stands here."},
    TableRow{"drying", false, "The air in which compound dries."},
    TableRow{"paper", false, "What the paper for the client and the site says beside the results ([the paper](paper.md))."},
};

// Sources named in `why`: reference figures for lighting design are those of EN 12464-1 (walls 0.5-0.8,
// ceilings 0.7-0.9, floors 0.2-0.6, from memory); "common practice" is trade practice without one source.
constexpr std::array rows{
    KeyRow{"", "format", KeyKind::whole, optional, "1", 1, 1, "", "", "Version of this file format. It rises only when a meaning changes.", ""},
    KeyRow{"", "title", KeyKind::text, optional, "", 0, 0, "", "", "What the job is called on screen and paper.", ""},
    KeyRow{"", "units", KeyKind::word, optional, "\"millimetre\"", 0, 0, "millimetre|inch", "", "Unit of every length in the file. With \"inch\", lengths are numbers of inches or text such as \"8' 6-1/2\\\"\".", ""},

    KeyRow{"site", "latitude", KeyKind::degrees, optional, "", -90, 90, "", "", "Degrees north; goes with longitude. Without both, those of the time zone's city are used and marked approximate.", ""},
    KeyRow{"site", "longitude", KeyKind::degrees, optional, "", -180, 180, "", "", "Degrees east; west is negative.", ""},
    KeyRow{"site", "time_zone", KeyKind::text, optional, "", 0, 0, "", "", "IANA name, such as \"Europe/London\". Needed as soon as a moment has a sky.", ""},
    KeyRow{"site", "north", KeyKind::angle, optional, "0", -360, 360, "", "", "Bearing of the plan's +y, degrees clockwise from true north.", "the plan is taken as drawn with north up: check it on site"},
    KeyRow{"site", "skyline", KeyKind::skyline, optional, "3", 0, 89, "", "", "How high roofs and trees stand, seen from the room: degrees all round, or a list of bearings (clockwise from true north) with degrees, straight between; two with one bearing make an upright edge.", "low houses and trees some way off (estimate)"},
    KeyRow{"site", "ground_reflectance", KeyKind::number, optional, "0.2", 0, 0.95, "", "", "How much light the ground outside throws back.", "usual figure for mixed ground, grass and paving"},
    KeyRow{"site", "skyline_reflectance", KeyKind::number, optional, "0.2", 0, 0.95, "", "", "How much light roofs and trees throw back.", "usual figure for walls, roofs and trees (estimate)"},
    KeyRow{"site", "ground_below", KeyKind::length, optional, "0", 0, 200000, "", "", "How far the ground outside lies under the room's floor.", "a room at ground level"},
    KeyRow{"site", "house_height", KeyKind::length, optional, "0", 0, 200000, "", "", "How high the house stands over the ground, for the shadow that it throws on the ground before its windows; 0 leaves the shadow out.", "left out: the ground outside counts as sunlit right up to the house"},
    KeyRow{"site", "haze", KeyKind::word_or_number, optional, "\"average\"", 1.5, 10, "clear|average|hazy", "", "How clear the air is: Linke turbidity 2.5, 3.5 or 5, or your own number.", "middling air; in low sun the light differs several times between clear and hazy"},
    KeyRow{"site", "magnetic", KeyKind::flag, optional, "false", 0, 0, "", "", "Whether north was read from a compass; then declination is needed.", ""},
    KeyRow{"site", "declination", KeyKind::angle, optional, "0", -180, 180, "", "", "How far the compass points east of true north at the place and in the year (west is negative), from a geomagnetic map. It goes with magnetic = true.", ""},
    KeyRow{"site", "seen", KeyKind::seen, optional, "", 0, 0, "", "", "Instead of north: when the sun was first seen along a wall, { wall = \"A\", at = 2026-06-21T18:40:00 }. A minute out is a quarter of a degree, in high sun more.", ""},
    KeyRow{"site", "climate", KeyKind::text, optional, "", 0, 0, "", "", "A typical year's weather, an EPW file, relative to this file; used by sky = \"auto\" and by the year.", ""},

    KeyRow{"room", "corners", KeyKind::corners, required, "", -1e6, 1e6, "", "", "The corners in plan, clockwise as drawn, so that each wall runs left to right seen from inside.", ""},
    KeyRow{"room", "walls", KeyKind::names, optional, "", 0, 0, "", "", "A name per wall; wall 1 runs from corner 1 to corner 2. Without it A, B, C and so on. \"wall\", \"ceiling\" and \"floor\" are taken.", ""},
    KeyRow{"room", "height", KeyKind::length, required, "", 500, 20000, "", "", "Floor to ceiling, finished.", ""},
    KeyRow{"room", "floor_reflectance", KeyKind::number, optional, "0.25", 0, 0.95, "", "", "How much light the floor throws back.", "a mid-tone floor; EN 12464-1 design range 0.2 to 0.6"},
    KeyRow{"room", "wall_reflectance", KeyKind::number, optional, "0.7", 0, 0.95, "", "", "How much light a wall throws back unless its [[surface]] says otherwise.", "off-white paint; EN 12464-1 design range 0.5 to 0.8"},
    KeyRow{"room", "ceiling_reflectance", KeyKind::number, optional, "0.8", 0, 0.95, "", "", "How much light the ceiling throws back unless its [[surface]] says otherwise.", "white paint; EN 12464-1 design range 0.7 to 0.9"},

    KeyRow{"window", "name", KeyKind::text, optional, "", 0, 0, "", "", "Its name; without one W1, W2 and so on in the order of the file.", ""},
    KeyRow{"window", "wall", KeyKind::text, required, "", 0, 0, "", "", "The wall it is in, or \"ceiling\" for a roof window in a flat ceiling.", ""},
    KeyRow{"window", "from_left", KeyKind::length, optional, "", 0, 100000, "", "", "From the wall's left end, seen from inside, to the opening; every window in a wall must have it.", ""},
    KeyRow{"window", "place", KeyKind::place, optional, "", -1e6, 1e6, "", "", "Of a roof window, which must have it: x and y on plan of the corner of its opening with the least of both; width lies along x, height along y.", ""},
    KeyRow{"window", "sill", KeyKind::length, optional, "900", 0, 20000, "", "", "From the floor to the opening.", "common practice for a sill above a radiator or worktop"},
    KeyRow{"window", "width", KeyKind::length, required, "", 50, 100000, "", "", "Width of the opening in the wall.", ""},
    KeyRow{"window", "height", KeyKind::length, required, "", 50, 20000, "", "", "Height of the opening in the wall.", ""},
    KeyRow{"window", "reveal", KeyKind::length, optional, "180", 0, 2000, "", "", "From the wall's face back to the glass.", "an outer wall of usual thickness (common practice)"},
    KeyRow{"window", "reveal_reflectance", KeyKind::number, optional, "0.7", 0, 0.95, "", "", "How much light the sides of the opening throw back.", "painted as the walls; EN 12464-1 design range 0.5 to 0.8"},
    KeyRow{"window", "frame", KeyKind::length, optional, "70", 0, 500, "", "", "Width of the frame round the glass, inside the opening.", "common practice; it takes 18 % of a 1.5 m window"},
    KeyRow{"window", "glazing", KeyKind::word_or_number, optional, "\"double\"", 0.01, 1, "single|double", "", "Clear single or double glass, or the share of light that passes square-on.", "common practice"},
    KeyRow{"window", "edge", KeyKind::word, optional, "\"plain\"", 0, 0, "plain|bead", "", "How the board ends at the opening: plain, or with beads at jambs and head, filled out along the wall.", "left out: what is filled along beads is not looked at"},
    KeyRow{"window", "eaves", KeyKind::length, optional, "0", 0, 20000, "", "", "How far eaves or a balcony over it stand out, from the glass.", ""},
    KeyRow{"window", "eaves_above", KeyKind::length, optional, "0", 0, 20000, "", "", "From the opening's head up to the underside of the eaves.", ""},
    KeyRow{"window", "eaves_past", KeyKind::length, optional, "", 0, 100000, "", "", "How far the eaves run on past each side of the opening; without it they have no end.", ""},
    KeyRow{"window", "fin_left", KeyKind::length, optional, "0", 0, 20000, "", "", "How far a fin or the house's own wall beside it stands out, from the glass, on the left seen from inside; taken as high and deep as matters.", ""},
    KeyRow{"window", "fin_right", KeyKind::length, optional, "0", 0, 20000, "", "", "The same on the right.", ""},
    KeyRow{"window", "fin_off", KeyKind::length, optional, "0", 0, 20000, "", "", "From the opening's sides to the fins.", ""},
    KeyRow{"window", "outer_reflectance", KeyKind::number, optional, "0.5", 0, 0.95, "", "", "How much light eaves and fins throw back.", ""},
    KeyRow{"window", "cover", KeyKind::word, optional, "\"none\"", 0, 0, "none|sheer|blind", "", "What hangs at the glass, drawn: a sheer, which light passes straight in part and scattered in part, or a blind, which only scatters some.", ""},
    KeyRow{"window", "cover_direct", KeyKind::number, optional, "", 0, 1, "", "", "Share of the light on the cover that passes straight; without it 0.3 of a sheer, 0 of a blind.", ""},
    KeyRow{"window", "cover_scatter", KeyKind::number, optional, "", 0, 1, "", "", "Share that passes scattered all round; without it 0.35 of a sheer, 0.12 of a blind.", ""},
    KeyRow{"window", "cover_reflectance", KeyKind::number, optional, "", 0, 0.95, "", "", "Share that is thrown back; without it 0.3 of a sheer, 0.6 of a blind.", ""},

    KeyRow{"door", "wall", KeyKind::text, required, "", 0, 0, "", "", "The wall it is in.", ""},
    KeyRow{"door", "from_left", KeyKind::length, required, "", 0, 100000, "", "", "From the wall's left end, seen from inside, to the opening.", ""},
    KeyRow{"door", "width", KeyKind::length, optional, "826", 50, 100000, "", "", "Width of the opening.", "a usual door leaf (common practice)"},
    KeyRow{"door", "height", KeyKind::length, optional, "2040", 50, 20000, "", "", "Height of the opening.", "a usual door leaf (common practice)"},
    KeyRow{"door", "reflectance", KeyKind::number, optional, "0.5", 0, 0.95, "", "", "How much light the leaf throws back.", "mid-tone or varnished wood (estimate)"},

    KeyRow{"lamp", "name", KeyKind::text, optional, "", 0, 0, "", "", "Its name; without one L1, L2 and so on in the order of the file.", ""},
    KeyRow{"lamp", "kind", KeyKind::word, required, "", 0, 0, "downlight|pendant|strip|uplight|wall|hand", "", "What it is. A strip runs from `at` to `to`; a wall light and an uplight differ in what stands in for keys left out; a hand lamp may be moved from moment to moment.", ""},
    KeyRow{"lamp", "at", KeyKind::point, required, "", -1e6, 1e6, "", "", "Where it is: x and y on plan, height above the floor; of a strip one end.", ""},
    KeyRow{"lamp", "to", KeyKind::point, optional, "", -1e6, 1e6, "", "", "The other end of a strip, which must have one.", ""},
    KeyRow{"lamp", "aim", KeyKind::direction, optional, "[0, 0, -1]", -1e6, 1e6, "", "", "Which way it points, same axes. Left out, an uplight points up and a wall light away from the nearest wall. Of a strip the part across it counts.", "straight down"},
    KeyRow{"lamp", "turn", KeyKind::angle, optional, "0", -360, 360, "", "", "Turn about its own axis, anticlockwise on plan for a lamp that points down; at 0 the plane C 0 of its file lies along plan +x. No effect on a round beam or a strip.", ""},
    KeyRow{"lamp", "size", KeyKind::length, optional, "80", 1, 3000, "", "", "Diameter of the part that shines, in place of the opening its file gives; of a strip its width.", "a usual downlight (common practice)"},
    KeyRow{"lamp", "flux", KeyKind::number, optional, "700", 0.1, 1e6, "", "", "Its light, lumen; with `photometry` in place of its file's; of a strip all of it.", "a usual downlight (common practice)"},
    KeyRow{"lamp", "beam", KeyKind::angle, optional, "60", 5, 170, "", "", "Full width of the beam where it is half as strong. Not with `photometry`.", "a medium-wide beam (common practice)"},
    KeyRow{"lamp", "dim", KeyKind::number, optional, "1", 0, 1, "", "", "Share of its full light that it is set to.", ""},
    KeyRow{"lamp", "photometry", KeyKind::text, optional, "", 0, 0, "", "", "How it spreads its light: an IES LM-63 or EULUMDAT file, its path relative to this one, or \"generic-narrow\", \"generic-medium\", \"generic-wide\", \"generic-wall-washing\" or \"generic-strip\".", ""},
    KeyRow{"lamp", "group", KeyKind::text, optional, "", 0, 0, "", "", "Lamps switched together share a group.", ""},

    KeyRow{"surface", "name", KeyKind::text, required, "", 0, 0, "", "", "A wall's name, or \"ceiling\".", ""},
    KeyRow{"surface", "run", KeyKind::text, optional, "\"auto\"", 0, 0, "", "", "Which way the sheets' long edges lie. Walls: \"horizontal\" or \"upright\". Ceiling: the wall they point to. \"auto\" lets the program choose.", "horizontal on walls, along the longer side on ceilings (common practice)"},
    KeyRow{"surface", "sheet", KeyKind::size, optional, "[1200, 3000]", 200, 10000, "", "", "Width and length of a sheet.", "a usual stock size (common practice)"},
    KeyRow{"surface", "lengths", KeyKind::lengths, optional, "", 200, 10000, "", "", "Lengths that sheets of this width come in, for the search for the best way round; without it 2400, 2700, 3000 and 3600 and the length of `sheet`.", ""},
    KeyRow{"surface", "first_row", KeyKind::length, optional, "", 20, 10000, "", "", "Width of the first row, from the floor (upright sheets: from the left; ceilings: from the side where the plan starts); ripped where narrower than a sheet. Without it a full sheet.", ""},
    KeyRow{"surface", "first_sheets", KeyKind::lengths_in_order, optional, "", 20, 10000, "", "", "How long the first sheet of each row is, row by row; the list repeats. Without it full sheets, every second row begun with half a sheet or an offcut.", ""},
    KeyRow{"surface", "control_joints", KeyKind::lengths, optional, "", 100, 200000, "", "", "Where control joints cross the face, from its left: sheets stop there, and nothing is taped.", ""},
    KeyRow{"surface", "movement_joints", KeyKind::lengths, optional, "", 100, 200000, "", "", "Where movement joints run along a wall, from its floor: at the floor lines behind a tall wall. On a ceiling, control joints the other way.", ""},
    KeyRow{"surface", "relax", KeyKind::words, optional, "", 0, 0, "framing|stagger|opening|edges|rip|strip|control|floor-line|lift|turn", "", "Rules of laying that may be broken here; breaches are still reported (docs/user/sheets.md).", ""},
    KeyRow{"surface", "edge", KeyKind::word, optional, "\"recessed\"", 0, 0, "recessed|half-round|square|chamfered|cut", "", "The sheets' long edges (\"tapered\" is the same as \"recessed\").", "common practice"},
    KeyRow{"surface", "ripped_edge", KeyKind::word, optional, "\"corner\"", 0, 0, "corner|joint", "", "Where the cut edge of a ripped row lies: in the corner, or at the joint, which is then cut to factory edge.", ""},
    KeyRow{"surface", "backing", KeyKind::word, optional, "\"none\"", 0, 0, "none|butts|recessed|both", "", "Boards behind the joints: \"butts\" pulls sheet ends in against a board between the framing, \"recessed\" glues one behind the long joints.", "joints on framing, nothing behind them (common practice)"},
    KeyRow{"surface", "sprung_by", KeyKind::length, optional, "2", 0.2, 5, "", "", "How far backed ends are pulled in at the joint, below the face (2 mm is common practice).", ""},
    KeyRow{"surface", "sprung_over", KeyKind::length, optional, "125", 40, 400, "", "", "From a backed joint to where the sheet is level again; the fill must span it (a depression 250 to 300 wide is common practice).", ""},
    KeyRow{"surface", "level", KeyKind::text, optional, "", 0, 0, "", "", "Finish level, of the scheme in [finishing]; without it the level that the scheme means when none is named.", ""},
    KeyRow{"surface", "paint", KeyKind::paint, optional, "\"matt\"", 0, 0, "", "", "A paint class (\"flat\" is the same as \"matt\"), or a table of all that was put on: { gloss60 = 4, gloss85 = 8 } or { class = \"matt\", sealer = \"one coat\" }.", "the least revealing usual paint (common practice)"},
    KeyRow{"surface", "reflectance", KeyKind::number, optional, "", 0, 0.95, "", "", "How much light it throws back; without it the room's figure.", ""},
    KeyRow{"surface", "system", KeyKind::word, optional, "\"none\"", 0, 0, "none|fire|acoustic|bracing|wet", "", "The tested system it is part of, if any: sheet direction, backing and fixing then come from that system, and the program proposes no other.", ""},
    KeyRow{"surface", "fixing", KeyKind::word, optional, "\"none\"", 0, 0, "none|screws|adhesive|nails|dabs", "", "How the sheets are fixed: \"screws\" throughout, screws round the edges with \"adhesive\" between, \"nails\", or \"dabs\" without fixings.", "left out: spots over fixings are not looked at"},
    KeyRow{"surface", "fixing_spacing", KeyKind::length, optional, "300", 100, 1000, "", "", "From fixing to fixing along a stud or batten.", ""},
    KeyRow{"surface", "fixing_coat", KeyKind::word, optional, "\"spots\"", 0, 0, "spots|rows", "", "Fixings filled one by one, or coated in strips along the framing.", ""},
    KeyRow{"surface", "corners", KeyKind::word, optional, "\"none\"", 0, 0, "none|taped", "", "A wall's upright corners: taped where the room looks into them, beaded where they stand out.", "left out: what is filled in corners is not looked at"},
    KeyRow{"surface", "junction_top", KeyKind::word, optional, "\"none\"", 0, 0, "none|square-set|cornice|shadow-line", "", "How a wall meets the ceiling: taped (square-set, on both faces), covered by a cornice, or stopped at a bead 10 mm below it.", "left out: the junction with the ceiling is not looked at"},
    KeyRow{"surface", "cornice", KeyKind::length, optional, "90", 10, 400, "", "", "How much of the wall a cornice covers.", ""},
    KeyRow{"surface", "junction_bottom", KeyKind::word, optional, "\"none\"", 0, 0, "none|skirting", "", "What a wall's foot is covered by.", ""},
    KeyRow{"surface", "skirting", KeyKind::length, optional, "100", 10, 500, "", "", "How high the skirting stands.", ""},

    KeyRow{"surface.paint", "class", KeyKind::text, optional, "", 0, 0, "", "", "A paint class, instead of gloss units.", ""},
    KeyRow{"surface.paint", "gloss60", KeyKind::number, optional, "", 0, 100, "", "", "Gloss units at 60 degrees (ISO 2813); with gloss85, or neither and a class.", ""},
    KeyRow{"surface.paint", "gloss85", KeyKind::number, optional, "", 0, 100, "", "", "Gloss units at 85 degrees (ISO 2813).", ""},
    KeyRow{"surface.paint", "sealer", KeyKind::word, optional, "\"even\"", 0, 0, "even|none|one coat|two coats", "", "What was put on before the paint, so that joints and paper take it alike; \"even\": whatever it takes that no band shows, and one coat where a face is looked at before it is painted.", "left out: banding of joints against paper is not looked at; before it is painted, one coat"},
    KeyRow{"surface.paint", "coats", KeyKind::whole, optional, "2", 1, 4, "", "", "Coats of paint.", ""},
    KeyRow{"surface.paint", "applied", KeyKind::word, optional, "", 0, 0, "rolled|sprayed|brushed", "", "How the paint was put on; its stipple hides fine marks. Without it the paint counts as smooth.", ""},
    KeyRow{"surface.paint", "nap", KeyKind::length, optional, "10", 4, 30, "", "", "Of the roller: its pile.", ""},
    KeyRow{"surface.paint", "texture", KeyKind::word, optional, "\"none\"", 0, 0, "none|light|medium|heavy", "", "A sprayed or rolled texture over the board.", ""},
    KeyRow{"surface.paint", "lining", KeyKind::word, optional, "\"none\"", 0, 0, "none|fleece", "", "What is pasted over the whole face before painting.", ""},
    KeyRow{"surface.paint", "colour", KeyKind::word_or_number, optional, "", 0.03, 0.95, "white|off-white|mid|dark", "", "How light it is: white 0.85, off-white 0.75, mid 0.4 or dark 0.12, or the reflectance itself; without it the surface's.", ""},

    KeyRow{"framing", "spacing", KeyKind::length, optional, "600", 200, 2000, "", "", "Centre to centre of the framing.", "the widest usual spacing under board of 12.5 mm (common practice)"},
    KeyRow{"framing", "first", KeyKind::length, optional, "", 0, 2000, "", "", "From the corner (left, or the floor) to the centre of the first member after it; without it the spacing.", ""},
    KeyRow{"framing", "direction", KeyKind::word, optional, "\"upright\"", 0, 0, "upright|horizontal", "", "Which way studs or battens run on walls. On ceilings they lie across the sheets' long edges.", "studs (common practice)"},
    KeyRow{"framing", "flatness", KeyKind::flatness, optional, "[4, 1800]", 0, 5000, "", "", "How flat the framing's faces are: the largest gap under a rule laid across them.", "what AS/NZS 2589 allows under level 4"},

    KeyRow{"access", "people", KeyKind::whole, optional, "2", 1, 8, "", "", "How many lift a sheet together.", "common practice"},
    KeyRow{"access", "each_kg", KeyKind::number, optional, "25", 5, 60, "", "", "What one person may lift, kilograms; two together lift two thirds of twice that, three or more half of the sum.", "the usual guideline for occasional lifts, and for teams (from memory): local rules come first"},
    KeyRow{"access", "board_mass", KeyKind::number, optional, "9.1", 3, 40, "", "", "Of the sheets, kg/m².", "board of 12.5 mm, heavier of two makers' figures"},
    KeyRow{"access", "hoist", KeyKind::flag, optional, "false", 0, 0, "", "", "Whether a hoist lifts the sheets.", ""},
    KeyRow{"access", "door", KeyKind::size, optional, "", 300, 10000, "", "", "The least door on the way in, [width, height].", ""},
    KeyRow{"access", "passage", KeyKind::length, optional, "", 300, 20000, "", "", "Clear width before the tightest turn on the way in (passage or stair); goes with turn.", ""},
    KeyRow{"access", "turn", KeyKind::length, optional, "", 300, 20000, "", "", "Clear width after that turn (passage or landing).", ""},
    KeyRow{"access", "lift", KeyKind::point, optional, "", 100, 20000, "", "", "The inside of the lift's car, [width, depth, height].", ""},

    KeyRow{"finishing", "scheme", KeyKind::text, optional, "\"c840\"", 0, 0, "", "", "The scheme whose levels are meant: \"c840\" (levels 0 to 5), \"as2589\" (3 to 5), \"q\" (1 to 4), or a file of your own such as \"levels.toml\", beside the job.", "ASTM C840, levels 0 to 5"},
    KeyRow{"finishing", "readings", KeyKind::names, optional, "", 0, 0, "", "", "Where sources of the scheme disagree: the readings to take instead of the usual ones, by their names (docs/user/levels.md).", ""},
    KeyRow{"finishing", "workmanship", KeyKind::word_or_table, optional, "\"everyday\"", 0, 0, "careful|everyday|rough", "", "How good the hands are, or what was measured on joints of theirs.", "neither the best nor the worst; the figures behind it are estimates"},
    KeyRow{"finishing", "compound", KeyKind::words, optional, "[\"setting\", \"setting\", \"drying\"]", 0, 0, "setting|drying|lightweight", "", "What is in the bucket: one word for all coats, or a list with one per coat.", "setting below, drying on top (common practice)"},
    KeyRow{"finishing", "tools", KeyKind::lengths, optional, "[150, 200, 300]", 50, 1000, "", "", "Blades owned. Joints wider than a blade are pulled in passes.", "a usual set of hand blades (common practice)"},
    KeyRow{"finishing", "tape", KeyKind::word, optional, "\"paper\"", 0, 0, "paper|mesh|fleece|none", "", "What bridges the joint. Mesh wants a setting compound in the first coat.", "paper tape (common practice)"},
    KeyRow{"finishing", "recoat", KeyKind::word, optional, "\"dry\"", 0, 0, "dry|early", "", "Whether each coat is dry before the next: \"early\" leaves drying compound to sink after it is sanded.", "each coat dry before the next (common practice)"},
    KeyRow{"finishing", "sanding", KeyKind::word, optional, "\"light\"", 0, 0, "light|none|over", "", "How the last coat is sanded; \"over\" takes more and scuffs the paper beside the joint.", "sanded with light pressure (common practice)"},

    KeyRow{"finishing.workmanship", "like", KeyKind::word, optional, "\"everyday\"", 0, 0, "careful|everyday|rough", "", "Whose figures stand where none were measured.", "neither the best nor the worst; the figures behind it are estimates"},
    KeyRow{"finishing.workmanship", "recessed_crown", KeyKind::lengths, optional, "", -5, 10, "", "", "Finished crowns measured on recessed joints; hollows are negative.", ""},
    KeyRow{"finishing.workmanship", "butt_crown", KeyKind::lengths, optional, "", -5, 10, "", "", "Finished crowns measured on butt joints.", ""},
    KeyRow{"finishing.workmanship", "lap_ridge", KeyKind::lengths, optional, "", 0, 5, "", "", "Heights of lap marks measured after the last sanding.", ""},
    KeyRow{"finishing.workmanship", "step", KeyKind::lengths, optional, "", 0, 5, "", "", "Steps from face to face measured at butts before filling.", ""},
    KeyRow{"finishing.workmanship", "tape_edge", KeyKind::lengths, optional, "", 0, 5, "", "", "How far the tape's edges stand out after the last sanding.", ""},

    KeyRow{"joint", "id", KeyKind::text, required, "", 0, 0, "", "", "The joint as the findings name it, such as \"long/B1\".", ""},
    KeyRow{"joint", "width", KeyKind::length, optional, "", 50, 3000, "", "", "How wide it is feathered, edge to edge; without it the level's width.", ""},
    KeyRow{"joint", "kind", KeyKind::word, optional, "", 0, 0, "recessed|half-round|square|chamfered|cut-to-recessed|cut-to-cut|butt|backed butt", "", "What meets there, where it is not what the sheets' edges say: a ripped strip, a single backed butt.", ""},
    KeyRow{"joint", "measured", KeyKind::text, optional, "", 0, 0, "", "", "A measured cross-section instead of a computed one: a file of lines offset_mm,height_mm, relative to this one (docs/user/joints.md).", ""},

    KeyRow{"moment", "name", KeyKind::text, optional, "", 0, 0, "", "", "Its name; without one T1, T2 and so on in the order of the file.", ""},
    KeyRow{"moment", "at", KeyKind::time, optional, "", 0, 0, "", "", "Date and time on the clock at the site, or with an offset such as +01:00. Needed unless sky = \"none\".", ""},
    KeyRow{"moment", "sky", KeyKind::word_or_number, optional, "\"clear\"", 1, 15, "clear|overcast|intermediate|auto|none", "", "The sky, or a number 1 to 15 for a type of ISO 15469. \"auto\" takes the hour's sky from the climate file, without one the season's.", "direct sun is what rakes hardest"},
    KeyRow{"moment", "lamps", KeyKind::lamps, optional, "\"off\"", 0, 0, "on|off", "", "\"on\", \"off\", or a list of lamps or groups; one of it may be a table.", "daylight alone"},

    KeyRow{"moment.lamps", "name", KeyKind::text, required, "", 0, 0, "", "", "A lamp or a group.", ""},
    KeyRow{"moment.lamps", "dim", KeyKind::number, optional, "1", 0, 1, "", "", "Share of what it is set to.", ""},
    KeyRow{"moment.lamps", "at", KeyKind::point, optional, "", -1e6, 1e6, "", "", "Where a hand lamp is held; without it, as under its [[lamp]].", ""},
    KeyRow{"moment.lamps", "aim", KeyKind::direction, optional, "", -1e6, 1e6, "", "", "Which way a hand lamp points.", ""},

    KeyRow{"viewer", "name", KeyKind::text, optional, "", 0, 0, "", "", "Its name; without one V1, V2 and so on in the order of the file.", ""},
    KeyRow{"viewer", "eye", KeyKind::point, required, "", -1e6, 1e6, "", "", "The eye: x and y on plan, height above the floor.", ""},
    KeyRow{"viewer", "look", KeyKind::look, required, "", -1e6, 1e6, "", "", "What is looked at: a wall, \"ceiling\", \"floor\", or a point [x, y, z].", ""},

    KeyRow{"verdict", "gain", KeyKind::number, optional, "1", 0.1, 10, "", "", "Factor on how well joints are seen, from your own experience.", "the published observer as it stands"},
    KeyRow{"verdict", "band", KeyKind::number, optional, "2", 1, 10, "", "", "How uncertain that is: from visibility / band to visibility x band.", "published models of seeing differ by a factor 2 to 4"},
    KeyRow{"verdict", "faint", KeyKind::number, optional, "1", 0.01, 100, "", "", "Visibility from which somebody who knows where to look finds it.", "one just-noticeable unit"},
    KeyRow{"verdict", "shows", KeyKind::number, optional, "4", 0.01, 100, "", "", "Visibility from which it is noticed in ordinary use.", "four just-noticeable units (estimate)"},
    KeyRow{"verdict", "chance", KeyKind::number, optional, "0.1", 0.0001, 0.9999, "", "", "Chance accepted that any joint of the job shows.", "one job in ten (estimate)"},
    KeyRow{"verdict", "age", KeyKind::number, optional, "45", 5, 100, "", "", "Age of the eyes that look; older eyes are dazzled more (CIE 146).", "an adult in middle years"},

    KeyRow{"rates", "currency", KeyKind::text, optional, "", 0, 0, "", "", "What the prices are in; printed before each.", ""},
    KeyRow{"rates", "hour", KeyKind::number, optional, "", 0, 1000000, "", "", "One hour's work.", ""},
    KeyRow{"rates", "visit", KeyKind::number, optional, "", 0, 1000000, "", "", "One visit to the site, beside its hours.", ""},
    KeyRow{"rates", "sheet", KeyKind::number, optional, "", 0, 1000000, "", "", "One sheet.", ""},
    KeyRow{"rates", "compound_kg", KeyKind::number, optional, "", 0, 1000000, "", "", "A kilogram of compound, ready to use.", ""},
    KeyRow{"rates", "tape_m", KeyKind::number, optional, "", 0, 1000000, "", "", "A metre of tape.", ""},
    KeyRow{"rates", "bead_m", KeyKind::number, optional, "", 0, 1000000, "", "", "A metre of bead.", ""},

    KeyRow{"drying", "temperature", KeyKind::number, optional, "18", 0, 45, "", "", "Of the air in the room while compound dries, °C.", "a heated site (estimate); board work wants at least 10 °C (common practice)"},
    KeyRow{"drying", "humidity", KeyKind::number, optional, "60", 0, 90, "", "", "Of that air, % relative humidity.", "a closed room that is aired twice a day (estimate)"},

    KeyRow{"paper", "date", KeyKind::date, optional, "", 0, 0, "", "", "The date printed on it; without it the line is left blank.", ""},
    KeyRow{"paper", "page", KeyKind::word, optional, "\"A4\"", 0, 0, "A4|Letter", "", "The size of its pages.", ""},
    KeyRow{"paper", "client", KeyKind::text, optional, "", 0, 0, "", "", "Who it is for; without it the line is left blank, as are the next two.", ""},
    KeyRow{"paper", "site", KeyKind::text, optional, "", 0, 0, "", "", "Where the room is, as on an envelope.", ""},
    KeyRow{"paper", "finisher", KeyKind::text, optional, "", 0, 0, "", "", "Who does the work.", ""},
    KeyRow{"paper", "framing_by", KeyKind::text, optional, "", 0, 0, "", "", "Who accepted the framing; without it a box is left to fill in.", ""},
    KeyRow{"paper", "paint_by", KeyKind::text, optional, "", 0, 0, "", "", "Who supplies and puts on the paint; without it a box is left to fill in.", ""},
    KeyRow{"paper", "heating", KeyKind::flag, optional, "", 0, 0, "", "", "Whether the room is heated as in use before handover; without it boxes to tick are left.", ""},
    KeyRow{"paper", "return_visit", KeyKind::flag, optional, "", 0, 0, "", "", "Whether one return visit after the first heating season is agreed; without it boxes to tick are left.", ""},
    KeyRow{"paper", "valid_days", KeyKind::whole, optional, "", 1, 3650, "", "", "How long the offer stands after the date; without it a line is left.", ""},
    KeyRow{"paper", "start", KeyKind::date, optional, "", 0, 0, "", "", "The day of the first coat; without it the programme counts working days.", ""},
    KeyRow{"paper", "hands", KeyKind::whole, optional, "1", 1, 50, "", "", "How many finishers work at once.", "one finisher (assumed)"},
    KeyRow{"paper", "day_hours", KeyKind::number, optional, "8", 1, 16, "", "", "Hours that each of them works in a day.", "a usual working day (assumed)"},
    KeyRow{"paper", "days_a_week", KeyKind::whole, optional, "5", 1, 7, "", "", "Days worked in a week, from Monday.", "a usual working week (assumed)"},
};

/// "100000" and "0.0001", where number_text gives the shorter "1e+05" and "1e-04".
std::string plain_text(double value) {
  char buffer[400];
  const auto [end, error] = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed);
  return {buffer, end};
}

/// In the file's unit; inches to a hundredth, which is all a printed default needs.
std::string length_text(double mm, Units units) {
  return plain_text(units == Units::inch ? std::round(mm / mm_per_inch * 100) / 100 : mm);
}

std::string range_text(const KeyRow& row, Units units) {
  const char* unit = units == Units::inch ? "inches" : "mm";
  switch (row.kind) {
    case KeyKind::length: case KeyKind::size: case KeyKind::lengths: case KeyKind::lengths_in_order:
      return fmt::format(" from {} to {} {}", length_text(row.least, units), length_text(row.most, units), unit);
    case KeyKind::angle: case KeyKind::degrees: case KeyKind::skyline:
      return fmt::format(" from {} to {} degrees", plain_text(row.least), plain_text(row.most));
    case KeyKind::number: case KeyKind::whole: case KeyKind::word_or_number:
      return fmt::format(" from {} to {}", plain_text(row.least), plain_text(row.most));
    default: return "";
  }
}

std::string quoted_list(std::string_view words) {
  std::string out;
  for (const std::string& word : split_words(words)) out += (out.empty() ? "\"" : ", \"") + word + "\"";
  return out;
}

}  // namespace

std::span<const KeyRow> key_rows() { return rows; }
std::span<const TableRow> table_rows() { return tables; }

const KeyRow* find_key(std::string_view table, std::string_view key) {
  for (const KeyRow& row : rows)
    if (row.table == table && row.key == key) return &row;
  return nullptr;
}

const TableRow* find_table(std::string_view name) {
  for (const TableRow& row : tables)
    if (row.name == name) return &row;
  return nullptr;
}

std::vector<std::string> split_words(std::string_view words) {
  std::vector<std::string> out;
  while (!words.empty()) {
    const std::size_t bar = std::min(words.find('|'), words.size());
    out.emplace_back(words.substr(0, bar));
    words.remove_prefix(std::min(bar + 1, words.size()));
  }
  return out;
}

std::string describe(const KeyRow& row, Units units) {
  const std::string range = range_text(row, units);
  const char* unit = units == Units::inch ? "inches (or text such as \"8' 6-1/2\\\"\")" : "mm";
  if (row.kind == KeyKind::degrees && row.least == row.most) return plain_text(row.least);
  switch (row.kind) {
    case KeyKind::whole: return row.least == row.most ? plain_text(row.least) : "a whole number" + range;
    case KeyKind::number: return "a number" + range;
    case KeyKind::degrees: case KeyKind::angle: return "a number" + range;
    case KeyKind::length: return "a length" + range;
    case KeyKind::text: return "text in quotes, not empty";
    case KeyKind::flatness: return "[gap, rule] such as [4, 1800], the gap at most a twentieth of the rule";
    case KeyKind::word_or_table: return "one of " + quoted_list(row.words) + ", or a table of lists of measured figures";
    case KeyKind::word: return (split_words(row.words).size() > 1 ? "one of " : "") + quoted_list(row.words);
    case KeyKind::word_or_number: return "one of " + quoted_list(row.words) + ", or a number" + range;
    case KeyKind::size: return "[width, length], each" + range + ", the length not under the width";
    case KeyKind::point: return fmt::format("[x, y, z] in {}", unit);
    case KeyKind::direction: return "[x, y, z], not all 0";
    case KeyKind::corners: return fmt::format("at least three corners [[x, y], [x, y], [x, y]] in {}", unit);
    case KeyKind::names: return "a list of different names, [\"a\", \"b\", \"c\"]";
    case KeyKind::lengths: case KeyKind::lengths_in_order: return "a list of lengths, each" + range;
    case KeyKind::words: return "one of " + quoted_list(row.words) + ", or a list of them";
    case KeyKind::time: return "a date with a time, such as 2026-06-21T20:40:00";
    case KeyKind::date: return "a date, such as 2026-05-04";
    case KeyKind::lamps: return "\"on\", \"off\", or a list of lamps or groups";
    case KeyKind::look: return fmt::format("a wall's name, \"ceiling\", \"floor\", or a point [x, y, z] in {}", unit);
    case KeyKind::paint: return "a paint class in quotes, or { gloss60 = 4, gloss85 = 8 }";
    case KeyKind::place: return fmt::format("[x, y] in {}", unit);
    case KeyKind::skyline: return "a number" + range + ", or pairs such as [[80, 4], [120, 15]], bearings ascending from 0 to 360, 72 at most";
    case KeyKind::flag: return "true or false";
    case KeyKind::seen: return "{ wall = \"A\", at = 2026-06-21T18:40:00 }";
  }
  return "";
}

std::string standard_text(const KeyRow& row, Units units) {
  if (row.standard.empty()) return "";
  const auto value = parse_value(row.standard);
  switch (row.kind) {
    case KeyKind::length: return length_text(value->number, units) + (units == Units::inch ? " in" : " mm");
    case KeyKind::angle: case KeyKind::degrees: case KeyKind::skyline: return number_text(value->number) + " degrees";
    case KeyKind::size: case KeyKind::lengths: case KeyKind::lengths_in_order: case KeyKind::flatness: {
      const char* between = row.kind == KeyKind::size ? " x " : row.kind == KeyKind::flatness ? " under " : ", ";
      std::string out;
      for (const TomlNode& n : value->items) out += (out.empty() ? "" : between) + length_text(n.number, units);
      return out + (units == Units::inch ? " in" : " mm");
    }
    case KeyKind::words: {
      std::string out;
      for (const TomlNode& n : value->items) out += (out.empty() ? "" : ", ") + n.text;
      return out;
    }
    default: break;
  }
  return value->type == TomlNode::Type::text ? value->text : std::string(row.standard);
}

}  // namespace rakelight
