#!/usr/bin/env python3
"""Writes the generic intensity distributions of this folder as LM-63 files, from closed forms.

They describe no product: a beam of full width b at half intensity is cos^n of the angle from its aim with
n = ln 0.5 / ln cos(b / 2); a strip shines by the cosine (Lambert 1760). Each is scaled to 1000 lm by the zonal sum
2 pi (cos a - cos b) x mean of the intensities at a and b. Run it here: python3 make.py
"""
import math


def power(beam_deg):
    return math.log(0.5) / math.log(math.cos(math.radians(beam_deg / 2)))


def lobe(beam_deg, tilt_deg=0.0):
    """cos^n of the angle from an axis tilted towards C = 0."""
    n, tilt = power(beam_deg), math.radians(tilt_deg)

    def intensity(gamma, c):
        mu = math.cos(gamma) * math.cos(tilt) + math.sin(gamma) * math.cos(c) * math.sin(tilt)
        return max(mu, 0.0) ** n
    return intensity


def wall_washing(gamma, c):
    """A 60 degree lobe tilted 35 degrees to the wall, dying out towards the horizontal as a lamp let into a ceiling does."""
    return lobe(60, 35)(gamma, c) * math.sqrt(max(math.cos(gamma), 0.0))


def flux(gammas, planes, table):
    mean = []
    for i in range(len(gammas)):
        if len(planes) == 1:
            mean.append(table[0][i])
        else:
            total = sum(0.5 * (planes[j + 1] - planes[j]) * (table[j][i] + table[j + 1][i]) for j in range(len(planes) - 1))
            mean.append(total / (planes[-1] - planes[0]))
    return sum(math.pi * (mean[i] + mean[i + 1]) * (math.cos(math.radians(gammas[i])) - math.cos(math.radians(gammas[i + 1])))
               for i in range(len(gammas) - 1))


def lines(values, width=100):
    out, row = [], ""
    for v in values:
        if row and len(row) + 1 + len(v) > width:
            out.append(row)
            row = ""
        row += (" " if row else "") + v
    return out + [row]


def write(name, what, intensity, gammas, planes, size):
    """size: width (along C 90), length (along C 0), height in metres; negative: a diameter."""
    table = [[intensity(math.radians(g), math.radians(c)) for g in gammas] for c in planes]
    factor = 1000 / flux(gammas, planes, table)
    text = ["IES:LM-63-2019", f"[TEST] generic", "[TESTLAB] computed from a closed form by assets/lamps/make.py, not measured",
            "[ISSUEDATE] 2026-01-01", "[MANUFAC] none", f"[LUMCAT] {name}", f"[LUMINAIRE] Generic, no product: {what}, 1000 lm", "TILT=NONE",
            f"1 -1 1 {len(gammas)} {len(planes)} 1 2 {size[0]:g} {size[1]:g} {size[2]:g}", "1 1.0001 10"]
    text += lines([f"{g:g}" for g in gammas]) + lines([f"{c:g}" for c in planes])
    for row in table:
        text += lines([f"{factor * v:.4f}" for v in row])
    with open(f"{name}.ies", "w", newline="\n") as out:
        out.write("\n".join(text) + "\n")


def steps(last, step):
    return [i * step for i in range(round(last / step) + 1)]


write("generic-narrow", "round beam of 20 degrees", lobe(20), steps(90, 1), [0], (-0.06, -0.06, 0))
write("generic-medium", "round beam of 40 degrees", lobe(40), steps(90, 2), [0], (-0.08, -0.08, 0))
write("generic-wide", "round beam of 80 degrees", lobe(80), steps(90, 2.5), [0], (-0.1, -0.1, 0))
write("generic-wall-washing", "beam of 60 degrees tilted 35 degrees towards C 0", wall_washing, steps(90, 2.5), steps(180, 10), (-0.1, -0.1, 0))
write("generic-strip", "flat strip that shines by the cosine", lambda g, c: max(math.cos(g), 0.0), steps(90, 2.5), [0], (0.01, 1.0, 0))
