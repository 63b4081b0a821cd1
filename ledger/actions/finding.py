"""Find players, officials, teams, games and cases by what people know of them."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from ledger.actions.typed import games_typed, teams_typed
from ledger.derive.directory import Directory
from ledger.derive.scope import read_officials
from ledger.record.kinds import BRINGS_IN
from ledger.say.names import Names
from ledger.store.store import Store
from ledger.suggest import folded

What = Literal["player", "official", "team", "game", "case"]
_NUMBER = re.compile(r"(?:(.*\S)[ #]+|#)?(\d\d?)", re.ASCII)


@dataclass(frozen=True)
class Hit:
    """One thing that was found. `name` is a person's or a team's, "" without one.

    `teams` are a player's, with the number there now, the two of a game, or the one that a case is
    about. `about` is a game's kickoff (UTC text) or the game of a case.
    """

    what: What
    id: str
    name: str = ""
    teams: tuple[tuple[str, int | None], ...] = ()
    about: str = ""


def find(store: Store, text: str) -> tuple[Hit, ...]:
    """Whatever has this name, a number, or part of an id; capitals and accents do not count.

    A number of one or two digits finds players who have it now, with a team before it that team's.
    """
    held = Directory(store)
    if match := _NUMBER.fullmatch(text.strip()):
        teams = teams_typed(held, match[1]) if match[1] else [one.team for one in held.teams]
        having = {one.player for one in held.members
                  if one.team in teams and one.number == int(match[2])}  # fmt: skip
        if having or not match[1]:
            return tuple(_players(held, lambda player, name: player in having))
    if not folded(text):
        return ()
    fits = partial(_fits, text)
    found = [*_players(held, fits), *_officials(store, fits)]
    found += [Hit("team", one.team, one.name) for one in held.teams if fits(one.team, one.name)]
    typed = {one.game for one in games_typed(held, text)}
    found += [
        Hit("game", one.game, teams=tuple((side, None) for side in one.sides), about=one.kickoff)
        for one in held.games
        if one.game in typed or fits(one.game, "")
    ]
    return (*found, *_cases(store, lambda case: fits(case, "")))


def find_officials(store: Store, text: str) -> tuple[Hit, ...]:
    """The officials with this id or full name, otherwise those whom the text fits as in `find`.

    A number is never a part of another: "wm1" does not fit newts-wm10.
    """
    wanted = folded(text)
    if not wanted:
        return ()
    part = re.compile(r"(?<!\d)" * wanted[0].isdigit() + wanted + r"(?!\d)" * wanted[-1].isdigit())

    def fits(own_id: str, name: str) -> bool:
        return _is_named(text, name) or part.search(folded(own_id)) is not None

    found = tuple(_officials(store, fits))
    whole = tuple(one for one in found if wanted in (folded(one.id), folded(one.name)))
    return whole or found


def _fits(text: str, own_id: str, name: str) -> bool:
    return _is_named(text, name) or folded(text) in folded(own_id)


def _is_named(text: str, name: str) -> bool:
    """Whether each word begins a part of the name."""
    parts = [folded(part) for part in name.split()]
    words = [folded(word) for word in text.split() if folded(word)]
    return all(any(part.startswith(word) for part in parts) for word in words)


Fits = Callable[[str, str], bool]


def _players(held: Directory, fits: Fits) -> Iterator[Hit]:
    events = [stored.event for stored in held.store.events(kind=BRINGS_IN["player"])]
    names = Names(held.store, events)
    on: defaultdict[str, list[tuple[str, int | None]]] = defaultdict(list)
    for one in held.members:
        on[one.player].append((one.team, one.number))
    for player in held.players:
        name = names.of(player)
        name = "" if name == player else name
        if fits(player, name):
            yield Hit("player", player, name, tuple(on[player]))


def _officials(store: Store, fits: Fits) -> Iterator[Hit]:
    events = [stored.event for stored in read_officials(store)]
    names = Names(store, events)
    officials = {str(event.data.get("official", event.data.get("value"))) for event in events
                 if event.kind in BRINGS_IN["official"]}  # fmt: skip
    for official in sorted(officials):
        if fits(official, names.of(official)):
            yield Hit("official", official, names.of(official))


def _cases(store: Store, fits: Callable[[str], bool]) -> Iterator[Hit]:
    opened = {one.event.data["case"]: one.event for one in store.events(kind=["case_open"])}
    for case, event in sorted(opened.items()):
        if fits(case):
            teams = ((event.team, None),) if event.team else ()
            yield Hit("case", case, "", teams, event.game or "")
