"""Where the files that are not Python are: `sql/` and `report_templates/`.

A wheel carries them in `ledger/_data/`; a source tree has them beside the package.
The wheel's place is looked at first: beside an installed package lie other people's folders.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from ledger.errors import ReportError

PACKAGE = Path(__file__).resolve().parent


def folder(name: Literal["sql", "report_templates"]) -> Path:
    """The folder of that name. Raises ReportError where the installation lacks it."""
    for place in (PACKAGE / "_data" / name, PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise ReportError(
        f"the folder {name} is missing from this installation",
        hint="Install weighbook again from its wheel, or run it from a whole source tree.",
    )
