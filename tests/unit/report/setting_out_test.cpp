// Setting out: lengths as on a tape, feathers to blades, labels that never lie on each other, DXF as R12 has it.
#include <catch2/catch.hpp>
#include <algorithm>
#include <sstream>

#include "report/setting_out.h"
#include "unit/room/rooms.h"

using namespace rakelight;

namespace {

Study study_of(Job job) {
  Study study;
  study.job = std::move(job);
  for (SurfaceSpec& s : study.job.surfaces) s.level = written(std::string("4"));
  study.job.finishing.tools = std::vector<double>{0.15, 0.2, 0.3};
  study.job.finishing.compound = std::vector<std::string>{"setting", "setting", "drying"};
  study.job.access.board_mass = 9.1;
  study.job.access.each_kg = 25;
  Diagnostics diagnostics;
  study.room = *make_room(study.job, diagnostics);
  study.scheme = *scheme("c840");
  study.work = *workmanship("everyday");
  study.layouts = lay_all(study.job, study.room, diagnostics);
  return study;
}

Study wall(double length, double height, bool window_in_it) {
  Job job = bare_job({{0, 0}, {0, length}, {4, length}, {4, 0}}, height);
  job.surfaces.push_back(boarded("A", {1.2, 3.0}));
  job.framing.at = {0, 1};
  job.framing.spacing = 0.6;
  job.framing.direction = std::string("upright");
  if (window_in_it) job.windows.push_back(window("W1", "A", 1.0, 0.9, 1.2, 1.0));
  for (WindowSpec& w : job.windows) w.reveal = written(0.0);
  return study_of(job);
}

/// The box that words take: DejaVu Sans is at most 0.62 em wide on average over such texts.
Rect box_of(const Words& w) {
  std::size_t shown = 0;
  for (char c : w.text) shown += (static_cast<unsigned char>(c) & 0xC0u) != 0x80u;
  const double length = 0.6 * w.size * static_cast<double>(shown), back = w.anchor == Words::Anchor::start ? 0 : w.anchor == Words::Anchor::middle ? 0.5 * length : length;
  if (w.upright) return {{w.at.x - 0.75 * w.size, w.at.y - length + back}, {w.at.x, w.at.y + back}};
  return {{w.at.x - back, w.at.y - 0.75 * w.size}, {w.at.x - back + length, w.at.y}};
}

int overlaps(const Drawing& d) {
  int count = 0;
  for (std::size_t a = 0; a < d.words.size(); ++a)
    for (std::size_t b = a + 1; b < d.words.size(); ++b) {
      const Rect p = box_of(d.words[a]), q = box_of(d.words[b]);
      if (std::min(p.hi.x, q.hi.x) - std::max(p.lo.x, q.lo.x) > 0.2 && std::min(p.hi.y, q.hi.y) - std::max(p.lo.y, q.lo.y) > 0.2) {
        UNSCOPED_INFO(d.words[a].text << " lies on " << d.words[b].text);
        ++count;
      }
    }
  return count;
}

}  // namespace

TEST_CASE("lengths for a tape") {
  CHECK(site_text(Units::millimetre, 2.4004) == "2400");
  CHECK(site_text(Units::inch, 96 * 0.0254) == "96\"");
  CHECK(site_text(Units::inch, 94.5 * 0.0254) == "94-1/2\"");
  CHECK(site_text(Units::inch, 0.3125 * 0.0254) == "5/16\"");
  CHECK(site_text(Units::inch, 15.99 * 0.0254) == "16\"");
}

TEST_CASE("feathers are rounded up to blades owned") {
  PlacedJoint joint;
  joint.recipe.room_left = joint.recipe.room_right = 1;
  const std::vector<double> tools{0.15, 0.2, 0.3};
  auto feather = [&](double left, double right) {
    joint.section.left = -left;
    joint.section.right = right;
    return feather_of(joint, tools);
  };
  CHECK(feather(0.125, 0.125).one_pull);
  CHECK(feather(0.125, 0.125).left == Approx(0.15));   // the blade of 300 spans 250
  CHECK_FALSE(feather(0.25, 0.25).one_pull);
  CHECK(feather(0.25, 0.25).right == Approx(0.3));     // a pull of the blade of 300 each side
  CHECK(feather(0.18, 0.10).left == Approx(0.2));
  CHECK(feather(0.18, 0.10).right == Approx(0.15));
  CHECK(feather(0.41, 0.41).left == Approx(0.425));    // wider than any blade: passes
  joint.recipe.room_right = 0.26;
  CHECK(feather(0.25, 0.25).right == Approx(0.26));
}

