// What is wrong, where exactly, and what would be right.
#include "helpers.h"

#include "job/keys.h"

using namespace rakelight;

namespace {
bool says(const std::string& report, const std::string& what) {
  INFO(report);
  INFO("looked for: " << what);
  const bool found = report.find(what) != std::string::npos;
  CHECK(found);
  return found;
}
}  // namespace

TEST_CASE("one error, whole report") {
  CHECK(bad(changed(smallest, "height = 2400", "height = -5")) ==
        "job.toml:3:10: error: height of [room] cannot be -5\n"
        "    height = -5\n"
        "             ^~\n"
        "    right would be: a length from 500 to 20000 mm\n");
}

TEST_CASE("two places named when two conflict") {
  CHECK(bad(changed(smallest, "height", "walls = [\"a\", \"b\", \"c\", \"a\"]\nheight")) ==
        "job.toml:3:25: error: wall \"a\" is there twice\n"
        "    walls = [\"a\", \"b\", \"c\", \"a\"]\n"
        "                            ^~~\n"
        "    right would be: a name of its own\n"
        "job.toml:3:10: the first one is here\n"
        "    walls = [\"a\", \"b\", \"c\", \"a\"]\n"
        "             ^~~\n");
}

TEST_CASE("a syntax error stands alone, with its place") {
  const std::string report = bad("[room]\nheight = = 3\nbogus = 1\n[site]\nlatitude = 999\n");
  says(report, "job.toml:2:10: error: ");
  CHECK(report.find("latitude") == std::string::npos);
  says(bad("[room]\ntitle = \"open\nx = 1\n"), "job.toml:2:");
  says(bad("a = 1\na = 2\n"), "job.toml:2:");
  says(bad("a = 2026-02-30\n"), "job.toml:1:");
  says(bad("title = \"\xff\"\n"), "job.toml:1:");
}

TEST_CASE("all errors of meaning at once, in the order of the text") {
  const std::string report = bad("[site]\nlatitude = 99\nlongitude = \"x\"\n[room]\ncorners = [[0,0],[0,1]]\nheight = true\nhight = 2\n");
  std::size_t at = 0;
  for (const char* place : {":2:12: error: latitude of [site] cannot be 99", ":3:13: error: longitude of [site] cannot be \"x\"",
                            ":5:11: error: corners of [room] cannot be [[0,0],[0,1]]", ":6:10: error: height of [room] cannot be true",
                            ":7:1: error: \"hight\" is not a key of [room]"}) {
    const std::size_t found = report.find(place, at);
    INFO(report << place);
    REQUIRE(found != std::string::npos);
    at = found;
  }
}

