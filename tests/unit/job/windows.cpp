// Windows in full: roof windows, eaves, fins, covers, and what stands round the house.
#include <cmath>

#include "base/units.h"
#include "helpers.h"

using namespace rakelight;

namespace {

const std::string wall_window = "[[window]]\nwall = \"A\"\nfrom_left = 500\nwidth = 1200\nheight = 1200\n";
const std::string roof_window = "[[window]]\nwall = \"ceiling\"\nplace = [500, 600]\nwidth = 700\nheight = 900\n";

void must_say(const std::string& report, const std::string& what) {
  INFO(report);
  INFO("looked for: " << what);
  CHECK(report.find(what) != std::string::npos);
}

}  // namespace

TEST_CASE("eaves, fins and covers read with what stands in for them") {
  const Job plain = good(smallest + wall_window);
  CHECK(*plain.windows[0].eaves == 0);
  CHECK_FALSE(plain.windows[0].eaves_past.given);
  CHECK(*plain.windows[0].cover == CoverSpec::none);
  const Job full = good(smallest + wall_window +
                        "eaves = 600\neaves_above = 150\neaves_past = 300\nfin_left = 400\nfin_right = 200\nfin_off = 50\nouter_reflectance = 0.7\n"
                        "cover = \"sheer\"\ncover_scatter = 0.4\n");
  const WindowSpec& w = full.windows[0];
  CHECK(*w.eaves == Approx(0.6));
  CHECK(*w.eaves_above == Approx(0.15));
  CHECK(*w.eaves_past == Approx(0.3));
  CHECK(*w.fin_left == Approx(0.4));
  CHECK(*w.fin_right == Approx(0.2));
  CHECK(*w.fin_off == Approx(0.05));
  CHECK(*w.outer_reflectance == 0.7);
  CHECK(*w.cover == CoverSpec::sheer);
  CHECK(*w.cover_direct == 0.3);
  CHECK(*w.cover_scatter == 0.4);
  CHECK(*w.cover_reflectance == 0.3);
  CHECK(*good(smallest + wall_window + "cover = \"blind\"\n").windows[0].cover_direct == 0);
  // what stood in is listed, what was written is not
  int shares = 0;
  for (const Assumed& a : assumed(full)) {
    if (a.key == "window.W1.cover_direct") CHECK(a.value == "0.3");
    shares += a.key.find("cover_") != std::string::npos;
  }
  CHECK(shares == 2);
}

TEST_CASE("roof windows have a place in the ceiling") {
  const Job job = good(smallest + roof_window);
  CHECK(*job.windows[0].place == dvec2(0.5, 0.6));
  for (const Assumed& a : assumed(job)) CHECK(a.key != "window.W1.sill");
  must_say(bad(smallest + changed(roof_window, "place = [500, 600]\n", "")), "job.toml:5:8: error: window W1 is in the ceiling and has no place");
  must_say(bad(smallest + changed(roof_window, "place", "from_left = 100\nplace")), "job.toml:6:13: error: from_left says nothing of a roof window");
  must_say(bad(smallest + roof_window + "eaves = 500\n"), "job.toml:9:9: error: eaves says nothing of a roof window");
  must_say(bad(smallest + changed(wall_window, "from_left = 500\n", "")), "job.toml:4:1: error: from_left of [[window]] is missing");
  must_say(bad(smallest + wall_window + "place = [1, 2]\n"), "job.toml:9:9: error: place is of roof windows");
  must_say(bad(smallest + changed(roof_window, "[500, 600]", "[500]")), "job.toml:6:9: error: place of [[window]] cannot be [500]");
  must_say(bad(smallest + changed(roof_window, "[500, 600]", "[500]")), "[x, y] in mm");
}

TEST_CASE("covers whose shares cannot be, and keys without what they speak of") {
  must_say(bad(smallest + wall_window + "cover = \"sheer\"\ncover_scatter = 0.6\n"), "job.toml:10:17: error: the cover of window W1 passes 0.3, scatters 0.6 and throws back 0.3: 1.2 of the light on it");
  must_say(bad(smallest + wall_window + "cover_direct = 0.3\n"), "job.toml:9:16: error: cover_direct without a cover");
  must_say(bad(smallest + wall_window + "cover = \"net\"\n"), "one of \"none\", \"sheer\", \"blind\"");
  Diagnostics diagnostics;
  REQUIRE(read_job(JobText(smallest + wall_window + "eaves_above = 100\nfin_off = 20\n"), diagnostics));
  const std::string warned = diagnostics.to_text("job.toml", smallest + wall_window + "eaves_above = 100\nfin_off = 20\n");
  must_say(warned, "job.toml:9:15: warning: eaves_above changes nothing: window W1 has none");
  must_say(warned, "job.toml:10:11: warning: fin_off changes nothing");
}

TEST_CASE("a skyline is one altitude or points by their bearings") {
  CHECK(*good(smallest + "[site]\nskyline = 7\n").site.skyline == Approx(7 * rad_per_deg));
  const Job job = good(smallest + "[site]\nskyline = [[80, 4], [80, 20], [120, 20], [120, 4]]\nground_below = 2800\nhouse_height = 6500\n");
  REQUIRE(job.site.skyline_points.size() == 4);
  CHECK(job.site.skyline_points[1].x == Approx(80 * rad_per_deg));
  CHECK(job.site.skyline_points[1].y == Approx(20 * rad_per_deg));
  CHECK(*job.site.skyline == Approx(20 * rad_per_deg));
  CHECK(*job.site.ground_below == Approx(2.8));
  CHECK(*job.site.house_height == Approx(6.5));
  for (const char* wrong : {"[[90, 4], [80, 4]]", "[[80, 4], [80, 5], [80, 6]]", "[[0, 95]]", "[[-5, 3]]", "[[365, 3]]", "[[1]]", "[]", "\"low\"", "90"}) {
    const std::string report = bad(smallest + "[site]\nskyline = " + wrong + "\n");
    must_say(report, std::string("job.toml:5:11: error: skyline of [site] cannot be ") + wrong);
    must_say(report, "a number from 0 to 89 degrees, or pairs such as [[80, 4], [120, 15]]");
  }
}
