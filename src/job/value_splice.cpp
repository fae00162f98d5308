#include "job/value_splice.h"

#include <algorithm>

namespace rakelight {
namespace {

bool blank(char c) { return c == ' ' || c == '\t'; }
bool gap(char c) { return blank(c) || c == '\r' || c == '\n'; }

std::string raw_of(const TomlNode& node, std::string_view text) { return std::string(text.substr(node.at.begin, node.at.end - node.at.begin)); }

/// The end of the text value that begins at `at`, where a quote stands.
std::size_t text_end(std::string_view text, std::size_t at, std::size_t limit) {
  const char quote = text[at];
  const std::string three(3, quote);
  const bool many_lines = text.substr(at, 3) == three;
  std::size_t i = at + (many_lines ? 3 : 1);
  while (i < limit) {
    if (quote == '"' && text[i] == '\\') i += 2;
    else if (many_lines ? text.substr(i, 3) == three : text[i] == quote) {
      i += many_lines ? 3 : 1;
      while (many_lines && i < limit && text[i] == quote) ++i;  // up to two quotes may stand before the three that end it
      return i;
    } else ++i;
  }
  return limit;
}

/// The first character from `at` on that is neither blank nor in a comment.
std::size_t past_gaps(std::string_view text, std::size_t at, std::size_t limit) {
  while (at < limit) {
    if (gap(text[at])) ++at;
    else if (text[at] == '#') at = std::min(text.find('\n', at), limit);
    else break;
  }
  return at;
}

class Change {
 public:
  Change(const std::string& text, std::string_view value) : text_(text), value_(value), newline_(newline_of(text)) {}

  std::string done(const TomlNode& from, const TomlNode& to) {
    one(from, to);
    std::stable_sort(splices_.begin(), splices_.end(), [](const Splice& a, const Splice& b) { return a.at.begin > b.at.begin; });
    std::string out = text_;
    for (const Splice& s : splices_) out.replace(s.at.begin, s.at.end - s.at.begin, s.with);
    const std::size_t line = line_begin(text_, from.at.begin);
    std::size_t first = line;
    while (first < text_.size() && blank(text_[first])) ++first;
    return out.insert(line, comment_lines(orphans_, text_.substr(line, first - line), newline_));
  }

 private:
  struct Splice { Span at; std::string with; };

  void put(Span at, std::string with) { splices_.push_back({at, std::move(with)}); }

  void one(const TomlNode& from, const TomlNode& to) {
    if (canonical(from, text_) == canonical(to, value_)) return;
    const bool both = from.type == to.type && from.form == TomlNode::Form::value;
    if (both && from.type == TomlNode::Type::list && !from.items.empty() && !to.items.empty()) list(from, to);
    else if (!(both && from.type == TomlNode::Type::table && table(from, to))) whole(from, to);
  }

  void whole(const TomlNode& from, const TomlNode& to) {
    put(from.at, raw_of(to, value_));
    for (std::string& c : comments_in(text_, from.at)) orphans_.push_back(std::move(c));
  }

  /// Whether the table could be changed key by key.
  bool table(const TomlNode& from, const TomlNode& to) {
    std::vector<const TomlEntry*> gone, come;
    for (const TomlEntry& e : from.entries)
      if (!to.find(e.key)) gone.push_back(&e);
    for (const TomlEntry& e : to.entries)
      if (!from.find(e.key)) come.push_back(&e);
    if (from.entries.empty() || gone.size() > 1 || (!gone.empty() && (!come.empty() || from.entries.size() == 1))) return false;
    for (const TomlEntry& e : from.entries)
      if (const TomlEntry* now = to.find(e.key)) {
        if (e.value.form != TomlNode::Form::value && canonical(e.value, text_) != canonical(now->value, value_)) return false;
      }
    for (const TomlEntry& e : from.entries)
      if (const TomlEntry* now = to.find(e.key)) one(e.value, now->value);
    for (const TomlEntry* e : gone) {
      const Span at = with_comma(text_, {e->key_at.begin, e->value.at.end});
      put(at, "");
      for (std::string& c : comments_in(text_, at)) orphans_.push_back(std::move(c));
    }
    std::string more;
    for (const TomlEntry* e : come) more += ", " + e->key + " = " + raw_of(e->value, value_);
    if (!more.empty()) {
      std::size_t end = 0;
      for (const TomlEntry& e : from.entries) end = std::max(end, e.value.at.end);
      put({end, end}, more);
    }
    return true;
  }

