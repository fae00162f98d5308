"""The paper on a screen: drawn by a browser at the width of a phone and of a desk, the slider driven. Exit 77 without chromium.

    test_slider.py RAKELIGHT SOURCE_DIR [unittest options]
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

RAKELIGHT, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

# Put at the end of the page: drives the slider as a hand does, by input events, and leaves what it saw in the page.
DRIVER = """<script>
const seen = {width: innerWidth, wide: document.documentElement.scrollWidth, sliders: [], pictures: 0, requests: performance.getEntriesByType('resource').filter(r => !r.name.startsWith('data:')).length};
for (const s of document.querySelectorAll('.slide')) {
  const i = s.querySelector('input'), a = s.querySelector('.after'), b = s.querySelector('.bar'), steps = [];
  for (const v of [0, 25, 80, 100]) {
    i.value = v; i.dispatchEvent(new Event('input', {bubbles: true}));
    const box = s.getBoundingClientRect(), bar = b.getBoundingClientRect();
    steps.push({at: v, clip: getComputedStyle(a).clipPath, bar: (bar.left + bar.width / 2 - box.left) / box.width, before: s.querySelector('img').getBoundingClientRect().width, after: a.getBoundingClientRect().width});
  }
  s.scrollIntoView(); const r = s.getBoundingClientRect();
  seen.sliders.push({steps, hand: document.elementFromPoint(r.left + r.width / 2, r.top + Math.min(r.height / 2, innerHeight / 2))?.tagName});
}
for (const p of document.images) seen.pictures += p.complete && p.naturalWidth > 0;
seen.all = document.images.length;
const out = document.createElement('pre'); out.id = 'seen'; out.textContent = JSON.stringify(seen); document.body.append(out);
</script>"""


class Screen(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        page = cls.folder / "paper.html"
        answer = subprocess.run([RAKELIGHT, "report", SOURCE / "assets/demo/home.toml", "-o", page], capture_output=True, text=True)
        assert answer.returncode == 0, answer.stderr
        cls.page = cls.folder / "driven.html"
        cls.page.write_text(page.read_text().replace("</body>", DRIVER + "</body>"))

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    def look(self, width, height):
        answer = subprocess.run([CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={self.folder}/profile", f"--window-size={width},{height}", "--virtual-time-budget=5000",
                                 "--dump-dom", f"file://{self.page}"], capture_output=True, text=True, timeout=300)
        found = re.search(r'<pre id="seen">(.*?)</pre>', answer.stdout, re.S)
        self.assertTrue(found, answer.stderr[-2000:])
        return json.loads(found.group(1).replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">"))

    def test_phone_and_desk(self):
        # some browsers have a least width of their own; a phone is anything up to that
        for width, height in ((390, 844), (1440, 900)):
            seen = self.look(width, height)
            self.assertLessEqual(seen["wide"], seen["width"], "the page scrolls sideways")
            self.assertEqual(seen["requests"], 0)
            self.assertGreaterEqual(seen["all"], 4)
            self.assertEqual(seen["pictures"], seen["all"], "a picture is not drawn")
            self.assertGreaterEqual(len(seen["sliders"]), 1)
            for slider in seen["sliders"]:
                self.assertEqual(slider["hand"], "INPUT", "what lies under the hand is not the slider")
                for step in slider["steps"]:
                    # what is left of the bar shows the picture before, what is right of it the one after
                    shares = [float(v) for v in re.findall(r"([\d.]+)%", step["clip"])]
                    self.assertAlmostEqual(max(shares, default=0), step["at"], places=3)
                    self.assertAlmostEqual(step["bar"], step["at"] / 100, delta=0.01)
                    self.assertAlmostEqual(step["before"], step["after"], delta=0.5)
                    self.assertLessEqual(step["before"], seen["width"])


if __name__ == "__main__":
    if not CHROMIUM:
        print("no chromium: not tried")
        sys.exit(77)
    unittest.main(argv=[sys.argv[0], *sys.argv[3:]])
