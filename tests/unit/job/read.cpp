// Every key arrives with its value, its unit and its place.
#include "helpers.h"

#include "base/units.h"
#include "job/zones.h"

using namespace rakelight;

namespace {
std::string at(const std::string& text, Span s) { return text.substr(s.begin, s.end - s.begin); }
}

TEST_CASE("the example of the design reads, key by key") {
  const Job job = good(example);
  CHECK(*job.title == "Top-floor flat, long room");
  CHECK(job.units == Units::millimetre);

  CHECK(*job.site.latitude_deg == 55.95);
  CHECK(*job.site.longitude_deg == -3.19);
  CHECK(*job.site.time_zone == "Europe/London");
  CHECK(*job.site.north == 293 * rad_per_deg);
  CHECK(*job.site.skyline == 3 * rad_per_deg);
  CHECK(*job.site.ground_reflectance == 0.2);
  CHECK(*job.site.skyline_reflectance == 0.15);
  CHECK(*job.site.turbidity == 5.0);

  REQUIRE(job.room.corners->size() == 4);
  CHECK((*job.room.corners)[2] == dvec2(4.2, 6.2));
  REQUIRE(job.room.walls.size() == 4);
  CHECK(*job.room.walls[1] == "street");
  CHECK(*job.room.height == 2.65);
  CHECK(*job.room.floor_reflectance == 0.3);
  CHECK(*job.room.wall_reflectance == 0.7);
  CHECK_FALSE(job.room.wall_reflectance.given);
  CHECK(*job.room.ceiling_reflectance == 0.8);

  REQUIRE(job.windows.size() == 1);
  const WindowSpec& w = job.windows[0];
  CHECK(*w.name == "W1");
  CHECK(*w.wall == "street");
  CHECK(*w.from_left == 0.25);
  CHECK(*w.sill == 0.8);
  CHECK(*w.width == 1.5);
  CHECK(*w.height == 1.5);
  CHECK(*w.reveal == 0.2);
  CHECK(*w.reveal_reflectance == 0.6);
  CHECK(*w.frame == 0.06);
  CHECK(*w.glazing == Glass::single_pane);

  REQUIRE(job.doors.size() == 1);
  CHECK(*job.doors[0].wall == "door");
  CHECK(*job.doors[0].from_left == 0.9);
  CHECK(*job.doors[0].width == 0.83);
  CHECK(*job.doors[0].height == 2.0);
  CHECK(*job.doors[0].reflectance == 0.5);

  REQUIRE(job.lamps.size() == 1);
  const LampSpec& l = job.lamps[0];
  CHECK(*l.name == "wall downlight");
  CHECK(*l.kind == LampKind::downlight);
  CHECK(*l.position == dvec3(0.3, 3.0, 2.65));
  CHECK(*l.aim == dvec3(0, 0.5, -1));
  CHECK(*l.size == 0.09);
  CHECK(*l.flux == 650);
  CHECK(*l.beam == 36 * rad_per_deg);
  CHECK(*l.group == "evening");

  REQUIRE(job.surfaces.size() == 2);
  const SurfaceSpec& s = job.surfaces[0];
  CHECK(*s.name == "long");
  CHECK(*s.run == RunSpec::upright);
  CHECK(*s.sheet == dvec2(1.2, 3.6));
  CHECK(*s.level == "5");
  CHECK(s.paint.name->empty());
  CHECK(*s.paint.gloss60 == 4);
  CHECK(*s.paint.gloss85 == 8);
  CHECK(*s.reflectance == 0.82);
  const SurfaceSpec& c = job.surfaces[1];
  CHECK(*c.run == RunSpec::towards_wall);
  CHECK(c.run_wall == "street");
  CHECK(*c.paint.name == "matt");
  CHECK(c.level->empty());  // the scheme's own, put in later
  CHECK(*c.sheet == dvec2(1.2, 3.0));
  CHECK(*c.reflectance == 0.8);  // the room's ceiling

  CHECK(*job.finishing.scheme == "c840");
  CHECK(*job.finishing.workmanship == "careful");
  CHECK(*job.finishing.compound == std::vector<std::string>{"setting", "drying"});
  CHECK(*job.finishing.tools == std::vector<double>{0.15, 0.2, 0.3});

  REQUIRE(job.joints.size() == 1);
  CHECK(*job.joints[0].id == "long/B1");
  CHECK(*job.joints[0].width == 0.56);

  REQUIRE(job.moments.size() == 3);
  const MomentSpec& m = job.moments[0];
  CHECK(*m.sky == SkyName::clear);
  CHECK((m.time->year == 2026 && m.time->month == 6 && m.time->day == 21 && m.time->hour == 20 && m.time->minute == 40));
  CHECK(m.time->second == 0);
  CHECK_FALSE(m.time->offset_minutes);
  CHECK_FALSE(m.all_lamps);
  CHECK(m.lamps->empty());
  CHECK(*job.moments[1].sky == SkyName::iso_type);
  CHECK(job.moments[1].iso_type == 12);
  CHECK(job.moments[1].time->offset_minutes == 150);
  CHECK(job.moments[1].time->second == 30.5);
  CHECK(*job.moments[1].lamps == std::vector<std::string>{"wall downlight", "evening"});
  CHECK(*job.moments[2].sky == SkyName::none);
  CHECK(job.moments[2].all_lamps);
  CHECK_FALSE(job.moments[2].time.given);

  REQUIRE(job.viewers.size() == 2);
  CHECK(*job.viewers[0].eye == dvec3(3.6, 0.6, 1.6));
  CHECK(*job.viewers[0].look == "long");
  CHECK_FALSE(job.viewers[0].look_point);
  REQUIRE(job.viewers[1].look_point);
  CHECK(*job.viewers[1].look_point == dvec3(0, 3.1, 1.3));

  CHECK(*job.verdict.gain == 1.5);
  CHECK(*job.verdict.band == 3);
  CHECK(*job.verdict.faint == 0.9);
  CHECK(*job.verdict.shows == 5);
  CHECK(*job.verdict.chance == 0.2);
  CHECK(*job.verdict.age == 60);
}

