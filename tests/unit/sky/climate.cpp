#include "sky/climate.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/units.h"
#include "support/csv.h"
#include "support/validated.h"

using namespace rakelight;

namespace {

// An invented place whose every hour is the same; no such station exists. Columns after the public data dictionary of
// the format (from memory).
std::string hour_line(int month, int day, int hour, const std::string& direct = "500", const std::string& diffuse = "120", const std::string& cover = "3") {
  return "2001," + std::to_string(month) + "," + std::to_string(day) + "," + std::to_string(hour) +
         ",0,?9?9,15.0,9.0,60,101300,0,0,300,0," + direct + "," + diffuse + ",0,0,0,0,180,3.0," + cover + "," + cover +
         ",20.0,77777,9,999999999,10,0.1,0,88,0.2,0,0\n";
}
const std::string heading =
    "LOCATION,Inventedham,-,GBR,Invented,000000,51.50,-0.10,0.0,20.0\n"
    "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\n"
    "COMMENTS 1,invented\nCOMMENTS 2,invented\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";
std::string year(const std::string& direct = "500", const std::string& diffuse = "120", const std::string& cover = "3") {
  static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  std::string text = heading;
  for (int m = 1; m <= 12; ++m)
    for (int d = 1; d <= days[m - 1]; ++d)
      for (int h = 1; h <= 24; ++h) text += hour_line(m, d, h, direct, diffuse, cover);
  return text;
}

Climate read(const std::string& text) {
  Diagnostics d;
  auto climate = read_climate(text, d);
  INFO(d.to_text("invented.epw", text));
  REQUIRE(climate);
  return *climate;
}
std::string refused(const std::string& text) {
  Diagnostics d;
  CHECK_FALSE(read_climate(text, d));
  CHECK_FALSE(d.ok());
  return d.to_text("invented.epw", text);
}

SiteSpec site() {
  SiteSpec s;
  s.latitude_deg = 51.5;
  s.longitude_deg = -0.1;
  s.turbidity = 3.5;
  s.ground_reflectance = 0.2;
  s.skyline_reflectance = 0.2;
  return s;
}

}  // namespace

TEST_CASE("a year of hours is read, missing values stay missing") {
  std::string text = year();
  const Climate c = read(text);
  CHECK(c.place == "Inventedham");
  CHECK(c.latitude_deg == 51.5);
  CHECK(c.longitude_deg == -0.1);
  CHECK(c.given == 8760);
  CHECK(c.at(6, 21, 12).direct_normal == 500);
  CHECK(c.at(6, 21, 12).diffuse == 120);
  CHECK(c.at(6, 21, 12).dew_point == 9);
  CHECK(c.at(6, 21, 12).cover == Approx(0.3));
  CHECK(c.at(2, 29, 5).direct_normal == 500);  // of the 28th

  const Climate gaps = read(heading + hour_line(1, 1, 1, "9999", "9999", "99") + year().substr(heading.size()).erase(0, hour_line(1, 1, 1).size()));
  CHECK_FALSE(gaps.at(1, 1, 0).has_sun());
  CHECK(std::isnan(gaps.at(1, 1, 0).cover));
  CHECK(gaps.at(1, 1, 1).has_sun());

  // Windows line ends, and a byte order mark
  std::string crlf = "\xEF\xBB\xBF";
  for (const char ch : text) crlf += ch == '\n' ? std::string("\r\n") : std::string(1, ch);
  CHECK(read(crlf).given == 8760);
}

TEST_CASE("a damaged climate file is told by its line") {
  CHECK(refused("").find("no LOCATION") != std::string::npos);
  CHECK(refused("<html>not found</html>\n").find("no EPW file") != std::string::npos);
  CHECK(refused(heading).find("0 hours") != std::string::npos);
  CHECK(refused("LOCATION,x,y\n").find("invented.epw:1:") != std::string::npos);
  CHECK(refused(heading + hour_line(13, 1, 1)).find("invented.epw:9:") != std::string::npos);
  CHECK(refused(heading + hour_line(2, 30, 1)).find("no such hour") != std::string::npos);
  CHECK(refused(heading + hour_line(2, 3, 25)).find("no such hour") != std::string::npos);
  CHECK(refused(heading + hour_line(1, 1, 1, "five")).find("\"five\"") != std::string::npos);
  CHECK(refused(heading + "2001,1,1,1,0,x\n").find("35 values") != std::string::npos);
  std::string quarter = heading;
  quarter.replace(quarter.find("DATA PERIODS,1,1"), 16, "DATA PERIODS,1,4");
  CHECK(refused(quarter).find("4 records an hour") != std::string::npos);
}

