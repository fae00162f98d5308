"""Jobs that are hard on purpose: many corners, many windows, a thousand joints, tiny and huge rooms, far north and south, inches.

    test_hard_jobs.py RAKELIGHT SOURCE_DIR [unittest options]
    test_hard_jobs.py --print    writes them all, for tests/window/hard_jobs_test.cpp

Each is checked, assessed, edited in one place and assessed again.
"""
import json
import math
import os
import pathlib
import subprocess
import sys
import unittest

PRINT = sys.argv[1:] == ["--print"]
if not PRINT:
    import jsonschema

    RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
    sys.path.insert(0, str(SOURCE / "tests/support"))
    import validation  # noqa: E402
    SCHEMA = json.loads((SOURCE / "docs/schema/assess.json").read_text())

SITE = {
    "edinburgh": ("55.95", "-3.19", "Europe/London"),
    "north": ("70.0", "25.8", "Europe/Oslo"),
    "south": ("-33.9", "151.2", "Australia/Sydney"),
    "tropics": ("1.3", "103.8", "Asia/Singapore"),
}


def site(name, north=293):
    latitude, longitude, zone = SITE[name]
    return f'[site]\nlatitude = {latitude}\nlongitude = {longitude}\ntime_zone = "{zone}"\nnorth = {north}\n'


def room(corners, height, names, units=""):
    points = ", ".join(f"[{x}, {y}]" for x, y in corners)
    walls = ", ".join(f'"{n}"' for n in names)
    return f'format = 1\n{units}title = "hard"\n', f"[room]\ncorners = [{points}]\nwalls = [{walls}]\nheight = {height}\n"


def surface(name, run="horizontal", sheet="[1200, 2400]"):
    return f'[[surface]]\nname = "{name}"\nrun = "{run}"\nsheet = {sheet}\nedge = "recessed"\nlevel = "4"\npaint = "matt"\nreflectance = 0.8\n'


def window(name, wall, left, sill, width, height):
    return (f'[[window]]\nname = "{name}"\nwall = "{wall}"\nfrom_left = {left}\nsill = {sill}\nwidth = {width}\nheight = {height}\nreveal = 100\nframe = 50\nglazing = "double"\n')


def moment(name, at, sky="clear"):
    return f'[[moment]]\nname = "{name}"\nat = {at}:00\nsky = "{sky}"\n'


def lamp(at):
    return f'[[lamp]]\nname = "lamp"\nkind = "downlight"\nat = [{at[0]}, {at[1]}, {at[2]}]\nsize = 80\nflux = 700\nbeam = 60\n'


RECTANGLE = [(0, 0), (0, 6000), (4000, 6000), (4000, 0)]
FOUR = ["long", "end", "party", "door"]


def forty_corners():
    # a comb: eighteen bays along one wall, clockwise seen from above
    corners = [(0, 0), (0, 3000)]
    for k in range(9):
        x = 600 * k + 600
        corners += [(x, 3000), (x, 3400), (x + 300, 3400), (x + 300, 3000)]
    corners += [(6600, 3000), (6600, 0)]
    names = ["long"] + [f"w{k}" for k in range(len(corners) - 1)]
    head, shape = room(corners, 2500, names)
    assert len(corners) == 40
    return head + site("edinburgh") + shape + window("W", "long", 400, 900, 1200, 1200) + surface(names[-1]) + moment("m", "2026-06-21T19:00")


def thirty_windows():
    head, shape = room([(0, 0), (0, 30000), (6000, 30000), (6000, 0)], 3000, FOUR)
    windows = "".join(window(f"W{k}", "long", 200 + 990 * k, 900, 700, 1200) for k in range(30))
    return head + site("edinburgh") + shape + windows + surface("end") + moment("m", "2026-03-20T16:00")


def thousand_joints():
    head, shape = room([(0, 0), (0, 72000), (40000, 72000), (40000, 0)], 4000, FOUR)
    return head + site("edinburgh") + shape + window("W", "end", 300, 900, 3000, 2000) + surface("ceiling", "end", "[1200, 2400]") + moment("m", "2026-06-21T12:00", "overcast")


