"""Find the files that are not Python: `sql/` and `report_templates/`.

A wheel has them in `ledger/_data/`, a source tree beside the package. The wheel's place comes
first: beside an installed package are other people's folders.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from ledger.errors import ReportError

PACKAGE = Path(__file__).resolve().parent


def folder(name: Literal["sql", "report_templates"]) -> Path:
    """Return the folder of that name; ReportError if the installation lacks it."""
    for place in (PACKAGE / "_data" / name, PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise ReportError(
        f"the folder {name} is missing from this installation",
        hint="Install weighbook again from its wheel, or run it from a complete source tree.",
    )