TEST_CASE("one wrong thing each: place, words, cure") {
  struct Case { const char* from; const char* to; const char* place; const char* wrong; const char* right; };
  const Case cases[] = {
      {"sill = 800", "sil = 800", "24:1", "\"sil\" is not a key of [[window]]", "\"sill\" (or it is from a newer version)"},
      {"sill = 800", "zzzzzzz = 800", "24:1", "\"zzzzzzz\" is not a key of [[window]]", "one of name, wall, from_left"},
      {"[finishing]", "[finishin]", "66:2", "\"finishin\" is not a key or table of a job file", "\"finishing\""},
      {"title =", "titel =", "2:1", "\"titel\" is not a key or table of a job file", "\"title\""},
      {"gloss85 = 8", "gloss20 = 8", "57:24", "\"gloss20\" is not a key of paint of [[surface]]", "gloss"},
      {"sill = 800", "sill = \"800\"", "24:8", "sill of [[window]] cannot be \"800\"", "a length from 0 to 20000 mm"},
      {"sill = 800", "sill = nan", "24:8", "sill of [[window]] cannot be nan", "a length"},
      {"sill = 800", "sill = inf", "24:8", "sill of [[window]] cannot be inf", "a length"},
      {"width = 1500", "", "20:1", "width of [[window]] is missing", "width = a length from 50 to 100000 mm"},
      {"wall = \"street\"", "wall = \"stret\"", "22:8", "wall \"stret\" does not exist", "\"street\""},
      {"wall = \"door\"", "wall = \"xyzzyx\"", "34:8", "wall \"xyzzyx\" does not exist", "one of long, street, party, door"},
      {"glazing = \"single\"", "glazing = \"singl\"", "30:11", "glazing of [[window]] cannot be \"singl\"", "\"single\" (one of \"single\", \"double\", or a number from 0.01 to 1)"},
      {"glazing = \"single\"", "glazing = 1.01", "30:11", "glazing of [[window]] cannot be 1.01", "a number from 0.01 to 1"},
      {"haze = \"hazy\"", "haze = \"foggy\"", "12:8", "haze of [site] cannot be \"foggy\"", "one of \"clear\", \"average\", \"hazy\""},
      {"longitude = -3.19", "", "5:12", "latitude without longitude", "both, or neither and a time_zone"},
      {"kind = \"downlight\"", "kind = \"donlight\"", "41:8", "kind of [[lamp]] cannot be \"donlight\"", "\"downlight\""},
      {"aim = [0, 0.5, -1]", "aim = [0, 0, 0]", "43:7", "aim of [[lamp]] cannot be [0, 0, 0]", "not all 0"},
      {"at = [300, 3000, 2650]", "at = [300, true, 2650]", "42:12", "at of [[lamp]] cannot hold true", "[x, y, z] in mm"},
      {"at = [300, 3000, 2650]", "at = [300, 3000]", "42:6", "at of [[lamp]] cannot be [300, 3000]", "[x, y, z] in mm"},
      {"beam = 36", "beam = 180", "47:8", "beam of [[lamp]] cannot be 180", "from 5 to 170 degrees"},
      {"turn = 0", "turn = 500", "44:8", "turn of [[lamp]] cannot be 500", "from -360 to 360 degrees"},
      {"turn = 0", "dim = 1.5", "44:7", "dim of [[lamp]] cannot be 1.5", "a number from 0 to 1"},
      {"turn = 0", "photometry = \"a.ies\"", "47:8", "beam and photometry both say how lamp wall downlight spreads its light", "one of the two"},
      {"turn = 0", "to = [300, 3000, 100]", "44:6", "lamp wall downlight has a second end and is no strip", "kind = \"strip\", or no `to`"},
      {"kind = \"downlight\"", "kind = \"strip\"", "42:6", "strip wall downlight has one end", "to = [x, y, z], its other end"},
      {"kind = \"downlight\"", "kind = \"wall-light\"", "41:8", "kind of [[lamp]] cannot be \"wall-light\"", "one of"},
      {"[\"wall downlight\", \"evening\"]", "[\"evening\", { dim = 0.5 }]", "86:21", "name of an item in lamps of [[moment]] is missing", "text in quotes"},
      {"[\"wall downlight\", \"evening\"]", "[{ name = \"evening\", dim = 2 }]", "86:36", "dim of an item in lamps of [[moment]] cannot be 2", "from 0 to 1"},
      {"[\"wall downlight\", \"evening\"]", "[{ name = \"evening\", dimm = 1 }]", "86:30", "\"dimm\" is not a key of an item in lamps of [[moment]]", "\"dim\""},
      {"[\"wall downlight\", \"evening\"]", "[{ name = \"evning\" }]", "86:19", "lamp or group \"evning\" does not exist", "\"evening\""},
      {"[0,6200],", "[0,\"6200\"],", "15:18", "corners of [room] cannot hold [0,\"6200\"]", "at least three corners"},
      {"\"party\", ", "", "16:11", "the room has 3 walls and 4 corners", "4 names, one per corner"},
      {"\"party\"", "\"ceiling\"", "16:30", "a wall cannot be called \"ceiling\"", "any name but"},
      {"\"party\"", "\"a/b\"", "16:30", "a wall's name cannot contain \"/\"", "without it"},
      {"\"party\"", "7", "16:30", "walls of [room] cannot hold 7", "a list of different names"},
      {"run = \"upright\"", "run = \"uprigt\"", "52:7", "run of a wall cannot be \"uprigt\"", "\"upright\""},
      {"run = \"street\"", "run = \"horizontal\"", "63:7", "run of the ceiling: wall \"horizontal\" does not exist", "one of long"},
      {"name = \"long\"", "name = \"lnog\"", "51:8", "surface \"lnog\" does not exist", "\"long\""},
      {"name = \"ceiling\"", "name = \"floor\"", "62:8", "surface \"floor\" does not exist", "one of long, street, party, door, ceiling"},
      {"name = \"ceiling\"\nrun = \"street\"", "name = \"long\"", "62:8", "surface \"long\" is there twice", "a name of its own"},
      {"sheet = [1200, 3600]", "sheet = [3600, 1200]", "53:9", "sheet of [[surface]] cannot be [3600, 1200]", "the length not under the width"},
      {"level = \"5\"", "level = 5", "56:9", "level of [[surface]] cannot be 5", "text in quotes"},
      {"gloss60 = 4, ", "", "57:9", "gloss60 of paint of [[surface]] is missing", "a number from 0 to 100"},
      {"paint = \"flat\"", "paint = 3", "64:9", "paint of [[surface]] cannot be 3", "a paint class in quotes, or { gloss60"},
      {"\"careful\"", "\"carefull\"", "68:15", "workmanship of [finishing] cannot be \"carefull\"", "\"careful\""},
      {"[\"setting\", \"drying\"]", "[\"setting\", \"dryin\"]", "69:24", "compound of [finishing] cannot hold \"dryin\"", "one of \"setting\", \"drying\""},
      {"tools = [300, 150, 200]", "tools = [300, 15, 200]", "70:15", "tools of [finishing] cannot hold 15", "each from 50 to 1000 mm"},
      {"at = 2026-06-21T20:40:00", "at = 2026-06-21", "78:6", "at of [[moment]] cannot be 2026-06-21", "a date with a time"},
      {"at = 2026-06-21T20:40:00", "", "76:1", "moment \"evening sun, midsummer\" has a sky and no time", "sky = \"none\""},
      {"sky = 12", "sky = 16", "85:7", "sky of [[moment]] cannot be 16", "from 1 to 15"},
      {"sky = 12", "sky = 2.5", "85:7", "sky of [[moment]] cannot be 2.5", "from 1 to 15"},
      {"lamps = \"on\"", "lamps = \"off\"", "88:1", "moment \"lamps\" has neither sky nor lamps", "lamps = \"on\""},
      {"\"wall downlight\", \"evening\"]", "\"wall downlight\", \"evning\"]", "86:28", "lamp or group \"evning\" does not exist", "\"evening\""},
      {"name = \"by offset\"", "name = \"lamps\"", "89:8", "moment \"lamps\" is there twice", "a name of its own"},
      {"look = \"long\"", "look = \"lon\"", "96:8", "surface \"lon\" does not exist", "\"long\""},
      {"look = [0, 3100, 1300]", "look = [0, 3100]", "101:8", "look of [[viewer]] cannot be [0, 3100]", "a wall's name"},
      {"eye = [3600, 600, 1600]", "", "93:1", "eye of [[viewer]] is missing", "eye = [x, y, z] in mm"},
      {"faint = 0.9", "faint = 6", "106:9", "faint = 6 is above shows = 5", "faint at most shows"},
      {"chance = 0.2", "chance = 1", "108:10", "chance of [verdict] cannot be 1", "a number from 0.0001 to 0.9999"},
      {"time_zone = \"Europe/London\"", "", "4:1", "a moment has a sky, and the site has no time zone", "time_zone = "},
      {"format = 1", "format = 1.5", "1:10", "format cannot be 1.5", "format = 1"},
  };
  for (const Case& c : cases) {
    INFO(c.from << " -> " << c.to);
    const std::string text = changed(example, c.from, c.to);
    Diagnostics diagnostics;
    CHECK_FALSE(read_job(JobText(text), diagnostics));
    const std::string report = diagnostics.to_text("job.toml", text);
    says(report, std::string("job.toml:") + c.place + ": error: " + c.wrong);
    says(report.substr(std::min(report.find(c.wrong), report.size())), c.right);
  }
}

