// The committed page is the generated one.
#include <catch2/catch.hpp>
#include <fstream>
#include <set>
#include <sstream>

#include "job/fields.h"
#include "job/keys.h"
#include "job/read.h"
#include "job/tree.h"

using namespace rakelight;

namespace {
const std::string page_file = RAKELIGHT_SOURCE_DIR "/docs/user/job-file.md";
}

TEST_CASE("docs/user/job-file.md is what the key table says") {
  std::ifstream in(page_file, std::ios::binary);
  std::stringstream committed;
  committed << in.rdbuf();
  INFO("make it again: unit_job \"[.bless]\"");
  CHECK(committed.str() == job_file_page());
}

TEST_CASE("write docs/user/job-file.md", "[.bless]") {
  std::ofstream(page_file, std::ios::binary) << job_file_page();
}

TEST_CASE("every key of the table is on the page") {
  const std::string page = job_file_page();
  for (const KeyRow& row : key_rows()) CHECK(page.find("`" + std::string(row.key) + "`") != std::string::npos);
}

TEST_CASE("the key table is sound: keys once, defaults readable, tables known") {
  std::set<std::pair<std::string_view, std::string_view>> seen;
  for (const KeyRow& row : key_rows()) {
    INFO(row.table << "." << row.key);
    CHECK(seen.emplace(row.table, row.key).second);
    CHECK((row.table.empty() || row.table.find('.') != row.table.npos || find_table(row.table)));
    if (!row.standard.empty()) CHECK(parse_value(row.standard));
    if (!row.why.empty()) CHECK_FALSE(row.standard.empty());
    CHECK_FALSE(row.what.empty());
  }
}

TEST_CASE("every key that is supported fills a member of the job, and no other") {
  std::set<std::pair<std::string, std::string>> filled, built;
  auto in = [&](const char* table) { return [&filled, table](std::string_view key, const auto&) { filled.emplace(table, key); }; };
  const WindowSpec window; const DoorSpec door; const LampSpec lamp; const SurfaceSpec surface; const Job job;
  const JointSpec joint; const MomentSpec moment; const ViewerSpec viewer;
  site_fields(job.site, in("site"));
  room_fields(job.room, in("room"));
  window_fields(window, in("window"));
  door_fields(door, in("door"));
  lamp_fields(lamp, in("lamp"));
  surface_fields(surface, in("surface"));
  paint_fields(surface.paint, in("surface.paint"));
  framing_fields(job.framing, in("framing"));
  access_fields(job.access, in("access"));
  finishing_fields(job.finishing, in("finishing"));
  const MeasuredSpec measured;
  measured_fields(measured, in("finishing.workmanship"));
  joint_fields(joint, in("joint"));
  moment_fields(moment, in("moment"));
  const LampUse use;
  lamp_use_fields(use, in("moment.lamps"));
  viewer_fields(viewer, in("viewer"));
  verdict_fields(job.verdict, in("verdict"));
  rates_fields(job.rates, in("rates"));
  drying_fields(job.drying, in("drying"));
  paper_fields(job.paper, in("paper"));
  // read by hand, or words with one supported value and so without a member
  for (auto [table, key] : {std::pair{"room", "walls"}})
    CHECK(filled.emplace(table, key).second);
  for (const KeyRow& row : key_rows())
    if (!row.table.empty() && row.status != KeyRow::Status::later) built.emplace(row.table, row.key);
  CHECK(filled == built);
}
