// Laws of the search for the least work, over small rooms drawn at random.
#include <catch2/catch.hpp>

#include <cmath>
#include <fmt/format.h>

#include "advice/cures.h"
#include "advice/cure_words.h"
#include "job/read.h"
#include "laws/rooms.h"

using namespace rakelight;
using namespace laws;

namespace {

/// A small wall beside a window, under a lamp, by day and in the evening.
std::string small_job(Random& random) {
  RoomText r;
  r.width = random.uniform(2.4, 3.6);
  r.depth = random.uniform(2.6, 3.8);
  r.wall_reflectance = random.uniform(0.3, 0.8);
  r.run = random.uniform() < 0.5 ? "horizontal" : "upright";
  r.paint = random.uniform() < 0.5 ? "matt" : "low-sheen";
  r.level = random.uniform() < 0.5 ? "3" : "4";
  r.sheet_length = 2.4;
  r.windows = window_text("W", "far", random.uniform(0.1, 0.4), 1.2);
  r.lamps = lamp_text("L", random.uniform(0.15, 0.4), random.uniform(0.8, 1.8), 2.6, random.uniform(300, 900));
  r.moments = "[[moment]]\nname = \"evening\"\nsky = \"none\"\nlamps = \"on\"\n[[moment]]\nname = \"day\"\nat = 2026-03-20T12:00:00\nsky = \"overcast\"\n";
  r.viewers = viewer_text("V", r.width - 0.4, random.uniform(0.5, 2), 1.6, "left");
  return text_of(r);
}

/// A job with a sketch of its wall on which nothing has been looked at yet.
struct Wall {
  std::unique_ptr<Study> study;
  Assessment assessment;
  Advice advice;
  std::unique_ptr<Sketch> sketch, kept;

  explicit Wall(const std::string& text) {
    Diagnostics diagnostics;
    const auto job = read_job(JobText(text), diagnostics);
    INFO(diagnostics.to_text("law.toml", text));
    REQUIRE(job);
    study = make_study(*job, diagnostics, {.patch = 0.8, .fields = {}});  // the laws hold under any light
    REQUIRE(study);
    assessment = assess(*study);
    advice = advise(*study, assessment);
    sketch = std::make_unique<Sketch>(*study, advice.surfaces.front(), assessment.surfaces.front());
  }
  /// Asked of one that has been asked nothing else.
  Cure least(double aim, const Allowed& allowed) const {
    Sketch fresh = *sketch;
    return least_work(fresh, aim, allowed);
  }
  /// Asked of one that keeps what it has looked at, as the program's does.
  Cure least_after(double aim, const Allowed& allowed) {
    if (!kept) kept = std::make_unique<Sketch>(*sketch);
    return least_work(*kept, aim, allowed);
  }
};

/// What is compared, and how often the law is broken.
struct Count {
  int compared = 0, dearer = 0, dearer_after = 0;
  std::string broken;
  void add_after(const Cure& with_more, const Cure& with_fewer) {
    if (with_fewer.reached) dearer_after += !with_more.reached || middle(with_more.hours) > middle(with_fewer.hours) + 1e-9;
  }
  void add(const Cure& with_more, const Cure& with_fewer, const std::string& what) {
    if (!with_fewer.reached) return;
    ++compared;
    if (with_more.reached && middle(with_more.hours) <= middle(with_fewer.hours) + 1e-9) return;
    ++dearer;
    broken += fmt::format("{}: {}, {:.3f} h, chance {:.3f}, against {}, {:.3f} h, chance {:.3f}\n", what, mix_text(with_fewer), middle(with_fewer.hours), with_fewer.outcome.chance,
                          mix_text(with_more), middle(with_more.hours), with_more.outcome.chance);
  }
};

Count count_laws(int jobs, std::uint64_t seed) {
  Random random(seed);
  Count count;
  for (int n = 0; n < jobs; ++n) {
    const std::string text = small_job(random);
    INFO(text);
    Wall wall(text);
    // a looser aim
    Cure strict;
    bool first = true;
    for (const double aim : {0.02, 0.05, 0.1, 0.2, 0.4, 0.7}) {
      const Cure loose = wall.least(aim, {});
      if (!first) count.add(loose, strict, fmt::format("aim {}", aim));
      strict = loose;
      first = false;
    }
    // more levers
    for (int i = 0; i < 6; ++i) {
      Allowed fewer, more;
      for (std::size_t l = 0; l < lever_count; ++l) {
        more.lever[l] = random.uniform() < 0.75;
        fewer.lever[l] = more.lever[l] && random.uniform() < 0.5;
      }
      const double aim = i % 2 ? 0.3 : 0.1;
      const Cure a = wall.least(aim, fewer), b = wall.least(aim, more);
      count.add(b, a, fmt::format("levers, aim {}", aim));
      const Cure fewer_first = wall.least_after(aim, fewer), more_after = wall.least_after(aim, more);
      count.add_after(more_after, fewer_first);
    }
  }
  return count;
}

}  // namespace

TEST_CASE("a looser aim and more levers never cost more") {
  const Count count = count_laws(2, 3);
  INFO(count.broken);
  CHECK(count.compared >= 8);
  CHECK(count.dearer == 0);
}

// A search gives up mixes that the sketch does not have well within once some like them have failed, so that the law cannot hold
// of every single one; one in fifty may be dearer.
TEST_CASE("a looser aim and more levers seldom cost more in many small rooms", "[long]") {
  const Count count = count_laws(25, 4);
  INFO(count.dearer << " of " << count.compared << " dearer:\n" << count.broken);
  CHECK(count.compared >= 100);
  CHECK(50 * count.dearer <= count.compared);
  // what was found for fewer levers is known when more are asked for: then it holds of every one
  CHECK(count.dearer_after == 0);
}