  void list(const TomlNode& from, const TomlNode& to) {
    const std::size_t n = from.items.size(), m = to.items.size();
    std::vector<std::string> a, b;
    for (const TomlNode& item : from.items) a.push_back(canonical(item, text_));
    for (const TomlNode& item : to.items) b.push_back(canonical(item, value_));
    std::size_t head = 0, tail = 0;
    while (head < n && head < m && a[head] == b[head]) ++head;
    while (tail < n - head && tail < m - head && a[n - 1 - tail] == b[m - 1 - tail]) ++tail;
    const std::size_t pairs = std::min(n, m) - head - tail;
    for (std::size_t i = head; i < head + pairs; ++i) one(from.items[i], to.items[i]);
    const std::size_t at = head + pairs;
    if (m > n) insert(from, at, to, m - n);
    else if (n > m) remove(from, at, at + (n - m));
  }

  std::optional<std::size_t> comma_after(const TomlNode& list, std::size_t item) const {
    const std::size_t at = past_gaps(text_, list.items[item].at.end, list.at.end);
    return at < list.at.end && text_[at] == ',' ? std::optional(at) : std::nullopt;
  }
  bool first_on_line(std::size_t at) const {
    for (std::size_t i = line_begin(text_, at); i < at; ++i)
      if (!blank(text_[i])) return false;
    return true;
  }

  void insert(const TomlNode& list, std::size_t at, const TomlNode& to, std::size_t count) {
    std::vector<std::string> items;
    for (std::size_t i = at; i < at + count; ++i) items.push_back(raw_of(to.items[i], value_));
    std::string joined;
    if (at == 0) {
      for (const std::string& item : items) joined += item + ", ";
      put({list.items[0].at.begin, list.items[0].at.begin}, joined);
      return;
    }
    const std::size_t end = list.items[at - 1].at.end;
    // one item a line: the new ones get lines of their own behind the line, comment and all, of the one before
    const auto comma = comma_after(list, at - 1);
    const std::size_t line_end = text_.find('\n', end);
    std::size_t rest = comma && *comma < line_end ? *comma + 1 : end;
    while (rest < text_.size() && (blank(text_[rest]) || text_[rest] == '\r')) ++rest;
    const bool own_line = first_on_line(list.items[at - 1].at.begin) && line_end != std::string::npos && line_end < list.at.end && (rest == line_end || text_[rest] == '#') && !(comma && *comma > line_end);
    if (!own_line) {
      for (const std::string& item : items) joined += ", " + item;
      put({end, end}, joined);
      return;
    }
    if (!comma) put({end, end}, ",");
    const std::size_t from = line_begin(text_, list.items[at - 1].at.begin);
    const std::string indent = text_.substr(from, list.items[at - 1].at.begin - from);
    for (std::size_t i = 0; i < items.size(); ++i) joined += indent + items[i] + (comma || i + 1 < items.size() ? "," : "") + newline_;
    put({line_end + 1, line_end + 1}, joined);
  }

  void remove(const TomlNode& list, std::size_t from, std::size_t to) {
    const std::size_t n = list.items.size();
    if (to == n && from > 0 && !comma_after(list, n - 1)) {
      const Span at{list.items[from - 1].at.end, list.items[n - 1].at.end};
      const std::string_view between = std::string_view(text_).substr(at.begin, at.end - at.begin);
      if (between.find('\n') == between.npos) return put(at, "");
    }
    for (std::size_t i = from; i < to; ++i) remove_item(list, i);
  }

