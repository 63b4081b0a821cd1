"""`weighbook help season-folder`: every file, column, kind and setting, from the models."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from ledger.record.fields import ROLES
from ledger.say.folder_columns import Column, KindOfEntry, day_columns, kinds, tables
from ledger.say.lines import Line
from ledger.say.settings import OF_SECTIONS, Setting, sections

FILES = {
    "league.toml": "the rules of this league, this season",
    "divisions.csv": "the divisions and their limits",
    "teams.csv": "the teams",
    "players.csv": "the players, with their numbers when the season begins",
    "officials.csv": "who holds which role, one line for each role",
    "games.csv": "the games as first scheduled",
    "days/*.csv": "what happened, one entry on each line",
}
_TEXT = (
    "Text is UTF-8. Tables are CSV with commas and a header line, its headings in small letters. "
    "Columns may come in any order; you may leave out a column that would be empty. A table may "
    "hold just its header line."
)
_IDS = (
    "An id has 1 to 64 characters of A-Z a-z 0-9 . _ - and begins with a letter or a digit. A "
    "player's id has no part of the player's name in it, because ids are never erased."
)
_TIMES = (
    "A time is 2026-09-05 08:41, with seconds and an offset such as -05:00 if you like. Without "
    "an offset it is in the league's time_zone."
)
_WHO = (
    "Where a kind needs “who”, give player; or number alone, which weighbook looks up on the "
    "roster; or name and number of someone who is not on the roster."
)
_MORE = "Loading a folder again, and corrections: sample_season/FORMAT.md."


def season_folder_lines() -> Iterator[Line]:
    """The whole page."""
    yield Line("A season folder is what the registrar keeps. weighbook load FOLDER reads it.")
    yield from _heading("Files")
    wide = max(map(len, FILES))
    for name, holds in FILES.items():
        yield Line(f"{name:<{wide}}  {holds}", 2, wide + 4)
    yield from _heading("How values are written")
    yield from map(Line, (_TEXT, _IDS, _TIMES))
    for section, of_section in sections().items():
        yield from _heading(f"league.toml, [{section}]")
        if section in OF_SECTIONS:
            yield Line(OF_SECTIONS[section])
        for one in of_section:
            yield from _setting(one)
    for file, columns in tables().items():
        yield from _heading(file)
        yield from _columns(columns)
    yield Line("")
    yield Line(f"Roles: {', '.join(ROLES)}.")
    yield from _heading("days/*.csv")
    yield Line("Every kind needs at, kind and by, and may have entered, ref and note.")
    yield Line("A column that a kind does not use must be empty.")
    yield from _columns(day_columns())
    yield Line("")
    yield Line(_WHO)
    yield from _heading("Kinds of entries")
    for kind in kinds():
        yield from _kind(kind)
    yield Line("")
    yield Line(_MORE)


def cells_in_words(cells: Mapping[str, str]) -> str:
    """ "game acorn-1a, team newts, number 12"."""
    return ", ".join(f"{column} {cell}" for column, cell in cells.items())


def used_by(kind: KindOfEntry) -> str:
    """ "game, team, who, value, (reason)": optional columns in brackets."""
    return ", ".join([*kind.needs, *(f"({column})" for column in kind.may)])


def if_blank(one: Column) -> str:
    """What to add to a column's type: whether a cell may be blank, and what that means."""
    if one.blank is None:
        return "; needed"
    return {"": "", "nothing": "; may be blank"}.get(one.blank, f"; if blank, {one.blank}")


def _heading(text: str) -> Iterable[Line]:
    return Line(""), Line(text), Line("-" * len(text))


def _setting(one: Setting) -> Iterator[Line]:
    holds = f"{one.holds}. " + (f"Default: {one.default}" if one.default else _no_default(one))
    yield Line(f"{one.key}: {holds}", 2, 6)
    yield Line(one.means, 6, 6)
    if one.example != one.default:
        yield Line(f"Example: {one.key} = {one.example}", 6, 8)


def _no_default(one: Setting) -> str:
    return "Needed" if one.is_required else "Default: none"


def _columns(columns: Iterable[Column]) -> Iterator[Line]:
    for one in columns:
        yield Line(f"{one.name}: {one.holds}{if_blank(one)}. Example: {one.example}", 2, 6)


def _kind(kind: KindOfEntry) -> Iterator[Line]:
    yield Line(f"{kind.name}: {kind.says}", 2, 6)
    if kind.needs or kind.may:
        yield Line(f"Uses {used_by(kind)}.", 6, 8)
    for column, words in kind.words.items():
        yield Line(f"{column}: {', '.join(words)}", 6, 8)
    if kind.example:
        yield Line(f"Example: {cells_in_words(kind.example)}", 6, 8)
