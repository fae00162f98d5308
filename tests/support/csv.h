// Reads the reference tables in tests/reference: comma separated, '#' starts a comment line, the first
// other line holds the column names. Quoted cells may contain commas.
#pragma once
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

namespace reference {

struct Row {
  std::map<std::string, std::string> cell;
  const std::string& text(const std::string& column) const {
    auto it = cell.find(column);
    if (it == cell.end()) throw std::runtime_error("no column " + column);
    return it->second;
  }
  double number(const std::string& column) const { return std::stod(text(column)); }
  bool has(const std::string& column) const {
    auto it = cell.find(column);
    return it != cell.end() && !it->second.empty();
  }
};

inline std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> out(1);
  bool quoted = false;
  for (char c : line) {
    if (c == '"') quoted = !quoted;
    else if (c == ',' && !quoted) out.emplace_back();
    else if (c != '\r') out.back() += c;
  }
  return out;
}

/// All rows of tests/reference/<name>. Throws std::runtime_error when the file is missing.
inline std::vector<Row> table(const std::string& name) {
  std::ifstream in(std::string(RAKELIGHT_REFERENCE_DIR) + "/" + name);
  if (!in) throw std::runtime_error("missing tests/reference/" + name);
  std::vector<std::string> columns;
  std::vector<Row> rows;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    auto cells = split(line);
    if (columns.empty()) {
      columns = cells;
      continue;
    }
    Row row;
    for (std::size_t i = 0; i < cells.size() && i < columns.size(); ++i) row.cell[columns[i]] = cells[i];
    rows.push_back(row);
  }
  return rows;
}

}  // namespace reference
