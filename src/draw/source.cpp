#include "draw/source.h"

#include <algorithm>
#include <cctype>
#include <regex>
#include <sstream>
#include <stdexcept>

#include "embedded_shaders.h"

namespace rakelight {
namespace {

void append(ShaderSource& out, const ShaderLoader& load, const std::string& path) {
  if (std::find(out.files.begin(), out.files.end(), path) != out.files.end()) return;
  const std::string text = load(path);
  if (text.empty()) throw std::runtime_error("no shader file " + path);
  const std::string number = std::to_string(out.files.size());
  out.files.push_back(path);
  out.text += "#line 1 " + number + "\n";
  static const std::regex include("\\s*#include\\s+\"([^\"]+)\"\\s*");
  std::istringstream lines(text);
  int line_number = 1;
  for (std::string line; std::getline(lines, line); ++line_number) {
    std::smatch found;
    if (std::regex_match(line, found, include)) {
      append(out, load, found[1]);
      out.text += "#line " + std::to_string(line_number + 1) + " " + number + "\n";
    } else {
      out.text += line + "\n";
    }
  }
}

}  // namespace

ShaderLoader embedded_loader() {
  return [](const std::string& path) { return std::string(embedded_shaders(path)); };
}

ShaderSource assemble_shader(const ShaderLoader& load, const std::string& path, int version, const std::string& defined) {
  ShaderSource out;
  // some drivers unroll every loop of fixed length around all that it calls, and then take half a minute to compile
  out.text = "#version " + std::to_string(version) + " core\n#pragma optionNV(unroll none)\n#define KERNEL\n";
  if (version >= 430) out.text += "#define STORAGE\n";
  out.text += defined;
  append(out, load, path);
  return out;
}

std::string ShaderSource::named(const std::string& message) const {
  // drivers write "FILE:LINE" or "FILE(LINE)" at the start of a line, glslangValidator "ERROR: FILE:LINE"
  static const std::regex place("^(ERROR: |WARNING: )?([0-9]+)([:(])([0-9]+)");
  std::istringstream lines(message);
  std::string out;
  for (std::string line; std::getline(lines, line);) {
    std::smatch found;
    if (std::regex_search(line, found, place)) {
      const auto file = static_cast<std::size_t>(std::stoul(found[2]));
      if (file < files.size())
        line = found[1].str() + files[file] + found[3].str() + found[4].str() + found.suffix().str();
    }
    out += line + "\n";
  }
  return out;
}

}  // namespace rakelight