TEST_CASE("spans are the value's text; a default's is its table's heading") {
  const Job job = good(example);
  CHECK(at(example, job.title.at) == "\"Top-floor flat, long room\"");
  CHECK(at(example, job.site.longitude_deg.at) == "-3.19");
  CHECK(at(example, job.room.corners.at) == "[[0,0],[0,6200],[4200,6200],[4200,0]]");
  CHECK(at(example, job.room.walls[2].at) == "\"party\"");
  CHECK(at(example, job.moments[1].time.at) == "2026-12-21T09:05:30.5+02:30");
  CHECK(at(example, job.surfaces[0].paint.name.at) == "{ gloss60 = 4, gloss85 = 8, texture = \"none\" }");
  CHECK(at(example, job.surfaces[0].paint.gloss85.at) == "8");
  CHECK(at(example, job.room.wall_reflectance.at) == "[room]");
  CHECK(at(example, job.doors[0].reflectance.at) == "[[door]]");
  CHECK(at(example, job.windows[0].at) == "[[window]]");
  CHECK(job.surfaces[1].level.at.begin == job.surfaces[1].at.begin);
  CHECK(job.surfaces[1].at.begin == example.rfind("[[surface]]"));
}

TEST_CASE("spans hold in UTF-8, with CRLF, tabs and a byte-order mark") {
  const std::string text = "\xEF\xBB\xBFtitle = \"Küche → 北\" # ü\r\n[room]\r\n\tcorners = [ [0,0], # é\r\n[0,3000],[3000,3000] ]\r\nwalls=['ä', '''b''',\"\"\"ü\"\"\"]\r\n\theight\t=\t2_400.0\t# m\r\n";
  const Job job = good(text);
  CHECK(*job.title == "Küche → 北");
  CHECK(at(text, job.title.at) == "\"Küche → 北\"");
  CHECK(at(text, job.room.corners.at) == "[ [0,0], # é\r\n[0,3000],[3000,3000] ]");
  CHECK(at(text, job.room.walls[0].at) == "'ä'");
  CHECK(at(text, job.room.walls[1].at) == "'''b'''");
  CHECK(at(text, job.room.walls[2].at) == "\"\"\"ü\"\"\"");
  CHECK(at(text, job.room.height.at) == "2_400.0");
  CHECK(*job.room.height == 2.4);
}

