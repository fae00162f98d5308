// Lengths in printed text, turned into feet and inches at one border.
#include <catch2/catch.hpp>

#include "report/in_units.h"

using namespace rakelight;

TEST_CASE("metric lengths in text become feet and inches; 25.4 mm an inch, 12 inches a foot") {
  const auto in = [](const std::string& text) { return in_units(Units::inch, text); };
  CHECK(in("a joint 609.6 mm wide") == "a joint 2' wide");
  CHECK(in("long/R1 at 300 mm") == "long/R1 at 11-13/16\"");
  CHECK(in("1,828.8 mm") == "6'");
  CHECK(in("crown 0.5 mm over 254 mm") == "crown 0.020 in over 10\"");
  CHECK(in("-0.12 mm") == "-0.005 in");
  CHECK(in("0.2-0.5 mm in a ridge") == "0.008-0.020 in in a ridge");
  CHECK(in("1.52 ± 0.33 mm") == "0.060 ± 0.013 in");
  CHECK(in("250 to 300 mm") == "9-13/16\" to 11-13/16\"");
  CHECK(in("1219.2 × 2438.4 mm") == "4' × 8'");
  CHECK(in("steepest slope 14.9 mm per m at 22 mm") == "steepest slope 0.179 in per ft at 7/8\"");
  CHECK(in("11.0 m of joint, 0.9 m seen") == "36 ft of joint, 2' 11\" seen");
  CHECK(in("12 m² bought") == "129 ft² bought");
  // what is no length of its own stays
  CHECK(in("958 cd/m²") == "958 cd/m²");
  CHECK(in("9.1 kg/m², 1600 lx, 4.3 to 1, W1") == "9.1 kg/m², 1600 lx, 4.3 to 1, W1");
  CHECK(in("12 months, B2 mm") == "12 months, B2 mm");
  CHECK(in("") == "");
  CHECK(in("25 to 40 kg, 2 kg, 0.59-0.68 kg/m², 1.6-1.7 kg a litre") == "55 to 88 lb, 4.4 lb, 0.59-0.68 kg/m², 1.6-1.7 kg a litre");
  CHECK(in("at least 10 °C, no air under 10 °C (50 °F)") == "at least 50 °F, no air under 50 °F");
  CHECK(in("over 3 m (10 ft) up, a coat of 1.6 mm (1/16 in), 1.2 by 3 m (4 by 10 ft)") == "over 10 ft up, a coat of 1/16 in, 4 by 10 ft");
  CHECK(in("3 m (estimate)") == "9' 10\" (estimate)");
  CHECK(in("and a metre of face either side") == "and three feet of face either side");
  CHECK(in_units(Units::millimetre, "300 mm") == "300 mm");
  // once is enough
  CHECK(in(in("4.0 mm under 1800 mm")) == in("4.0 mm under 1800 mm"));
}