// Perez et al. 1990, eq. 8 with the published coefficients of bin 8, W = 2 cm, Δ = 0.12: docs/reference/optics.md section 1.
TEST_CASE("luminous efficacy of the beam") {
  test::Validated found("efficacy of the beam in an hour of a climate file", "Perez 1990 eq. 8, 5 rows", "0.006 lm/W, two digits printed", " lm/W");
  SkyClearness clear;
  clear.bin = 8;
  clear.delta = 0.12;
  const double dew_point = (std::log(2.0) + 0.075) / 0.07;  // W = 2 cm
  const std::pair<double, double> rows[] = {{5, 66.90}, {10, 81.24}, {20, 95.21}, {30, 100.35}, {60, 103.20}};
  for (const auto& [altitude, efficacy] : rows)
    CHECK(found.near(direct_efficacy(clear, (90 - altitude) * rad_per_deg, dew_point), efficacy) == Approx(efficacy).margin(0.006));  // two digits printed
}

// Perez et al. 1993, table 1, worked in docs/reference/optics.md section 2.
TEST_CASE("the all-weather sky repeats its worked parameters and ratios") {
  test::Validated found("sky of an hour of a climate file", "Perez 1993 table 1, parameters and ratio of two skies", "1e-6 of the ratio");
  struct Row { int bin; double delta, a, b, c, d, e, ratio; };
  for (const Row& r : {Row{8, 0.10, -.939542, -.125872, 17.065512, -5.406803, 1.071731, 11.392456},
                       Row{1, 0.30, .550721, -.422983, 1.816622, -1.079877, .045791, 1.228547}}) {
    SkyClearness sky;
    sky.bin = r.bin;
    sky.delta = r.delta;
    const double zenith = 60 * rad_per_deg;
    const AllWeather w = all_weather(sky, zenith);
    CHECK(w.a == Approx(r.a).margin(1e-6));  // six digits printed
    CHECK(w.b == Approx(r.b).margin(1e-6));
    CHECK(w.c == Approx(r.c).margin(1e-6));
    CHECK(w.d == Approx(r.d).margin(1e-6));
    CHECK(w.e == Approx(r.e).margin(1e-6));
    const IsoType form = iso_form(w);
    SkyState s;
    s.a = form.a, s.b = form.b, s.c = form.c, s.d = form.d, s.e = form.e;
    s.zenith_luminance = 1;
    s.indicatrix_sun = {0, std::cos(pi / 2 - zenith), std::sin(pi / 2 - zenith)};
    const double altitude = 15 * rad_per_deg;
    CHECK(found.share(sky_luminance(s, {0, std::cos(altitude), std::sin(altitude)}), r.ratio) == Approx(r.ratio).epsilon(1e-6));
  }
}