TEST_CASE("the smallest job: all defaults, as documented") {
  const Job job = good(smallest);
  REQUIRE(job.room.walls.size() == 4);
  CHECK(*job.room.walls[0] == "A");
  CHECK(*job.room.walls[3] == "D");
  CHECK(*job.room.floor_reflectance == 0.25);
  CHECK(*job.site.skyline == 3 * rad_per_deg);
  CHECK(*job.site.turbidity == 3.5);
  CHECK(*job.site.north == 0);
  CHECK(*job.finishing.scheme == "c840");
  CHECK(*job.finishing.workmanship == "everyday");
  CHECK(*job.finishing.compound == std::vector<std::string>{"setting", "setting", "drying"});
  CHECK(*job.finishing.tools == std::vector<double>{0.15, 0.2, 0.3});
  CHECK(*job.verdict.gain == 1);
  CHECK(*job.verdict.band == 2);
  CHECK(*job.verdict.faint == 1);
  CHECK(*job.verdict.shows == 4);
  CHECK(*job.verdict.chance == 0.1);
  CHECK(*job.verdict.age == 45);
  CHECK_FALSE(job.verdict.age.at.known());

  const Job more = good(smallest + "[[window]]\nwall = \"A\"\nfrom_left = 100\nwidth = 900\nheight = 900\n[[window]]\nwall = \"B\"\n"
                        "from_left = 0\nwidth = 900\nheight = 900\nglazing = 0.61\n[[lamp]]\nkind = \"pendant\"\nat = [1, 2, 3]\n"
                        "[[door]]\nwall = \"D\"\nfrom_left = 10\n[[surface]]\nname = \"A\"\n[[moment]]\nsky = \"none\"\nlamps = \"on\"\n");
  CHECK(*more.windows[0].name == "W1");
  CHECK(*more.windows[1].name == "W2");
  CHECK(*more.windows[0].sill == 0.9);
  CHECK(*more.windows[0].reveal == 0.18);
  CHECK(*more.windows[0].frame == 0.07);
  CHECK(*more.windows[0].glazing == Glass::double_pane);
  CHECK(*more.windows[1].glazing == Glass::transmittance);
  CHECK(more.windows[1].transmittance == 0.61);
  CHECK(*more.lamps[0].kind == LampKind::pendant);
  CHECK(*more.lamps[0].aim == dvec3(0, 0, -1));
  CHECK(*more.lamps[0].size == 0.08);
  CHECK(*more.lamps[0].flux == 700);
  CHECK(*more.lamps[0].beam == 60 * rad_per_deg);
  CHECK(*more.doors[0].width == 0.826);
  CHECK(*more.surfaces[0].run == RunSpec::automatic);
  CHECK(*more.surfaces[0].reflectance == 0.7);
  CHECK(*more.moments[0].name == "T1");
}

TEST_CASE("what was assumed is listed with unit and reason") {
  const Job job = good(changed(example, "reveal = 200\n", ""));
  const auto list = assumed(job);
  auto find = [&](const std::string& key) {
    for (const Assumed& a : list)
      if (a.key == key) return a.value;
    return std::string("absent");
  };
  CHECK(find("window.W1.reveal") == "180 mm");
  CHECK(find("window.W1.frame") == "absent");
  CHECK(find("door[0].reflectance") == "0.5");
  CHECK(find("room.wall_reflectance") == "0.7");
  CHECK(find("surface.ceiling.sheet") == "1200 x 3000 mm");
  CHECK(find("surface.ceiling.paint") == "absent");
  for (const Assumed& a : list) CHECK_FALSE(a.why.empty());

  const auto inch = assumed(good("units = \"inch\"\n" + changed(smallest, "[[0,0],[0,3000],[3000,3000],[3000,0]]\nheight = 2400", "[[0,0],[0,120],[120,120]]\nheight = 96") +
                                 "[[window]]\nwall = \"A\"\nfrom_left = 1\nwidth = 36\nheight = 36\n"));
  bool found = false;
  for (const Assumed& a : inch) found = found || (a.key == "window.W1.reveal" && a.value == "7.09 in");
  CHECK(found);
}

