// No comment and no blank of a job's text is ever lost: jobs written in every way that the format allows, edited at random.
#include <catch2/catch.hpp>

#include <algorithm>
#include <fmt/format.h>

#include "base/random.h"
#include "job/value_splice.h"
#include "small_job.h"
#include "window/job_entries.h"
#include "window/job_values.h"
#include "window/renames.h"
#include "window/sheet_edits.h"

namespace rakelight {
namespace {

std::size_t pick(Random& random, std::size_t count) { return static_cast<std::size_t>(random.uniform() * static_cast<double>(count)); }

/// The text's comments, however they stand in it.
std::vector<std::string> comments_of(const std::string& text) {
  std::vector<std::string> all = comments_in(text, {0, text.size()});
  std::sort(all.begin(), all.end());
  return all;
}

/// The same job as somebody might have written it: comments behind and between lines and within lists, tabs, long lines,
/// letters of all kinds, blanks before line ends, other line ends, a byte order mark, no line end at the end.
std::string written_oddly(Random& random) {
  std::string lists = with_hand_lamp();
  const auto change = [&](const std::string& from, const std::string& to) {
    const auto at = lists.find(from);
    REQUIRE(at != std::string::npos);
    lists.replace(at, from.size(), to);
  };
  change("corners = [[0, 0], [0, 3600], [3000, 3600], [3000, 0]]", "corners = [\n[0, 0],\n[0, 3600],\n[3000, 3600],\n[3000,\n0]\n]");
  change("walls = [\"long\", \"street\", \"party\", \"door\"]", "walls = [\n\"long\",\n\"street\", \"party\",\n\"door\",\n]");
  change("north = 293\n", "north = 293\nskyline = [\n[0, 3],\n[90, 12],\n[180, 4]\n]\n");
  change("scheme = \"c840\"\n", "scheme = \"c840\"\ncompound = [\n\"setting\",\n\"setting\",\n\"drying\"\n]\ntools = [150, 200,\n300]\n");
  change("lamps = [\"spot\", { name", "lamps = [\n\"spot\",\n{ name");
  int number = 0;
  const auto comment = [&] {
    static const char* words[] = {"gemäß Plan", "[not] = a table", "'quotes \" here'", "漆 ½ ″", "# again", "\ttabs\tin it ", "= 3,"};
    std::string out = fmt::format("# {} {}", number++, words[pick(random, 7)]);
    if (random.uniform() < 0.05) out += std::string(4000, 'x');
    return out;
  };
  const bool crlf = random.uniform() < 0.5;
  const std::string newline = crlf ? "\r\n" : "\n";
  std::string out = random.uniform() < 0.3 ? "\xEF\xBB\xBF" : "";
  std::size_t at = 0;
  while (at < lists.size()) {
    const std::size_t end = std::min(lists.find('\n', at), lists.size());
    std::string line = lists.substr(at, end - at);
    at = end + 1;
    if (random.uniform() < 0.15) out += (random.uniform() < 0.5 ? "  " : "\t") + comment() + newline;
    if (random.uniform() < 0.1) out += std::string(pick(random, 3), ' ') + newline;
    if (random.uniform() < 0.4 && !line.empty()) line = (random.uniform() < 0.5 ? "\t" : "   ") + line;
    if (random.uniform() < 0.3 && line.find('#') == line.npos) line += std::string(random.uniform() < 0.5 ? " \t" : "") + (line.empty() ? "" : " ") + comment();
    else if (random.uniform() < 0.2) line += " \t ";
    out += line + (at >= lists.size() && random.uniform() < 0.3 ? "" : newline);
  }
  return out;
}

/// How much of both is the same from the front and from the back.
std::pair<std::size_t, std::size_t> common(const std::string& a, const std::string& b) {
  std::size_t front = 0, back = 0;
  while (front < a.size() && front < b.size() && a[front] == b[front]) ++front;
  while (back < a.size() - front && back < b.size() - front && a[a.size() - 1 - back] == b[b.size() - 1 - back]) ++back;
  return {front, back};
}

void edit_oddly(int jobs, int edits_each, std::uint64_t seed) {
  Random random(seed);
  int stood = 0, shorter = 0, taken_out = 0, renamed = 0;
  for (int run = 0; run < jobs; ++run) {
    const std::string start = written_oddly(random);
    Diagnostics sound;
    check_text(JobText(start), {}, sound);
    INFO(start);
    INFO(sound.to_text("job", start));
    REQUIRE(sound.ok());
    const bool crlf = start.find("\r\n") != start.npos;
    Model m{start};
    SheetDesk desk;
    std::vector<std::string> steps{start};
    for (int i = 0; i < edits_each; ++i) {
      const std::string before = m.history.now().text;
      const auto tree = tree_of(desk, m);
      REQUIRE(tree);
      const double what = random.uniform();
      bool entry_gone = false;
      if (what < 0.1) {
        const char* tables[] = {"window", "lamp", "moment", "viewer", "surface"};
        const std::string table = tables[pick(random, 5)];
        const int count = entry_count(*tree, table);
        if (count == 0) continue;
        entry_gone = true;
        const int index = static_cast<int>(pick(random, static_cast<std::size_t>(count)));
        const TomlNode* node = table_node(*tree, {table, index, ""});
        const std::size_t heading = line_begin(before, node->at.begin);
        if (!remove_entry(m, desk, table, index)) continue;
        ++taken_out;
        // all before the entry's heading stays, but for a blank line
        const std::string kept = before.substr(0, heading), now = m.history.now().text;
        const auto word_end = kept.find_last_not_of(" \t\r\n") + 1;
        CHECK(now.substr(0, word_end) == kept.substr(0, word_end));
      } else if (what < 0.2) {
        Diagnostics said;
        const auto names = wall_names(*tree);
        const JobText text = with_wall_named(JobText(before), pick(random, names.size()), fmt::format("wall {}", i), said);
        if (said.ok() && m.replace(text.text(), "renamed", said)) ++renamed;
      } else {
        std::vector<std::pair<TablePlace, const KeyRow*>> rows;
        for (const KeyRow& row : key_rows()) {
          if (row.table.find('.') != row.table.npos || row.status == KeyRow::Status::later) continue;
          const TableRow* table = find_table(row.table);
          const int count = table && table->many ? entry_count(*tree, std::string(row.table)) : 1;
          for (int e = 0; e < count; ++e) {
            const TablePlace place{std::string(row.table), table && table->many ? e : -1, ""};
            // what is written already, and lists above all, is what an edit can harm
            const TomlNode* written = key_node(*tree, place, row.key);
            for (int n = 0; n < (!written ? 1 : written->type == TomlNode::Type::list ? 20 : 5); ++n) rows.emplace_back(place, &row);
          }
        }
        const auto& [place, row] = rows[pick(random, rows.size())];
        const TomlNode* written = key_node(*tree, place, row->key);
        std::vector<std::string> fields = written ? fields_of(*row, *written, before) : usual_fields(*row, Units::millimetre);
        if (fields.empty() || random.uniform() < 0.2) fields.assign(static_cast<std::size_t>(field_count(*row)), "");
        else if (row->kind == KeyKind::skyline && fields.size() > 2) {
          const std::size_t pair = 2 * pick(random, fields.size() / 2);
          const auto from = fields.begin() + static_cast<std::ptrdiff_t>(pair);
          const double how = random.uniform();
          if (how < 0.3 && fields.size() > 4) fields.erase(from, from + 2);
          else if (how < 0.6) fields.insert(from + 2, {fields[pair], "7"});
          else fields[pair + 1] = std::to_string(pick(random, 40));
        } else if (any_count(*row) && fields.size() > 1) {
          const auto from = fields.begin() + static_cast<std::ptrdiff_t>(pick(random, fields.size()));
          if (random.uniform() < 0.5) fields.erase(from);
          else fields.insert(from, std::string(*from));
        } else if (random.uniform() < 0.8) {
          fields[pick(random, fields.size())] = std::to_string(pick(random, 3000));
        }
        if (set_fields(m, desk, place, *row, fields) && m.history.now().text != before) ++stood;
      }
      const std::string now = m.history.now().text;
      if (now == before) continue;
      steps.push_back(now);
      const auto [front, back] = common(before, now);
      INFO("was: " << before.substr(front > 40 ? front - 40 : 0, before.size() - back - front + 80));
      INFO("is: " << now.substr(front > 40 ? front - 40 : 0, now.size() - back - front + 80));
      if (!entry_gone) {
        const auto was = comments_of(before), is = comments_of(now);
        CHECK(is == was);
      }
      if (now.size() < before.size()) ++shorter;
      CHECK(now.starts_with("\xEF\xBB\xBF") == before.starts_with("\xEF\xBB\xBF"));
      const auto bare = [&](const std::string& text) { return std::count(text.begin(), text.end(), '\n') - static_cast<std::ptrdiff_t>(std::count(text.begin(), text.end(), '\r')); };
      if (crlf) CHECK(bare(now) == 0);
      else CHECK(now.find('\r') == now.npos);
    }
    for (std::size_t i = steps.size(); i-- > 0;) {
      REQUIRE(m.history.now().text == steps[i]);
      if (i > 0) m.undo();
    }
    REQUIRE_FALSE(m.history.can_undo());
  }
  CHECK(stood > jobs * edits_each / 20);
  CHECK(shorter > jobs);
  CHECK(taken_out > 0);
  CHECK(renamed > 0);
}

}  // namespace

TEST_CASE("Jobs written in every way are edited at random: no comment is lost, line ends and the mark at the front stay, undo brings the very bytes") { edit_oddly(12, 60, 7); }
TEST_CASE("The same of many more jobs", "[long]") { edit_oddly(300, 60, 8); }

}  // namespace rakelight
