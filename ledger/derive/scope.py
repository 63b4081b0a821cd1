"""Which events an answer needs: one game by index, or the whole season once.

Week 12 costs what week 1 did, because a game's answer reads only that game's statements, the
set-up and roster of its two teams, its players' marks and weighs in other games, the officials
and cases it names, the statement entered last, and the withdrawals of any of these.
"""

from __future__ import annotations

from collections.abc import Iterable, Set

from ledger.chain.event import Event
from ledger.derive.asked import unknown_game, unknown_team
from ledger.errors import InputError
from ledger.record.kinds import BRINGS_IN, CASE, CASE_STATE, MARKS, ROSTER, SCHEDULE, WEIGHS
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import withdrawals_of
from ledger.suggest import suggest_hint

_SEASON = ("league", "season_close")


def read_game(
    store: Store, game: str, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """What answers about one game need, in ledger order; InputError for an unknown game.

    Give the engine's `as_of` and `known_at`: whether a case is overdue turns on the statement
    entered last by then, of the whole ledger.
    """
    found = _Found()
    found.add(store.events(game=[game]))
    sides = [event.data for event in found.all() if event.kind == "game"]
    if not sides:
        raise unknown_game(store, game)
    teams = [sides[0]["home"], sides[0]["visitor"]]
    found.add(store.events(kind=_SEASON))
    found.add(store.events(kind=["team"], team=teams, outside_games=["yes"]))
    found.add(store.events(kind=ROSTER, team=teams, outside_games=["yes"]))
    players = sorted({event.player for event in found.all() if event.player})
    found.add(store.events(kind=(*MARKS, *ROSTER), player=players))
    games = sorted({event.game for event in found.all() if event.game} - {game})
    found.add(store.events(kind=SCHEDULE, game=games))
    divisions = {e.data["division"] for e in found.all() if e.kind in ("team", "game")}
    found.add(store.events(kind=["division"], subject=sorted(divisions)))
    cases = sorted({event.data["case"] for event in found.all() if "case" in event.data})
    found.add(store.events(kind=CASE_STATE, subject=cases))
    officials = {event.by for event in found.all() if event.by}
    found.add(store.events(kind=["trained"], subject=sorted(officials)))
    found.add_withdrawals(store)
    _add_roles(store, found, {event.by for event in found.all() if event.by})
    if cases:
        _add_entered_last(store, found, as_of, known_at)
    return found.in_order()


def read_book(store: Store, team: str) -> list[Stored]:
    """What the book of a team needs, in ledger order; InputError for an unknown team."""
    found = _Found()
    found.add(store.events(kind=["team"], team=[team]))
    if not list(found.all()):
        raise unknown_team(store, team)
    found.add(store.events(kind=ROSTER, team=[team], outside_games=["yes"]))
    players = sorted({event.player for event in found.all() if event.player})
    found.add(store.events(kind=["initial"], player=players))
    games = sorted({event.game for event in found.all() if event.game})
    found.add(store.events(kind=SCHEDULE, game=games))
    found.add_withdrawals(store)
    return found.in_order()


def read_official(store: Store, official: str) -> list[Stored]:
    """The roles of an official, and of who gave them, in ledger order."""
    found = _Found()
    _add_roles(store, found, {official})
    return found.in_order()


def read_statements(store: Store, stored: Iterable[Stored]) -> list[Stored]:
    """What findings about these statements need that are of no game and no case, in ledger order:
    the league's rules, whether the season was closed, and who stated them."""
    found = _Found()
    found.add(stored)
    found.add(store.events(kind=_SEASON))
    found.add_withdrawals(store)
    _add_roles(store, found, {event.by for event in found.all() if event.by})
    return found.in_order()


def read_case(
    store: Store, case: str, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """What a case needs, in ledger order: its statements, and the games that these name.

    Give the engine's `as_of` and `known_at`, as for `read_game`. InputError for an unknown case.
    """
    case_openings(store, case)
    found = _Found()
    found.add(store.events(kind=CASE, subject=[case]))
    for game in sorted({event.game for event in found.all() if event.game}):
        found.add(read_game(store, game, as_of=as_of, known_at=known_at))
    _add_around_cases(store, found, as_of, known_at)
    return found.in_order()


def case_openings(store: Store, case: str) -> list[Event]:
    """What opened the case, in whichever chains; InputError for an unknown case."""
    openings = [stored.event for stored in store.events(kind=["case_open"], subject=[case])]
    if not openings:
        known = {stored.event.data["case"] for stored in store.events(kind=["case_open"])}
        hint = suggest_hint(case, known, "weighbook case list lists the cases.")
        raise InputError(f"no case {case} in this ledger", hint=hint)
    return openings


def read_cases(
    store: Store, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """What the list of all cases needs, in ledger order: of the games only who is named."""
    found = _Found()
    found.add(store.events(kind=CASE))
    found.add(store.events(player=sorted({e.player for e in found.all() if e.player})))
    found.add(store.events(kind=[*SCHEDULE, "half"]))
    found.add(store.events(kind=ROSTER))
    _add_around_cases(store, found, as_of, known_at)
    return found.in_order()


def next_game(store: Store, team: str) -> str:
    """The team's first scheduled game without a weigh yet, else its last one."""
    games = [stored.event for stored in store.events(kind=["game"])]
    own = [event for event in games if team in (event.data["home"], event.data["visitor"])]
    if not own:
        if not list(store.events(kind=["team"], team=[team])):
            raise unknown_team(store, team)
        hint = "weighbook status lists teams and games."
        raise InputError(f"{team} has no game in this ledger", hint=hint)
    own.sort(key=lambda event: (event.data["kickoff"], event.game))
    weighed = store.events(kind=WEIGHS, game=[str(event.game) for event in own])
    done = {stored.event.game for stored in weighed}
    return str(next((event.game for event in own if event.game not in done), own[-1].game))


def is_weighed(store: Store, game: str) -> bool:
    """Whether somebody was weighed in the game."""
    return any(store.events(kind=WEIGHS, game=[game]))


def read_season(store: Store) -> Iterable[Stored]:
    """Every event, in ledger order."""
    return store.events()


def _add_around_cases(store: Store, found: _Found, as_of: str | None, known_at: str | None) -> None:
    """The league's reviewers, who holds which role, and whether time has passed."""
    found.add(store.events(kind=_SEASON))
    found.add_withdrawals(store)
    _add_roles(store, found, {event.by for event in found.all() if event.by})
    _add_entered_last(store, found, as_of, known_at)


def _add_roles(store: Store, found: _Found, officials: Set[str]) -> None:
    """Lines and appointments of these officials, and of who appointed them, until no more."""
    asked: set[str] = set()
    while new := sorted(officials - asked):
        asked.update(new)
        given = list(store.events(kind=BRINGS_IN["official"], subject=new))
        found.add(given)
        officials = {event.by for event in (one.event for one in given) if event.by}
    found.add_withdrawals(store)


def _add_entered_last(store: Store, found: _Found, as_of: str | None, known_at: str | None) -> None:
    """Statements from the one entered last backwards, until one of them counts."""
    for stored in store.entered_last(as_of=as_of, known_at=known_at):
        found.add([stored])
        found.add_withdrawals(store)
        if stored.id not in found.gone(as_of, known_at):
            return


class _Found:
    """Events by id, each once; `_asked` are those whose withdrawals are here."""

    def __init__(self) -> None:
        self._stored: dict[str, Stored] = {}
        self._events: dict[str, Event] = {}
        self._asked: set[str] = set()

    def add(self, stored: Iterable[Stored]) -> None:
        for one in stored:
            if one.id not in self._stored:
                self._stored[one.id] = one
                self._events[one.id] = one.event

    def add_withdrawals(self, store: Store) -> None:
        """What withdraws what was added since the last time, and what withdraws that."""
        new = self._events.keys() - self._asked
        self.add(withdrawals_of(store, (one for one in new if self._events[one].at)))
        self._asked.update(self._events)

    def all(self) -> Iterable[Event]:
        return self._events.values()

    def gone(self, as_of: str | None, known_at: str | None) -> set[str]:
        """The ids of what does not count as of these moments."""
        return withdrawn(
            (event_id, str(event.data["target"]))
            for event_id, event in self._events.items()
            if event.kind == "withdraw"
            and (as_of is None or (event.entered or "") <= as_of)
            and (known_at is None or event.recorded <= known_at)
        )

    def in_order(self) -> list[Stored]:
        return sorted(self._stored.values())
