// The text of an EPW file into a calendar of hours.
#include "sky/climate.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/text.h"

namespace rakelight {
namespace {

constexpr std::array<int, 12> days_in_month{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

std::size_t hour_index(int month, int day, int hour) {
  int days = day - 1;
  for (int m = 1; m < month; ++m) days += days_in_month[static_cast<std::size_t>(m - 1)];
  return static_cast<std::size_t>(days * 24 + hour);
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r')) text.remove_suffix(1);
  return text;
}

/// The values of a line, trimmed.
std::vector<std::string_view> values_of(std::string_view line) {
  std::vector<std::string_view> values;
  for (std::size_t at = 0; at <= line.size();) {
    const std::size_t comma = std::min(line.find(',', at), line.size());
    values.push_back(trimmed(line.substr(at, comma - at)));
    at = comma + 1;
  }
  return values;
}

std::optional<double> number_of(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

class Reader {
 public:
  Reader(std::string_view text, Diagnostics& diagnostics) : text_(text), diagnostics_(diagnostics) {}

  std::optional<Climate> read() {
    bool located = false;
    for (std::size_t at = 0; at < text_.size() && errors_ < most_errors;) {
      const std::size_t end = std::min(text_.find('\n', at), text_.size());
      line_ = {at, end};
      const std::vector<std::string_view> values = values_of(text_.substr(at, end - at));
      at = end + 1;
      // a heading starts with a word, an hour with a year
      if (values[0].empty() && values.size() == 1) continue;
      const bool hour = values[0].find_first_not_of("+-.0123456789") == std::string_view::npos;
      if (hour) read_hour(values);
      else if (values[0] == "LOCATION") located = read_location(values);
      else if (values[0] == "DATA PERIODS") read_periods(values);
      else if (!located) {
        wrong("this is no EPW file", "a first line that starts with LOCATION");
        return std::nullopt;
      }
    }
    line_ = {0, 0};
    if (!located && errors_ == 0) wrong("the climate file has no LOCATION line", "an EPW file as it was published");
    if (climate_.given < 24 && errors_ == 0) wrong(fmt::format("the climate file has {} hours", climate_.given), "the hours of a year");
    if (errors_ > 0) return std::nullopt;
    return std::move(climate_);
  }

 private:
  static constexpr int most_errors = 20;

  void wrong(const std::string& what, const std::string& right) {
    ++errors_;
    diagnostics_.error(line_, what, right);
  }

  bool read_location(const std::vector<std::string_view>& values) {
    if (values.size() < 9) {
      wrong(fmt::format("LOCATION has {} values", values.size()), "place, state, country, source, number, latitude, longitude, zone, elevation");
      return false;
    }
    const auto latitude = number_of(values[6]), longitude = number_of(values[7]), zone = number_of(values[8]);
    if (!latitude || !longitude || !zone || std::abs(*latitude) > 90 || std::abs(*longitude) > 180 || std::abs(*zone) > 14) {
      wrong("LOCATION gives no place", "degrees north, degrees east and hours ahead of UTC as values 7 to 9");
      return false;
    }
    climate_.place = std::string(values[1]);
    climate_.latitude_deg = *latitude;
    climate_.longitude_deg = *longitude;
    climate_.zone_hours = *zone;
    return true;
  }

  void read_periods(const std::vector<std::string_view>& values) {
    if (values.size() > 2 && values[2] != "1") wrong(fmt::format("the climate file has {} records an hour", values[2]), "one");
  }

  void read_hour(const std::vector<std::string_view>& values) {
    if (values.size() < 24) return wrong(fmt::format("an hour with {} values", values.size()), "35 values, sky cover the 23rd");
    const auto month = number_of(values[1]), day = number_of(values[2]), hour = number_of(values[3]);
    const auto whole = [](std::optional<double> v, int least, int most) { return v && *v == std::floor(*v) && *v >= least && *v <= most; };
    if (!whole(month, 1, 12) || !whole(day, 1, days_in_month[static_cast<std::size_t>(*month - 1)]) || !whole(hour, 1, 24))
      return wrong(fmt::format("no such hour: month {}, day {}, hour {}", values[1], values[2], values[3]), "a date of the year and an hour from 1 to 24");
    ClimateHour h;
    const auto take = [&](std::size_t column, double missing, double scale, double& out) {
      const auto value = number_of(values[column]);
      if (!value) wrong(fmt::format("value {} is \"{}\"", column + 1, values[column]), "a number");
      else if (*value < missing) out = scale * *value;
    };
    take(7, 99.9, 1, h.dew_point);
    take(14, 9999, 1, h.direct_normal);
    take(15, 9999, 1, h.diffuse);
    take(22, 99, 0.1, h.cover);
    // some files write a small negative number for the instrument's night, and -9999 for nothing
    for (double* irradiance : {&h.direct_normal, &h.diffuse}) {
      if (*irradiance < -50) *irradiance = not_recorded;
      else if (*irradiance < 0) *irradiance = 0;
      if (*irradiance > 1500) *irradiance = not_recorded;
    }
    if (!(h.cover >= 0 && h.cover <= 1)) h.cover = not_recorded;
    if (!(h.dew_point > -90 && h.dew_point < 60)) h.dew_point = not_recorded;
    if (climate_.hours.empty()) climate_.hours.resize(366 * 24);
    climate_.hours[hour_index(static_cast<int>(*month), static_cast<int>(*day), static_cast<int>(*hour) - 1)] = h;
    ++climate_.given;
  }

  std::string_view text_;
  Diagnostics& diagnostics_;
  Climate climate_{{}, 0, 0, 0, {}, 0};  // a year's room is made when an hour comes
  Span line_;
  int errors_ = 0;
};

}  // namespace

const ClimateHour& Climate::at(int month, int day, int hour) const {
  const ClimateHour& h = hours[hour_index(month, day, hour)];
  if (month != 2 || day != 29 || h.has_sun() || h.cover >= 0) return h;
  return hours[hour_index(2, 28, hour)];
}

std::optional<Climate> read_climate(std::string_view text, Diagnostics& diagnostics) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  return Reader(text, diagnostics).read();
}

}  // namespace rakelight
