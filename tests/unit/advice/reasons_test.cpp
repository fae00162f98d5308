#include <catch2/catch.hpp>

#include "advice/advice.h"
#include "advice/reasons.h"

using namespace rakelight;

TEST_CASE("chances in words never claim more digits than they have") {
  CHECK(chance_text(0) == "less than 1 in 1000");
  CHECK(chance_text(0.0041) == "about 1 in 200");
  CHECK(chance_text(0.04) == "about 1 in 30");
  CHECK(chance_text(0.1) == "about 1 in 10");
  CHECK(chance_text(0.33) == "about 1 in 3");
  CHECK(chance_text(0.66) == "about 7 in 10");
  CHECK(chance_text(0.97) == "more than 9 in 10");
}

namespace {

Level level_of(const std::string& id, int coats, double skim) {
  Level l;
  l.id = id;
  l.tape = true;
  l.coats = coats;
  l.skim = skim;
  return l;
}

// One wall judged under two directions and two levels, with figures written here.
struct Choice {
  Study study;
  SurfaceAdvice advice;
  std::vector<SurfaceResult> results;

  Choice() {
    study.room.surfaces.resize(1);
    study.room.surfaces[0].name = "long";
    study.scheme.levels = {level_of("4", 2, 0), level_of("5", 2, 0.2e-3)};
    Moment moment;
    moment.name = "evening sun";
    study.moments = {moment};
    Viewer viewer;
    viewer.name = "doorway";
    study.viewers = {viewer};
    study.job.verdict.chance = 0.1;
    add(Run::horizontal, "4", JointKind::butt, 5.2, 0.8, 6.0);
    add(Run::horizontal, "5", JointKind::butt, 3.0, 0.3, 6.0);
    add(Run::upright, "4", JointKind::recessed, 2.0, 0.05, 3.0);
    add(Run::upright, "5", JointKind::recessed, 0.4, 0.001, 3.0);
    advice.surface = 0;
    advice.as_asked = 0;
    advice.best = 2;
    advice.reached = true;
  }

  void add(Run run, const std::string& level, JointKind kind, double v, double chance, double across) {
    JointResult joint;
    joint.joint.line.id = kind == JointKind::butt ? "long/B1" : "long/R1";
    joint.joint.line.kind = kind;
    joint.joint.line.to = {0, 2};
    Seen seen;
    seen.judged = judge(v, 1, 2, 1, 4);
    seen.across_ratio = across;
    joint.seen = {seen};
    joint.worst = 0;
    const auto published = std::find_if(limits().begin(), limits().end(), [](const Limit& l) { return l.id == "FR-200"; });
    joint.straightedge = {{&*published, 0.4e-3, true, false}};
    SurfaceResult result;
    result.finish = {run, level};
    result.joints = {joint};
    result.chance_any_shows = chance;
    results.push_back(result);
    Option o;
    o.finish = result.finish;
    o.for_paint = true;
    o.judged = seen.judged;
    o.joints = 1;
    o.showing = seen.judged.verdict == Verdict::shows;
    o.faint = seen.judged.verdict == Verdict::faint;
    o.chance_any_shows = chance;
    o.worst_joint = joint.joint.line.id;
    o.worst_moment = "evening sun";
    o.worst_viewer = "doorway";
    o.cost.hours = {1, 3};
    advice.options.push_back(o);
  }

