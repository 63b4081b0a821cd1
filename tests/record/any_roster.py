"""Any league's rosters, and the many ways in which people write them into a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

Row = tuple[str, int | None, str]
"""Team, number, name."""

_TEAMS = ("Glimmerfen Newts", "小さなカエル", "Бобры", "O'Dell's 10U", "Ñandúes")
_NAMES = (
    "Pip Thimbleberry", "Zoë Ünder", "O'Dell, Max Jr.", "李小龙", "Владимир Сова", "محمد النحل",
    "כוכב ים", "कमल तारा", "ทดสอบ ดาว", "Ana-Lucía", "J. R. Quill", "Ngọc Ánh", "Born", "X Æ",
)  # fmt: skip
_LETTERS = st.characters(codec="utf-8", categories=["L", "M", "Zs"])
names = st.one_of(
    st.sampled_from(_NAMES),
    st.text(_LETTERS, min_size=2, max_size=12).map(lambda text: " ".join(f"Q{text}".split())),
)
_TITLES = ("Rosters 2026", "Invented League")
_EXTRA: dict[str, Any] = {
    "Parent": "Kim Elder",
    "Phone": "555-0100",
    "DOB": "2014-05-01",
    "Weight": 143.25,
    "Notes": None,
    "Grade": 5,
}
_HEADS = {
    "number": ["No.", "#", "Jersey #", "NUMBER", "Uniform Number"],
    "name": ["Name", "PLAYER", "Player name", "Child's Name"],
    "team": ["Team", "Squad", "team name"],
}


Sheet = list[list[Any]]


@dataclass(frozen=True)
class Written:
    """Rosters, the sheets that hold them by name, and the ranges merged on the first."""

    rows: Sequence[Row]
    sheets: Mapping[str, Sheet]
    merged: Sequence[str]


@st.composite
def rosters(draw: st.DrawFn) -> list[Row]:
    """Teams with children; a name once in the league, a number perhaps twice or missing."""
    found: list[Row] = []
    seen: set[str] = set()
    for team in draw(st.lists(st.sampled_from(_TEAMS), min_size=1, max_size=3, unique=True)):
        numbers = draw(st.lists(st.none() | st.integers(0, 99), min_size=1, max_size=5))
        for number in numbers:
            name = draw(names.filter(lambda one: _key(one) not in seen))
            seen.add(_key(name))
            found.append((team, number, name))
    return found


@st.composite
def written(draw: st.DrawFn) -> Written:
    """The rosters with a column of teams, below a title for each team, or on a sheet for each."""
    rows = draw(rosters())
    shape = draw(st.sampled_from(["column", "titles", "sheets"]))
    if shape == "column":
        above: Sheet = [[one] for one in draw(st.lists(st.sampled_from(_TITLES), max_size=2))]
        above += [[]] * draw(st.integers(0, 2))
        merged = [f"A{at}:C{at}" for at, row in enumerate(above, 1) if row]
        return Written(rows, {"Sheet1": above + draw(_table(rows, True))}, merged)
    by_team = {team: [row for row in rows if row[0] == team] for team, _, _ in rows}
    if shape == "sheets":
        sheets = {team: draw(_table(of_team, False)) for team, of_team in by_team.items()}
        return Written(rows, sheets, [])
    sheet: Sheet = []
    for team, of_team in by_team.items():
        sheet += [[], [f"{team} - Roster 2026"], *draw(_table(of_team, False))]
    return Written(rows, {"Sheet1": sheet}, ["A2:C2"])


@st.composite
def _table(draw: st.DrawFn, rows: Sequence[Row], with_team: bool) -> Sheet:
    """Columns in any order with others between them, rows in any order with blank lines."""
    extra = draw(st.lists(st.sampled_from(sorted(_EXTRA)), max_size=3, unique=True))
    uses = ["number", "name", *(["team"] if with_team else [])]
    columns = draw(st.permutations([*uses, *extra]))
    sheet = [[draw(st.sampled_from(_HEADS.get(one, [one]))) for one in columns]]
    for team, number, name in draw(st.permutations(rows)):
        sheet += [[]] * draw(st.sampled_from([0, 0, 0, 1]))
        cells = _EXTRA | {"team": team, "number": draw(_as_written(number)), "name": f" {name} "}
        sheet.append([cells[one] for one in columns])
    return sheet


def _as_written(number: int | None) -> st.SearchStrategy[Any]:
    if number is None:
        return st.sampled_from([None, "", "-", "TBD"])
    return st.sampled_from([number, float(number), str(number), f"#{number}", f" {number} "])


def _key(name: str) -> str:
    return name.casefold()