TEST_CASE("a zone without coordinates: its city's, marked approximate") {
  const std::string text = smallest + "[site]\ntime_zone = \"Pacific/Auckland\"\n[[moment]]\nat = 2026-01-01T07:00:00\n";
  const Job job = good(text);
  // zone.tab of the tz database: Pacific/Auckland -3652+17446
  CHECK(*job.site.latitude_deg == Approx(-(36 + 52 / 60.0)).margin(1e-12));
  CHECK(*job.site.longitude_deg == Approx(174 + 46 / 60.0).margin(1e-12));
  CHECK_FALSE(job.site.latitude_deg.given);
  REQUIRE_FALSE(assumed(job).empty());
  CHECK(assumed(job)[0].key == "site.latitude");
  CHECK(assumed(job)[0].why == "approximate: Auckland, the city of the time zone");
}

TEST_CASE("cities of time zones") {
  // zone.tab: Europe/London +513030-0000731, America/New_York +404251-0740023, Asia/Kolkata +2232+08822
  CHECK(zone_city("Europe/London")->latitude_deg == Approx(51 + 30 / 60.0 + 30 / 3600.0).margin(1e-12));
  CHECK(zone_city("Europe/London")->longitude_deg == Approx(-(7 / 60.0 + 31 / 3600.0)).margin(1e-12));
  CHECK(zone_city("America/New_York")->longitude_deg == Approx(-(74 + 0 / 60.0 + 23 / 3600.0)).margin(1e-12));
  CHECK(zone_city("America/New_York")->city == "New York");
  CHECK(zone_city("Asia/Kolkata")->longitude_deg == Approx(88 + 22 / 60.0).margin(1e-12));
  for (const char* none : {"", "Europe", "London", "Europe/Londo", "urope/London", "UTC", "Africa/Abidjan +0519-00402;Africa/Accra", "\n", ";"})
    CHECK_FALSE(zone_city(none));
  CHECK(zone_names().size() == 418);  // rows of zone.tab, release 2026f
  for (const std::string& name : zone_names()) {
    const auto city = zone_city(name);
    REQUIRE(city);
    CHECK(std::abs(city->latitude_deg) <= 90);
    CHECK(std::abs(city->longitude_deg) <= 180);
  }
}

TEST_CASE("the starter job reads without a word") {
  const Job job = good(starter_job());
  CHECK(job.moments.size() == 5);
  CHECK(job.surfaces.size() == 1);
  CHECK(starter_job().find("invented") != std::string::npos);
  CHECK(job.viewers.size() == 1);
  CHECK(*job.room.height == Approx(2.5));
}

TEST_CASE("a first room's times are named for the half of the earth that it is in") {
  FirstRoom room;
  room.invented = false;
  const auto month = [&](const char* zone, const char* name) {
    room.zone = zone;
    for (const MomentSpec& m : good(starter_job(room)).moments)
      if (*m.name == name) return m.time->month;
    return 0;
  };
  // the sun stands over the northern tropic on 21 June and over the southern on 21 December
  CHECK(month("Europe/Oslo", "midsummer evening") == 6);
  CHECK(month("Pacific/Auckland", "midsummer evening") == 12);
  CHECK(month("America/Santiago", "midsummer morning") == 12);
  CHECK(month("Pacific/Auckland", "overcast noon before winter") == 5);
  CHECK(month("Europe/Oslo", "overcast noon before winter") == 11);
  CHECK(good(starter_job(room)).lamps.empty());  // nobody said that there is one
  room.inches = true;
  const Job inches = good(starter_job(room));
  CHECK(inches.units == Units::inch);
  CHECK(*inches.room.height == Approx(2.5).margin(0.0016));  // to an eighth of an inch
  CHECK(inches.surfaces[0].sheet->x == Approx(4 * 0.3048));
  CHECK(inches.surfaces[0].sheet->y == Approx(10 * 0.3048));
}

