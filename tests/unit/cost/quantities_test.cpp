// What to buy, and the visits, for a room that can be reckoned by hand.
#include <catch2/catch.hpp>

#include <algorithm>

#include "cost/quantities.h"
#include "job/read.h"
#include "cost/work.h"

using namespace rakelight;

namespace {

// One wall of 6 × 2.4 m, two sheets of 1.2 × 6 level: one recessed joint of 6 m. Its corners with the other walls are taped.
const std::string job_text = R"(
[room]
corners = [[0, 0], [0, 6000], [4000, 6000], [4000, 0]]
walls = ["long", "street", "party", "door"]
height = 2400
[[surface]]
name = "long"
sheet = [1200, 6000]
run = "horizontal"
corners = "taped"
[[lamp]]
kind = "downlight"
at = [300, 3000, 2400]
[[moment]]
sky = "none"
lamps = "on"
)";

std::unique_ptr<Study> study_of(const std::string& text) {
  Diagnostics diagnostics;
  const std::optional<Job> job = read_job(JobText(text), diagnostics);
  INFO(diagnostics.to_text("job.toml", text));
  REQUIRE(job);
  LightDetail coarse;
  coarse.patch = 1;
  std::unique_ptr<Study> study = make_study(*job, diagnostics, coarse);
  INFO(diagnostics.to_text("job.toml", text));
  REQUIRE(study);
  return study;
}

const Item* find(const Quantities& q, const std::string& group, const std::string& name = "") {
  for (const Item& item : q.items)
    if (item.group == group && (name.empty() || item.name == name)) return &item;
  return nullptr;
}

Quantities taken(const Study& study) {
  const std::vector<SurfaceResult> made = made_surfaces(study);
  return quantities_of(study, all_of(made));
}
std::vector<Visit> visited(const Study& study) {
  const std::vector<SurfaceResult> made = made_surfaces(study);
  return visits_of(study, all_of(made));
}

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("tape, sheets, screws and compound of one wall") {
  const auto study = study_of(job_text);
  const std::vector<SurfaceResult> made = made_surfaces(*study);
  const Quantities q = quantities_of(*study, all_of(made));
  CHECK(q.boarded_m2 == Approx(14.4));
  // geometry: 6 m of joint and two corners of 2.4 m; 15 % waste at most
  CHECK(q.tape_m.low == Approx(10.8));
  CHECK(q.tape_m.high == Approx(10.8 * 1.15));
  const Item* tape = find(q, "tape");
  REQUIRE(tape);
  REQUIRE(tape->from.size() == 3);
  // docs/reference/trade.md 7.1: 1.21–1.25 m/m², and 2.5 by the sheet, which conflict
  CHECK(tape->from[1].amount.low == Approx(1.21 * 14.4));
  CHECK(tape->from[1].amount.high == Approx(1.25 * 14.4));
  CHECK(tape->from[2].amount.low == Approx(2.5 * 14.4));

  const Item* sheets = find(q, "sheets");
  REQUIRE(sheets);
  // two as laid; by area 14.4 / 7.2 with 10–15 % waste is 3
  CHECK(sheets->amount.low == 2);
  CHECK(sheets->amount.high == 3);
  const Item* screws = find(q, "fixings");
  REQUIRE(screws);
  CHECK(screws->amount.low == Approx(10.8 * 14.4));  // 1000 a 1000 ft²

  // the total holds both published rules by area, 0.20–0.41 L/m², and what the sections take
  CHECK(q.compound_litres.low <= 0.20 * 14.4);
  CHECK(q.compound_litres.high >= 0.41 * 14.4);
  const Item* bed = find(q, "compound", "bed and tape, setting");
  REQUIRE(bed);
  // of the 6 m joint: no more than its whole recess, 0.078 L/m each (7.1) plus as much again under the tape and for the two corners
  CHECK(bed->amount.high > 0.1);
  CHECK(bed->amount.high < 4);
  CHECK(find(q, "beads") == nullptr);
  for (const Item& item : q.items) {
    INFO(item.name);
    CHECK(item.amount.low <= item.amount.high);
  }

  // a film 1 mm thick would be 1 L/m² (7.1); 50 % more at worst
  const auto five = study_of(with(job_text, "run = ", "level = \"5\"\nrun = "));
  const Quantities more = taken(*five);
  const Item* film = find(more, "compound", "film over the whole face, drying");
  REQUIRE(film);
  const double litres = five->scheme.find("5")->skim * 1000 * 14.4;
  CHECK(litres > 0);
  CHECK(film->amount.low == Approx(litres));
  CHECK(film->amount.high == Approx(1.5 * litres));
}