  std::string all() const {
    std::string text;
    for (const auto& reason : reasons_for(study, advice, results)) text += reason + "\n";
    return text;
  }
};

bool says(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

}  // namespace

TEST_CASE("reasons name the numbers they rest on") {
  Choice bench;
  const std::string text = bench.all();
  INFO(text);
  CHECK(text.starts_with("Upright at level 4: 1 of 1 joint faint"));
  CHECK(says(text, "As asked, horizontal at level 4: 1 of 1 joint shows, about 8 in 10 that any shows; worst long/B1 in \"evening sun\" from doorway (V 5.2, band 2.6–10)"));
  CHECK(says(text, "Upright leaves 1 recessed joint that the light crosses at up to 3.0 to 1"));
  CHECK(says(text, "no butt joints"));
  CHECK(says(text, "The film of level 5 takes lap marks and tape edges away but not the crown: worst V 2.0 to 0.4"));
  CHECK(says(text, "In tolerance is not invisible: as asked, long/B1 reads 0.4 mm under 200 mm"));
  CHECK_FALSE(says(text, "nothing shows"));
}

TEST_CASE("a tested system is named, and what comes from it") {
  Choice bench;
  bench.study.job.surfaces.resize(1);
  bench.study.room.surfaces[0].spec = 0;
  bench.study.job.surfaces[0].paint.name = std::string("matt");
  CHECK_FALSE(says(bench.all(), "tested"));
  bench.study.job.surfaces[0].system = SystemSpec::fire;
  CHECK(says(bench.all(), "part of a tested fire system: sheet direction, joints on framing, backing, fixing and compound come from that system"));
  CHECK_FALSE(says(bench.all(), "recessed lamp"));
  bench.study.room.surfaces[0].kind = Surface::Kind::ceiling;
  CHECK(says(bench.all(), "no new recessed lamp goes in"));
}

TEST_CASE("when no option is enough the reasons say what would be") {
  Choice bench;
  bench.advice.reached = false;
  CHECK(says(bench.all(), "it takes another light"));
  // an option whose joints are all hidden is still no promise
  bench.advice.best = 3;
  bench.advice.reached = true;
  const std::string text = bench.all();
  INFO(text);
  CHECK(text.starts_with("Upright at level 5: 1 joint, not expected to be noticed, about 1 in 1000 that any shows"));
}

TEST_CASE("reasons say what the scheme itself publishes, asks behind joints and under sheets") {
  Choice bench;
  bench.study.job.surfaces.resize(1);
  bench.study.room.surfaces[0].spec = 0;
  bench.study.scheme = *scheme("as2589");
  bench.study.job.surfaces[0].paint.name = std::string("");
  bench.study.job.surfaces[0].paint.gloss60 = 15.0;
  SurfaceResult& asked = bench.results[0];
  asked.joints[0].seen[0].raking_ratio = 2.0;
  // AS/NZS 2589: low sheen stands on level 4 in ordinary light, on 5 in critical light, and gloss there on none
  CHECK_FALSE(says(bench.all(), "the scheme names"));
  asked.joints[0].seen[0].raking_ratio = 6.0;
  CHECK(says(bench.all(), "in critical light (raking ratio 6.0) the scheme names level 5 (AS/NZS 2589, V2), not 4"));
  bench.study.job.surfaces[0].paint.gloss60 = 60.0;
  CHECK(says(bench.all(), "No level of as2589 is published for smooth paint of 60 gloss units"));

  // back-block ceilings at level 4 from three recessed joints, unless they are
  CHECK_FALSE(says(bench.all(), "asks for backing"));
  bench.study.room.surfaces[0].kind = Surface::Kind::ceiling;
  asked.joints.assign(3, bench.results[2].joints[0]);
  CHECK(says(bench.all(), "Level 4 asks for backing: back-block ceilings with three recessed joints or more"));
  bench.study.job.surfaces[0].backing = BackingSpec::recessed;
  CHECK_FALSE(says(bench.all(), "asks for backing"));

  // framing that is seen more than the joints; 4 mm under 1.8 m is what level 4 allows, 6 mm is not
  asked.substrate = proud_member(3e-3, 0.6, 5);
  asked.joints[0].framing = Framed{judge(3, 1, 2, 1, 4), judge(2.5, 1, 2, 1, 4)};
  bench.study.job.framing.flatness = dvec2(0.004, 1.8);
  std::string text = bench.all();
  INFO(text);
  CHECK(says(text, "The framing governs at 1 of 3 joints: plane the studs that stand proud"));
  CHECK_FALSE(says(text, "The framing is promised"));
  bench.study.job.framing.flatness = dvec2(0.006, 1.8);
  text = bench.all();
  CHECK(says(text, "The framing is promised to 6.0 mm under 1800 mm; level 4 asks for 4.0 mm under 1800 mm (AS/NZS 2589"));
}
