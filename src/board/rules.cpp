#include "board/rules.h"

#include <array>
#include <fmt/format.h>
#include <stdexcept>

#include "room/say.h"

namespace rakelight {
namespace {

constexpr std::array all{
    Rule{"framing", "sheet ends fall on framing, or backed within {} of the middle between two members; long edges along the framing fall on it or are backed", 0.050,
         "butts between members within 50 mm of mid-span: common practice, read; on framing otherwise: C840 and GA-216, from memory"},
    Rule{"stagger", "butts of neighbouring rows stand at least {} apart, and no four corners meet", 0.400, "DIN 18181, from memory; C840 and GA-216 ask for staggered butts without a figure"},
    Rule{"opening", "no joint within {} of an opening's corner", 0.200, "New Zealand practice for joints beside jambs, read; GA-216 asks for 300 mm (from memory)"},
    Rule{"edges", "no cut edge or square end against a recessed edge", 0, "building design handbook, read"},
    Rule{"rip", "on walls the ripped row of horizontal sheets lies at the foot, its cut edge behind the skirting (of a height that would leave a mere strip, any row)", 0, "common practice, from memory"},
    Rule{"strip", "no row and no sheet narrower than {}", 0.150, "common practice, from memory"},
    Rule{"control", "no face longer than {} without a control joint; a door frame as high as the wall counts as one", 9.144,
         "C840 and GA-216: 30 ft on walls, and on ceilings without relief along the walls (50 ft with it), read; area limits are left out"},
    Rule{"floor-line", "a wall higher than {} has movement joints at the floor lines behind it", 3.600, "common practice for stairwells and double-height walls, from memory"},
    Rule{"lift", "the team may lift the sheet, or there is a hoist", 0, "usual guideline for lifts by one and by teams, from memory: local rules come first"},
    Rule{"turn", "the sheet passes doors, turns and the lift on the way in", 0, "geometry"},
};

}  // namespace

std::span<const Rule> rules() { return all; }

const Rule& rule(std::string_view id) {
  for (const Rule& r : all)
    if (r.id == id) return r;
  throw std::logic_error("no such rule");
}

std::string rule_text(const Rule& r, Units units) { return fmt::format(fmt::runtime(r.says), length_text(units, r.limit)); }

}  // namespace rakelight