TEST_CASE("a corner that two boarded walls share takes one tape") {
  const auto study = study_of(job_text + "[[surface]]\nname = \"street\"\nsheet = [1200, 6000]\nrun = \"horizontal\"\ncorners = \"taped\"\n");
  // long: 6 m joint; street: 4 m joint; corners: one shared, two of one's own, 2.4 m each
  CHECK(taken(*study).tape_m.low == Approx(6 + 4 + 3 * 2.4));
}

TEST_CASE("visits in their order, and a higher level adds its own") {
  const auto study = study_of(job_text);
  const std::vector<Visit> four = visited(*study);
  std::vector<std::string> names;
  for (const Visit& v : four) names.push_back(v.name);
  // level 4: tape and two separate coats (ASTM C840), sanding, then the sealer's check
  CHECK(names == std::vector<std::string>{"bed and tape", "second coat", "third coat", "sanding", "sealer", "check under the lamp", "touching up"});
  CHECK(four[0].compound == "setting");
  CHECK(four[2].compound == "drying");
  CHECK(count_of(four) == 6);

  // hours of the passes alone are those of cost_of
  const SurfaceResult made = made_surfaces(*study).front();
  Range walls;
  for (std::size_t i = 0; i < 4; ++i)
    for (const Task& task : four[i].tasks)
      if (task.what == "walls") walls = walls + task.hours;
  const Cost cost = cost_of(*study, made);
  CHECK(walls.low == Approx(cost.hours.low));
  CHECK(walls.high == Approx(cost.hours.high));
  // protection is by the floor, 24 m²; an estimate, once
  const auto protection = [](const Visit& v) { return std::count_if(v.tasks.begin(), v.tasks.end(), [](const Task& t) { return t.what == "protecting floor and windows"; }); };
  CHECK(protection(four[0]) == 1);
  CHECK(protection(four[1]) == 0);

  std::vector<SurfaceResult> five{made_surface(*study, made.surface, {made.finish.run, "5"})};
  const std::vector<Visit> more = visits_of(*study, all_of(five));
  CHECK(count_of(more) == 7);
  CHECK(hours_of(more).low > hours_of(four).low);
  CHECK(hours_of(more).high > hours_of(four).high);

  // up to 40 % more where it is over 10 ft (7.3): a wall of 6 m is half out of reach
  const auto high = study_of(with(with(job_text, "height = 2400", "height = 6100"), "2400]", "6100]"));
  const std::vector<Visit> tall = visited(*high);
  const auto find_task = [&](const char* what) {
    for (const Task& t : tall[0].tasks)
      if (t.what == what) return t.hours;
    return Range{};
  };
  CHECK(find_task("work over 3 m high").low == 0);
  CHECK(find_task("work over 3 m high").high == Approx(0.4 * find_task("walls").high * 3.05 / 6.1).epsilon(0.01));
}

TEST_CASE("money only from the job's rates") {
  const auto study = study_of(job_text);
  const std::vector<SurfaceResult> made = made_surfaces(*study);
  const std::vector<Visit> visits = visits_of(*study, all_of(made));
  const Quantities q = quantities_of(*study, all_of(made));
  CHECK(prices_of(study->job, visits, q).prices.empty());

  const auto priced = study_of(job_text + "[rates]\ncurrency = \"EUR\"\nhour = 50\ntape_m = 0.2\n");
  const Prices p = prices_of(priced->job, visits, q);
  REQUIRE(p.prices.size() == 2);
  CHECK(p.prices[0].amount.low == Approx(50 * hours_of(visits).low));
  CHECK(p.prices[1].amount.high == Approx(0.2 * q.tape_m.high));
  CHECK(p.total.low == Approx(p.prices[0].amount.low + p.prices[1].amount.low));
  CHECK(std::find(p.unpriced.begin(), p.unpriced.end(), "sheets") != p.unpriced.end());
  CHECK(money_text("EUR", {1240.2, 19100}) == "EUR 1,240–19,100");
  CHECK(money_text("", {12.3, 12.4}) == "12");
}
