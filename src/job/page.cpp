// docs/user/job-file.md from the key table.
#include <fmt/format.h>

#include "job/keys.h"
#include "job/read.h"

namespace rakelight {
namespace {

std::string cell(std::string_view text) {
  std::string out;
  for (char c : text) out += c == '|' ? std::string("\\|") : std::string(1, c);
  return out;
}

std::string upper_first(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string default_cell(const KeyRow& row) {
  if (row.status == KeyRow::Status::required) return "must be given";
  std::string text = standard_text(row, Units::millimetre);
  if (text.empty()) return "–";
  if (!row.why.empty()) text += ": " + std::string(row.why);
  return cell(text);
}

std::string key_table(std::string_view table) {
  std::string out, waiting;
  for (const KeyRow& row : key_rows()) {
    if (row.table != table) continue;
    if (row.status == KeyRow::Status::later) {
      waiting += fmt::format("{}`{}`", waiting.empty() ? "" : ", ", row.key);
      continue;
    }
    if (out.empty()) out = "| key | what it is | may be | without it |\n|---|---|---|---|\n";
    out += fmt::format("| `{}` | {} | {} | {} |\n", row.key, cell(row.what), cell(upper_first(describe(row, Units::millimetre))), default_cell(row));
  }
  if (!waiting.empty()) out += fmt::format("{}Known, but not yet supported: {}.\n", out.empty() ? "" : "\n", waiting);
  return out;
}

std::string usual_lamps_table() {
  std::string out = "\nWhat stands in for keys left out where the kind differs from a downlight:\n\n| kind | `aim` | `beam` | `flux` | `size` | from |\n|---|---|---|---|---|---|\n";
  std::size_t index = 0;
  for (const std::string& kind : split_words(find_key("lamp", "kind")->words)) {
    const auto which = static_cast<LampKind>(index++);
    const UsualLamp* usual = usual_lamp(which);
    if (!usual) continue;
    const std::string aim = which == LampKind::wall ? "away from the nearest wall" : usual->aim.z > 0 ? "up" : "down";
    out += fmt::format("| `{}` | {} | {} degrees | {} lumen{} | {} mm | {} |\n", kind, aim, usual->beam_deg, usual->flux,
                       which == LampKind::strip ? " a metre" : "", usual->size_mm, usual->why);
  }
  return out;
}

std::string values_not_yet() {
  std::string out;
  for (const KeyRow& row : key_rows()) {
    if (row.later.empty()) continue;
    std::string words;
    for (const std::string& word : split_words(row.later))
      words += (words.empty() ? "" : ", ") + (word == "[]" ? std::string("a list") : word == "{}" ? "a table" : "`" + word + "`");
    out += fmt::format("- `{}` of `{}`: {}\n", row.key, row.table, words);
  }
  return out;
}

}  // namespace

std::string job_file_page() {
  std::string out = R"(# The job file

<!-- Made from the program's table of keys. Do not edit: change src/job/keys.cpp and make it again. -->

A job is one text file: the room, its windows and lamps, the sheets, how they are finished, and the times and places
from which you want to know what shows. `rakelight new my-room.toml` writes one to start from; `rakelight check
my-room.toml` says what is wrong with it, line by line.

- Lengths are millimetres, as on building drawings. With `units = "inch"` at the top they are inches: numbers, or text
  such as `"8' 6-1/2\""`.
- Angles are degrees. Times are the clock at the site.
- A line is `key = value`. Words stand in quotes, numbers do not. What follows `#` is a note for people.
- `[room]` starts a table that stands once, `[[window]]` one that may stand many times.
- What you leave out takes the value in the last column, and every result lists the ones it used.
- A key the program does not know is an error, never skipped. So is one it knows and does not handle yet.

Two measures are worth a tape on site before anything else: which way the plan points (`north`), and how far each
window or lamp is from the wall it rakes.

## Top of the file

)";
  out += key_table("");
  for (const TableRow& table : table_rows()) {
    out += fmt::format("\n## {0}{1}{2}\n\n{3}\n\n{4}", table.many ? "[[" : "[", table.name, table.many ? "]]" : "]", table.what, key_table(table.name));
    if (table.name == "finishing")
      out += "\nWhen `workmanship` is a table of what was measured, `workmanship = { like = \"careful\", butt_crown = [0.9, 1.1, 1.0, 1.2] }`:\n\n" + key_table("finishing.workmanship");
    if (table.name == "surface")
      out += "\nWhen `paint` is a table, `paint = { class = \"low-sheen\", sealer = \"one coat\", applied = \"rolled\" }` ([paint](paint.md) says what it does):\n\n" + key_table("surface.paint");
    if (table.name == "lamp") out += usual_lamps_table();
    if (table.name == "moment")
      out += "\nAn item of `lamps` may be a table, `lamps = [\"evening\", { name = \"spot\", dim = 0.4 }]`:\n\n" + key_table("moment.lamps");
  }
  out += "\n## Values not yet supported\n\n" + values_not_yet();
  out += "\n## A job to start from\n\n```toml\n" + starter_job() + "```\n";
  return out;
}

}  // namespace rakelight
