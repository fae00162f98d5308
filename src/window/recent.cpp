#include "window/recent.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "report/report.h"
#include "window/window.h"

namespace rakelight {
namespace {
constexpr std::size_t most = 8;
}

std::string usual_state_folder() {
  if (const char* state = std::getenv("XDG_STATE_HOME"); state && *state) return std::string(state) + "/rakelight";
  if (const char* home = std::getenv("HOME"); home && *home) return std::string(home) + "/.local/state/rakelight";
  return "";
}

std::vector<std::string> read_recent(const std::string& state_folder) {
  std::vector<std::string> recent;
  if (state_folder.empty()) return recent;
  std::ifstream in(state_folder + "/recent");
  for (std::string line; std::getline(in, line) && recent.size() < most;)
    if (!line.empty()) recent.push_back(line);
  return recent;
}

void remember_recent(const std::string& state_folder, const std::string& path, std::vector<std::string>& recent) {
  std::error_code ignored;
  const std::string full = std::filesystem::absolute(path, ignored).string();
  std::erase(recent, full);
  recent.insert(recent.begin(), full);
  if (recent.size() > most) recent.resize(most);
  if (state_folder.empty()) return;
  std::filesystem::create_directories(state_folder, ignored);
  std::string text;
  for (const std::string& p : recent) text += p + "\n";
  try {
    write_file(state_folder + "/recent", text);
  } catch (const std::exception&) {
    // a list of conveniences is no reason to stop anybody's work
  }
}

}  // namespace rakelight
