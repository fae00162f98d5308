"""sheets: the search on a small job, its JSON against the schema, every kind of file it writes.

    test_sheets.py RAKELIGHT SOURCE_DIR [unittest options]
"""
import csv
import io
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree

import jsonschema

RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
sys.path.insert(0, str(SOURCE / "tests/support"))
import validation  # noqa: E402

# A wall 3.9 m long with a window's edge 200 mm off it, under an overcast sky: light runs along the wall.
JOB = """
[site]
latitude = 52
longitude = 0
time_zone = "Europe/London"
[room]
corners = [[0, 0], [0, 3900], [2600, 3900], [2600, 0]]
walls = ["long", "street", "party", "door"]
height = 2650
[[window]]
wall = "street"
from_left = 200
width = 1400
height = 1300
[[lamp]]
name = "down"
kind = "downlight"
at = [120, 1900, 2650]
[[surface]]
name = "long"
sheet = [1200, 2400]
lengths = [LENGTHS]
[framing]
[finishing]
workmanship = "rough"
[[moment]]
MOMENT
[[viewer]]
name = "doorway"
eye = [1800, 400, 1600]
look = "long"
"""
DAY = 'at = 2026-06-10T12:00:00\nsky = "overcast"'
LAMP = 'sky = "none"\nlamps = "on"'


def job(lengths="2400", moment=DAY, more=""):
    return JOB.replace("LENGTHS", lengths).replace("MOMENT", moment) + more


def run(*arguments, text=None, cwd=None):
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run([RAKELIGHT, *map(str, arguments)], input=text, capture_output=True, text=True, cwd=cwd, env=environment)


def searched(*arguments, text):
    done = run("sheets", "-", "--json", *arguments, text=text)
    assert done.returncode == 0, done.stderr
    document = json.loads(done.stdout)
    jsonschema.validate(document, json.loads((SOURCE / "docs/schema/sheets.json").read_text()))
    return document


class Sheets(unittest.TestCase):
    def test_full_length_sheets_along_the_light(self):
        """physics 5: horizontal wins with sheets as long as the wall where light runs along it"""
        wall = searched(text=job("2400, 3900"))["surfaces"][0]
        self.assertEqual(wall["best"]["run"], "horizontal")
        self.assertEqual(wall["best"]["sheet_mm"], [1200, 3900])
        self.assertEqual(wall["best"]["butts_m"], 0)
        self.assertGreater(wall["as_asked"]["visible_m"], wall["best"]["visible_m"])
        # a wall 2650 high has joints at 250 and 1450, each as long as the wall
        self.assertEqual(wall["best"]["first_row_mm"], 250)
        self.assertAlmostEqual(wall["best"]["long_joints_m"], 2 * 3.9, 6)

    def test_upright_without_butts_under_a_downlight(self):
        """physics 5: a downlight rakes downwards and reverses it; 2700 covers the height, so upright has no butt"""
        document = searched(text=job("2400, 2700", LAMP))
        wall = document["surfaces"][0]
        self.assertEqual((wall["best"]["run"], wall["best"]["butts_m"]), ("upright", 0))
        self.assertLess(wall["best"]["visible_m"], wall["usual"]["visible_m"])
        # the area hung is the wall's
        bought = sum(s["count"] * s["sheet_mm"][0] * s["sheet_mm"][1] for s in document["stock"]) * 1e-6
        self.assertAlmostEqual(bought * (1 - document["waste"]), 3.9 * 2.65, 3)
        for joint in wall["plan"]["joints"]:
            self.assertAlmostEqual(joint["from_mm"][0] % 600, 0, 6)  # on studs
        validation.row("cli_sheets", "the way round in real light, by the program", "physics section 5: a downlight rakes downwards, so upright without butts wins",
                       f"{wall['best']['run']}, {wall['best']['butts_m']:g} m of butts, {wall['best']['visible_m']:.1f} m seen of {wall['usual']['visible_m']:.1f}",
                       "upright, no butt")

    def test_files(self):
        with tempfile.TemporaryDirectory() as folder:
            base = pathlib.Path(folder)
            (base / "j.toml").write_text(job(moment=LAMP))
            done = run("sheets", "j.toml", "-o", "out", "--way", "asked", cwd=base)
            self.assertEqual(done.returncode, 0, done.stderr)
            names = {p.name for p in (base / "out").iterdir()}
            self.assertEqual(names, {"long.svg", "setting-out-a4.pdf", "setting-out-a3.pdf", "setting-out.csv", "setting-out.dxf", "setting-out.html"})
            xml.etree.ElementTree.parse(base / "out/long.svg")
            for page, size in (("a4", (297, 210)), ("a3", (420, 297))):
                pdf = (base / f"out/setting-out-{page}.pdf").read_bytes()
                self.assertTrue(pdf.startswith(b"%PDF"))
                # points of 1/72 inch, as the page object has them
                box = [float(v) for v in re.search(rb"MediaBox \[([^\]]*)\]", pdf).group(1).split()]
                for got, want in zip(box[2:], size):
                    self.assertAlmostEqual(got / 72 * 25.4, want, 0)
            rows = list(csv.DictReader(io.StringIO((base / "out/setting-out.csv").read_text())))
            kinds = {r["what"] for r in rows}
            self.assertTrue({"member", "sheet", "butt", "long joint"} <= kinds, kinds)
            studs = sorted(float(r["from_x_mm"]) for r in rows if r["what"] == "member")
            self.assertEqual(studs, [0, 600, 1200, 1800, 2400, 3000, 3600, 3900])
            sheets = [r for r in rows if r["what"] == "sheet"]
            area = sum((float(r["to_x_mm"]) - float(r["from_x_mm"])) * (float(r["to_y_mm"]) - float(r["from_y_mm"])) for r in sheets)
            self.assertAlmostEqual(area * 1e-6, 3.9 * 2.65, 6)
            # DXF: pairs of a group code and a value, plain ASCII, sections closed, lines as long as the wall
            text = (base / "out/setting-out.dxf").read_bytes().decode("ascii").split("\n")
            pairs = list(zip([int(c) for c in text[0:-1:2]], text[1::2]))
            self.assertEqual(pairs[-1], (0, "EOF"))
            self.assertEqual(sum(p == (0, "SECTION") for p in pairs), sum(p == (0, "ENDSEC") for p in pairs))
            self.assertIn((1, "AC1009"), pairs)
            self.assertEqual(max(float(v) for c, v in pairs if c == 11), 3900)
            page = (base / "out/setting-out.html").read_text()
            self.assertGreater(page.count('type="checkbox"'), len(sheets))
            for outside in ("http://", "https://", "src="):
                self.assertNotIn(outside, page.replace("http://www.w3.org/2000/svg", ""))

    def test_wrong_use(self):
        self.assertEqual(run("sheets", "-", "--surface", "street", text=job()).returncode, 2)
        self.assertIn("nothing is boarded there", run("sheets", "-", "--surface", "street", text=job()).stderr)
        bare = "\n".join(line for line in job().splitlines())
        self.assertEqual(run("sheets", "-", "--surface", "lnog", text=bare).returncode, 2)
        odd = run("sheets", "-", "-o", "out.xyz", text=job(moment=LAMP))
        self.assertEqual(odd.returncode, 2)
        self.assertIn(".dxf", odd.stderr)
        wrong = run("sheets", "-", text=job(more='[[joint]]\nid = "long/B9"\n'))
        self.assertEqual(wrong.returncode, 3)
        self.assertIn("there is no joint long/B9", wrong.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[3:])
