// Photometric files: what they hold, whichever way they are written.
#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

#include "base/units.h"
#include "kernel/lamp.h"
#include "light/photometry.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

std::string sample(const std::string& name) {
  std::ifstream in(std::string(RAKELIGHT_REFERENCE_DIR) + "/" + name, std::ios::binary);
  REQUIRE(in);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

Photometry good(const std::string& text) {
  Diagnostics diagnostics;
  const auto p = read_photometry(text, diagnostics);
  INFO(diagnostics.to_text("lamp", text));
  REQUIRE(p);
  CHECK(diagnostics.all().empty());
  return *p;
}

Photometry warned(const std::string& text, const std::string& says) {
  Diagnostics diagnostics;
  const auto p = read_photometry(text, diagnostics);
  const std::string report = diagnostics.to_text("lamp", text);
  INFO(report);
  REQUIRE(p);
  CHECK(report.find("warning: " + says) != std::string::npos);
  return *p;
}

/// The one error, as people read it.
std::string bad(const std::string& text) {
  Diagnostics diagnostics;
  const auto p = read_photometry(text, diagnostics);
  CHECK_FALSE(p);
  CHECK_FALSE(diagnostics.ok());
  return diagnostics.to_text("lamp", text);
}

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  INFO("looking for " << from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

double at(const Photometry& p, double gamma_deg, double c_deg) { return p.intensity(gamma_deg * rad_per_deg, c_deg * rad_per_deg); }

/// LM-63 text around a distribution, angles in degrees.
template <class F>
std::string lm63(const std::string& head, const std::string& size, const std::vector<double>& vertical, const std::vector<double>& horizontal, F&& candela,
                 int type = 1, const std::string& factors = "1 1 0") {
  std::string text = head + "TILT=NONE\n1 1000 1 " + fmt::format("{} {} {} 2 ", vertical.size(), horizontal.size(), type) + size + "\n" + factors + "\n";
  for (const double v : vertical) text += fmt::format("{} ", v);
  for (const double h : horizontal) text += fmt::format("\n{}", h);
  for (const double h : horizontal)
    for (const double v : vertical) text += fmt::format("\n{:.6f}", candela(v, h));
  return text + "\n";
}

std::vector<double> every(double from, double to, double step) {
  std::vector<double> out;
  for (double a = from; a <= to + 1e-9; a += step) out.push_back(a);
  return out;
}

const std::string head_2002 = "IESNA:LM-63-2002\n[LUMINAIRE] made up\n";

/// EULUMDAT text of 24 planes 15 degrees apart and 19 gammas; only the planes of the symmetry are written.
template <class F>
std::string eulumdat(int symmetry, F&& per_klm, const std::string& sets = "1\n1\nLED\n2000\n4000\n80\n10\n") {
  std::string text = fmt::format("maker\n1\n{}\n24\n15\n19\n5\nreport\nmade up\n0\nfile\ndate\n1200\n200\n50\n1150\n150\n10\n10\n10\n10\n100\n100\n1\n0\n", symmetry) + sets;
  for (int i = 0; i < 10; ++i) text += "0,5\n";
  for (int i = 0; i < 24; ++i) text += fmt::format("{}\n", 15 * i);
  for (int i = 0; i < 19; ++i) text += fmt::format("{}\n", 5 * i);
  const int first[] = {0, 0, 0, 18, 0}, count[] = {24, 1, 13, 13, 7};
  for (int k = 0; k < count[symmetry]; ++k)
    for (int i = 0; i < 19; ++i) {
      std::string value = fmt::format("{:.6f}", per_klm(5.0 * i, 15.0 * ((first[symmetry] + k) % 24)));
      value[value.find('.')] = ',';
      text += value + "\r\n";
    }
  return text;
}

}  // namespace

TEST_CASE("the samples give the lumens they state", "[photometry]") {
  test::Validated found("photometric files, own samples (LM-63 2002, EULUMDAT)", "lumens of their closed forms", "1e-6");
  // computed from their closed forms (docs/reference/optics.md 6): a Lambertian lamp of 1000 cd gives pi * 1000 lm exactly under
  // the zonal rule; 1e-6 is the four decimals of the printed candela
  const Photometry lambert = good(sample("sample_lambert.ies"));
  CHECK(found.share(luminous_flux(lambert), pi * 1000) == Approx(pi * 1000).epsilon(1e-6));
  CHECK(lambert.absolute);
  CHECK(lambert.format == "LM-63-2002");
  CHECK(lambert.round);
  CHECK(lambert.opening == dvec3(0.1, 0.1, 0));
  CHECK(at(lambert, 0, 0) == 1000);
  CHECK(at(lambert, 60, 123) == Approx(500));
  CHECK(at(lambert, 95, 0) == 0);
  // candela per kilolumen, decimal commas, C R L F
  const Photometry metric = good(sample("sample_lambert.ldt"));
  CHECK(found.share(luminous_flux(metric), pi * 1000) == Approx(pi * 1000).epsilon(1e-6));
  CHECK(at(metric, 0, 0) == Approx(1000).epsilon(1e-6));
  CHECK(metric.round);
  CHECK(metric.opening == dvec3(0.1, 0.1, 0));
  CHECK(metric.lamp_lumens == 3141.593);
  const Photometry quadrant = good(sample("sample_quadrant_tilt.ies"));
  // the mean over C of 600, 400 and 200 cd is 400: pi * 400 by the zonal rule. The sample's own 1255.839 lm comes from
  // integrating the straight lines between its angles, 0.06 % less
  CHECK(found.share(luminous_flux(quadrant), pi * 400) == Approx(pi * 400).epsilon(1e-6));
  CHECK(luminous_flux(quadrant) == Approx(1255.839).epsilon(1e-3));
  CHECK(at(quadrant, 30, 0) == Approx(519.6152).epsilon(1e-6));
  CHECK(at(quadrant, 30, 90) == Approx(173.2051).epsilon(1e-6));
  CHECK(at(quadrant, 30, 180) == Approx(519.6152).epsilon(1e-6));
  CHECK(at(quadrant, 30, -90) == Approx(173.2051).epsilon(1e-6));
  CHECK(at(quadrant, 32.5, 22.5) == Approx(421.2944).epsilon(1e-6));
  CHECK(at(quadrant, 32.5, 360 - 22.5) == Approx(421.2944).epsilon(1e-6));
  CHECK(quadrant.lamp_lumens == 3000);
  // feet; length 2 along C 0, width 1 along C 90
  CHECK(quadrant.opening.x == Approx(0.6096));
  CHECK(quadrant.opening.y == Approx(0.3048));
  CHECK_FALSE(quadrant.round);
  // the tilt table: 1.0, 0.9, 0.8 at 0, 45, 90 degrees
  CHECK(tilt_factor(quadrant, 0) == 1);
  CHECK(tilt_factor(quadrant, 22.5 * rad_per_deg) == Approx(0.95));
  CHECK(tilt_factor(quadrant, pi / 2) == Approx(0.8));
  CHECK(tilt_factor(lambert, 1) == 1);
}

TEST_CASE("zones of a Lambertian lamp hold pi I0 (cos2 a - cos2 b)", "[photometry]") {
  const Photometry lambert = good(sample("sample_lambert.ies"));
  const std::vector<double> zones = zonal_lumens(lambert, {0, 30, 60, 90});
  // the endpoint rule is exact for the cosine: pi I0 (cos a + cos b)(cos a - cos b); 1e-6 as above
  CHECK(zones[0] == Approx(pi * 1000 * 0.25).epsilon(1e-6));
  CHECK(zones[1] == Approx(pi * 1000 * 0.5).epsilon(1e-6));
  CHECK(zones[2] == Approx(pi * 1000 * 0.25).epsilon(1e-6));
}

TEST_CASE("isotropic and cosine-power lamps give their closed flux", "[photometry]") {
  test::Validated found("file of an isotropic lamp", "closed flux 4π I", "1e-9");
  const auto all = every(0, 180, 5);
  CHECK(found.share(luminous_flux(good(lm63(head_2002, "0 0 0", all, {0}, [](double, double) { return 100.0; }))), 4 * pi * 100) == Approx(4 * pi * 100).epsilon(1e-9));
  for (const double n : {2.0, 10.0, 45.0})
    // 2 pi I0 / (n + 1); straight lines over 1 degree between the nodes of so narrow a lobe: under 0.3 %
    CHECK(luminous_flux(good(lm63(head_2002, "0 0 0", every(0, 90, 1), {0},
                                  [&](double v, double) { return 1000 * std::pow(std::max(0.0, std::cos(v * rad_per_deg)), n); }))) ==
          Approx(2 * pi * 1000 / (n + 1)).epsilon(3e-3));
}

TEST_CASE("every edition and its factors", "[photometry]") {
  const auto flat = [](double, double) { return 100.0; };
  const std::vector<double> v{0, 90}, h{0};
  // 1986 and 1991 have a ballast-lamp photometric factor; later ones do not multiply by that number, in 2019 a mark of
  // how the file came to be
  struct { std::string head, format; double second; } editions[] = {
      {"Any words at all\nmore words\n", "LM-63-1986", 0.5}, {"IESNA91\n[TEST] x\n", "LM-63-1991", 0.5}, {"IESNA:LM-63-1995\n[TEST] x\n", "LM-63-1995", 1},
      {"IESNA:LM-63-2002\n[TEST] x\n", "LM-63-2002", 1}, {"IES:LM-63-2019\n[TEST] x\n", "LM-63-2019", 1}};
  for (const auto& e : editions) {
    const Photometry p = good(lm63(e.head, "0 0 0", v, h, flat, 1, "0.9 0.5 60"));
    CHECK(p.format == e.format);
    CHECK(at(p, 45, 10) == Approx(100 * 0.9 * e.second));
    CHECK(p.input_watts == 60);
    CHECK(p.lamp_lumens == 1000);
    CHECK_FALSE(p.absolute);
  }
  CHECK(good(lm63("Any words at all\nmore words\n", "0 0 0", v, h, flat)).name == "Any words at all");
  CHECK(good(lm63(head_2002, "0 0 0", v, h, flat)).name == "made up");
  warned(lm63("IES:LM-63-2030\n", "0 0 0", v, h, flat), "an edition of LM-63 that is not known here");
}

TEST_CASE("openings by the signs of width, length and height", "[photometry]") {
  struct { std::string size; dvec3 along; bool round; } cases[] = {
      {"0 0 0", {0, 0, 0}, false},
      {"0.2 0.5 0", {0.5, 0.2, 0}, false},               // rectangle
      {"0.2 0.5 0.1", {0.5, 0.2, 0.1}, false},           // with luminous sides
      {"-0.3 -0.3 0", {0.3, 0.3, 0}, true},              // circle, 2002
      {"-0.3 0 0", {0.3, 0.3, 0}, true},                 // circle, 1995
      {"0 -0.3 0", {0.3, 0.3, 0}, true},
      {"-0.2 -0.5 0", {0.5, 0.2, 0}, true},              // ellipse
      {"-0.3 -0.3 0.6", {0.3, 0.3, 0.6}, false},         // upright cylinder
      {"-0.3 0 0.6", {0.3, 0.3, 0.6}, false},            // the same, 1995
      {"-0.3 -0.3 -0.3", {0.3, 0.3, 0.3}, false},        // sphere
      {"-0.3 0 -0.3", {0.3, 0.3, 0.3}, false},           // the same, 1995
      {"-0.1 1.2 -0.1", {1.2, 0.1, 0.1}, false},         // cylinder along C 0
      {"-0.1 1.2 0", {1.2, 0.1, 0.1}, false},            // the same, 1995
      {"1.2 -0.1 -0.1", {0.1, 1.2, 0.1}, false},         // cylinder along C 90
  };
  for (const auto& c : cases) {
    const Photometry p = good(lm63(head_2002, c.size, {0, 90}, {0}, [](double, double) { return 1.0; }));
    INFO(c.size);
    CHECK(p.opening.x == Approx(c.along.x));
    CHECK(p.opening.y == Approx(c.along.y));
    CHECK(p.opening.z == Approx(c.along.z));
    CHECK(p.round == c.round);
  }
}

TEST_CASE("lateral symmetries of LM-63 stand for their mirror images", "[photometry]") {
  test::Validated found("symmetries of LM-63", "functions with that symmetry, a turn and more", "1e-4 cd", " cd");
  // I = 100 (2 + cos C + ...) chosen so that each part of it has the symmetry in hand; whole numbers at the nodes
  const auto v = every(0, 90, 10);
  const auto even = [](double, double h) { return 100 * (2 + std::cos(h * rad_per_deg)); };               // about C 0 to 180
  const auto sideways = [](double, double h) { return 100 * (2 + std::sin(h * rad_per_deg)); };           // about C 90 to 270
  const auto both = [](double, double h) { return 100 * (2 + std::cos(2 * h * rad_per_deg)); };
  const auto none = [](double, double h) { return 100 * (2 + std::cos((h - 20) * rad_per_deg)); };
  const Photometry half = good(lm63(head_2002, "0 0 0", v, every(0, 180, 10), even));
  const Photometry across = good(lm63(head_2002, "0 0 0", v, every(90, 270, 10), sideways));
  const Photometry quarter = good(lm63(head_2002, "0 0 0", v, every(0, 90, 10), both));
  const Photometry full = good(lm63(head_2002, "0 0 0", v, every(0, 360, 10), none));
  for (int c = -720; c <= 720; c += 10) {
    CHECK(found.near(at(half, 30, c), even(0, c)) == Approx(even(0, c)).margin(1e-4));
    CHECK(found.near(at(across, 30, c), sideways(0, c)) == Approx(sideways(0, c)).margin(1e-4));
    CHECK(found.near(at(quarter, 30, c), both(0, c)) == Approx(both(0, c)).margin(1e-4));
    CHECK(found.near(at(full, 30, c), none(0, c)) == Approx(none(0, c)).margin(1e-4));
  }
  // all but the last plane written
  const Photometry open = warned(lm63(head_2002, "0 0 0", v, every(0, 350, 10), none), "the plane at 360 is left out");
  CHECK(at(open, 30, 355) == Approx(0.5 * (none(0, 350) + none(0, 360))));
  // the mean over C of every one of them is 200: 2 pi 200 lm
  for (const Photometry* p : {&half, &across, &quarter, &full, &open}) CHECK(luminous_flux(*p) == Approx(2 * pi * 200).epsilon(1e-5));
  // lamps that shine up only, and up and down
  CHECK(at(good(lm63(head_2002, "0 0 0", every(90, 180, 10), {0}, [](double, double) { return 7.0; })), 89, 0) == 0);
  CHECK(at(good(lm63(head_2002, "0 0 0", every(0, 180, 10), {0}, [](double, double) { return 7.0; })), 179, 0) == 7);
}

TEST_CASE("types A and B turn about their own poles", "[photometry]") {
  test::Validated found("types A, B and C of LM-63", "one lobe written in each", "1.5 of 1,000 cd", " cd");
  // a lobe cos^4 of the angle from an axis tilted 20 degrees towards C 0 and 10 degrees towards C 90, written in each
  // web from its own angles: all three must say the same. Linear between 2.5 degree nodes: cos^4 bends by at most 4 per
  // rad2, (0.0436)^2 / 8 * 4 = 1e-3 of the peak.
  const dvec3 axis = glm::normalize(dvec3(std::tan(20 * rad_per_deg), std::tan(10 * rad_per_deg), 1));
  const auto lobe = [&](dvec3 w) { return 1000 * std::pow(std::max(0.0, glm::dot(w, axis)), 4); };
  const auto sine = [](double deg) { return std::sin(deg * rad_per_deg); };
  const auto cosine = [](double deg) { return std::cos(deg * rad_per_deg); };
  const auto whole = every(-90, 90, 2.5);
  const Photometry b = good(lm63(head_2002, "0.3 0.5 0", whole, whole, [&](double v, double h) { return lobe({sine(h), cosine(h) * sine(v), cosine(h) * cosine(v)}); }, 2));
  const Photometry a = good(lm63(head_2002, "0.3 0.5 0", whole, whole, [&](double v, double h) { return lobe({cosine(v) * sine(h), sine(v), cosine(v) * cosine(h)}); }, 3));
  const Photometry c = good(lm63(head_2002, "0.3 0.5 0", every(0, 90, 2.5), every(0, 360, 2.5), [&](double g, double h) { return lobe({sine(g) * cosine(h), sine(g) * sine(h), cosine(g)}); }));
  CHECK(b.web == Photometry::Web::b);
  CHECK(a.web == Photometry::Web::a);
  for (double g = 3; g < 88; g += 7)
    for (double turn = 0; turn < 360; turn += 31) {
      const double expected = lobe({sine(g) * cosine(turn), sine(g) * sine(turn), cosine(g)});
      INFO(g << " " << turn);
      CHECK(found.near(at(b, g, turn), expected) == Approx(expected).margin(1.5));
      CHECK(found.near(at(a, g, turn), expected) == Approx(expected).margin(1.5));
      CHECK(found.near(at(c, g, turn), expected) == Approx(expected).margin(1.5));
    }
  CHECK(at(b, 100, 0) == 0);
  // closed form by integrating over one degree zones: 0.2 % for the linear interpolation
  CHECK(luminous_flux(b) == Approx(luminous_flux(c)).epsilon(2e-3));
  CHECK(luminous_flux(a) == Approx(luminous_flux(c)).epsilon(2e-3));
  // one half given: mirrored
  const auto right = every(0, 90, 2.5);
  const auto level = [&](double v, double h) { return 1000 * cosine(h) * cosine(v); };
  const Photometry halved = good(lm63(head_2002, "0 0 0", whole, right, level, 2));
  CHECK(at(halved, 40, 0) == Approx(at(halved, 40, 180)));
  const Photometry twice = warned(lm63(head_2002, "0 0 0", right, right, level, 2), "vertical angles begin at 0");
  CHECK(at(twice, 40, 90) == Approx(at(twice, 40, 270)));
  CHECK(luminous_flux(twice) == Approx(pi * 1000).epsilon(1e-3));  // cos h cos v is the cosine law
}

TEST_CASE("symmetries of EULUMDAT", "[photometry]") {
  test::Validated found("symmetries of EULUMDAT", "functions with that symmetry", "1e-4 cd", " cd");
  const auto value = [](int symmetry, double c) {
    switch (symmetry) {
      case 0: return 100 * (2 + std::cos((c - 30) * rad_per_deg));
      case 2: return 100 * (2 + std::cos(c * rad_per_deg));        // mirror C 0 to C 180
      case 3: return 100 * (2 + std::sin(c * rad_per_deg));        // mirror C 90 to C 270
      case 4: return 100 * (2 + std::cos(2 * c * rad_per_deg));
      default: return 200.0;
    }
  };
  for (int symmetry = 0; symmetry <= 4; ++symmetry) {
    const Photometry p = good(eulumdat(symmetry, [&](double, double c) { return value(symmetry, c); }));
    INFO("symmetry " << symmetry);
    for (int c = 0; c < 360; c += 15) CHECK(found.near(at(p, 40, c), 2 * value(symmetry, c)) == Approx(2 * value(symmetry, c)).margin(1e-4));  // 2000 lm of lamps
    CHECK(luminous_flux(p) == Approx(2 * pi * 400).epsilon(1e-5));
    CHECK(p.opening.x == Approx(0.15));  // width along C 0, length along C 90
    CHECK(p.opening.y == Approx(1.15));
    CHECK(p.opening.z == Approx(0.01));
    CHECK(p.length_along_c90);
    CHECK_FALSE(p.absolute);
    CHECK(p.name == "made up");
  }
}

TEST_CASE("EULUMDAT: lamp sets, absolute photometry, old letters", "[photometry]") {
  const auto flat = [](double, double) { return 100.0; };
  std::string sets = "25\n";
  for (int i = 0; i < 25; ++i) sets += fmt::format("{}\nkind {}\n{}\n4000\n80\n{}\n", i + 1, i, 1000 * (i + 1), 10 * (i + 1));
  const Photometry many = warned(eulumdat(1, flat, sets), "25 lamp sets: the first is taken");
  CHECK(at(many, 0, 0) == Approx(100));
  CHECK(many.input_watts == 10);
  const Photometry absolute = good(eulumdat(1, flat, "1\n-1\nLED\n1500\n4000\n80\n10\n"));
  CHECK(absolute.absolute);
  CHECK(at(absolute, 0, 0) == Approx(150));
  // ü in Latin-1 and in UTF-8
  CHECK(good(changed(eulumdat(1, flat), "made up", "gr\xfcn")).name == "grün");
  CHECK(good(changed(eulumdat(1, flat), "made up", "grün")).name == "grün");
  CHECK(good(lm63("IESNA:LM-63-2002\n[LUMINAIRE] gr\xfcn\n", "0 0 0", {0, 90}, {0}, flat)).name == "grün");
}

TEST_CASE("damaged files are told by line and column, and what was expected", "[photometry]") {
  test::Validated found("damaged photometric files", "22 kinds, told by line, column and what would be right", "each");
  const std::string ies = sample("sample_lambert.ies"), ldt = sample("sample_lambert.ldt"), tilt = sample("sample_quadrant_tilt.ies");
  struct { std::string text, place, wrong, right; } cases[] = {
      {"", "lamp:1:1", "neither an LM-63 nor an EULUMDAT file", "TILT=NONE (LM-63)"},
      {"hello\nworld\n", "lamp:1:1", "neither an LM-63 nor an EULUMDAT file", "a number alone in each of lines 2 and 3"},
      {changed(ies, "TILT=NONE", "no tilt"), "lamp:1:1", "an LM-63 file without a TILT line", "TILT=NONE or TILT=INCLUDE after the keywords"},
      {changed(ies, "TILT=NONE", "TILT=other.til"), "lamp:8:6", "TILT=\"other.til\" is not read", "TILT=INCLUDE with the table in this file"},
      {changed(ies, "1 -1 1 19", "x -1 1 19"), "lamp:9:1", "the number of lamps is \"x\"", "a number"},
      {changed(ies, "1 -1 1 19", "1 -1 0 19"), "lamp:9:6", "the candela multiplier is 0", "a number from"},
      {changed(ies, "1 -1 1 19", "1 -1 1 1.5"), "lamp:9:8", "the number of vertical angles is 1.5", "a whole number from 2"},
      {changed(ies, "1 -1 1 19", "1 -1 1 20"), "lamp:12:1", "vertical angle 20 is 0 after 90", "angles that rise"},
      {changed(ies, "19 1 1 2", "19 1 4 2"), "lamp:9:13", "the photometric type is 4", "a whole number from 1 to 3"},
      {changed(ies, "19 1 1 2", "19 1 1 0"), "lamp:9:15", "the unit of the opening is 0", "a whole number from 1 to 2"},
      {changed(ies, "0 5 10 15", "0 15 10 15"), "lamp:11:6", "vertical angle 3 is 10 after 15", "angles that rise"},
      {changed(ies, "984.8078", "-984.8078"), "lamp:13:20", "candela 3 of 19 at horizontal angle 0 is -984.808", "a number from 0"},
      {changed(ies, "984.8078", "nan"), "lamp:13:20", "candela 3 of 19 at horizontal angle 0 is \"nan\"", "a number"},
      {changed(ies, " 87.1557 0.0000", ""), "lamp:15:1", "the file ends where candela 18 of 19 at horizontal angle 0 should be", "a number"},
      {changed(tilt, "0 45 90\n1200", "0 45 120\n1200"), "lamp:14:6", "horizontal angles run from 0 to 120", "0 alone, 0 to 90, 0 to 180, 90 to 270 or 0 to 360"},
      {changed(tilt, "1\n3\n0 45 90", "9\n3\n0 45 90"), "lamp:6:1", "the lamp's geometry for TILT is 9", "a whole number from 1 to 3"},
      {changed(ldt, "\n1\r\n24", "\n7\r\n24"), "lamp:3:1", "line 3, the symmetry is 7", "a number from 0 to 4"},
      {changed(ldt, "24\r\n15\r\n37", "24\r\n15\r\n1"), "lamp:6:1", "line 6, the number of intensities in a plane is 1", "from 2 to 721"},
      {changed(ldt, "3141,593", "many"), "lamp:29:1", "line 26c of lamp set 1, the lamps' flux, lm is \"many\"", "a number"},
      {changed(ldt, "317.0986", "3 17"), "lamp:105:1", "intensity 2 of 37 in plane C 0 is \"3 17\"", "a number"},
      {ldt.substr(0, ldt.size() - 16), "lamp:139:1", "the file ends where intensity 36 of 37 in plane C 0 should be", "one value a line"},
      {changed(ldt, "\n1\r\n24\r\n", "\n4\r\n23\r\n"), "lamp:7:1", "23 C planes do not part into the quarters of symmetry 4", "a number of C planes that 4 divides"},
  };
  for (const auto& c : cases) {
    const std::string report = bad(c.text);
    INFO(report << "\nshould be at " << c.place << ": " << c.wrong << "; " << c.right);
    CHECK(report.find(c.place + ": error: ") != std::string::npos);
    CHECK(report.find(c.wrong) != std::string::npos);
    CHECK(report.find(c.right) != std::string::npos);
  }
  warned(ies + "17\n", "text after the last candela value is passed over");
  warned(changed(ldt, "100\r\n1\r\n0\r\n1\r\n1\r\nLED", "100\r\n1\r\n12\r\n1\r\n1\r\nLED"), "the luminaire was measured tilted");
}

TEST_CASE("old line ends, end marks and commas", "[photometry]") {
  const std::string ies = sample("sample_lambert.ies"), ldt = sample("sample_lambert.ldt");
  const auto with_ends = [](const std::string& text, const std::string& end) {
    std::string out;
    for (const char c : text)
      if (c == '\n') out += end;
      else if (c != '\r') out += c;
    return out;
  };
  for (const std::string end : {"\n", "\r\n", "\r"}) {
    CHECK(luminous_flux(good(with_ends(ies, end))) == Approx(pi * 1000).epsilon(1e-6));
    CHECK(luminous_flux(good(with_ends(ldt, end))) == Approx(pi * 1000).epsilon(1e-6));
  }
  CHECK(luminous_flux(good(ies + "\x1a")) == Approx(pi * 1000).epsilon(1e-6));
  CHECK(luminous_flux(good(changed(ies, "1 -1 1 19 1 1 2 -0.1 -0.1 0", "1,-1,1,19,1,1,2,-0.1,-0.1,0"))) == Approx(pi * 1000).epsilon(1e-6));
}

TEST_CASE("the table that the kernels read says what the file says", "[photometry]") {
  const auto check = [](const Photometry& p, double slack) {
    const std::vector<dvec4> rows = distribution_rows(p);
    kernel::LampKernels k;
    k.rows = rows.data();
    double most = 0, worst = 0;
    for (double g = 0.5; g < 180; g += 3.7)
      for (double c = -180; c < 540; c += 11.3) {
        const double file = at(p, g, c);
        most = std::max(most, file);
        worst = std::max(worst, std::abs(k.distribution_candela(0, g * rad_per_deg, c * rad_per_deg) - file));
      }
    CHECK(worst <= slack * most);
  };
  // every angle is a node of the table, so that it is the same function; 1e-9 for the turning of degrees into radians
  check(good(sample("sample_lambert.ies")), 1e-9);
  check(good(sample("sample_lambert.ldt")), 1e-9);
  check(good(sample("sample_quadrant_tilt.ies")), 1e-9);
  const auto uneven = [](double g, double c) { return (3 + std::cos(c * rad_per_deg)) * std::max(0.0, std::cos(g * rad_per_deg)); };
  check(good(lm63(head_2002, "0 0 0", {0, 2.5, 5, 7.5, 10, 20, 30, 45, 60, 75, 90}, {0, 22.5, 45, 90, 135, 180}, uneven)), 1e-9);
  check(good(lm63(head_2002, "0 0 0", every(0, 90, 5), every(90, 270, 15), uneven)), 1e-9);
  check(good(lm63(head_2002, "0 0 0", every(0, 90, 5), every(0, 360, 15), uneven)), 1e-9);
  for (int symmetry = 0; symmetry <= 4; ++symmetry) check(good(eulumdat(symmetry, [](double g, double) { return 90 - g + 1; })), 1e-9);
  // type B is taken at 1 and 2.5 degree steps: cos v cos h bends by 1 per rad2, (0.0436)^2 / 8 = 2.4e-4
  check(good(lm63(head_2002, "0 0 0", every(-90, 90, 2.5), every(-90, 90, 2.5),
                  [](double v, double h) { return 100 * std::cos(h * rad_per_deg) * std::cos(v * rad_per_deg); }, 2)), 2e-3);
}

TEST_CASE("generic distributions say what they are and give 1000 lm", "[photometry]") {
  const std::vector<std::string> names = generic_lamps();
  CHECK(names.size() == 5);
  for (const std::string& name : names) {
    const Photometry p = good(std::string(generic_lamp(name)));
    INFO(name);
    CHECK(p.name.find("Generic, no product") == 0);
    CHECK(luminous_flux(p) == Approx(1000).epsilon(1e-5));  // printed to four decimals
  }
  // half of the peak at half the beam
  for (const auto& [name, beam] : {std::pair{"generic-narrow", 20.0}, {"generic-medium", 40.0}, {"generic-wide", 80.0}}) {
    const Photometry p = good(std::string(generic_lamp(name)));
    CHECK(at(p, beam / 2, 0) == Approx(0.5 * at(p, 0, 0)).epsilon(1e-6));
  }
  const Photometry washing = good(std::string(generic_lamp("generic-wall-washing")));
  CHECK(at(washing, 35, 0) > 10 * at(washing, 35, 180));
  CHECK(at(washing, 35, 30) == Approx(at(washing, 35, -30)));
  CHECK(generic_lamp("generic-moon").empty());
}
