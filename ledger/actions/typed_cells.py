"""What people type for a player ("newts 12"), an official and the times of an entry."""

from __future__ import annotations

from ledger.actions.entries import Cells
from ledger.actions.finding import find_officials
from ledger.actions.typed import only_one, team_and_number, typed_moment
from ledger.derive.directory import Directory
from ledger.derive.scope import read_officials
from ledger.errors import InputError
from ledger.record.fields import TIME_COLUMNS
from ledger.record.kinds import BRINGS_IN, CASE, SCHEDULE_CHANGES
from ledger.record.known import Known
from ledger.record.typed_times import EitherHalfError
from ledger.say.names import Names
from ledger.store.snapshot import ByIndex
from ledger.store.store import Store
from ledger.suggest import folded


def typed_player(
    store: Store, text: str, *, game: str | None = None, team: str | None = None
) -> tuple[str, str | None]:
    """The id of a player, and the team if the text names one or `team` does.

    By id, or by team and number: the number at the game's kickoff, without `game` the number now.
    """
    if any(store.events(player=[text])):
        return text, team
    if said := team_and_number(store, text):
        named, number = said
        having = _having(store, Directory(store), named, number, game)
        if not having:
            when = f"at the kickoff of {game}" if game else "now"
            hint = "For a player who is not on the roster, type the number and the name."
            raise InputError(f"{named} has no number {number} {when}", hint=hint)
        return only_one(text, having, "player"), named
    alike = [one for one in Directory(store).players if folded(one) == folded(text)]
    return only_one(text, alike, "player"), team


def typed_official(store: Store, text: str) -> str:
    """The id of an official: by id, name, beginnings of the name, or part of the id."""
    if any(store.events(kind=BRINGS_IN["official"], subject=[text])):
        return text
    names = {hit.id: f"{hit.id} ({hit.name})" for hit in find_officials(store, text)}
    return only_one(text, tuple(names), "official", names)


def official_name(store: Store, official: str) -> str:
    """The name of an official; the id itself without one."""
    return Names(store, [stored.event for stored in read_officials(store)]).of(official)


def typed_cells(store: Store, kind: str, cells: Cells) -> dict[str, str | None]:
    """An entry's cells with players, officials and times as the ledger has them.

    A time that cannot be read stays as typed, for the entry's own list of faults. InputError if a
    player, an official or a time may mean several.
    """
    found = dict(cells)
    game = found.get("game")
    if player := found.get("player"):
        found["player"], team = typed_player(store, player, game=game, team=found.get("team"))
        found["team"] = found.get("team") or team
    for column in OFFICIAL_COLUMNS.get(kind, ("by",)):
        if who := found.get(column):
            found[column] = typed_official(store, who)
    for column in sorted(TIME_COLUMNS & found.keys()):
        if typed := found[column]:
            is_that_day = column == "kickoff" or kind not in _PLANNED
            try:
                found[column] = typed_moment(store, typed, game=game if is_that_day else None)
            except EitherHalfError as error:
                message = f"--{column}: '{typed}' may be before or after noon"
                raise InputError(message, hint=f"Type {error}.") from error
            except ValueError:
                continue
    return found


OFFICIAL_COLUMNS = {"trained": ("by", "value"), "assign": ("by", "value")}
"""By kind, the columns that name an official of the ledger; `by` in every other."""
_PLANNED = ("assign", "appoint", *SCHEDULE_CHANGES, *CASE)
"""Kinds that are not entered on the day of their game. A new kickoff is of the game's day."""


def _having(store: Store, held: Directory, team: str, number: int, game: str | None) -> list[str]:
    """The players of the team with this number."""
    if game is not None and game in {one.game for one in held.games}:
        roster = Known(ByIndex(store)).roster(team, game)
        return sorted(player for player, theirs in roster.items() if theirs == number)
    return [one.player for one in held.members if (one.team, one.number) == (team, number)]
