"""Cures and what is measured on site, as somebody in a terminal meets them.

    test_measure.py RAKELIGHT SOURCE_DIR [unittest options]

RAKELIGHT_BLESS=1 prints what docs/user/cures.md should quote.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import unittest

import jsonschema

RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
DEMO = SOURCE / "assets/demo/home.toml"


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


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
