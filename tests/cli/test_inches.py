"""A job in inches: every command's text is in feet and inches; JSON, CSV and --at stay in millimetres.

usage: test_inches.py RAKELIGHT"""
import html
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

# a unit behind a figure, and mm wherever it stands
METRIC = re.compile(r"(?<![A-Za-z])mm(?![A-Za-z_])|\d (?:cm|m|m²|kg|L)(?![A-Za-z0-9²/_])|°C|\b(?:metres?|litres?)\b")
# what stays, each with its reason
KEPT = [
    r"\([\d.-]+ (?:L|m|kg)/m² at level \d\)|\([\d.-]+ m/m²\)|\([\d.]+ m/m²,|\([\d.]+ a m², an estimating textbook\)",  # a published rule by area, named as published; the amount beside it is in US units
    r"by area, textbook and common practice \([\d.-]+ (?:L|m)/m²[^)]*\)|2\.5 m/m²",  # the same rules
    r"1\.6-1\.7 kg a litre",  # a published density
    r"from the litres above",  # the row's name of its own reckoning
    r"ISO \d+|cd/m²",  # a standard's number; luminance has no other unit in the trade
]


def bare(text):
    """The lines that a person reads of a text, an HTML page or a drawing."""
    text = re.sub(r"(?s)<(style|script)\b.*?</\1>", "", text)
    return [line.strip() for line in html.unescape(re.sub(r"<[^>]*>", "\n", text)).splitlines() if line.strip()]


def metric(text):
    """Lines with a length, an area, a weight or a temperature that is not the job's unit's."""
    found = []
    for line in bare(text):
        rest = line
        for kept in KEPT:
            rest = re.sub(kept, "", rest)
        if METRIC.search(rest):
            found.append(line)
    return found


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
        # what is written as a file: the paper, the sheet to fill in, drawings
        files = {
            "paper": ("report", job, "--no-pictures", "-o", folder + "/paper.html"),
            "setting out": ("sheets", job, "-o", folder + "/sheets.html"),
            "setting out drawn": ("sheets", job, "-o", folder + "/sheets.svg"),
            "section": ("profile", job, "--joint", "long/B1", "-o", folder + "/section.svg"),
            "recessed section": ("profile", job, "--joint", "long/R1", "-o", folder + "/recessed.svg"),
            "survey": ("survey", "--inches", "-o", folder + "/survey.html"),
        }
        for name, arguments in files.items():
            run(*arguments)
            with open(arguments[-1], encoding="utf-8") as written:
                texts[name] = written.read()
        wrong = [f"{name}: {line}" for name, text in texts.items() for line in metric(text)]
        assert not wrong, "\n".join(wrong)
        for name, text in texts.items():
            assert len(text) > 20, name
        # and it would find one
        assert metric("<p>2 m off</p>") and metric("27 kg") and metric("at least 10 °C") and metric("in mm") and not metric("958 cd/m²")
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
        assert "reaches" in said and "10'" in said and not metric(said), said
        # and of a job in millimetres nothing is turned
        plain = folder + "/metric.toml"
        run("new", plain)
        said = run("probe", plain, "--surface", "long", "--at", "1000,1000")
        assert "1000, 1000 mm" in said, said


main()
