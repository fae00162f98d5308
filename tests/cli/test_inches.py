"""A job in inches: every command's text is in feet and inches; JSON, CSV and --at stay in millimetres.

usage: test_inches.py RAKELIGHT"""
import json
import re
import subprocess
import sys
import tempfile

JOB = """format = 1
title = "Invented room in inches"
units = "inch"
[site]
latitude = 40.7
longitude = -74.0
time_zone = "America/New_York"
north = 293
[room]
corners = [[0, 0], [0, "12'"], ["10'", "12'"], ["10'", 0]]
walls = ["long", "street", "party", "door"]
height = "8'"
[[window]]
name = "W1"
wall = "street"
from_left = 10
sill = 30
width = "4' 6-1/2\\""
height = 48
[[lamp]]
name = "spot"
kind = "downlight"
at = [10, "6'", "8'"]
[[surface]]
name = "long"
run = "horizontal"
sheet = ["4'", "8'"]
level = "4"
paint = "matt"
[framing]
spacing = 16
[[moment]]
name = "lamps"
sky = "none"
lamps = "on"
"""

METRIC = re.compile(r"(?<![A-Za-z])mm(?![A-Za-z_])|\d m(?![A-Za-z²])|\d m²")
# what stands for itself: ratios per area of a textbook, which have no length of the job in them
KEPT = re.compile(r"\d[^;:\n]*(?:L|m|kg)/m²|a m², an estimating textbook")


def run(*arguments, code=0):
    done = subprocess.run([sys.argv[1], *arguments], capture_output=True, text=True, check=False)
    assert done.returncode == code, (arguments, done.returncode, done.stderr)
    return done.stdout + done.stderr


def main():
    with tempfile.TemporaryDirectory() as folder:
        job = folder + "/room.toml"
        with open(job, "w", encoding="utf-8") as out:
            out.write(JOB)
        texts = {
            "assess": run("assess", job),
            "probe": run("probe", job, "--surface", "long", "--at", "1000,1000"),
            "profile": run("profile", job, "--joint", "long/B1"),
            "measure": run("measure", job, "--joint", "long/B1", "--gap", "1.2", "--base", "400"),
            "quantities": run("quantities", job),
            "sheets": run("sheets", job),
            "year": run("year", job),
            "check": run("check", job),
        }
        for name, text in texts.items():
            for line in text.splitlines():
                assert not METRIC.search(KEPT.sub("", line)), f"{name}: {line}"
            assert len(text) > 20, name
        for name in ("assess", "profile", "measure", "sheets"):
            assert re.search(r"\d\"|\d'| in\b", texts[name]), name
        # the same figures in both: a crown in mm in JSON, in inches in the table
        found = json.loads(run("assess", job, "--json"))
        worst = found["surfaces"][0]["joints"][0]
        row = next(line for line in texts["assess"].splitlines() if line.strip().startswith(worst["id"] + " "))
        crown = float(re.search(r"(\d\.\d{3}) in", row).group(1))
        assert abs(crown - worst["crown_mm"] / 25.4) < 0.05 / 25.4 + 0.0005, (row, worst["crown_mm"])
        # what is wrong is said in the job's unit too
        with open(job, "w", encoding="utf-8") as out:
            out.write(JOB.replace("from_left = 10", "from_left = 100"))
        said = run("check", job, code=3)
        assert "reaches" in said and "10'" in said and not METRIC.search(said), said
        # and of a job in millimetres nothing is turned
        metric = folder + "/metric.toml"
        run("new", metric)
        metric = run("probe", metric, "--surface", "long", "--at", "1000,1000")
        assert "1000, 1000 mm" in metric, metric


main()