TEST_CASE("tables of the wrong kind, and no room") {
  says(bad(changed(example, "[[door]]", "[door]")), "job.toml:33:1: error: \"door\" must be a list of tables");
  says(bad(changed(example, "[site]", "[[site]]")), "job.toml:4:1: error: \"site\" must be one table");
  says(bad("room = 3\n"), "job.toml:1:1: error: \"room\" must be one table");
  says(bad("lamp = [1]\n" + smallest), "job.toml:1:1: error: \"lamp\" must be a list of tables");
  says(bad(""), "job.toml:1:1: error: the job has no room");
  says(bad("title = \"x\""), "[room] with corners and height");
}

TEST_CASE("duplicates of each kind name both places") {
  const std::string surface_a = "[[surface]]\nname = \"A\"\n";
  const std::pair<const char*, std::string> kinds[] = {
      {"window", "[[window]]\nname = \"x\"\nwall = \"A\"\nfrom_left = 1\nwidth = 900\nheight = 900\n"},
      {"lamp", "[[lamp]]\nname = \"x\"\nkind = \"pendant\"\nat = [0,0,0]\n"},
      {"surface", surface_a},
      {"joint", "[[joint]]\nid = \"A/B1\"\n"},
      {"moment", "[[moment]]\nname = \"x\"\nsky = \"none\"\nlamps = \"on\"\n"},
      {"viewer", "[[viewer]]\nname = \"x\"\neye = [1,2,3]\nlook = \"A\"\n"}};
  for (const auto& [kind, table] : kinds) {
    const std::string lamp = std::string(kind) == "moment" ? "[[lamp]]\nkind = \"pendant\"\nat = [0,0,0]\n" : "";
    good(smallest + lamp + table);
    const std::string report = bad(smallest + lamp + table + table);
    says(report, std::string(kind) + " \"");
    says(report, "is there twice");
    says(report, "the first one is here");
  }
  // a numbered name can meet a written one
  says(bad(smallest + "[[lamp]]\nname = \"L2\"\nkind = \"pendant\"\nat = [0,0,0]\n[[lamp]]\nkind = \"pendant\"\nat = [0,0,0]\n"), "lamp \"L2\" is there twice");
}

