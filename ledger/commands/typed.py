"""Arguments and options in which people type a game, a team, a person or a time as they say it.

What was taken for something else than the letters typed is said on standard error.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import opened, plain_word, store_of, to_stderr
from ledger.record.kinds import BRINGS_IN

if TYPE_CHECKING:
    from ledger.store.store import Store


class _Typed(click.ParamType[str]):
    """A game's or a team's id, from what was typed."""

    name = "text"

    def __init__(self, what: str) -> None:
        self._what = what

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        assert ctx is not None
        store = store_of(ctx)
        if not store.exists():
            return value  # the command says so, after what click finds missing
        with opened(store) as ledger:
            if any(ledger.events(kind=[self._what], **{self._what: [value]})):
                return value
            from ledger.actions import typed  # late: an id needs no DuckDB

            read: Callable[[Store, str], str] = getattr(typed, f"typed_{self._what}")
            found = read(ledger, value)
        say_taken(value, self._what, found)
        return found


class _Date(click.ParamType[str]):
    """A date as YYYY-MM-DD, from "9/5/2026" too; the command refuses what is none."""

    name = "text"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        from ledger.record.typed_times import typed_date

        found = typed_date(value)
        return found.isoformat() if found else value


class _Role(click.ParamType[str]):
    """A role as the ledger spells it: "Division President" is division_president."""

    name = "text"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        return plain_word(value)


class _Official(click.ParamType[str]):
    """An official's id, from a name or a part of either."""

    name = "text"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        assert ctx is not None
        store = store_of(ctx)
        if not store.exists():
            return value
        with opened(store) as ledger:
            if any(ledger.events(kind=BRINGS_IN["official"], subject=[value])):
                return value
            from ledger.actions.typed_cells import typed_official  # late: an id needs no DuckDB

            found = typed_official(ledger, value)
            say_official(ledger, value, found)
        return found


DATE, ROLE, OFFICIAL = _Date(), _Role(), _Official()
GAME, TEAM = _Typed("game"), _Typed("team")
TYPES = {"game": GAME, "team": TEAM}
# Eager, so that a time without a day is of the game's day. (An eager option would be read before a
# --store that comes after it; arguments come after all options.)
game_argument = click.argument("game", type=GAME, is_eager=True)
team_argument = click.argument("team", type=TEAM)


def say_taken(typed: str, what: str, found: str) -> None:
    """Say what was understood, unless it is what was typed."""
    if found != typed:
        to_stderr(f"'{typed}': the {what} {found}.")


def say_official(ledger: Store, typed: str, found: str) -> None:
    """Say which official was understood, with the name, unless the id was typed."""
    if found != typed:
        from ledger.actions.typed_cells import official_name

        to_stderr(f"'{typed}': the official {found} ({official_name(ledger, found)}).")


def with_typed(ledger: Store, kind: str, cells: Mapping[str, str | None]) -> dict[str, str | None]:
    """An entry's cells with players, officials and times as the ledger has them."""
    from ledger.actions.typed_cells import OFFICIAL_COLUMNS, typed_cells

    found = typed_cells(ledger, kind, cells)
    if cells.get("player"):
        say_taken(str(cells["player"]), "player", str(found["player"]))
    for column in OFFICIAL_COLUMNS.get(kind, ("by",)):
        say_official(ledger, str(cells.get(column)), str(found.get(column)))
    return found
