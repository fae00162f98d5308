// What a lamp's kind and file mean for its keys.
#include "helpers.h"

#include "base/units.h"

using namespace rakelight;

namespace {
LampSpec lamp(const std::string& keys) { return good(smallest + "[[lamp]]\nname = \"x\"\n" + keys).lamps.at(0); }
std::string wrong(const std::string& keys) { return bad(smallest + "[[lamp]]\nname = \"x\"\n" + keys); }
bool holds(const std::string& report, const std::string& words) { return report.find(words) != std::string::npos; }
std::vector<std::string> assumed_of(const std::string& keys) {
  std::vector<std::string> out;
  for (const Assumed& a : assumed(good(smallest + "[[lamp]]\nname = \"x\"\n" + keys)))
    if (a.key.starts_with("lamp.x.")) out.push_back(a.key.substr(7) + " " + a.value);
  return out;
}
}  // namespace

TEST_CASE("a strip has two ends, and its light by the metre") {
  const LampSpec strip = lamp("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 2500, 2300]\n");
  CHECK(*strip.to == dvec3(0.1, 2.5, 2.3));
  CHECK(*strip.flux == Approx(2500));   // 1000 lm a metre where none is given
  CHECK(*strip.beam == Approx(120 * rad_per_deg));
  CHECK(*strip.size == Approx(0.01));
  CHECK(*lamp("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 2500, 2300]\nflux = 800\n").flux == 800);
  CHECK(holds(wrong("kind = \"strip\"\nat = [100, 0, 2300]\n"), "strip x has one end"));
  CHECK(holds(wrong("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 0, 2300]\n"), "both ends of strip x are in one place"));
  CHECK(holds(wrong("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 0, 1000]\n"), "strip x is aimed along itself"));
  lamp("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 0, 1000]\naim = [1, 0, 0]\n");
  lamp("kind = \"strip\"\nat = [100, 0, 2300]\nto = [100, 900, 2300]\nphotometry = \"generic-strip\"\n");
}

TEST_CASE("kinds bring their own defaults, and say so") {
  CHECK(*lamp("kind = \"uplight\"\nat = [9, 9, 1800]\n").aim == dvec3(0, 0, 1));
  CHECK(*lamp("kind = \"uplight\"\nat = [9, 9, 1800]\naim = [0, 1, 1]\n").aim == dvec3(0, 1, 1));
  CHECK(*lamp("kind = \"hand\"\nat = [9, 9, 1800]\n").beam == Approx(90 * rad_per_deg));
  CHECK_FALSE(lamp("kind = \"wall\"\nat = [0, 900, 1800]\n").aim.given);
  CHECK(assumed_of("kind = \"downlight\"\nat = [9, 9, 9]\n") == std::vector<std::string>{"aim [0, 0, -1]", "size 80 mm", "flux 700", "beam 60 degrees"});
  CHECK(assumed_of("kind = \"wall\"\nat = [0, 900, 1800]\nflux = 500\n") ==
        std::vector<std::string>{"aim away from the nearest wall", "size 100 mm", "beam 120 degrees"});
  CHECK(assumed_of("kind = \"strip\"\nat = [0, 0, 900]\nto = [0, 2000, 900]\n") ==
        std::vector<std::string>{"aim straight down", "flux 2000 lumen", "beam 120 degrees"});
  // the file says the rest
  CHECK(assumed_of("kind = \"downlight\"\nat = [9, 9, 9]\nphotometry = \"lamps/spot.ies\"\n") == std::vector<std::string>{"aim straight down"});
  CHECK(assumed_of("kind = \"downlight\"\nat = [9, 9, 9]\naim = [0, 1, -1]\nphotometry = \"lamps/spot.ies\"\nturn = 90\ndim = 0.5\n").empty());
}

TEST_CASE("lamps of a moment may be dimmed and placed") {
  const std::string two = "[[lamp]]\nname = \"a\"\nkind = \"pendant\"\nat = [9, 9, 9]\n[[lamp]]\nname = \"b\"\nkind = \"hand\"\nat = [9, 9, 9]\n";
  const MomentSpec m = good(smallest + two + "[[moment]]\nsky = \"none\"\nlamps = [\"a\", { name = \"b\", dim = 0.4, at = [100, 200, 300], aim = [0, 1, 0] }]\n").moments.at(0);
  CHECK(*m.lamps == std::vector<std::string>{"a", "b"});
  REQUIRE(m.lamp_uses.size() == 2);
  CHECK(*m.lamp_uses[0].name == "a");
  CHECK(*m.lamp_uses[0].dim == 1);
  CHECK_FALSE(m.lamp_uses[0].position.given);
  CHECK(*m.lamp_uses[1].dim == 0.4);
  CHECK(*m.lamp_uses[1].position == dvec3(0.1, 0.2, 0.3));
  CHECK(*m.lamp_uses[1].aim == dvec3(0, 1, 0));
}