TEST_CASE("an hour's means are those of its middle") {
  // the beam that the moment in the middle gives, as irradiance, is the hour's own
  const Climate c = read(year("600", "100", "2"));
  const double jd = julian_date(2026, 6, 21, 15, 30, 0);  // the file's clock is UTC
  const SkyState s = make_climate_sky(site(), jd, c);
  REQUIRE(s.sun_up);
  CHECK(s.iso_type == 0);
  const double zenith = pi / 2 - s.sun.apparent_altitude;
  const SkyClearness clearness = sky_clearness(600, 100, zenith, 1367 * (1 + 0.033 * std::cos(2 * pi * 172 / 365)));
  // the hour is lit throughout, so its middle is 15:30
  CHECK(s.direct_normal == Approx(600 * direct_efficacy(clearness, zenith, 9)).epsilon(1e-4));
  CHECK(s.diffuse_horizontal == Approx(100 * diffuse_efficacy(clearness, zenith, 9)).epsilon(2e-3));  // the disc's refraction
  CHECK(s.note.find("21 June, 15 to 16 h") != std::string::npos);
  // later in the hour the same air makes the lower sun weaker
  const SkyState later = make_climate_sky(site(), julian_date(2026, 6, 21, 15, 59, 0), c);
  CHECK(later.direct_normal < s.direct_normal);
  // by the published form at that turbidity and height, which the hour's beam gave: its own ratio, computed at both heights
  CHECK(later.direct_normal > 0.9 * s.direct_normal);
}

TEST_CASE("hours without sun, twilight and gaps fall back on cover, then on the season") {
  const Climate overcast = read(year("0", "60", "10"));
  const SkyState grey = make_climate_sky(site(), julian_date(2026, 6, 21, 12, 30, 0), overcast);
  CHECK_FALSE(grey.sun_up);
  CHECK(grey.direct_normal == 0);
  // no beam: ε = 1, bin 1; Δ = 60 × 1.135 / 1324 = 0.0515 at z = 28.2°: 97.24 - 0.46 × 1.74 + 12 × 0.881 + 8.91 × 2.967 = 133.4 lm/W
  CHECK(grey.diffuse_horizontal == Approx(60 * 133.4).epsilon(0.003));  // worked to four digits, the sun moves within the hour
  const double dusk = julian_date(2026, 6, 21, 20, 50, 0);  // sun about 4° down at 51.5° N
  CHECK(make_climate_sky(site(), dusk, overcast).iso_type == overcast_type);
  CHECK(make_climate_sky(site(), dusk, read(year("500", "100", "1"))).iso_type == clear_type);
  CHECK(make_climate_sky(site(), dusk, read(year("500", "100", "5"))).iso_type == intermediate_type);
  const Climate nothing = read(year("9999", "9999", "99"));
  CHECK(make_climate_sky(site(), julian_date(2026, 6, 21, 12, 0, 0), nothing).iso_type == clear_type);
  CHECK(make_climate_sky(site(), julian_date(2026, 12, 21, 12, 0, 0), nothing).iso_type == overcast_type);
}

TEST_CASE("sunshine is a share of what clear air gives") {
  CHECK(sunshine_share(site(), julian_date(2026, 6, 21, 12, 30, 0), read(year("0", "300"))) == 0);
  CHECK(sunshine_share(site(), julian_date(2026, 6, 21, 12, 30, 0), read(year("1000", "60"))) == 1);
  const double some = sunshine_share(site(), julian_date(2026, 6, 21, 12, 30, 0), read(year("400", "200")));
  CHECK(some > 0.4);
  CHECK(some < 0.7);
  CHECK(std::isnan(sunshine_share(site(), julian_date(2026, 6, 21, 0, 30, 0), read(year()))));
}

// Every clearness an hour can have gives a sky that shines everywhere.
TEST_CASE("no hour makes a negative sky") {
  const double jd = julian_date(2026, 3, 10, 9, 30, 0);
  for (const int direct : {0, 30, 80, 150, 300, 500, 800, 1000})
    for (const int diffuse : {10, 40, 80, 150, 300, 500}) {
      const SkyState s = make_climate_sky(site(), jd, read(year(std::to_string(direct), std::to_string(diffuse))));
      CAPTURE(direct, diffuse, s.iso_type);
      for (int altitude = 0; altitude <= 90; altitude += 3)
        for (int azimuth = 0; azimuth < 360; azimuth += 10) {
          const double h = altitude * rad_per_deg, az = azimuth * rad_per_deg;
          const double l = sky_luminance(s, {std::cos(h) * std::sin(az), std::cos(h) * std::cos(az), std::sin(h)});
          if (!(l > 0 && std::isfinite(l))) FAIL("luminance " << l << " at " << altitude << ", " << azimuth);
        }
    }
}
