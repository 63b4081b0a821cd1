"""Other cases about the same player, list or game as the case of a packet."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.derive.scope import read_cases
from ledger.record.kinds import CASE
from ledger.review.cases import Case, Entry, case_in
from ledger.store.store import Store

Shares = Literal["player", "roster", "list", "game"]
"""roster: both are roster questions about the list, and the other one is about all its numbers."""


@dataclass(frozen=True)
class OtherCase:
    """Another case and the closest thing that both are about.

    `is_earlier`: it was opened first. `rulings` are those that count, in the order they were
    entered; `ours` are the ids of those that name a player asked about here.
    """

    case: Case
    shares: Shares
    is_earlier: bool
    rulings: tuple[Entry, ...]
    ours: frozenset[str]

    @property
    def events(self) -> frozenset[str]:
        return frozenset({self.case.opening.event_id, *(one.event_id for one in self.rulings)})


def find_other_cases(
    store: Store,
    case: Case,
    *,
    games: Collection[str],
    sides: Collection[tuple[str, str]],
    players: Collection[str],
    now: str,
    as_of: str | None = None,
    known_at: str | None = None,
) -> tuple[OtherCase, ...]:
    """Return the cases about these players, lists or games, the earliest first."""
    if not (games or players):
        return ()
    stored = read_cases(store, as_of=as_of, known_at=known_at)
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    events = {one.id: one.event for one in stored}
    said: dict[str, list[Mapping[str, Any]]] = {}
    for row in engine.answer("case_timeline").dicts():
        if row["kind"] in CASE and row["withdrawn_by"] is None:
            said.setdefault(row["case_id"], []).append(row)
    found = []
    for case_id, own in said.items():
        shares = _shared(own, games, sides, players)
        if case_id == case.case_id or shares is None:
            continue
        other = case_in(store, engine, events, case_id, now=now, with_findings=False)
        if shares == "list" and case.reason == other.reason == "roster" and not other.player:
            shares = "roster"
        rulings = [one for one in other.timeline if one.kind == "ruling" and not one.withdrawn_by]
        ours = {row["event_id"] for row in own if row["player"] in players}
        found.append(
            OtherCase(
                case=other,
                shares=shares,
                is_earlier=other.opened_at < case.opened_at,
                rulings=tuple(sorted(rulings, key=lambda one: one.entered_at)),
                ours=frozenset(ours),
            )
        )
    engine.close()
    return tuple(sorted(found, key=lambda one: (one.case.opened_at, one.case.case_id)))


def _shared(
    own: Sequence[Mapping[str, Any]],
    games: Collection[str],
    sides: Collection[tuple[str, str]],
    players: Collection[str],
) -> Shares | None:
    """What a case with these statements shares, the closest first."""
    if any(row["player"] in players for row in own):
        return "player"
    if any((row["game"], row["team"]) in sides for row in own):
        return "list"
    return "game" if any(row["game"] in games for row in own) else None
