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
