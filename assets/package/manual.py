"""The manual page, from what the program says of itself: manual.py RAKELIGHT > rakelight.1"""
import re
import subprocess
import sys

program = sys.argv[1]


def says(*arguments):
    return subprocess.run([program, *arguments], check=True, capture_output=True, text=True).stdout


def roff(text):
    text = text.replace("\\", "\\e").replace("-", "\\-")
    return "\\&" + text if text[:1] in (".", "'") else text


def entries(lines):
    """(name, words) of a list of options or commands; words may stand on a line of their own."""
    found = []
    for line in lines:
        if not line.strip():
            continue
        own = re.match(r"  (\S.*?)(?:  +(\S.*))?$", line)
        if own and not line.startswith("   "):
            found.append([own.group(1), own.group(2) or ""])
        elif found:
            found[-1][1] = (found[-1][1] + " " + line.strip()).strip()
    return found


def part(text, heading):
    lines, inside = [], False
    for line in text.splitlines():
        if line == heading + ":":
            inside = True
        elif inside and re.match(r"\S", line):
            break
        elif inside:
            lines.append(line)
    return entries(lines)


def plain(name):
    """CLI11's notes on an option in words."""
    name = re.sub(r" (REQUIRED|Excludes:.*|Needs:.*)", "", name)
    name = re.sub(r" (TEXT|INT|FLOAT|UINT)\b(?::(?:TEXT|INT|FLOAT|UINT) in)?:?", " ", name)
    return re.sub(r" +", " ", name.replace(" =", "=")).strip()


top = says("--help")
about = top.split("Usage:")[0].strip().splitlines()
version = says("--version").split()[1]
commands = part(top, "Subcommands")
if not commands:
    sys.exit("manual.py: the program's help lists no commands")
out = [f'.TH RAKELIGHT 1 "" "Rakelight {version}" "User Commands"', ".SH NAME", "rakelight \\- how plasterboard joints will look in low light, before a sheet is hung",
       ".SH SYNOPSIS", ".B rakelight\n.RI [ JOB ]", ".br", ".B rakelight\n.I COMMAND\n.RI [ OPTIONS ]\n.I JOB", ".SH DESCRIPTION"]
for line in about:
    out += [roff(line), ".br"]
out.append(".SH OPTIONS")
for name, words in part(top, "Options"):
    out += [".TP", f".B {roff(plain(name))}", roff(words)]
out.append(".SH COMMANDS")
for command, words in commands:
    out += [f".SS rakelight {roff(command)}", roff(words) + "."]
    for name, meaning in part(says(command, "--help"), "Options"):
        if not name.startswith("-h,"):
            out += [".TP", f".B {roff(plain(name))}", roff(meaning) or "\\&"]
out += [".SH FILES", roff("A job is a text file in TOML; /usr/share/doc/rakelight/examples has an invented home to start from, and"),
        roff("/usr/share/doc/rakelight/user/job-file.md lists every key."), ".SH CAUTIONS",
        roff("What it says is a prediction, never an acceptance ruling. Local codes and licensed trades decide.")]
print("\n".join(out))