TEST_CASE("a file in inches: numbers, feet and fractions") {
  const Job job = good("units = \"inch\"\n[room]\ncorners = [[0, 0], [0, \"20' 4\\\"\"], [\"13'-9 1/2\\\"\", 244], [165.5, 0]]\nheight = \"8' 6-1/2\\\"\"\n"
                       "[finishing]\ntools = [6, 8, 12]\n");
  CHECK(job.units == Units::inch);
  // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959); rounding of a few double operations
  CHECK(*job.room.height == Approx(102.5 * 0.0254).epsilon(1e-15));
  CHECK((*job.room.corners)[1].y == Approx(244 * 0.0254).epsilon(1e-15));
  CHECK((*job.room.corners)[2].x == Approx(165.5 * 0.0254).epsilon(1e-15));
  CHECK((*job.finishing.tools)[2] == Approx(0.3048).epsilon(1e-15));
  // defaults stay what they are in mm
  CHECK(*good("units = \"inch\"\n" + changed(smallest, "height = 2400", "height = 94.5")).room.height == Approx(2.4003).epsilon(1e-15));
}

TEST_CASE("alias words of the trade") {
  CHECK(good("units = \"mm\"\n" + smallest).units == Units::millimetre);
  CHECK(*good(smallest + "[[surface]]\nname = \"A\"\npaint = \"flat\"\n").surfaces[0].paint.name == "matt");
  good(smallest + "[[surface]]\nname = \"A\"\nedge = \"tapered\"\n");
  CHECK(*good(smallest + "[finishing]\ncompound = \"drying\"\n").finishing.compound == std::vector<std::string>{"drying"});
}

TEST_CASE("tables may be written as TOML allows") {
  const Job job = good("window = [{wall = \"A\", from_left = 1, width = 900, height = 900}]\nroom = {corners = [[0,0],[0,3000],[3000,3000]], height = 2400}\nsite.skyline = 5\n");
  CHECK(job.windows.size() == 1);
  CHECK(*job.site.skyline == 5 * rad_per_deg);
  good(smallest + "[[surface]]\nname = \"A\"\n[surface.paint]\ngloss60 = 3\ngloss85 = 6\n");
}

TEST_CASE("which way the plan faces: by compass, by the sun, never by both") {
  const std::string place = smallest + "[site]\nlatitude = 51.5\nlongitude = 0\ntime_zone = \"Europe/London\"\n";
  const Job compass = good(place + "north = 290\nmagnetic = true\ndeclination = -3.5\nclimate = \"near.epw\"\n");
  CHECK(*compass.site.north == 290 * rad_per_deg);
  CHECK(*compass.site.magnetic);
  CHECK(*compass.site.declination == -3.5 * rad_per_deg);
  CHECK(*compass.site.climate == "near.epw");
  const Job sun = good(place + "seen = { wall = \"A\", at = 2026-06-21T18:40:00 }\n");
  CHECK(sun.site.seen->wall == "A");
  CHECK(sun.site.seen->time.hour == 18);
  CHECK_FALSE(*sun.site.magnetic);
  for (const auto& [text, report] : {std::pair{"north = 290\nmagnetic = true\n", "magnetic = true without declination"},
                                     std::pair{"magnetic = true\ndeclination = 3\n", "magnetic = true without north"},
                                     std::pair{"north = 290\ndeclination = 3\n", "declination without magnetic = true"},
                                     std::pair{"north = 3\nseen = { wall = \"A\", at = 2026-06-21T18:40:00 }\n", "both north and seen"},
                                     std::pair{"seen = { wall = \"A\" }\n", "{ wall = \"A\", at = 2026-06-21T18:40:00 }"},
                                     std::pair{"seen = { wall = \"Q\", at = 2026-06-21T18:40:00 }\n", "Q"},
                                     std::pair{"magnetic = 1\n", "true or false"}})
    CHECK(bad(place + text).find(report) != std::string::npos);
}

TEST_CASE("skies by their names") {
  const std::string moment = smallest + "[site]\ntime_zone = \"Europe/London\"\n[[moment]]\nat = 2026-06-21T18:40:00\nsky = ";
  for (const auto& [word, name] : {std::pair{"clear", SkyName::clear}, std::pair{"overcast", SkyName::overcast}, std::pair{"intermediate", SkyName::intermediate},
                                   std::pair{"auto", SkyName::automatic}})
    CHECK(*good(moment + '"' + word + "\"\n").moments[0].sky == name);
}

