// Nodes of the text to typed values in SI, checked against the key's row.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "job/keys.h"
#include "job/tree.h"

namespace rakelight {

/// "8' 6-1/2\"", "6 1/2\"", "8'", "-3/4\"" to inches; feet before inches, a sign at the front only.
std::optional<double> inches_from_text(std::string_view text);

/// "flat" to "matt", "tapered" to "recessed", "mm" to "millimetre": other words of the trade for the same thing.
std::string usual_word(std::string_view key, const std::string& word);

/// Reads values of one file. Each `read` returns false when the node is not what the row asks for, without
/// a diagnostic.
class ValueReader {
 public:
  explicit ValueReader(Units units) : units_(units) {}
  Units units() const { return units_; }

  bool read(const TomlNode& node, const KeyRow& row, double& out) const;
  bool read(const TomlNode& node, const KeyRow& row, std::string& out) const;
  bool read(const TomlNode& node, const KeyRow& row, dvec2& out) const;
  bool read(const TomlNode& node, const KeyRow& row, dvec3& out) const;
  bool read(const TomlNode& node, const KeyRow& row, std::vector<dvec2>& out) const;
  bool read(const TomlNode& node, const KeyRow& row, std::vector<double>& out) const;
  bool read(const TomlNode& node, const KeyRow& row, std::vector<std::string>& out) const;
  bool read(const TomlNode& node, const KeyRow& row, LocalTime& out) const;
  bool read(const TomlNode& node, const KeyRow& row, bool& out) const;
  bool read(const TomlNode& node, const KeyRow& row, SeenSun& out) const;
  /// Any enum whose values stand in the order of the row's words.
  template <class E> requires std::is_enum_v<E> bool read(const TomlNode& node, const KeyRow& row, E& out) const {
    return word(node, row, out);
  }
  bool read(const TomlNode& node, const KeyRow& row, SkyName& out) const;
  bool read(const TomlNode& node, const KeyRow& row, Glass& out) const;
  bool read(const TomlNode& node, const KeyRow& row, RunSpec& out) const;

  /// Pairs of a skyline, [bearing, altitude] in rad; false for a plain number.
  bool read_skyline(const TomlNode& node, const KeyRow& row, std::vector<dvec2>& out) const;

  /// The item of a list that spoils it, or the whole node.
  const TomlNode& wrong_part(const TomlNode& node, const KeyRow& row) const;

 private:
  bool length(const TomlNode& node, const KeyRow& row, double& metres) const;
  template <class E> static bool word(const TomlNode& node, const KeyRow& row, E& out) {
    const int index = word_index(node, row);
    if (index >= 0) out = static_cast<E>(index);
    return index >= 0;
  }
  /// Index of a text node among the row's words, or -1.
  static int word_index(const TomlNode& node, const KeyRow& row);
  Units units_;
};

}  // namespace rakelight