def half_metre_room():
    head, shape = room([(0, 0), (0, 500), (500, 500), (500, 0)], 2400, FOUR)
    return head + site("edinburgh") + shape + lamp((250, 250, 2400)) + surface("long") + '[[moment]]\nname = "m"\nsky = "none"\nlamps = "on"\n'


def thirty_metre_room():
    head, shape = room([(0, 0), (0, 30000), (30000, 30000), (30000, 0)], 6000, FOUR)
    return head + site("edinburgh") + shape + window("W", "end", 100, 500, 2000, 4000) + surface("long", "upright", "[1200, 6000]") + moment("m", "2026-06-21T20:30")


def midnight_sun():
    head, shape = room(RECTANGLE, 2650, FOUR)
    return head + site("north", 350) + shape + window("W", "end", 250, 800, 1500, 1500) + surface("long") + moment("m", "2026-06-21T23:50") + moment("noon", "2026-12-21T12:00")


def southern():
    head, shape = room(RECTANGLE, 2650, FOUR)
    return head + site("south", 250) + shape + window("W", "end", 250, 800, 1500, 1500) + surface("long") + moment("m", "2026-12-21T18:30")


def tropics():
    head, shape = room(RECTANGLE, 2650, FOUR)
    return head + site("tropics", 270) + shape + window("W", "end", 250, 800, 1500, 1500) + surface("ceiling", "end") + moment("m", "2026-03-20T18:40")


def inches():
    head, shape = room([(0, 0), (0, 240), (156, 240), (156, 0)], 104, FOUR, 'units = "inch"\n')
    return head + site("edinburgh") + shape + window("W", "end", 10, 32, 60, 60).replace("100", "6").replace("= 50", "= 2") + surface("long", "horizontal", "[48, 120]") + moment("m", "2026-06-21T20:40")


def words_of_all_kinds():
    head, shape = room(RECTANGLE, 2650, ["Küche – lang", "末端", "стена", "dør"])
    return head + site("edinburgh") + shape + window("Ω", "末端", 250, 800, 1500, 1500) + surface("Küche – lang") + moment("ältester Abend", "2026-06-21T20:40")


JOBS = [forty_corners, thirty_windows, thousand_joints, half_metre_room, thirty_metre_room, midnight_sun, southern, tropics, inches, words_of_all_kinds]


def run(*arguments, text):
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run([RAKELIGHT, *arguments, "-"], input=text, capture_output=True, text=True, env=environment)


class HardJobs(unittest.TestCase):
    def assess(self, text):
        answer = run("assess", "--json", text=text)
        self.assertEqual(answer.returncode, 0, answer.stderr)
        report = json.loads(answer.stdout)
        jsonschema.validate(report, SCHEMA)

        def numbers(value):
            if isinstance(value, dict):
                for v in value.values():
                    yield from numbers(v)
            elif isinstance(value, list):
                for v in value:
                    yield from numbers(v)
            elif isinstance(value, float):
                yield value

        for number in numbers(report):
            self.assertTrue(math.isfinite(number))
        return report

    def test_each(self):
        self.assertEqual(len(JOBS), 10)
        for make in JOBS:
            with self.subTest(make.__name__):
                text = make()
                checked = run("check", text=text)
                self.assertEqual(checked.returncode, 0, checked.stderr)
                first = self.assess(text)
                self.assertEqual(len(first["surfaces"]), 1)
                joints = first["surfaces"][0]["joints"]
                if make is thousand_joints:
                    self.assertGreaterEqual(len(joints), 1000)
                # another level is another finish of the same joints
                edited = text.replace('level = "4"', 'level = "3"')
                self.assertNotEqual(edited, text)
                second = self.assess(edited)
                self.assertEqual(sorted(j["id"] for j in second["surfaces"][0]["joints"]), sorted(j["id"] for j in joints))
        validation.row("hard_jobs_long", "ten hard jobs: 40 corners, 30 windows, 1,036 joints, 0.5 and 30 m, 70° N at midnight, 34° S, the equator, inches, other scripts",
                       "checked, assessed, edited, assessed again", f"{len(JOBS)} jobs", "every figure finite, JSON by its schema")


if PRINT:
    for make in JOBS:
        sys.stdout.buffer.write(f"\x1e{make.__name__}\n{make()}".encode())
elif __name__ == "__main__":
    unittest.main(argv=[sys.argv[0]] + sys.argv[3:])
