"""Find texts in a statement or season folder to ask about before keeping them.

These are free text, and initials, which can never be erased.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ledger.record.reading import Place
from ledger.record.statements import OfCase, Statement, Withdraw
from ledger.record.times import now_utc

if TYPE_CHECKING:
    from ledger.record.folder import Folder

RowOrLine = tuple[str, ...] | tuple[str, int]
"""What the ledger knows it by once it is loaded: a row's kind and key, or day file and record."""


@dataclass(frozen=True)
class Question:
    """A text that seems to hold a body weight or a birth date: where, and the words that do."""

    place: Place
    column: str
    words: tuple[str, ...]

    def __str__(self) -> str:
        """ "days/2026-09-05.csv, line 14, note: '95 lb'": never the whole text."""
        where = [self.place.file] if self.place.file else []
        where += [f"line {self.place.line}"] if self.place.line else []
        said = ", ".join(f"'{word}'" for word in self.words)
        return f"{', '.join([*where, self.column])}: {said}"


def questions_of(statement: Statement, place: Place | None = None) -> list[Question]:
    """Return what to ask about this statement."""
    about_child = isinstance(statement, OfCase | Withdraw) or any(
        getattr(statement, column, None) is not None for column in ("player", "number")
    )
    found = []
    for column in sorted(statement.personal | {"initials"}):
        text, year = getattr(statement, column, None), int(statement.at[:4])
        if text is not None:
            found += _ask(column, text, place or Place(), about_child=about_child, year=year)
    return found


def question_about(column: str, text: str | None) -> list[Question]:
    """What to ask about a text about a child that is typed now: a reason, a note."""
    return _ask(column, text or "", Place(), about_child=True, year=int(now_utc()[:4]))


def questions_of_folder(folder: Folder) -> Iterator[tuple[RowOrLine, Question]]:
    """What to ask about the folder, and what each row or line is known by."""
    from ledger.record.tables import Player

    year = int(now_utc()[:4])
    for placed in folder.rows:
        row, place = placed.row, placed.place
        if isinstance(row, Player):
            for one in _ask("name", row.name or "", place, about_child=True, year=year):
                yield ("player", *row.key), one
    for line in folder.lines:
        for one in questions_of(line.statement, line.place):
            yield (line.place.file, line.record), one


def _ask(column: str, text: str, place: Place, *, about_child: bool, year: int) -> list[Question]:
    from ledger.record.private_words import private_words  # slow: many expressions

    words = private_words(text, about_child=about_child, year=year)
    if column == "name":  # Born is a family's name too
        words = tuple(word for word in words if any(map(str.isdigit, word)))
    return [Question(place, column, words)] if words else []