  void remove_item(const TomlNode& list, std::size_t index) {
    Span at = list.items[index].at;
    for (std::string& c : comments_in(text_, at)) orphans_.push_back(std::move(c));
    if (const auto comma = comma_after(list, index)) {
      const std::string_view between = std::string_view(text_).substr(at.end, *comma - at.end);
      if (between.find_first_not_of(" \t") == between.npos) at.end = *comma + 1;
      else put({*comma, *comma + 1}, "");
    }
    std::size_t next = at.end;
    while (next < list.at.end && blank(text_[next])) ++next;
    if (first_on_line(at.begin)) {
      std::size_t end = next;
      if (text_[end] == '\r') ++end;
      if (text_[end] == '\n') at = {line_begin(text_, at.begin), end + 1};
      else at.end = next;
    } else if (gap(text_[next]) || text_[next] == ']') {
      while (blank(text_[at.begin - 1])) --at.begin;
    } else {
      at.end = next;
    }
    put(at, "");
  }

  const std::string& text_;
  std::string_view value_;
  std::string newline_;
  std::vector<Splice> splices_;
  std::vector<std::string> orphans_;
};

}  // namespace

std::string canonical(const TomlNode& node, std::string_view text) {
  std::string out;
  switch (node.type) {
    case TomlNode::Type::text:
      out = "\"";
      for (const char c : node.text) out += c == '"' || c == '\\' ? std::string{'\\', c} : std::string(1, c);
      return out + "\"";
    case TomlNode::Type::list:
      for (const TomlNode& item : node.items) out += (out.empty() ? "" : ", ") + canonical(item, text);
      return "[" + out + "]";
    case TomlNode::Type::table: {
      std::vector<std::string> keys;
      for (const TomlEntry& e : node.entries) keys.push_back(e.key + " = " + canonical(e.value, text));
      std::sort(keys.begin(), keys.end());
      for (const std::string& key : keys) out += (out.empty() ? "" : ", ") + key;
      return "{" + out + "}";
    }
    default: return raw_of(node, text);
  }
}

std::vector<std::string> comments_in(std::string_view text, Span at) {
  std::vector<std::string> out;
  std::size_t i = at.begin;
  while (i < at.end) {
    if (text[i] == '"' || text[i] == '\'') i = text_end(text, i, at.end);
    else if (text[i] == '#') {
      const std::size_t end = std::min(text.find('\n', i), at.end);
      std::string_view comment = text.substr(i, end - i);
      if (comment.ends_with('\r')) comment.remove_suffix(1);
      out.emplace_back(comment);
      i = end;
    } else ++i;
  }
  return out;
}

std::size_t line_begin(std::string_view text, std::size_t at) {
  const std::size_t before = at == 0 ? text.npos : text.rfind('\n', at - 1);
  return before != text.npos ? before + 1 : text.starts_with("\xEF\xBB\xBF") ? 3 : 0;
}

std::string newline_of(std::string_view text) { return text.find("\r\n") != text.npos ? "\r\n" : "\n"; }

std::string comment_lines(const std::vector<std::string>& comments, std::string_view indent, std::string_view newline) {
  std::string out;
  for (const std::string& c : comments) (out += indent) += c + std::string(newline);
  return out;
}

Span with_comma(std::string_view text, Span at) {
  std::size_t end = at.end;
  while (end < text.size() && gap(text[end])) ++end;
  if (end < text.size() && text[end] == ',') {
    ++end;
    while (end < text.size() && blank(text[end])) ++end;
    return {at.begin, end};
  }
  std::size_t begin = at.begin;
  while (begin > 0 && gap(text[begin - 1])) --begin;
  if (begin > 0 && text[begin - 1] == ',') return {begin - 1, at.end};
  return at;
}

std::string with_value(const std::string& text, const TomlNode& node, std::string_view value) {
  const auto to = parse_value(value);
  if (!to) return text;
  return Change(text, value).done(node, *to);
}

}  // namespace rakelight
