"""Step 5: every countersigned list, derived again in plain Python and compared with its digest.

From the events of lower seq in the same chain alone: not by `entered`, for honest late paper is
no tampering. Written apart from `sql/`; the two agree or the audit says so.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from ledger.audit.report import Problem
from ledger.chain.canonical import canonical
from ledger.chain.event import Event

WITHOUT_A_REASON = ("absent", "equipment")
"""What a strike_off without a reason crosses off (contract, section 2)."""


@dataclass
class _Chain:
    """What the lists of one chain are made of so far."""

    listed: dict[tuple[str, str], list[Event]] = field(default_factory=lambda: defaultdict(list))
    struck: dict[tuple[str, str], list[Event]] = field(default_factory=lambda: defaultdict(list))
    withdrawals: list[Event] = field(default_factory=list)

    def digest(self, game: str, team: str) -> str:
        gone = self._withdrawn()
        strikes = [event for event in self.struck[game, team] if event.id not in gone]
        strikes.sort(key=_happened)
        lines: list[list[Any]] = []
        for line in self.listed[game, team]:
            if line.id not in gone:
                off = next((strike.id for strike in strikes if _crosses_off(strike, line)), None)
                lines.append([line.id, line.player, line.data.get("reason"), off])
        return sha256(canonical({"game": game, "team": team, "lines": lines})).hexdigest()

    def _withdrawn(self) -> set[str]:
        gone: set[str] = set()
        for withdrawal in reversed(self.withdrawals):
            if withdrawal.id not in gone:
                gone.add(str(withdrawal.data.get("target")))
        return gone


def check_lists(events: Iterable[Event]) -> Iterator[Problem]:
    """The countersigned lists that are not what was signed; events in ledger order."""
    chains: dict[str, _Chain] = defaultdict(_Chain)
    for event in events:
        chain = chains[event.chain]
        if event.kind == "withdraw":
            chain.withdrawals.append(event)
        elif event.game is None or event.team is None:
            continue
        elif event.kind == "list":
            chain.listed[event.game, event.team].append(event)
        elif event.kind == "strike_off":
            chain.struck[event.game, event.team].append(event)
        elif event.kind == "countersign" and "list" in event.data:
            signed = event.data["list"]
            if chain.digest(event.game, event.team) != signed:
                what = f"the list of {event.team} in {event.game} is not the one that was signed"
                yield Problem(event.chain, event.seq, "list differs", what)


def _happened(event: Event) -> tuple[str, int]:
    return event.at or "", event.seq


def _crosses_off(strike: Event, line: Event) -> bool:
    reason = strike.data.get("reason")
    reasons = WITHOUT_A_REASON if reason is None else (reason,)
    since = _happened(strike) > _happened(line)
    return since and strike.player == line.player and line.data.get("reason") in reasons
