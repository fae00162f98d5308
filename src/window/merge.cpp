#include "window/merge.h"

#include <algorithm>
#include <cstdint>

namespace rakelight {

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    lines.push_back(text.substr(0, end));
    text.remove_prefix(end);
  }
  return lines;
}

std::vector<LineChange> line_changes(std::string_view text, std::string_view other) {
  constexpr std::size_t most = 4'000'000;  // cells of the table: 8 MB
  const std::vector<std::string_view> a = lines_of(text), b = lines_of(other);
  std::size_t head = 0, tail = 0;
  while (head < a.size() && head < b.size() && a[head] == b[head]) ++head;
  while (tail < a.size() - head && tail < b.size() - head && a[a.size() - 1 - tail] == b[b.size() - 1 - tail]) ++tail;
  const std::size_t n = a.size() - head - tail, m = b.size() - head - tail;
  if (n == 0 && m == 0) return {};
  if (n == 0 || m == 0 || n > UINT16_MAX || m > UINT16_MAX || (n + 1) * (m + 1) > most) return {{head, head + n, head, head + m}};
  // common[i][j]: the longest common subsequence of the lines from i and from j on
  std::vector<std::uint16_t> common((n + 1) * (m + 1), 0);
  const auto at = [&](std::size_t i, std::size_t j) -> std::uint16_t& { return common[i * (m + 1) + j]; };
  for (std::size_t i = n; i-- > 0;)
    for (std::size_t j = m; j-- > 0;)
      at(i, j) = a[head + i] == b[head + j] ? static_cast<std::uint16_t>(at(i + 1, j + 1) + 1) : std::max(at(i + 1, j), at(i, j + 1));
  std::vector<LineChange> changes;
  std::size_t i = 0, j = 0;
  while (i < n || j < m) {
    if (i < n && j < m && a[head + i] == b[head + j]) {
      ++i, ++j;
      continue;
    }
    LineChange change{head + i, head + i, head + j, head + j};
    while ((i < n || j < m) && !(i < n && j < m && a[head + i] == b[head + j])) {
      if (j >= m || (i < n && at(i + 1, j) >= at(i, j + 1))) ++i;
      else ++j;
    }
    change.to = head + i;
    change.other_to = head + j;
    changes.push_back(change);
  }
  return changes;
}

std::optional<std::string> merged(std::string_view base, std::string_view mine, std::string_view theirs) {
  const std::vector<std::string_view> b = lines_of(base), m = lines_of(mine), t = lines_of(theirs);
  const std::vector<LineChange> my = line_changes(base, mine), their = line_changes(base, theirs);
  std::string out;
  std::size_t at = 0, i = 0, j = 0;
  const auto put = [&](const LineChange& change, const std::vector<std::string_view>& from) {
    for (; at < change.from; ++at) out += b[at];
    for (std::size_t k = change.other_from; k < change.other_to; ++k) out += from[k];
    at = change.to;
  };
  const auto same = [&](const LineChange& x, const LineChange& y) {
    return x.from == y.from && x.to == y.to && x.other_to - x.other_from == y.other_to - y.other_from &&
           std::equal(m.begin() + static_cast<std::ptrdiff_t>(x.other_from), m.begin() + static_cast<std::ptrdiff_t>(x.other_to), t.begin() + static_cast<std::ptrdiff_t>(y.other_from));
  };
  while (i < my.size() || j < their.size()) {
    if (i < my.size() && j < their.size()) {
      const LineChange &x = my[i], &y = their[j];
      if (same(x, y)) {
        put(x, m);
        ++i, ++j;
        continue;
      }
      const bool overlap = x.from < y.to && y.from < x.to, both_added = x.from == x.to && y.from == y.to && x.from == y.from;
      const bool added_within = (x.from == x.to && y.from < x.from && x.from < y.to) || (y.from == y.to && x.from < y.from && y.from < x.to);
      if (overlap || both_added || added_within) return std::nullopt;
    }
    // of two that begin at one line, what is added before it comes first
    const bool mine_first = j >= their.size() || (i < my.size() && (my[i].from < their[j].from || (my[i].from == their[j].from && my[i].to <= their[j].to)));
    if (mine_first) put(my[i++], m);
    else put(their[j++], t);
  }
  for (; at < b.size(); ++at) out += b[at];
  return out;
}

std::vector<LineSaid> difference(std::string_view first, std::string_view second) {
  const std::vector<std::string_view> a = lines_of(first), b = lines_of(second);
  std::vector<LineSaid> out;
  const auto put = [&](bool of_second, std::size_t index, std::string_view line) {
    while (line.ends_with('\n') || line.ends_with('\r')) line.remove_suffix(1);
    out.push_back({of_second, index + 1, std::string(line)});
  };
  for (const LineChange& c : line_changes(first, second)) {
    for (std::size_t i = c.from; i < c.to; ++i) put(false, i, a[i]);
    for (std::size_t i = c.other_from; i < c.other_to; ++i) put(true, i, b[i]);
  }
  return out;
}

}  // namespace rakelight
