#include "base/diagnostics.h"

#include <algorithm>
#include <fmt/format.h>

namespace rakelight {
namespace {

bool continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; }

std::size_t line_begin(std::string_view text, std::size_t offset) {
  while (offset > 0 && text[offset - 1] != '\n') --offset;
  return offset;
}

std::size_t line_end(std::string_view text, std::size_t offset) {
  while (offset < text.size() && text[offset] != '\n' && text[offset] != '\r') ++offset;
  return offset;
}

/// Splits into UTF-8 characters; control characters are shown as spaces so that a caret lines up.
std::vector<std::string> characters(std::string_view line) {
  std::vector<std::string> out;
  for (char c : line) {
    if (continuation(c) && !out.empty()) out.back() += c;
    else out.emplace_back(1, static_cast<unsigned char>(c) < 32 ? ' ' : c);
  }
  return out;
}

/// The source line cut to 100 columns around the place, and a line with a caret below it.
std::string excerpt(std::string_view text, Span at) {
  constexpr std::size_t most = 100;
  const std::size_t from = line_begin(text, at.begin), to = line_end(text, at.begin);
  const std::vector<std::string> line = characters(text.substr(from, to - from));
  const std::size_t column = characters(text.substr(from, at.begin - from)).size();
  std::size_t length = characters(text.substr(at.begin, std::min(std::max(at.end, at.begin), to) - at.begin)).size();
  std::size_t first = 0, last = line.size();
  std::string before, after;
  if (line.size() > most) {
    first = column > most / 2 ? column - most / 2 : 0;
    if (first + most > line.size()) first = line.size() - most;
    last = first + most;
    if (first > 0) before = "…";
    if (last < line.size()) after = "…";
  }
  std::string shown;
  for (std::size_t i = first; i < last; ++i) shown += line[i];
  length = std::clamp<std::size_t>(length, 1, std::max<std::size_t>(1, last > column ? last - column : 1));
  return fmt::format("    {}{}{}\n    {}{}\n", before, shown, after,
                     std::string(column - first + (before.empty() ? 0 : 1), ' '), "^" + std::string(length - 1, '~'));
}

}  // namespace

void Diagnostics::error(Span at, std::string wrong, std::string right, Span other, std::string other_says) {
  add({Diagnostic::Level::error, at, std::move(wrong), std::move(right), other, std::move(other_says)});
}

void Diagnostics::warn(Span at, std::string wrong, std::string right, Span other, std::string other_says) {
  add({Diagnostic::Level::warning, at, std::move(wrong), std::move(right), other, std::move(other_says)});
}

void Diagnostics::add(Diagnostic said) {
  const bool again = said.at.known() && std::any_of(all_.begin(), all_.end(), [&](const Diagnostic& d) { return d.at.begin == said.at.begin && d.wrong == said.wrong; });
  if (!again) all_.push_back(std::move(said));
}

bool Diagnostics::ok() const {
  return std::none_of(all_.begin(), all_.end(), [](const Diagnostic& d) { return d.level == Diagnostic::Level::error; });
}

Place place_of(std::string_view text, std::size_t offset) {
  offset = std::min(offset, text.size());
  Place place;
  place.line = 1 + static_cast<int>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(offset), '\n'));
  const std::size_t from = line_begin(text, offset);
  for (std::size_t i = from; i < offset; ++i)
    if (!continuation(text[i])) ++place.column;
  return place;
}

std::string Diagnostics::to_text(std::string_view file, std::string_view text) const {
  std::vector<Diagnostic> sorted = all_;
  std::stable_sort(sorted.begin(), sorted.end(), [](const Diagnostic& a, const Diagnostic& b) { return a.at.begin < b.at.begin; });
  std::string out;
  auto where = [&](Span at) {
    if (!at.known()) return std::string(file);
    const Place p = place_of(text, at.begin);
    return fmt::format("{}:{}:{}", file, p.line, p.column);
  };
  for (const Diagnostic& d : sorted) {
    out += fmt::format("{}: {}: {}\n", where(d.at), d.level == Diagnostic::Level::error ? "error" : "warning", d.wrong);
    if (d.at.known() && d.at.begin <= text.size()) out += excerpt(text, d.at);
    if (!d.right.empty()) out += fmt::format("    right would be: {}\n", d.right);
    if (d.other.known()) {
      out += fmt::format("{}: {}\n", where(d.other), d.other_says);
      out += excerpt(text, d.other);
    }
  }
  return out;
}

}  // namespace rakelight
