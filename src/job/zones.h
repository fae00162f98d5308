// Where the city of a time zone lies, for jobs that give a zone and no coordinates.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace rakelight {

struct ZoneCity {
  double latitude_deg = 0, longitude_deg = 0;  ///< degrees north, east
  std::string city;
};

/// The city of an IANA zone name (zone.tab of the tz database); empty when the zone has none.
std::optional<ZoneCity> zone_city(std::string_view zone);
std::vector<std::string> zone_names();

}  // namespace rakelight