TEST_CASE("lamps on, and none there") {
  says(bad(smallest + "[[moment]]\nsky = \"none\"\nlamps = \"on\"\n"), "there is no lamp to switch on");
  says(bad(smallest + "[[moment]]\nsky = \"none\"\nlamps = [\"x\"]\n"), "there is none to choose from");
}

TEST_CASE("a newer format is refused before anything else") {
  CHECK(bad("format = 2\nfuture = \"yes\"\n") ==
        "job.toml:1:10: error: the file is of format 2, newer than the format 1 that this version reads\n"
        "    format = 2\n"
        "             ^\n"
        "    right would be: a newer version of the program, or a file of format 1\n");
}

TEST_CASE("a zone nobody knows asks for coordinates") {
  const std::string moment = "[[moment]]\nat = 2026-01-01T07:00:00\n";
  says(bad(smallest + "[site]\ntime_zone = \"Etc/GMT-3\"\n" + moment), "job.toml:5:13: error: no city is known for the time zone \"Etc/GMT-3\"");
  says(bad(smallest + "[site]\ntime_zone = \"Europe/Lodnon\"\n" + moment), "\"Europe/London\", or latitude and longitude");
  good(smallest + "[site]\ntime_zone = \"Etc/GMT-3\"\nlatitude = 55\nlongitude = 37\n" + moment);
  says(bad(smallest + moment), "job.toml:1:1: error: a moment has a sky, and the site has no time zone");
}

TEST_CASE("inches that are none") {
  const std::string room = "units = \"inch\"\n[room]\ncorners = [[0,0],[0,120],[120,120]]\nheight = ";
  for (const char* text : {"\"8 feet\"", "\"\"", "\"8' 6\"", "\"8' 6-1/0\\\"\"", "\"6-\\\"\"", "\"8'' 6\\\"\"", "\"-96\\\"\"", "\"8' -6\\\" x\"", "\"1e2\\\"\"", "true"})
    says(bad(room + text + "\n"), "job.toml:4:10: error: height of [room] cannot be ");
  says(bad(room + "3\n"), "a length from 19.69 to 787.4 inches");
  // text is for inches only
  says(bad(changed(smallest, "height = 2400", "height = \"8' 6\\\"\"")), "a length from 500 to 20000 mm");
}

TEST_CASE("keys of inner tables are told by their table") {
  says(bad(smallest + "[finishing]\nworkmanship = { butt_crown = 1.2 }\n"), "job.toml:5:30: error: butt_crown of workmanship of [finishing] cannot be 1.2");
  says(bad(smallest + "[finishing]\nworkmanship = { butt = [1.2] }\n"), "job.toml:5:17: error: \"butt\" is not a key of workmanship of [finishing]");
  says(bad(smallest + "[framing]\nflatness = [400, 1800]\n"), "job.toml:5:12: error: flatness of [framing] cannot be [400, 1800]");
  says(bad(smallest + "[framing]\ndirection = \"sideways\"\n"), "one of \"upright\", \"horizontal\"");
}

TEST_CASE("usual slips of syntax get their own cure") {
  says(bad("[[moment]]\nat = 2026-06-21T20:40\n"), "right would be: a time with seconds, such as 2026-06-21T20:40:00");
  says(bad("a = 1\na = 2\n"), "right would be: each key once in its table");
  says(bad("a = \"x\n"), "right would be: text with a quote at both ends");
}

TEST_CASE("prices, air and paper say where they are wrong") {
  says(bad(smallest + "[paper]\ndate = 2026-05-04T10:00:00\n"), "job.toml:5:8: error: date of [paper] cannot be 2026-05-04T10:00:00");
  says(bad(smallest + "[paper]\ndate = \"4 May\"\n"), "a date, such as 2026-05-04");
  says(bad(smallest + "[paper]\npage = \"A5\"\n"), "one of \"A4\", \"Letter\"");
  says(bad(smallest + "[rates]\nhour = -1\n"), "job.toml:5:8: error: hour of [rates] cannot be -1");
  says(bad(smallest + "[drying]\nhumidity = 100\n"), "a number from 0 to 90");
  says(bad(smallest + "[rates]\nhours = 1\n"), "\"hour\"");
}
