"""A season folder to be: divisions, teams and players with ids, and the texts of its tables."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from ledger.record.fields import is_id
from ledger.record.tables import TABLES

JOINS_FILE = "days/rosters.csv"
_JOIN_COLUMNS = ("at", "kind", "team", "player", "number", "by")
_LONGEST = 40
Cells = tuple[str, ...]


@dataclass(frozen=True)
class NewSeason:
    """League, season and zone as in league.toml; the rows of each table, all text."""

    league: str
    season: str
    time_zone: str
    divisions: tuple[Cells, ...] = ()
    teams: tuple[Cells, ...] = ()
    players: tuple[Cells, ...] = ()
    officials: tuple[Cells, ...] = ()
    games: tuple[Cells, ...] = ()
    joins: tuple[Cells, ...] = ()
    """Lines of days/rosters.csv: children who are on a roster without a number."""

    def tables(self) -> dict[str, str]:
        """The text of each table and of days/rosters.csv, by file."""
        rows = (self.divisions, self.teams, self.players, self.officials, self.games)
        texts = {
            model.table: csv_text(list(model.model_fields), table)
            for model, table in zip(TABLES, rows, strict=True)
        }
        if self.joins:
            texts[JOINS_FILE] = csv_text(_JOIN_COLUMNS, self.joins)
        return texts


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table as RFC 4180 has it, with LF."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([columns, *rows])
    return text.getvalue()


def make_id(name: str, taken: Collection[str], otherwise: str) -> str:
    """A new id from the name of a team or a division; numbered if it is taken.

    >>> make_id("Glimmerfen Newts", [], "team"), make_id("Bård's 10U", ["bards-10u"], "team")
    ('glimmerfen-newts', 'bards-10u-2')
    >>> make_id("小さな", [], "team")
    'team-1'
    """
    letters = unicodedata.normalize("NFKD", name.replace("ß", "ss")).casefold()
    plain = "".join(c for c in letters if not unicodedata.combining(c) and c not in "'’")
    wanted = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].strip("-")
    if is_id(wanted) and wanted not in taken:
        return wanted
    stem, number = (wanted, 2) if is_id(wanted) else (otherwise, 1)
    while f"{stem}-{number}" in taken:
        number += 1
    return f"{stem}-{number}"


def player_ids(count: int) -> list[str]:
    """Ids for so many children, in order; none has a part of a name.

    >>> player_ids(2)
    ['p001', 'p002']
    """
    width = max(3, len(str(count)))
    return [f"p{number:0{width}d}" for number in range(1, count + 1)]
