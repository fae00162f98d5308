"""Cures and what is measured on site, as somebody in a terminal meets them.

    test_measure.py RAKELIGHT SOURCE_DIR [unittest options]

RAKELIGHT_BLESS=1 prints what docs/user/cures.md and measure.md should quote.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

import jsonschema

RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
DEMO = SOURCE / "assets/demo/home.toml"
POINTS = SOURCE / "assets/demo/measurements/b2.csv"


def run(*arguments, stdin=None):
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run([RAKELIGHT, *map(str, arguments)], input=stdin, capture_output=True, text=True, env=environment)


def schema(name):
    return json.loads((SOURCE / "docs/schema" / f"{name}.json").read_text())


NUMBER = re.compile(r"(?<![A-Za-z/])\d+(?:,\d{3})*(?:\.\d+)?")


def same_sense(a, b):
    """The same words, and numbers within a third: machines differ by some percent, and chances go in steps."""
    if NUMBER.sub("#", a) != NUMBER.sub("#", b):
        return False
    pairs = zip(*([float(n.replace(",", "")) for n in NUMBER.findall(t)] for t in (a, b)))
    return all(abs(x - y) <= max(0.35 * max(x, y), 0.15) for x, y in pairs)


class Cures(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        answer = run("assess", DEMO, "--json")
        assert answer.returncode == 0, answer.stderr
        cls.found = json.loads(answer.stdout)
        cls.advice = {s["name"]: s["advice"] for s in cls.found["surfaces"]}

    def test_schema(self):
        jsonschema.validate(self.found, schema("assess"))

    def test_the_least_work_comes_first_and_single_changes_beside_it(self):
        cures = self.advice["long"]["cures"]
        self.assertTrue(cures["needed"])
        self.assertGreater(cures["now"]["chance_shows"], cures["aim"])
        mixes = cures["mixes"]
        self.assertTrue(mixes[0]["enough"])
        enough = [sum(m["extra_hours"]) for m in mixes if m["enough"]]
        self.assertEqual(enough, sorted(enough))
        for mix in mixes:
            self.assertTrue(mix["then"]["looked_at"])
            self.assertEqual(mix["enough"], mix["then"]["chance_shows"] <= cures["aim"])
            self.assertTrue(mix["change"])
        for single in cures["singles"]:
            self.assertEqual(len(single["what"]), 1)
            # what does it alone would be the least work
            if single["enough"]:
                self.assertLessEqual(sum(mixes[0]["extra_hours"]), sum(single["extra_hours"]) + 1e-6)
        self.assertLessEqual(self.found["chance_shows_after_cures"], 0.1)

    def test_a_face_within_the_aim_is_left_alone(self):
        cures = self.advice["ceiling"]["cures"]
        self.assertFalse(cures["needed"])
        self.assertEqual((cures["mixes"], cures["singles"]), ([], []))

    def test_lamps_that_come_later(self):
        later = self.advice["long"]["lamps_later"]
        by = {lamp["lamp"]: lamp for lamp in later["lamps"]}
        self.assertGreater(by["downlight at 150 mm"]["visibility"], by["downlight at 600 mm"]["visibility"])
        self.assertIn(f"no closer than {later['no_closer_than_mm']:.0f} mm to the long wall", later["text"])
        # downlights let into a ceiling do not light it
        self.assertIsNone(self.advice["ceiling"]["lamps_later"]["no_closer_than_mm"])

    def test_the_page_prints_every_cure_of_the_demo(self):
        page = (SOURCE / "docs/user/cures.md").read_text()
        quoted = [line[2:].rstrip(".") for line in page.splitlines() if line.startswith("> ") and len(line) > 2]
        said = []
        for surface in self.found["surfaces"]:
            a = surface["advice"]
            said += a["cures"]["reasons"] + [a["lamps_later"]["text"], a["standard"]["text"]]
        if os.environ.get("RAKELIGHT_BLESS"):
            print("\n" + "\n>\n".join(f"> {s}." for s in said))
        for sentence in said:
            self.assertTrue(any(same_sense(sentence, q) for q in quoted), f"not in the page: {sentence}")
        for single in self.advice["long"]["cures"]["singles"]:
            self.assertIn(f"| {single['text']} |", page)


class Measure(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        answer = run("measure", DEMO, "--joint", "long/B2", "--csv", POINTS, "--json")
        assert answer.returncode == 0, answer.stderr
        cls.found = json.loads(answer.stdout)

    def test_points_against_the_schema(self):
        found = self.found
        jsonschema.validate(found, schema("measure"))
        self.assertEqual((found["joint"], found["measured"]["by"]), ("long/B2", "points"))
        # the readings were made from a crown of 3.0 mm with 0.05 mm of noise (the file says so)
        self.assertAlmostEqual(found["measured"]["points"]["noise_mm"], 0.05, delta=0.02)
        self.assertAlmostEqual(found["measured"]["crown_mm"], 3.0, delta=3 * found["measured"]["crown_sd_mm"] + 0.02)
        self.assertEqual(found["inspection"]["viewer"], "inspection")
        self.assertNotEqual(found["living"]["viewer"], "inspection")
        for column in ("inspection", "living"):
            low, high = found[column]["visibility_of_measurement"]
            self.assertLessEqual(low, high)
        self.assertTrue(found["needed"])
        self.assertTrue(found["cures"][0]["then"]["looked_at"])
        self.assertLess(found["cures"][0]["then"]["chance_shows"], found["living"]["chance_shows"])

    def test_the_lamp_rakes_as_the_worst_daylight_does(self):
        lamp = self.found["lamp"]
        self.assertEqual(lamp["moment"], "evening sun, midsummer")
        self.assertAlmostEqual(lamp["across_ratio"] / lamp["across_ratio_then"], 1, delta=0.25)
        # the long wall is the plane x = 0; the window is to its right
        self.assertAlmostEqual(lamp["at_mm"][0], lamp["off_mm"], delta=0.1)
        self.assertEqual(lamp["side"], "right")

    def test_a_gap_under_a_rule(self):
        answer = run("measure", DEMO, "--joint", "long/B2", "--gap", "1.1", "--base", "400")
        self.assertEqual(answer.returncode, 0, answer.stderr)
        self.assertIn("at the inspection position", answer.stdout)
        self.assertIn("living in the room", answer.stdout)
        self.assertIn("The rule is shorter than the joint", answer.stdout)
        self.assertIn("after the sealer coat", answer.stdout)
        self.assertNotIn("nothing shows", answer.stdout)

    def test_what_cannot_be(self):
        for arguments, code, words in (
            (("--joint", "long/B2"), 2, "--csv F, or --gap MM with --base MM"),
            (("--joint", "long/B2", "--gap", "1"), 2, "--base"),
            (("--joint", "long/B9", "--gap", "1", "--base", "400"), 2, 'no joint has the id "long/B9"'),
            (("--joint", "long/B2", "--gap", "15", "--base", "200"), 3, "measure again"),
            (("--joint", "long/B2", "--gap", "nan", "--base", "400"), 3, "measure again"),
            (("--joint", "long/B2", "--gap", "1", "--base", "nan"), 3, "measure again"),
            (("--joint", "long/B2", "--gap", "0", "--base", "400"), 3, "measure again"),
            (("--joint", "long/B2", "--gap", "-1", "--base", "400"), 2, "not in range"),
            (("--joint", "long/B2", "--gap", "1", "--base", "0"), 2, "not in range"),
            (("--joint", "long/B2", "--csv", "nowhere.csv"), 5, "cannot read nowhere.csv"),
        ):
            answer = run("measure", DEMO, *arguments)
            self.assertEqual(answer.returncode, code, answer.stderr)
            self.assertIn(words, answer.stderr)
        heading = "offset_mm,height_mm\n"
        crown = [f"{x},{0.6 - abs(x) / 500}" for x in range(-300, 301, 50)]
        for text, place, words in (
            (heading + "-20,0\n-10,nought\n", "3:1", "this line is not two numbers"),
            (heading + "-20,0\n-10,nan\n", "3:1", "this line is not two numbers"),
            (heading + "0,1\n", "2:", "1 point is too few for a section"),
            (heading, "1:", "0 points are too few for a section"),
            (heading + "\n".join(crown[:5] + crown[4:]), "7:1", "does not lie right of the one before"),
            (heading + "\n".join(reversed(crown)), "3:1", "does not lie right of the one before"),
            (heading + "\n".join(f"{x},0.1" for x in range(10, 200, 20)), "2:1", "no point lies left of the joint"),
            (heading + "\n".join(crown) + "\n2701,0\n", "15:1", "the points reach over more than 3 m"),
            (heading + "-300,0\n-250,60\n", "3:1", "is none of a joint's"),
            ("offset_in,height_in\n-8,0\n", "1:1", "the file does not start with its heading"),
        ):
            with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
                file.write(text)
                file.flush()
                answer = run("measure", DEMO, "--joint", "long/B2", "--csv", file.name)
            self.assertEqual(answer.returncode, 3, answer.stdout)
            self.assertIn(f"{file.name}:{place}", answer.stderr)
            self.assertIn(words, answer.stderr)
        # as wide as may be: flat beside the joint
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.write(heading + "\n".join(f"{x},{max(0, 0.6 - abs(x) / 500)}" for x in range(-1500, 1501, 50)))
            file.flush()
            answer = run("measure", DEMO, "--joint", "long/B2", "--csv", file.name)
        self.assertEqual(answer.returncode, 0, answer.stderr)
        self.assertIn("61 points over 3000 mm", answer.stdout)

    def test_the_page_prints_what_the_demo_says(self):
        page = (SOURCE / "docs/user/measure.md").read_text()
        quoted = [line[2:].rstrip(".") for line in page.splitlines() if line.startswith("> ") and len(line) > 2]
        if os.environ.get("RAKELIGHT_BLESS"):
            print("\n" + "\n\n".join(f"> {s}." for s in self.found["reasons"]))
        for sentence in self.found["reasons"]:
            self.assertTrue(any(same_sense(sentence, q) for q in quoted), f"not in the page: {sentence}")


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
