// A small invented room that is worked out quickly: one boarded wall, one window, one time, one place to stand.
#pragma once
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace rakelight {

inline constexpr const char* small_job = R"(# comments stay where they are
format = 1
title = "Small invented room"

[site]
latitude = 55.95
longitude = -3.19
time_zone = "Europe/London"
north = 293

[room]
corners = [[0, 0], [0, 3600], [3000, 3600], [3000, 0]]
walls = ["long", "street", "party", "door"]
height = 2400

[[window]]
name = "W1"
wall = "street"
from_left = 250   # this is what rakes the long wall
sill = 800
width = 1200
height = 1200

[[lamp]]
name = "spot"
kind = "downlight"
at = [250, 1800, 2400]

[[surface]]
name = "long"
run = "horizontal"
sheet = [1200, 2400]
level = "4"
paint = "matt"

[finishing]
scheme = "c840"

[[moment]]
name = "evening sun"
at = 2026-06-21T20:40:00
sky = "clear"

[[viewer]]
name = "chair"
eye = [2400, 600, 1500]
look = "long"
)";

/// The same with a hand lamp, which one of its times holds elsewhere.
inline std::string with_hand_lamp() {
  std::string text = small_job;
  text += "\n[[lamp]]\nname = \"work lamp\"\nkind = \"hand\"\nat = [150, 900, 1200]\naim = [0, 1, 0]\n"
          "\n[[moment]]\nname = \"by hand\"\nsky = \"none\"\nlamps = [\"spot\", { name = \"work lamp\", at = [120, 1800, 1300] }]\n";
  return text;
}

/// A small sound LM-63 file: one plane, five angles.
inline constexpr const char* small_lamp_file =
    "IESNA:LM-63-2002\n[TEST] none\n[MANUFAC] invented\n[LUMINAIRE] a plain lamp\nTILT=NONE\n1 -1 1 5 1 1 2 0.05 0.05 0\n1 1 10\n0 22.5 45 67.5 90\n0\n500 400 200 50 0\n";

inline std::string read_back(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {(std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>()};
}

/// A folder of its own with the job in it, gone at the end.
struct JobFile {
  std::filesystem::path folder;
  explicit JobFile(const std::string& name, const std::string& text = small_job) : folder(std::filesystem::temp_directory_path() / ("rakelight-" + name)) {
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder);
    std::ofstream(path(), std::ios::binary) << text;
  }
  ~JobFile() { std::filesystem::remove_all(folder); }
  JobFile(const JobFile&) = delete;
  JobFile& operator=(const JobFile&) = delete;
  std::string path() const { return (folder / "job.toml").string(); }
};

}  // namespace rakelight
