"""Choose what goes into a case's bundle.

In: the case's own statements; those of the games it names, except other cases'; what the answers
about these games rest on; setup and rosters of the two teams; the officials who entered any of
this; all withdrawals. Out: the rest of the season, and questions about other children. A withdrawn
statement was a mistake: the bundle proves it and its withdrawal, but shows no name or file of it.
Personal text goes in only if chosen:

    name, note, reason   of the case, and of the children it is about
    official             the names of the officials who entered any of it
    scan                 scans of lists signed in ink, which show children's names
    game                 name, note and reason of every child in the whole game
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.event import Event
from ledger.derive.scope import case_openings
from ledger.record.kinds import BRINGS_IN, CASE, FILES, ROSTER
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals
from ledger.witness.disclosing import word_of

WORDS = ("name", "note", "reason", "official", "scan", "game")


@dataclass(frozen=True)
class CaseScope:
    """The events of a case's bundle, in ledger order; `own` are those about the case itself.

    `children` are the ids of the players that the case names; `handed_in` are its exhibits and
    their redactions. Both leave out withdrawn statements, whose ids are in `gone`.
    """

    case: str
    chain: str
    games: tuple[str, ...]
    own: frozenset[str]
    children: frozenset[str]
    handed_in: tuple[Event, ...]
    gone: frozenset[str]
    events: tuple[Event, ...]

    def disclose(self, words: Collection[str]) -> frozenset[tuple[str, str]]:
        """Return the (event id, field) of the personal text that these words choose."""
        return frozenset(
            (event.id, field)
            for event in self.events
            for field in event.data.get("digests", {})
            if word_of(event, field) in words
            and ("game" in words or word_of(event, field) == "official" or self._is_near(event))
        )

    def exhibits(self, words: Collection[str]) -> dict[str, str]:
        """Return the SHA-256 (hex) of files to include if kept, each with its event's id."""
        found: dict[str, str] = {}
        for event in self.handed_in:
            found.setdefault(event.data[FILES[event.kind]], event.id)
        for event in self.events if "scan" in words else ():
            if "scan" in event.data and event.id not in self.gone:
                found.setdefault(event.data["scan"], event.id)
        return found

    def withdrawn_exhibits(self) -> frozenset[str]:
        """Return the SHA-256 (hex) of files that were only handed in by mistake."""
        exhibits = [event for event in self.events if event.kind == "case_exhibit"]
        count = {event.data["value"] for event in self.handed_in if event.kind == "case_exhibit"}
        return frozenset(e.data["value"] for e in exhibits if e.id in self.own) - count

    def _is_near(self, event: Event) -> bool:
        return event.id in self.own or event.player in self.children


def case_statements(store: Store, case: str) -> list[Event]:
    """Return a case's own statements and their withdrawals. Raises InputError if unknown."""
    case_openings(store, case)
    return with_withdrawals(store, _read(store, kind=CASE, subject=[case]))


def case_scope(
    store: Store, case: str, rows: Iterable[Mapping[str, Any]], rests_on: Collection[str]
) -> CaseScope:
    """Return the scope of a case.

    `rows` are the eligibility rows of the case's games, which name teams and players; `rests_on`
    are the ids of the events that the bundle's answers name.
    """
    own = case_statements(store, case)
    games = sorted({event.game for event in own if event.game})
    found = [*own, *(stored.event for stored in store.events_by_id(sorted(set(rests_on))))]
    found += [one for one in _read(store, game=games) if one.data.get("case") in (None, case)]
    teams, players = ({row[key] for row in rows} for key in ("team", "player"))
    sides = [event for event in found if event.kind == "game"]
    teams |= {event.data[side] for event in sides for side in ("home", "visitor")}
    divisions = sorted({event.data["division"] for event in sides})
    found += _read(store, kind=["league"])
    found += _read(store, kind=["division"], subject=divisions)
    found += _read(store, kind=["team"], team=sorted(teams), outside_games=["yes"])
    roster = _read(store, kind=ROSTER, player=sorted(players))
    found += [one for one in roster if one.kind in BRINGS_IN["player"] or one.team in teams]
    found += _redactions(store, own)
    found = with_withdrawals(store, found)
    ids = {event.id for event in found}
    found += [one for one in _read(store, kind=["erasure"]) if ids & set(one.data["events"])]
    by = sorted({event.by for event in found if event.by})
    found += _read(store, kind=BRINGS_IN["official"], subject=by)
    by_id = {event.id: event for event in found}
    gone = _gone(found)
    standing = [event for event in own if event.id not in gone]
    exhibits = [event for event in standing if event.kind == "case_exhibit"]
    return CaseScope(
        case=case,
        chain=own[0].chain,
        games=tuple(games),
        own=frozenset(event.id for event in own),
        children=frozenset(event.player for event in standing if event.player),
        handed_in=(*exhibits, *_redactions(store, standing)),
        gone=gone,
        events=tuple(sorted(by_id.values(), key=lambda event: (event.chain, event.seq))),
    )


def _redactions(store: Store, own: Sequence[Event]) -> list[Event]:
    """Return the redactions of the case's exhibits, and of their redacted copies."""
    there = {event.data["value"] for event in own if event.kind == "case_exhibit"}
    found = []
    for event in _read(store, kind=["redaction"]) if there else ():
        if event.data["before"] in there:
            there.add(event.data["after"])
            found.append(event)
    return found


def _gone(events: Iterable[Event]) -> frozenset[str]:
    """Return the ids that no longer count."""
    return frozenset(withdrawn((e.id, e.data["target"]) for e in events if e.kind == "withdraw"))


def _read(store: Store, **where: Collection[str]) -> Iterator[Event]:
    for stored in store.events(**{column: list(values) for column, values in where.items()}):
        yield stored.event
