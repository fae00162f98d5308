"""The paper, quantities and survey as somebody meets them: pages, text, outline, language, same bytes, no half file.

    test_paper.py RAKELIGHT SOURCE_DIR [unittest options]
"""
import hashlib
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

import jsonschema

RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])

# A small invented room with one wall to look at and one place to stand, so that little has to be worked out. No such room exists.
ROOM = """format = 1
title = "Invented small room"
[room]
corners = [[0, 0], [0, 3600], [3000, 3600], [3000, 0]]
walls = ["long", "street", "party", "door"]
height = 2400
[[lamp]]
name = "downlight"
kind = "downlight"
at = [150, 1500, 2400]
[[surface]]
name = "long"
run = "horizontal"
sheet = [1200, 2400]
[[moment]]
name = "evening"
sky = "none"
lamps = "on"
[[viewer]]
name = "by the door"
eye = [2400, 600, 1600]
look = "long"
[rates]
currency = "EUR"
hour = 40
[paper]
date = 2026-05-04
start = 2026-05-11
valid_days = 30
client = "N. N."
"""


def run(*arguments, cwd=None):
    environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.run([RAKELIGHT, *map(str, arguments)], capture_output=True, text=True, cwd=cwd, env=environment)


def text_of(pdf, *options):
    return subprocess.run(["pdftotext", "-layout", *options, str(pdf), "-"], capture_output=True, text=True, check=True).stdout