TEST_CASE("edges, backing and how joints are made") {
  const Job plain = good(example);
  CHECK(*plain.surfaces[0].edge == EdgeSpec::recessed);
  CHECK(*plain.surfaces[0].ripped_edge == RippedEdgeSpec::corner);
  CHECK(*plain.surfaces[0].backing == BackingSpec::none);
  CHECK(*plain.surfaces[0].sprung_by == 0.002);
  CHECK(*plain.surfaces[0].sprung_over == 0.125);
  CHECK(*plain.finishing.tape == TapeSpec::paper);
  CHECK(*plain.finishing.recoat == RecoatSpec::dry);
  CHECK(*plain.finishing.sanding == SandingSpec::light);
  const Job job = good(smallest + R"(
[[surface]]
name = "A"
edge = "half-round"
ripped_edge = "joint"
backing = "butts"
sprung_by = 1.5
sprung_over = 200
[finishing]
compound = ["setting", "lightweight"]
tape = "mesh"
recoat = "early"
sanding = "over"
[[joint]]
id = "A/H1"
kind = "cut-to-cut"
)");
  const SurfaceSpec& s = job.surfaces[0];
  CHECK(*s.edge == EdgeSpec::half_round);
  CHECK(*s.ripped_edge == RippedEdgeSpec::joint);
  CHECK(*s.backing == BackingSpec::butts);
  CHECK(*s.sprung_by == Approx(0.0015));
  CHECK(*s.sprung_over == 0.2);
  CHECK(*job.finishing.tape == TapeSpec::mesh);
  CHECK(*job.finishing.recoat == RecoatSpec::early);
  CHECK(*job.finishing.sanding == SandingSpec::over);
  CHECK(*job.joints[0].kind == "cut-to-cut");
}

TEST_CASE("framing and measured workmanship") {
  CHECK_FALSE(good(smallest).framing.at.known());
  Job job = good(smallest + "[framing]\nspacing = 450\nflatness = [3, 2000]\n");
  CHECK(job.framing.at.known());
  CHECK(*job.framing.spacing == Approx(0.45));
  CHECK(*job.framing.direction == "upright");
  CHECK(*job.framing.flatness == dvec2(0.003, 2.0));
  CHECK(*good(smallest + "[framing]\n").framing.flatness == dvec2(0.004, 1.8));
  job = good(smallest + "[finishing]\nworkmanship = { like = \"careful\", butt_crown = [1.1, 0.9], recessed_crown = [-0.2, 0.3] }\nreadings = [\"butt-900\"]\n");
  REQUIRE(job.finishing.measured);
  CHECK(job.finishing.workmanship->empty());
  CHECK(*job.finishing.measured->like == "careful");
  CHECK(job.finishing.measured->butt_crown->size() == 2);
  CHECK((*job.finishing.measured->recessed_crown)[0] == Approx(-0.0002));
  CHECK(job.finishing.measured->lap_ridge->empty());
  CHECK(*job.finishing.readings == std::vector<std::string>{"butt-900"});
  CHECK(*good(smallest + "[finishing.workmanship]\nlap_ridge = [0.05]\n").finishing.measured->like == "everyday");
}

