// Reading the tables that are embedded in the program: what is missing or ill-typed there is the program's own fault.
#pragma once
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include <toml++/toml.h>

#include "base/units.h"
#include "embedded_assets.h"
#include "joint/joint.h"

namespace rakelight {

[[noreturn]] inline void broken(const std::string& file, const std::string& what) {
  throw std::logic_error("embedded " + file + ": " + what);
}

/// A table of an embedded file; missing or ill-typed keys are the program's own fault.
class Embedded {
 public:
  Embedded(std::string file, const toml::table& table) : file_(std::move(file)), table_(table) {}
  std::string text(const char* key) const {
    auto v = table_[key].value<std::string>();
    if (!v) broken(file_, std::string("no text ") + key);
    return *v;
  }
  double number(const char* key) const {
    auto v = table_[key].value<double>();
    if (!v || !(*v >= 0)) broken(file_, std::string("no number >= 0 ") + key);
    return *v;
  }
  double metres(const char* key) const { return number(key) * m_per_mm; }
  double fraction(const char* key) const {
    double v = number(key);
    if (v > 1) broken(file_, std::string(key) + " above 1");
    return v;
  }
  int count(const char* key) const { return static_cast<int>(number(key)); }
  bool flag(const char* key, bool otherwise) const { return table_[key].value_or(otherwise); }
  bool flag(const char* key) const {
    auto v = table_[key].value<bool>();
    if (!v) broken(file_, std::string("no flag ") + key);
    return *v;
  }
  std::vector<double> list_of_metres(const char* key) const {
    const toml::array* array = table_[key].as_array();
    if (!array) broken(file_, std::string("no list ") + key);
    std::vector<double> out;
    for (const toml::node& node : *array) {
      auto v = node.value<double>();
      if (!v || !(*v >= 0)) broken(file_, std::string("not a number >= 0 in ") + key);
      out.push_back(*v * m_per_mm);
    }
    return out;
  }
  Spread spread(const char* key) const {
    std::vector<double> v = list_of_metres(key);
    if (v.size() != 2) broken(file_, std::string(key) + " is not [mean, sd]");
    return {v[0], v[1]};
  }
  Embedded sub(const char* key) const {
    const toml::table* t = table_[key].as_table();
    if (!t) broken(file_, std::string("no table ") + key);
    return {file_, *t};
  }
  std::vector<Embedded> subs(const char* key) const {
    std::vector<Embedded> out;
    const toml::array* array = table_[key].as_array();
    if (!array) broken(file_, std::string("no tables ") + key);
    for (const toml::node& node : *array) {
      const toml::table* t = node.as_table();
      if (!t) broken(file_, std::string("not a table in ") + key);
      out.emplace_back(file_, *t);
    }
    return out;
  }

 private:
  std::string file_;
  const toml::table& table_;
};

inline toml::table parse_embedded(const std::string& file) {
  std::string_view text = embedded_assets(file);
  if (text.empty()) broken(file, "missing");
  try {
    return toml::parse(text, file);
  } catch (const toml::parse_error& e) {
    broken(file, std::string(e.description()));
  }
}

}  // namespace rakelight
