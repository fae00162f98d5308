// Rooms for the laws: jobs as text, read as a person's would be.
#pragma once
#include <memory>
#include <string>

#include "assess/assess.h"
#include "base/random.h"

namespace laws {

/// An oblong room, `width` × `depth` × 2.6 m: wall "left" runs along plan y at x = 0, "far" along x, "right", "near".
struct RoomText {
  double width = 4.2, depth = 4.8;                 ///< m
  double wall_reflectance = 0.6, floor_reflectance = 0.25;
  std::string boarded = "left";
  std::string run = "upright", level = "4", paint = "matt", workmanship = "everyday";
  double sheet_width = 1.2, sheet_length = 3.0;
  std::string windows, lamps, moments, viewers, extra;
};
std::string text_of(const RoomText& room);
std::string window_text(const std::string& name, const std::string& wall, double from_left, double width);
std::string lamp_text(const std::string& name, double x, double y, double z, double flux);
std::string viewer_text(const std::string& name, double x, double y, double z, const std::string& look);

/// Reads and builds; fails the test with the diagnostics when it cannot.
std::unique_ptr<rakelight::Study> study_of(const std::string& text);

}  // namespace laws
