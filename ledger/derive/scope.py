"""Read the events that an answer needs: one game's by index, or the whole season's. Ledger order.

Week 12 costs no more than week 1, because a game's answer reads only that game's statements, the
setup and rosters of its two teams, its players' marks and weighs in other games, the officials
and cases it names, the statement entered last, and the withdrawals of any of these.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence, Set

from ledger.chain.event import Event
from ledger.derive.asked import unknown_game, unknown_team
from ledger.errors import InputError
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN, CASE, CASE_STATE, MARKS, ROSTER, SCHEDULE, WEIGHS
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import withdrawals_of
from ledger.suggest import suggest_hint

_SEASON = ("league", "season_close")


def read_game(
    store: Store, game: str, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """Read what answers about one game need; InputError for an unknown game.

    Pass the engine's `as_of` and `known_at`: whether a case is overdue depends on the statement
    entered last by then, in the whole ledger.
    """
    return read_games(store, [game], as_of=as_of, known_at=known_at)


def read_games(
    store: Store, games: Sequence[str], *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """Read the same for several games at once."""
    found = _Found(store)
    found.add(game=games)
    sides = {str(event.game): event.data for event in found.all() if event.kind == "game"}
    for game in games:
        if game not in sides:
            raise unknown_game(store, game)
    teams = sorted({data[side] for data in sides.values() for side in ("home", "visitor")})
    found.add(kind=_SEASON)
    found.add(kind=("team", *ROSTER), team=teams, outside_games=["yes"])
    found.add(kind=(*MARKS, *ROSTER), player=found.each("player"))
    found.add(kind=SCHEDULE, game=[other for other in found.each("game") if other not in sides])
    divisions = {e.data["division"] for e in found.all() if e.kind in ("team", "game")}
    found.add(kind=["division"], subject=sorted(divisions))
    cases = sorted({event.data["case"] for event in found.all() if "case" in event.data})
    found.add(kind=CASE_STATE, subject=cases)
    found.add(kind=["trained"], subject=found.each("by"))
    found.add_withdrawals()
    found.add_roles()
    if cases:
        found.add_entered_last(as_of, known_at)
    return found.in_order()


def read_book(store: Store, team: str) -> list[Stored]:
    """Read what a team's book needs; InputError for an unknown team."""
    found = _Found(store)
    found.add(kind=["team"], team=[team])
    if not found.all():
        raise unknown_team(store, team)
    found.add(kind=ROSTER, team=[team], outside_games=["yes"])
    found.add(kind=["initial"], player=found.each("player"))
    found.add(kind=SCHEDULE, game=found.each("game"))
    found.add_withdrawals()
    return found.in_order()


def read_book_notes(store: Store, team: str) -> list[Stored]:
    """Read what notes on a team's book need: the book, weighs in games with marks, rulings."""
    found = _Found(store, read_book(store, team))
    marked = found.each("game")
    found.add(kind=_SEASON)
    found.add(kind=WEIGHS, game=marked, player=found.each("player"))
    found.add(kind=ROSTER, player=found.each("player"))
    found.add(kind=["ruling"], player=found.each("player"))
    found.add(kind=SCHEDULE, game=[game for game in found.each("game") if game not in marked])
    cases = sorted({event.data["case"] for event in found.all() if event.kind == "ruling"})
    found.add(kind=["case_open"], subject=cases)
    found.add_withdrawals()
    found.add_roles()
    return found.in_order()


def read_official(store: Store, official: str) -> list[Stored]:
    """Read what gives an official roles, and what gives roles to those who appointed."""
    found = _Found(store)
    found.add_roles({official})
    return found.in_order()


def read_officials(store: Store) -> list[Stored]:
    """Read what gives anyone a role: every official's lines and every appointment."""
    found = _Found(store)
    found.add(kind=BRINGS_IN["official"])
    found.add_withdrawals()
    return found.in_order()


def read_statements(store: Store, stored: Iterable[Stored]) -> list[Stored]:
    """Read what findings about these statements, of no game and no case, need: the league's rules,
    whether the season was closed, and the roles of those who entered them."""
    found = _Found(store, stored)
    found.add(kind=_SEASON)
    found.add_withdrawals()
    found.add_roles()
    return found.in_order()


