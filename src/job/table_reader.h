// Reads one table of the file key by key against the key table, and reports what is left over.
#pragma once
#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "job/keys.h"
#include "job/tree.h"
#include "job/values.h"

namespace rakelight {

/// "site.latitude" or "latitude of [[window]]", as people name a key.
std::string key_label(std::string_view table, std::string_view key);
/// What to try instead of an unknown word.
std::string suggestion(std::string_view word, const std::vector<std::string>& known);
/// Reports `key` that `table` does not know.
void unknown_key(std::string_view table, std::string_view key, Span at, Diagnostics& diagnostics);

class TableReader {
 public:
  /// `node` may be null (the table is absent: all defaults). The text is quoted in messages.
  TableReader(std::string_view name, const TomlNode* node, ValueReader values, std::string_view text, Diagnostics& diagnostics)
      : name_(name), node_(node), values_(values), text_(text), diagnostics_(diagnostics) {}

  /// Where the table is: its heading, or the start of the file for an absent one.
  Span error_place() const { return node_ ? node_->at : Span{0, 0}; }

  /// Reads `key` into `out`: its value, else the default with the heading's span.
  template <class T> void operator()(std::string_view key, Key<T>& out) {
    const KeyRow& row = *find_key(name_, key);
    taken_.push_back(key);
    if (const TomlEntry* e = node_ ? node_->find(key) : nullptr) {
      out.given = true;
      out.at = e->value.at;
      T value{};
      if (values_.read(e->value, row, value)) out.value = std::move(value);
      else wrong_value(*e, row);
      return;
    }
    if (node_) out.at = node_->at;
    if (row.status == KeyRow::Status::required) {
      diagnostics_.error(error_place(), key_label(name_, key) + " is missing", std::string(key) + " = " + describe(row, values_.units()));
    } else if (!row.standard.empty()) {
      // the defaults of the table are in mm, whatever the file's unit
      T value{};
      if (ValueReader(Units::millimetre).read(*parse_value(row.standard), row, value)) out.value = std::move(value);
    }
  }

  /// The node of a key that is written, or null.
  const TomlNode* written(std::string_view key) const;
  /// Takes `key` off the list of what is left over: the caller reads it.
  void take(std::string_view key) { taken_.push_back(key); }
  /// Reports a value that is not what the row asks for, or a word that is not yet supported.
  void wrong_value(const TomlEntry& entry, const KeyRow& row);
  /// Checks the keys nobody read: not yet supported, only one value possible, or unknown.
  void finish();

 private:
  std::string_view name_;
  const TomlNode* node_;
  ValueReader values_;
  std::string_view text_;
  Diagnostics& diagnostics_;
  std::vector<std::string_view> taken_;
};

}  // namespace rakelight
