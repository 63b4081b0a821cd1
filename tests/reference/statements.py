"""Events in ledger order, the statements among them, and which of those count.

Nothing here knows football: it is about order, times and withdrawals.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

AnEvent = Mapping[str, Any]

SET_UP = frozenset({"league", "division", "team", "player", "official", "game"})
# FORMAT.md, section 6: every kind of statement; whatever else a chain holds is no statement
KINDS = frozenset(
    {
        "roster_add",
        "roster_drop",
        "number_change",
        "enter_player",
        "trained",
        "assign",
        "appoint",
        "game_change",
        "game_off",
        "season_close",
        "at_scale",
        "station",
        "scale_out",
        "list",
        "weigh",
        "late_weigh",
        "initial",
        "strike_off",
        "stripe",
        "close",
        "countersign",
        "half",
        "plays",
        "snaps",
        "excuse",
        "concern",
        "case_open",
        "case_refer",
        "case_statement",
        "case_exhibit",
        "ruling",
        "case_close",
        "withdraw",
    }
)
WEIGHED = ("weigh", "late_weigh")


@dataclass(frozen=True)
class Statement:
    """One event of a kind of section 2. `position` is its place in ledger order."""

    id: str
    chain: str
    seq: int
    position: int
    kind: str
    at: str
    entered: str
    recorded: str
    by: str
    game: str | None
    team: str | None
    player: str | None
    data: Mapping[str, Any]

    @property
    def value(self) -> Any:
        return self.data.get("value")

    @property
    def reason(self) -> Any:
        return self.data.get("reason")


def in_ledger_order(events: Sequence[AnEvent]) -> list[AnEvent]:
    """ "Ledger order is the order of `seq` in a chain; between chains, of `recorded` (where a clock
    went back, the latest before it in that chain), then the chain's name."
    """
    chains: dict[str, list[AnEvent]] = defaultdict(list)
    for event in events:
        chains[event["chain"]].append(event)
    keyed = []
    for chain, of_chain in chains.items():
        clock = ""
        for event in sorted(of_chain, key=lambda event: int(event["seq"])):
            clock = max(clock, event["recorded"])
            keyed.append(((clock, chain, int(event["seq"])), event))
    return [event for _, event in sorted(keyed, key=lambda pair: pair[0])]


def statement_of(position: int, event: AnEvent) -> Statement:
    return Statement(
        id=f"{event['chain']}:{event['seq']}",
        chain=event["chain"],
        seq=int(event["seq"]),
        position=position,
        kind=event["kind"],
        at=event["at"],
        entered=event["entered"],
        recorded=event["recorded"],
        by=event["by"],
        game=event.get("game"),
        team=event.get("team"),
        player=event.get("player"),
        data=event.get("data", {}),
    )


def by_at(statement: Statement) -> tuple[str, int]:
    """ "First", "latest", "last", "since" order by (`at`, ledger order)."""
    return (statement.at, statement.position)


def by_entered(statement: Statement) -> tuple[str, int]:
    """ "Latest entered": by (`entered`, ledger order)."""
    return (statement.entered, statement.position)


def first(statements: Iterable[Statement]) -> Statement | None:
    return min(statements, key=by_at, default=None)


def latest_entered(statements: Iterable[Statement]) -> Statement | None:
    return max(statements, key=by_entered, default=None)


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def nulls_last(value: Any) -> tuple[bool, Any]:
    """A sort key: text in code point order, numbers as numbers, nulls last."""
    return (True, 0) if value is None else (False, value)


def counting(there: Sequence[Statement]) -> list[Statement]:
    """Of the statements entered (and recorded) by then, those that count.

    "A withdrawn statement does not count once its withdrawal is entered. A withdrawal counts unless
    a withdrawal of it counts; no order enters into this." (A target was accepted before its
    withdrawal, so there is no circle.)
    """
    withdrawals: dict[str, list[Statement]] = defaultdict(list)
    for said in there:
        if said.kind == "withdraw":
            withdrawals[said.data["target"]].append(said)

    def counts(said: Statement) -> bool:
        return not any(counts(withdrawal) for withdrawal in withdrawals[said.id])

    return [said for said in there if counts(said)]
