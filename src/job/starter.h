// A job to start from.
#pragma once
#include <string>

namespace rakelight {

/// A rectangular room with one window and one door at usual places, its long wall boarded.
struct FirstRoom {
  double length = 5, width = 4, height = 2.5;  ///< of the long wall, of the window's wall, floor to ceiling; m
  std::string zone = "Europe/London";          ///< one of zone_names()
  double north_deg = 300;                      ///< bearing of the plan's upward direction, to which the window looks
  bool invented = true;                        ///< an example, with a lamp and a place to stand; else somebody's own room
  bool inches = false;                         ///< the file in inches, sheets in feet; lengths to an eighth of an inch
};

/// A small commented job that reads without a diagnostic: of the example (`rakelight new`), or of a room of one's own. Its
/// times are named for the half of the earth that the zone's city lies in.
std::string starter_job(const FirstRoom& room = {});

}  // namespace rakelight
