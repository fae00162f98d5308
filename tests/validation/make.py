"""docs/validation.md from what the tests found.

    make.py BUILD SOURCE           writes BUILD/validation.md from BUILD/validation/*.tsv
    make.py BUILD SOURCE --check   and compares checks, sources and limits with docs/validation.md; figures may differ
    make.py BUILD SOURCE --bless   and takes it as docs/validation.md

A test program leaves PROGRAM.tsv (tests/support/validated.h). The table of a program that has not been run here, or only in
part, is taken over from docs/validation.md as it stands there; with none run at all --check ends with 77, which ctest calls skipped.
All words outside the tables are written by hand in docs/validation.md and stay.
"""
import pathlib
import re
import sys

# in the order of the page
SECTIONS = [
    ("unit_sky", "Sun and sky"),
    ("unit_kernel", "Kernels"),
    ("unit_light", "Light"),
    ("oracle_tests", "Light against traced paths"),
    ("oracle_tests_long", "The same, long counts"),
    ("unit_joint", "Joints, coats, rules"),
    ("unit_board", "Sheets"),
    ("unit_board_long", "The same, long counts"),
    ("unit_advice", "Ways round"),
    ("unit_advice_long", "The same, long counts"),
    ("unit_paint", "Paint"),
    ("unit_look", "Contrast"),
    ("unit_sight", "Eye"),
    ("unit_assess", "The year, maps, chances"),
    ("unit_assess_long", "The same, long counts"),
    ("law_tests", "Whole jobs"),
    ("law_tests_long", "The same, long counts"),
    ("gl_tests", "Pictures"),
    ("gl_tests_long", "The same, long counts"),
    ("fuzz_lm63", "Reader of LM-63 files"),
    ("fuzz_eulumdat", "Reader of EULUMDAT files"),
    ("fuzz_climate", "Reader of climate files"),
    ("fuzz_job", "Reader of job files"),
    ("cli", "Films"),
    ("cli_sheets", "Ways round, by the program"),
    ("package", "Debian package"),
    ("hard_jobs_long", "Hard jobs"),
]
HEAD = "| what | against | found | allowed |\n|---|---|---|---|\n"
BEGIN, END = "<!-- tables: written by tests/validation/make.py -->\n", "<!-- end of tables -->\n"


def rows_of_run(path):
    """Rows [check, against, figure, limit] of a program that was run whole; else None."""
    if not path.is_file():
        return None
    lines = path.read_text().splitlines()
    if lines[:1] == ["# part"]:
        return None
    rows = [line.split("\t") for line in lines]
    for row in rows:
        if len(row) != 4:
            sys.exit(f"{path}: a row of {len(row)} cells")
        if not all(row):
            sys.exit(f"{path}: an empty cell in {row}")
    return rows


def rows_of_page(page):
    """{program: rows} of a page's tables."""
    tables, program = {}, None
    for line in page.splitlines():
        named = re.fullmatch(r"<!-- (\w+) -->", line)
        if named:
            program = named.group(1)
            tables[program] = []
        elif program and line.startswith("| ") and not line.startswith("| what |"):
            tables[program].append([cell.strip().replace(r"\|", "|") for cell in re.split(r"(?<!\\)\|", line)[1:-1]])
    return tables


def tables_of(found):
    text = ""
    for program, heading in SECTIONS:
        if found.get(program):
            text += f"\n### {heading}\n<!-- {program} -->\n\n{HEAD}"
            for row in found[program]:
                text += "| " + " | ".join(cell.replace("|", r"\|") for cell in row) + " |\n"
    return text + "\n"


def main():
    build, source = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    how = sys.argv[3] if len(sys.argv) > 3 else ""
    page_path = source / "docs/validation.md"
    page = page_path.read_text()
    before, after = page[: page.index(BEGIN) + len(BEGIN)], page[page.index(END):]
    stated = rows_of_page(page)
    known = {program for program, _ in SECTIONS}
    strangers = sorted(p.stem for p in (build / "validation").glob("*.tsv") if p.stem not in known)
    if strangers:
        print(f"no section for {', '.join(strangers)}: name it in tests/validation/make.py, or take its file out of {build}/validation when the program is gone")
        return 1
    run = {program: rows_of_run(build / "validation" / f"{program}.tsv") for program in known}
    absent = [program for program, _ in SECTIONS if run[program] is None]
    found = {program: stated.get(program) if rows is None else rows for program, rows in run.items()}
    text = before + tables_of(found) + after
    build.mkdir(exist_ok=True)
    (build / "validation.md").write_text(text)
    if absent:
        print("not run here, taken over from docs/validation.md: " + ", ".join(absent))
    if how == "--bless":
        page_path.write_text(text)
    if how != "--check":
        return 0
    if len(absent) == len(SECTIONS):
        return 77
    wrong = []
    names = [row[0] for rows in found.values() for row in rows or []]
    wrong += [f"two checks are called \"{name}\"" for name in sorted(set(names)) if names.count(name) > 1]
    for program in sorted(set(stated) - known):
        wrong.append(f"docs/validation.md has a table of {program}, which is no program of tests/validation/make.py")
    for program, rows in run.items():
        if rows is None:
            continue
        ours = {row[0]: row for row in rows}
        theirs = {row[0]: row for row in stated.get(program, [])}
        wrong += [f"{program}: \"{name}\" is not in docs/validation.md" for name in ours.keys() - theirs.keys()]
        wrong += [f"{program}: \"{name}\" of docs/validation.md was not found by the run" for name in theirs.keys() - ours.keys()]
        for name in ours.keys() & theirs.keys():
            for cell, what in ((1, "source"), (3, "limit")):
                if ours[name][cell].strip() != theirs[name][cell]:
                    wrong.append(f"{program}: \"{name}\" has another {what} now: {ours[name][cell]}")
    for line in wrong:
        print(line)
    if wrong:
        print(f"after a run of these programs, python3 tests/validation/make.py {build} {source} --bless writes docs/validation.md anew")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