def read_case(
    store: Store, case: str, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """Read what a case needs: its statements, and the games that these name.

    Pass the engine's `as_of` and `known_at`, as for `read_game`. InputError for an unknown case.
    """
    case_openings(store, case)
    found = _Found(store)
    found.add(kind=CASE, subject=[case])
    for game in found.each("game"):
        found.take(read_game(store, game, as_of=as_of, known_at=known_at))
    found.add_around_cases(as_of, known_at)
    return found.in_order()


def case_openings(store: Store, case: str) -> list[Event]:
    """Return the case's openings, one in each chain; InputError for an unknown case."""
    openings = [stored.event for stored in store.events(kind=["case_open"], subject=[case])]
    if not openings:
        known = {stored.event.data["case"] for stored in store.events(kind=["case_open"])}
        hint = suggest_hint(case, known, "weighbook case list lists the cases.")
        raise InputError(f"no case {case} in this ledger", hint=hint)
    return openings


def read_cases(
    store: Store, *, as_of: str | None = None, known_at: str | None = None
) -> list[Stored]:
    """Read what the list of all cases needs: of the games only the players named."""
    found = _Found(store)
    found.add(kind=CASE)
    found.add(player=found.each("player"))
    found.add(kind=[*SCHEDULE, "half", *ROSTER])
    found.add_around_cases(as_of, known_at)
    return found.in_order()


def next_game(store: Store, team: str) -> str:
    """Return the team's first scheduled game without a weigh, otherwise its last game."""
    games = rows_that_count(stored.event for stored in store.events(kind=["game"]))
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
    """Whether anyone was weighed in the game."""
    return any(store.events(kind=WEIGHS, game=[game]))


def read_season(store: Store) -> Iterable[Stored]:
    """Every event, in ledger order."""
    return store.events()


class _Found:
    """Events by id, each once; `_asked` are those whose withdrawals are here."""

    def __init__(self, store: Store, stored: Iterable[Stored] = ()) -> None:
        self._store = store
        self._stored: dict[str, Stored] = {}
        self._events: dict[str, Event] = {}
        self._asked: set[str] = set()
        self.take(stored)

    def take(self, stored: Iterable[Stored]) -> None:
        for one in stored:
            if one.id not in self._stored:
                self._stored[one.id] = one
                self._events[one.id] = one.event

    def add(self, **wanted: Sequence[str]) -> None:
        """Add the store's events with these values."""
        self.take(self._store.events(**wanted))

    def all(self) -> Collection[Event]:
        return self._events.values()

    def each(self, field: str) -> list[str]:
        """The values of this field of the events so far, each once, sorted."""
        return sorted({value for event in self.all() if (value := getattr(event, field))})

    def add_withdrawals(self) -> None:
        """Add withdrawals of what was added since the last call, and withdrawals of those."""
        new = self._events.keys() - self._asked
        self.take(withdrawals_of(self._store, (one for one in new if self._events[one].at)))
        self._asked.update(self._events)

    def add_roles(self, officials: Set[str] | None = None) -> None:
        """Add lines and appointments of these officials, of those who appointed them, and so on.

        Without `officials`, start from those who entered the events so far.
        """
        officials = set(self.each("by")) if officials is None else officials
        asked: set[str] = set()
        while new := sorted(officials - asked):
            asked.update(new)
            given = list(self._store.events(kind=BRINGS_IN["official"], subject=new))
            self.take(given)
            officials = {by for one in given if (by := one.event.by)}
        self.add_withdrawals()

    def add_around_cases(self, as_of: str | None, known_at: str | None) -> None:
        """Add the league's reviewers, the roles of officials, and what shows that time passed."""
        self.add(kind=_SEASON)
        self.add_withdrawals()
        self.add_roles()
        self.add_entered_last(as_of, known_at)

    def add_entered_last(self, as_of: str | None, known_at: str | None) -> None:
        """Add statements, the one entered last first, until one of them counts."""
        for stored in self._store.entered_last(as_of=as_of, known_at=known_at):
            self.take([stored])
            self.add_withdrawals()
            is_statement = stored.event.at is not None  # a correction of a table has `entered` too
            if is_statement and stored.id not in self._gone(as_of, known_at):
                return

    def _gone(self, as_of: str | None, known_at: str | None) -> set[str]:
        """The ids of events that are withdrawn as of these moments."""
        return withdrawn(
            (event_id, str(event.data["target"]))
            for event_id, event in self._events.items()
            if event.kind == "withdraw"
            and (as_of is None or (event.entered or "") <= as_of)
            and (known_at is None or event.recorded <= known_at)
        )

    def in_order(self) -> list[Stored]:
        return sorted(self._stored.values())
