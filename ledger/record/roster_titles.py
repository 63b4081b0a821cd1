"""What stands above a roster's heading: the team's name, and labels such as "Division: Acorn"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.record.roster_columns import use_of
from ledger.record.spreadsheet import SheetRow

_TITLE_WORDS = re.compile(
    r"[\s\-–—:|,]*\b(?:(?:team )?rosters?|players|season|20\d\d)\b[\s\-–—:|,]*", re.IGNORECASE
)
_LABELED = ("team", "division", "association")


@dataclass(frozen=True)
class Titles:
    """Team, division and association that a roster's title names ("" where not); other rows."""

    team: str
    division: str
    association: str
    others: tuple[SheetRow, ...]


def read_titles(above: Sequence[SheetRow]) -> Titles:
    """Read the rows above a heading; the nearest counts. One cell alone is a team's name."""
    found: dict[str, str] = {}
    others = []
    for row in above:
        labels = {use: said for use, said in _labels(row).items() if use in _LABELED}
        found |= labels
        if not labels:
            others.append(row)
    single = [row for row in others if len(filled(row)) == 1 and not _is_labeled(row)]
    if single and "team" not in found:
        found["team"] = filled(single[-1])[0]
        others.remove(single[-1])
    team, division, association = (found.get(use, "") for use in _LABELED)
    return Titles(clean_title(team), division, association, tuple(others))


def titles_at_end(rows: Sequence[SheetRow]) -> int:
    """How many of a roster's last rows belong to the heading below: labels, and one title."""
    count = titles = 0
    for row in reversed(rows):
        if not _is_labeled(row):
            titles += 1
            if titles > 1 or len(filled(row)) != 1:
                break
        count += 1
    return count


def clean_title(text: str) -> str:
    """A team's name from a title.

    >>> clean_title("Glimmerfen Newts - Roster 2026")
    'Glimmerfen Newts'
    """
    return _TITLE_WORDS.sub(" ", text).strip() or text


def filled(row: SheetRow) -> list[str]:
    """The row's cells that hold anything."""
    return [cell for cell in row.cells if cell]


def _is_labeled(row: SheetRow) -> bool:
    return ":" in filled(row)[0]


def _labels(row: SheetRow) -> dict[str, str]:
    """What the row's labels say, by use: "Team: Newts" in one cell, or in two."""
    parts: list[str] = []
    for cell in filled(row):
        label, colon, said = cell.partition(":")
        parts += [f"{label}:", *filter(None, [said.strip()])] if colon else [cell]
    return {
        use_of(label): said
        for label, said in pairwise(parts)
        if label.endswith(":") and not said.endswith(":")
    }
