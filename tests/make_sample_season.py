"""Write sample_season/, byte for byte the same each time: `python -m tests.make_sample_season`.

With --check nothing is written: differences are named, and the exit status is 1. README.md and
FORMAT.md in the folder are written by hand and left alone.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.sample.folder import season_folder

FOLDER = Path(__file__).resolve().parent.parent / "sample_season"
BY_HAND = {"README.md", "FORMAT.md"}


def differences(folder: Path) -> list[str]:
    """What differs between the folder and what would be written, one line a file."""
    wanted = season_folder()
    files = (path for path in folder.rglob("*") if path.is_file())
    there = {path.relative_to(folder).as_posix() for path in files} - BY_HAND
    found = [f"{name}: not from the generator" for name in sorted(there - wanted.keys())]
    for name, content in sorted(wanted.items()):
        if name not in there:
            found.append(f"{name}: missing")
        elif (folder / name).read_bytes() != content:
            found.append(f"{name}: differs")
    return found


def write(folder: Path) -> None:
    """Write the files, and take away day files that are no longer part of the season."""
    wanted = season_folder()
    for stale in (folder / "days").glob("*.csv"):
        if f"days/{stale.name}" not in wanted:
            stale.unlink()
    for name, content in wanted.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.make_sample_season", description=__doc__)
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    if parser.parse_args().check:
        found = differences(FOLDER)
        print("\n".join(found), file=sys.stderr, end="\n" if found else "")
        return 1 if found else 0
    write(FOLDER)
    return 0


if __name__ == "__main__":
    sys.exit(main())
