// Reads data files (schemes, limits): typed keys, every complaint with its place.
#pragma once
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostics.h"
#include "job/tree.h"

namespace rakelight {

/// A table of a data file. Each getter reports a key that is missing or not what it must be to `diagnostics` and
/// returns nothing of worth then; `metres` are written in mm. The node and the diagnostics must outlive it.
class DataTable {
 public:
  DataTable(const TomlNode& node, Diagnostics& diagnostics) : node_(&node), diagnostics_(&diagnostics) {}
  Span at() const { return node_->at; }
  /// The place of a key's value, or of the table without it.
  Span at(std::string_view key) const;
  bool has(std::string_view key) const { return node_->find(key) != nullptr; }

  std::string text(std::string_view key) const;
  std::string text(std::string_view key, const std::string& otherwise) const { return has(key) ? text(key) : otherwise; }
  /// One of `words`, else reported.
  std::string word(std::string_view key, const std::vector<std::string>& words) const;
  double number(std::string_view key) const;              ///< >= 0
  double number(std::string_view key, double otherwise) const { return has(key) ? number(key) : otherwise; }
  double metres(std::string_view key) const;              ///< >= 0
  double metres(std::string_view key, double otherwise) const { return has(key) ? metres(key) : otherwise; }
  double fraction(std::string_view key) const;            ///< 0 to 1
  int count(std::string_view key) const;                  ///< whole, 0 to 20
  bool flag(std::string_view key) const;
  bool flag(std::string_view key, bool otherwise) const { return has(key) ? flag(key) : otherwise; }
  std::vector<double> list_of_numbers(std::string_view key) const;  ///< >= 0
  std::vector<double> list_of_metres(std::string_view key) const;
  std::vector<std::string> list_of_texts(std::string_view key) const;
  /// A table by its name; without it the complaint and an empty table.
  DataTable sub(std::string_view key) const;
  /// A list of tables; none when the key is absent.
  std::vector<DataTable> subs(std::string_view key) const;
  /// Complains of keys that no getter has asked for.
  void finish() const;
  /// Complains at a key.
  void wrong(std::string_view key, const std::string& what, const std::string& right) const;

 private:
  const TomlNode* value(std::string_view key, const char* right) const;
  const TomlNode* node_;
  Diagnostics* diagnostics_;
  mutable std::set<std::string, std::less<>> asked_;
};

/// The tree of an embedded file of assets. Throws std::logic_error when it is missing or broken.
TomlNode embedded_tree(const std::string& file);
/// Throws std::logic_error with all complaints when there is an error: embedded data is the program's own.
void require_sound(const std::string& file, const Diagnostics& diagnostics);

}  // namespace rakelight
