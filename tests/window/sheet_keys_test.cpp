// Every key of the table of keys is edited in the sheet, with a control that fits, and answered as the command line answers it.
// A key that is added without any of this fails here.
#include <catch2/catch.hpp>

#include <set>
#include <fmt/format.h>

#include "job/values.h"
#include "script.h"
#include "small_job.h"
#include "window/job_values.h"
#include "window/sheet_edits.h"

namespace rakelight {
namespace {

/// A job in which every table has an entry, so that every key has a row.
std::string full_job() {
  std::string text = with_hand_lamp();
  text.replace(text.find("paint = \"matt\""), 14, "paint = { class = \"matt\" }");  // its keys show below it
  text += "\n[[door]]\nwall = \"door\"\nfrom_left = 900\n\n[[joint]]\nid = \"long/B1\"\n";
  return text;
}

TablePlace place_of(const KeyRow& row) {
  const auto dot = row.table.find('.');
  const std::string table(row.table.substr(0, dot));
  const TableRow* known = find_table(table);
  return {table, known && known->many ? 0 : -1, dot == row.table.npos ? "" : std::string(row.table.substr(dot + 1))};
}

/// What a person might type for a key: right by its kind. Every kind is named, so that a new one does not compile without.
std::vector<std::string> right_fields(const KeyRow& row) {
  const std::string least = fmt::format("{}", row.least), middle = fmt::format("{}", row.least == row.most ? row.least : std::max(1.0, std::ceil(row.least)));
  const auto words = split_words(row.words);
  switch (row.kind) {
    case KeyKind::whole: case KeyKind::number: case KeyKind::degrees: case KeyKind::length: case KeyKind::angle: case KeyKind::lengths: case KeyKind::lengths_in_order:
      return {row.least <= 1 && row.most < 1 ? fmt::format("{}", row.most) : middle};
    case KeyKind::text: return {row.key == "run" ? "upright" : "\"a\" = # b"};
    case KeyKind::word: case KeyKind::word_or_number: case KeyKind::word_or_table: case KeyKind::words: return {words.back()};
    case KeyKind::size: return {"400", "500"};
    case KeyKind::point: return {"400", "500", "600"};
    case KeyKind::direction: return {"0", "1", "0"};
    case KeyKind::place: return {"400", "500"};
    case KeyKind::flatness: return {"2", "1800"};
    case KeyKind::corners: return {"[[0, 0], [0, 4000], [4000, 4000]]"};
    case KeyKind::names: return {"one", "two", "three", "four"};
    case KeyKind::time: return {"2026-05-04 20:40"};
    case KeyKind::date: return {"2026-05-04"};
    case KeyKind::lamps: return {"spot", "{ name = \"work lamp\", dim = 0.4, at = [1, 2, 3], aim = [0, 1, 0] }"};
    case KeyKind::look: return {"1, 2, 3"};
    case KeyKind::paint: return {"matt"};
    case KeyKind::flag: return {"true"};
    case KeyKind::seen: return {"long", "2026-06-21 18:40"};
    case KeyKind::skyline: return {"0", "3", "90", "12", "180", "4"};
  }
  return {};
}

/// Wrong whatever the job says; empty where any text may be meant (names, files), which is judged by what it names.
std::vector<std::string> wrong_fields(const KeyRow& row) {
  switch (row.kind) {
    case KeyKind::text: case KeyKind::look: case KeyKind::paint: case KeyKind::names: return {};
    case KeyKind::word_or_table: case KeyKind::word: case KeyKind::words: case KeyKind::flag: return {"perhaps so"};
    case KeyKind::lamps: return {"{ name = \"spot\", dim = \"bright\" }"};
    case KeyKind::skyline: return {"200", "3", "90", "12"};
    case KeyKind::seen: return {"long", "one evening"};
    default: return std::vector<std::string>(static_cast<std::size_t>(field_count(row)), "perhaps so");
  }
}

std::vector<const KeyRow*> edited_rows() {
  std::vector<const KeyRow*> rows;
  for (const KeyRow& row : key_rows())
    if (row.status != KeyRow::Status::later) rows.push_back(&row);
  return rows;
}

}  // namespace

TEST_CASE("What is typed for any key reads as such a value, and shows again as it was typed") {
  const std::string job = full_job();
  int checked = 0;
  for (const KeyRow* row : edited_rows()) {
    if (row->table == "moment.lamps") continue;  // the lamps of a time are one control: the next case
    INFO(row->table << "." << row->key);
    for (const Units units : {Units::millimetre, Units::inch}) {
      const std::string value = value_of_fields(*row, units, right_fields(*row));
      const auto node = parse_value(value);
      REQUIRE(node);
      Diagnostics said;
      const JobText text = with_key(JobText(job), place_of(*row), std::string(row->key), value, said);
      REQUIRE(said.ok());
      const auto file = parse_tree(text.text(), said);
      REQUIRE(file);
      const TomlNode* written = key_node(*file, place_of(*row), row->key);
      REQUIRE(written);
      const std::vector<std::string> shown = fields_of(*row, *written, text.text());
      CHECK(value_of_fields(*row, units, shown) == value);
      // the job may not want it, but takes it for a value of this key
      Diagnostics read;
      read_job(text, read);
      for (const Diagnostic& d : read.all()) {
        INFO(d.wrong);
        CHECK(d.wrong.find(std::string(row->key) + (row->table.empty() ? " cannot " : " of ")) != 0);
      }
    }
    ++checked;
  }
  CHECK(checked > 150);
}

TEST_CASE("What cannot be a key's value is answered below its row in the words of check") {
  const std::string job = full_job();
  int checked = 0;
  for (const KeyRow* row : edited_rows()) {
    if (row->table == "moment.lamps") continue;
    const std::vector<std::string> fields = wrong_fields(*row);
    if (fields.empty()) continue;
    INFO(row->table << "." << row->key);
    Model m{job};
    SheetDesk desk;
    CHECK_FALSE(set_fields(m, desk, place_of(*row), *row, fields));
    CHECK(m.history.now().text == job);
    Diagnostics wanted;
    check_text(with_key(JobText(job), place_of(*row), std::string(row->key), value_of_fields(*row, Units::millimetre, fields), wanted), {}, wanted);
    REQUIRE_FALSE(wanted.ok());
    const auto& wrong = desk.wrong.at(key_id(place_of(*row), row->key));
    CHECK(wrong.fields == fields);
    CHECK(wrong.said == check_words(wanted, {}));
    ++checked;
  }
  CHECK(checked > 130);
}

TEST_CASE("The lamps of a time are a row each, and every key of such a lamp is in it") {
  const KeyRow& lamps = *find_key("moment", "lamps");
  const std::string all = "{ name = \"work lamp\", dim = 0.4, at = [1, 2, 3], aim = [0, 1, 0] }";
  const LampItem item = lamp_item(all);
  CHECK(item.name == "work lamp");
  CHECK(lamp_field(item) == all);
  CHECK(lamp_field({"spot", "", {}, {}}) == "spot");
  CHECK(lamp_item("spot").name == "spot");
  const auto node = parse_value(all);
  REQUIRE(node);
  // a key that is added to the table of a moment's lamps wants its place in LampItem
  int keys = 0;
  for (const KeyRow& row : key_rows())
    if (row.table == "moment.lamps") {
      INFO(row.key);
      CHECK(node->find(row.key));
      ++keys;
    }
  CHECK(static_cast<std::size_t>(keys) == node->entries.size());
  CHECK(value_of_fields(lamps, Units::millimetre, {"spot", all}) == "[\"spot\", " + all + "]");
}

TEST_CASE("Every key of every section stands in the sheet with a control that fits it") {
  const JobFile job("keys", full_job());
  Script s(job.path(), 1280, 800);
  s.until([&] { return s.window.found() && s.window.found()->study; });
  s.key('E');
  s.frames(3);
  std::set<std::string> sections{""};
  for (const TableRow& table : table_rows()) sections.insert(std::string(table.name));
  int found = 0;
  for (const std::string& section : sections) {
    INFO(section);
    s.click("section " + section);
    s.frames(2);
    if (section == "finishing") {
      s.click("more finishing.workmanship.");
      s.frames(2);
    }
    for (const KeyRow* row : edited_rows()) {
      const std::string table(row->table.substr(0, row->table.find('.')));
      if (table != section || row->table == "moment.lamps") continue;
      const std::string id = key_id(place_of(*row), row->key);
      INFO(id);
      const auto has = [&](const std::string& mark) { return s.window.spot(mark).has_value(); };
      switch (control_of(*row)) {
        case Control::fields:
          for (int i = 0; i < field_count(*row); ++i) CHECK(has(i == 0 ? "key " + id : fmt::format("key {}.{}", id, i + 1)));
          break;
        case Control::tick: case Control::choice: case Control::lamps: CHECK(has("key " + id)); break;
        case Control::ticks:
          CHECK(has("key " + id));
          for (const std::string& word : split_words(row->words)) CHECK(has("tick " + id + " " + word));
          break;
        case Control::choices: CHECK((has("key " + id) && has("split " + id + " 0"))); break;
        case Control::bearings: CHECK((has("round " + id) && has("key " + id))); break;
        case Control::outline: CHECK(has(row->kind == KeyKind::corners ? "key room.x[0]" : "key room.walls[0]")); break;
      }
      // a list or a table is not typed as raw text
      if (control_of(*row) == Control::fields) CHECK((row->kind != KeyKind::lamps && row->kind != KeyKind::skyline && row->kind != KeyKind::words && row->kind != KeyKind::names && row->kind != KeyKind::corners));
      ++found;
    }
  }
  CHECK(found > 150);
  CHECK(s.window.complaints() == "");
}

TEST_CASE("Skyline, lamps, the sun that was seen, ticks and lists of words are edited by their own controls") {
  const JobFile job("controls", full_job());
  Script s(job.path(), 1280, 1000);
  s.until([&] { return s.window.found() && s.window.found()->study; });
  const Model& m = s.window.model();
  const auto text = [&] { return m.history.now().text; };
  const auto has = [&](const std::string& words) { return text().find(words) != std::string::npos; };
  s.key('E');
  s.frames(3);
  s.click("section site");
  s.frames(2);
  s.click("round site.skyline");
  s.frames(2);
  s.click("choice round site.skyline 1");
  s.frames(2);
  CHECK(has("skyline = [[0, 3], [180, 3]]"));
  s.fill("key site.skyline.2", "12");
  s.frames(2);
  CHECK(has("skyline = [[0, 12], [180, 3]]"));
  s.click("split site.skyline 0");
  s.frames(2);
  CHECK(has("skyline = [[0, 12], [90, 12], [180, 3]]"));
  s.fill("key site.skyline.3", "200");
  s.frames(2);
  CHECK(has("skyline = [[0, 12], [90, 12], [180, 3]]"));
  CHECK(s.window.spot("said site.skyline"));  // bearings ascend
  s.fill("key site.skyline.3", "80");
  s.frames(2);
  CHECK(has("skyline = [[0, 12], [80, 12], [180, 3]]"));
  s.click("leave site.skyline 0");
  s.frames(2);
  CHECK(has("skyline = [[80, 12], [180, 3]]"));
  s.click("round site.skyline");
  s.frames(2);
  s.click("choice round site.skyline 0");
  s.frames(2);
  CHECK(has("skyline = 12\n"));

  s.click("section moment");
  s.frames(2);
  s.click("entry moment 1");
  s.frames(2);
  s.fill("dim moment[1].lamps spot", "0.4");
  s.frames(2);
  CHECK(has("lamps = [{ name = \"spot\", dim = 0.4 }, { name = \"work lamp\", at = [120, 1800, 1300] }]"));
  s.fill("held moment[1].lamps work lamp.2", "1900");
  s.frames(2);
  CHECK(has("{ name = \"work lamp\", at = [120, 1900, 1300] }"));
  s.click("lamp moment[1].lamps spot");
  s.frames(2);
  CHECK(has("lamps = [{ name = \"work lamp\", at = [120, 1900, 1300] }]"));
  s.click("key moment[1].lamps");
  s.frames(2);
  s.click("choice key moment[1].lamps 1");
  s.frames(2);
  CHECK(has("sky = \"none\"\nlamps = \"on\"\n"));

  // a lamp's new name goes to the times that switch it, a wall's to all that names it
  s.key('Z', true);
  s.click("section lamp");
  s.frames(2);
  s.click("entry lamp 1");
  s.frames(2);
  s.fill("key lamp[1].name", "torch");
  s.frames(2);
  CHECK(has("lamps = [{ name = \"torch\", at = [120, 1900, 1300] }]"));
  s.click("section room");
  s.frames(2);
  s.fill("key room.walls[0]", "tall");
  s.frames(2);
  CHECK(has("walls = [\"tall\", \"street\", \"party\", \"door\"]"));
  CHECK(has("look = \"tall\""));
  CHECK(has("id = \"tall/B1\""));
  CHECK_FALSE(has("\"long\""));

  s.click("section finishing");
  s.frames(2);
  s.click("leave finishing.compound 1");
  s.frames(2);
  CHECK(has("compound = [\"setting\", \"drying\"]"));
  s.click("key finishing.compound.2");
  s.frames(2);
  s.click("choice finishing.compound.2 lightweight");
  s.frames(2);
  CHECK(has("compound = [\"setting\", \"lightweight\"]"));
  while (m.history.can_undo()) s.key('Z', true);
  CHECK(text() == full_job());
  CHECK(s.window.complaints() == "");
}

}  // namespace rakelight
