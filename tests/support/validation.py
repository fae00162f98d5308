"""The row that a test in Python leaves for docs/validation.md (tests/support/validated.h does so for those in C++)."""
import os
import pathlib


def row(program, check, against, figure, limit):
    """Writes PROGRAM.tsv into the folder that ctest names by RAKELIGHT_VALIDATION; a test run by hand leaves nothing."""
    folder = os.environ.get("RAKELIGHT_VALIDATION")
    if not folder:
        return
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    beside = folder / f"{program}.tsv.{os.getpid()}"
    beside.write_text("\t".join((check, against, figure, limit)) + "\n")
    beside.replace(folder / f"{program}.tsv")