TEST_CASE("words on a setting-out never lie on each other, in strips least of all") {
  for (const bool window_in_it : {false, true})
    for (double height : {2.45, 2.65})
      for (double first_row : {0.0, 0.05, 0.25})
        for (const Run run : {Run::horizontal, Run::upright}) {
          const Study study = wall(6.2, height, window_in_it);
          const Plan plan = plan_of(study.job, study.room, 0, {run, 3.0, first_row, {3.0, 1.8, 0.6}});
          const Cutting cutting = cut_sheets({{0, "A", &plan.layout, 1.2, 3.0}});
          Drawing d;
          d.width = 297;
          d.height = 210;
          draw_setting_out(d, {12, 24}, {285, 198}, {&study, &plan, nullptr, &cutting});
          INFO("height " << height << ", first row " << first_row << ", " << (run == Run::upright ? "upright" : "horizontal") << (window_in_it ? ", window" : ""));
          CHECK(overlaps(d) == 0);
          for (const Words& w : d.words) {
            CHECK(box_of(w).lo.x > 0);
            CHECK(box_of(w).hi.x < 297);
            CHECK(box_of(w).hi.y < 210);
          }
        }
}

TEST_CASE("a long wall is set out in lengths under each other, nothing left out") {
  for (const Run run : {Run::horizontal, Run::upright}) {
    const Study study = wall(20.3, 2.65, true);
    const Plan plan = plan_of(study.job, study.room, 0, {run, 3.0, 0.25, {3.0, 1.8, 0.6}});
    const Cutting cutting = cut_sheets({{0, "A", &plan.layout, 1.2, 3.0}});
    Drawing d;
    d.width = 297;
    d.height = 210;
    CHECK(draw_setting_out(d, {12, 24}, {285, 198}, {&study, &plan, nullptr, &cutting}) <= 60);
    CHECK(overlaps(d) == 0);
    const auto said = [&](const std::string& text) { return std::count_if(d.words.begin(), d.words.end(), [&](const Words& w) { return w.text == text; }); };
    for (double stud : plan.framing.at) {
      INFO(stud);
      const std::string text = site_text(Units::millimetre, stud);
      CHECK(said(text) + said(text + "  end") >= 1);
    }
    for (const JointLine& j : plan.layout.joints)
      if (joins_sheets(j.kind)) {
        INFO(j.id);
        CHECK(said(j.id.substr(2)) >= 1);
      }
    for (std::size_t sheet = 1; sheet <= plan.layout.sheets.size(); ++sheet) {
      const std::string number = std::to_string(sheet);
      INFO("sheet " << number);
      CHECK(std::any_of(d.words.begin(), d.words.end(), [&](const Words& w) { return w.text == number || w.text.rfind(number + ": ", 0) == 0; }));
    }
    for (const Words& w : d.words) {
      CHECK(box_of(w).lo.x > 0);
      CHECK(box_of(w).hi.x < 297);
      CHECK(box_of(w).hi.y < 210);
    }
  }
}

TEST_CASE("a DXF is pairs of code and value, in ASCII, its lines those of the plan") {
  const Study study = wall(6.2, 2.65, true);
  const Plan plan = plan_as_asked(study, 0);
  const std::string text = setting_out_dxf({{&study, &plan, nullptr, nullptr}});
  for (char c : text) REQUIRE(static_cast<unsigned char>(c) < 0x80);
  std::istringstream in(text);
  std::string code, value, layer, type;
  double x0 = 0, y0 = 0, x1 = 0, length = 0;
  while (std::getline(in, code) && std::getline(in, value)) {
    const int c = std::stoi(code);
    if (c == 0) type = value;
    if (c == 8) layer = value;
    if (c == 10) x0 = std::stod(value);
    if (c == 20) y0 = std::stod(value);
    if (c == 11) x1 = std::stod(value);
    if (c == 21 && type == "LINE" && layer == "JOINTS") length += std::hypot(x1 - x0, std::stod(value) - y0);
  }
  CHECK(type == "EOF");
  double metres = 0;
  for (const JointLine& j : plan.layout.joints) metres += j.length();
  CHECK(length == Approx(1000 * metres).margin(0.1));  // values are printed to a thousandth of a millimetre
}
