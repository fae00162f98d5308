#include "laws/rooms.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>

#include "job/read.h"

namespace laws {
namespace {
int mm(double metres) { return static_cast<int>(std::lround(metres * 1000)); }
}  // namespace

std::string window_text(const std::string& name, const std::string& wall, double from_left, double width) {
  return fmt::format("[[window]]\nname = \"{}\"\nwall = \"{}\"\nfrom_left = {}\nsill = 800\nwidth = {}\nheight = 1400\n", name, wall,
                     mm(from_left), mm(width));
}

std::string lamp_text(const std::string& name, double x, double y, double z, double flux) {
  return fmt::format("[[lamp]]\nname = \"{}\"\nkind = \"downlight\"\nat = [{}, {}, {}]\nsize = 80\nflux = {}\nbeam = 70\n", name, mm(x),
                     mm(y), mm(z), flux);
}

std::string viewer_text(const std::string& name, double x, double y, double z, const std::string& look) {
  return fmt::format("[[viewer]]\nname = \"{}\"\neye = [{}, {}, {}]\nlook = \"{}\"\n", name, mm(x), mm(y), mm(z), look);
}

std::string text_of(const RoomText& r) {
  return fmt::format(
      "format = 1\ntitle = \"law\"\n[site]\nlatitude = 52\nlongitude = 10\ntime_zone = \"Europe/Berlin\"\nnorth = 0\nskyline = 3\n"
      "[room]\ncorners = [[0, 0], [0, {1}], [{0}, {1}], [{0}, 0]]\nwalls = [\"left\", \"far\", \"right\", \"near\"]\nheight = 2600\n"
      "floor_reflectance = {2}\nwall_reflectance = {3}\nceiling_reflectance = {3}\n"
      "[[surface]]\nname = \"{4}\"\nrun = \"{5}\"\nsheet = [{6}, {7}]\nlevel = \"{8}\"\npaint = \"{9}\"\nreflectance = 0.8\n"
      "[finishing]\nscheme = \"c840\"\nworkmanship = \"{10}\"\n{11}\n{12}\n{13}\n{14}\n{15}\n",
      mm(r.width), mm(r.depth), r.floor_reflectance, r.wall_reflectance, r.boarded, r.run, mm(r.sheet_width), mm(r.sheet_length), r.level,
      r.paint, r.workmanship, r.windows, r.lamps, r.moments, r.viewers, r.extra);
}

std::unique_ptr<rakelight::Study> study_of(const std::string& text) {
  rakelight::Diagnostics diagnostics;
  std::unique_ptr<rakelight::Study> study;
  if (const auto job = rakelight::read_job(rakelight::JobText(text), diagnostics)) study = rakelight::make_study(*job, diagnostics);
  INFO(diagnostics.to_text("law.toml", text));
  REQUIRE(study);
  return study;
}

}  // namespace laws