TEST_CASE("how sheets are laid, what rules they may break, and how they get in") {
  const std::string face = "[[surface]]\nname = \"A\"\n";
  const SurfaceSpec plain = good(smallest + face).surfaces[0];
  CHECK_FALSE(plain.first_row.given);
  CHECK(plain.first_sheets->empty());
  CHECK(plain.relax->empty());
  CHECK(*plain.system == SystemSpec::none);
  const SurfaceSpec s = good(smallest + face + "lengths = [3600, 2400]\nfirst_row = 250\nfirst_sheets = [3000, 1800]\ncontrol_joints = [6000]\nmovement_joints = [2700]\n"
                                               "relax = [\"stagger\", \"rip\"]\nsystem = \"fire\"\n").surfaces[0];
  CHECK(*s.lengths == std::vector{2.4, 3.6});
  CHECK(*s.first_row == 0.25);
  CHECK(*s.first_sheets == std::vector{3.0, 1.8});  // their order counts
  CHECK(*s.control_joints == std::vector{6.0});
  CHECK(*s.movement_joints == std::vector{2.7});
  CHECK(*s.relax == std::vector<std::string>{"stagger", "rip"});
  CHECK(*s.system == SystemSpec::fire);
  CHECK(bad(smallest + face + "relax = [\"gravity\"]\n").find("gravity") != std::string::npos);
  const Job job = good(smallest + "[access]\npeople = 3\nhoist = true\ndoor = [760, 1980]\npassage = 900\nturn = 1000\nlift = [1100, 1400, 2200]\n[framing]\nfirst = 300\n");
  CHECK(*job.access.people == 3);
  CHECK(*job.access.each_kg == 25);
  CHECK(*job.access.hoist);
  CHECK(*job.access.door == dvec2(0.76, 1.98));
  CHECK(*job.access.lift == dvec3(1.1, 1.4, 2.2));
  CHECK(*job.framing.first == 0.3);
  CHECK(bad(smallest + "[access]\nturn = 900\n").find("turn without passage") != std::string::npos);
  CHECK(bad(smallest + "[framing]\nspacing = 450\nfirst = 600\n").find("further from the corner than the spacing") != std::string::npos);
}

TEST_CASE("keys of a paint that change nothing are warned of") {
  const auto said = [](const std::string& paint) {
    Diagnostics diagnostics;
    const std::string text = smallest + "[[surface]]\nname = \"A\"\npaint = { class = \"matt\", " + paint + " }\n";
    CHECK(read_job(JobText(text), diagnostics));
    std::string all;
    for (const Diagnostic& d : diagnostics.all()) all += d.wrong + "\n";
    return all;
  };
  CHECK(said("nap = 18").find("nap is the roller's") == 0);
  CHECK(said("applied = \"sprayed\", nap = 18").find("nap is the roller's") == 0);
  CHECK(said("applied = \"rolled\", nap = 18").empty());
  CHECK(said("coats = 3") == "coats change nothing over a sealer that is \"even\": no band shows anyway\n");
  CHECK(said("sealer = \"even\", coats = 3").find("coats change nothing") == 0);
  CHECK(said("sealer = \"none\", coats = 3").empty());
  CHECK(said("sealer = \"none\", coats = 3, lining = \"fleece\"").find("coats change nothing over a lining") == 0);
}

TEST_CASE("rates, drying and paper: as written, else nothing agreed") {
  const std::string text = smallest + R"([rates]
currency = "EUR"
hour = 48.5
visit = 0
[drying]
temperature = 12
humidity = 75
[paper]
date = 2026-05-04
page = "Letter"
client = "N. N."
heating = false
valid_days = 30
start = 2026-05-18
days_a_week = 6
)";
  const Job job = good(text);
  CHECK(*job.rates.currency == "EUR");
  CHECK(*job.rates.hour == 48.5);
  CHECK((job.rates.visit.given && *job.rates.visit == 0));
  CHECK_FALSE(job.rates.sheet.given);
  CHECK(*job.drying.temperature == 12);
  CHECK(*job.drying.humidity == 75);
  CHECK((job.paper.date->year == 2026 && job.paper.date->month == 5 && job.paper.date->day == 4));
  CHECK((job.paper.start->month == 5 && job.paper.start->day == 18));
  CHECK(at(text, job.paper.start.at) == "2026-05-18");
  CHECK(*job.paper.page == PageSize::letter);
  CHECK((job.paper.heating.given && !*job.paper.heating));
  CHECK_FALSE(job.paper.return_visit.given);
  CHECK(*job.paper.days_a_week == 6);
  // what was written is no assumption
  std::string keys;
  for (const Assumed& a : assumed_for_paper(job)) keys += a.key + " ";
  CHECK(keys == "paper.hands paper.day_hours ");
  CHECK(assumed(job).size() == assumed(good(smallest)).size());
}