class Paper(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        cls.job = cls.folder / "room.toml"
        cls.job.write_text(ROOM)
        cls.pdf, cls.html = cls.folder / "paper.pdf", cls.folder / "paper.html"
        cls.answer = run("report", cls.job, "-o", cls.pdf)
        assert cls.answer.returncode == 0, cls.answer.stderr
        run("report", cls.job, "-o", cls.html)

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def pages(self):
        return text_of(self.pdf).split("\f")[:-1]

    def test_client_two_pages_and_no_empty_page(self):
        pages = self.pages()
        starts = [i for i, page in enumerate(pages) if "For the client" in page or "For the finisher" in page]
        self.assertEqual(starts[0], 0)
        self.assertLessEqual(starts[1], 2, "the client has two pages at most")
        for i, page in enumerate(pages):
            self.assertIn(f"page {i + 1} of {len(pages)}", page)
            self.assertGreater(len(page.split()), 40, f"page {i + 1} is all but empty")

    def test_what_is_said(self):
        text = " ".join(text_of(self.pdf).split())
        for words in ("4 May 2026", "Valid until: 3 Jun 2026", "Client: N. N.", "Mon 11 May ", "Paint no earlier than Fri 15 May 2026", "a prediction, not an acceptance ruling", "asbestos", "silica",
                      "1 in", "by the door", "120 to 150 grit", "EUR", hashlib.sha256(ROOM.encode()).hexdigest()):
            self.assertIn(words, text)
        # the cures are those of assess
        cures = json.loads(run("assess", self.job, "--json").stdout)["surfaces"][0]["advice"]["cures"]
        self.assertIn(f"by the {cures['mixes'][0]['by'][0]}", text)
        self.assertIn("What would make it good, the least work first", text)
        self.assertIn(cures["mixes"][0]["text"], text)
        client = " ".join(self.pages()[0].split())
        beside = [m for m in cures["mixes"] if m["enough"] and any(not c["key"].endswith((".run", ".level")) for c in m["change"])]
        self.assertIn(f"Or, {beside[0]['when']}: {beside[0]['text']}", client)
        # a chance, never a promise
        self.assertNotRegex(text.lower(), r"nothing (shows|will show)|never shows|no joint shows")

    def test_form(self):
        info = subprocess.run(["pdfinfo", self.pdf], capture_output=True, text=True, check=True).stdout
        self.assertIn("Invented small room", re.search(r"Title:\s*(.*)", info).group(1))
        self.assertIn("595.276 x 841.89 pts (A4)", info)
        fonts = subprocess.run(["pdffonts", self.pdf], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
        self.assertTrue(fonts)
        for font in fonts:
            self.assertIn("DejaVu", font)
            self.assertEqual(font.split()[-5], "yes", f"not embedded: {font}")
        data = self.pdf.read_bytes()
        self.assertIn(b"/Lang (en-GB)", data)
        self.assertIn(b"/Outlines", data)
        self.assertEqual(subprocess.run(["pdftotext", self.pdf, os.devnull], capture_output=True, text=True).stderr, "", "a reader complains of the file")

    def test_nothing_is_clipped(self):
        # every word lies inside the margins of its page
        boxes = subprocess.run(["pdftotext", "-bbox", self.pdf, "-"], capture_output=True, text=True, check=True).stdout
        words = re.findall(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">', boxes)
        self.assertGreater(len(words), 500)
        for x0, y0, x1, y1 in ((float(v) for v in word) for word in words):
            self.assertGreaterEqual(x0, 42)
            self.assertLessEqual(x1, 595.276 - 42)
            self.assertGreaterEqual(y0, 38)
            self.assertLessEqual(y1, 841.89 - 36)

    def test_same_job_same_bytes(self):
        again = self.folder / "again.pdf"
        self.assertEqual(run("report", self.job, "-o", again).returncode, 0)
        self.assertEqual(again.read_bytes(), self.pdf.read_bytes())

    def test_html_says_the_same_and_asks_for_nothing(self):
        html = self.html.read_text()
        self.assertIn('<html lang="en-GB">', html)
        self.assertNotRegex(html, r"""(src|href)=["'](?!data:|#)""")
        self.assertNotRegex(html, r"https?://(?!www\.w3\.org/2000/svg)|@import|url\(")
        for words in ("For the client", "Paint no earlier than", "4 May 2026", "asbestos", 'type="range"', 'name="viewport"'):
            self.assertIn(words, html)
        heads = [re.sub(r"<[^>]*>", "", h) for h in re.findall(r"<h1>(.*?)</h1>", html)]
        for head in heads:
            self.assertIn(head, " ".join(text_of(self.pdf).split()))

    def test_no_half_file(self):
        locked = self.folder / "locked"
        locked.mkdir()
        (locked / "old.pdf").write_bytes(b"old")
        for target, why in ((self.folder / "none/paper.pdf", "folder does not exist"), (pathlib.Path("/dev/full/x.pdf"), "not a folder"), (pathlib.Path("/proc/paper.pdf"), "")):
            answer = run("survey", "-o", target)
            self.assertEqual(answer.returncode, 5, answer.stderr)
            self.assertIn("cannot write", answer.stderr)
            self.assertIn(why, answer.stderr)
            self.assertFalse(target.exists())
        if os.geteuid() != 0:
            locked.chmod(0o500)
            answer = run("survey", "-o", locked / "old.pdf")
            self.assertEqual(answer.returncode, 5)
            locked.chmod(0o700)
        # a full disk: no file may grow beyond a few blocks
        answer = subprocess.run(["/bin/sh", "-c", 'trap "" XFSZ; ulimit -f 4; exec "$@"', "sh", RAKELIGHT, "survey", "-o", str(locked / "old.pdf")], capture_output=True, text=True)
        self.assertEqual(answer.returncode, 5, answer.stderr)
        self.assertIn("cannot write", answer.stderr)
        self.assertEqual((locked / "old.pdf").read_bytes(), b"old")
        self.assertEqual(os.listdir(locked), ["old.pdf"])

    def test_usage(self):
        self.assertEqual(run("report", self.job, "-o", "paper.doc").returncode, 2)
        self.assertEqual(run("report", self.job).returncode, 2)
        self.assertEqual(run("survey", "-o", "x.pdf", "--page", "A5").returncode, 2)


class Survey(unittest.TestCase):
    def test_one_page_each(self):
        with tempfile.TemporaryDirectory() as folder:
            for page, inches in (("A4", False), ("Letter", True)):
                sheet = pathlib.Path(folder) / f"{page}.pdf"
                answer = run("survey", "-o", sheet, "--page", page, *(["--inches"] if inches else []))
                self.assertEqual(answer.returncode, 0, answer.stderr)
                info = subprocess.run(["pdfinfo", sheet], capture_output=True, text=True, check=True).stdout
                self.assertRegex(info, r"Pages:\s*1\n")
                self.assertIn({"A4": "595.276 x 841.89", "Letter": "612 x 792"}[page], info)
                words = " ".join(text_of(sheet).split())
                for asked in ("head to ceiling", "Bearing", "Skyline", "Spacing of studs", "Largest gap under a rule", "off the nearest wall", "Paint"):
                    self.assertIn(asked, words)
                self.assertEqual(", in" in words, inches)
            phone = pathlib.Path(folder) / "survey.html"
            self.assertEqual(run("survey", "-o", phone).returncode, 0)
            page = phone.read_text()
            self.assertIn("head to ceiling", page)
            self.assertIn('data-asks="head to ceiling, mm"', page)  # asked before each answer where a table has no room
            self.assertGreater(page.count("contenteditable"), 40)  # filled in where it is


class Quantities(unittest.TestCase):
    def test_json_is_as_its_schema_and_metric(self):
        with tempfile.TemporaryDirectory() as folder:
            job = pathlib.Path(folder) / "room.toml"
            job.write_text(ROOM)
            answer = run("quantities", job, "--json")
            self.assertEqual(answer.returncode, 0, answer.stderr)
            found = json.loads(answer.stdout)
            jsonschema.validate(found, json.loads((SOURCE / "docs/schema/quantities.json").read_text()))
            # 3.6 × 2.4 m of board; sheets of 2.4 m laid level: one joint of 3.6 m and two butts of 1.2 m
            self.assertAlmostEqual(found["boarded_m2"], 8.64)
            tape = next(i for i in found["items"] if i["group"] == "tape")
            self.assertAlmostEqual(tape["amount"][0], 3.6 + 2 * 1.2, places=3)
            self.assertEqual(found["visits"][0]["planned"]["from"], "2026-05-11")
            self.assertEqual(found["price"]["currency"], "EUR")
            self.assertAlmostEqual(found["price"]["total"][0], 40 * found["hours"][0], delta=0.05)
            # without a rate there is no money
            job.write_text(ROOM.replace('[rates]\ncurrency = "EUR"\nhour = 40\n', ""))
            self.assertIsNone(json.loads(run("quantities", job, "--json").stdout)["price"])
            self.assertNotIn("EUR", run("quantities", job).stdout)

    def test_inches_on_paper_the_same_amounts(self):
        with tempfile.TemporaryDirectory() as folder:
            job = pathlib.Path(folder) / "room.toml"
            inch = re.sub(r"(?<=[\[ ,=])(\d{3,4})(?=[\],\n])", lambda m: f"{int(m.group(1)) / 25.4:.4f}", ROOM.split("[rates]")[0])
            job.write_text(inch.replace("format = 1\n", 'format = 1\nunits = "inch"\n') + "[rates]" + ROOM.split("[rates]")[1])
            text = run("quantities", job)
            self.assertEqual(text.returncode, 0, text.stderr)
            self.assertRegex(text.stdout, r"93 ft² of board")  # 8.64 m² × 10.764
            self.assertIn("US gal", text.stdout)
            self.assertIn("3' 11-1/4\" by 7' 10-1/2\"", text.stdout)  # 1200 by 2400 mm
            self.assertAlmostEqual(json.loads(run("quantities", job, "--json").stdout)["boarded_m2"], 8.64, places=3)


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
