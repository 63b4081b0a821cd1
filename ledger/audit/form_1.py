"""Lists as signatures of form 1 signed them: by a number only, over the lines without their times.

In plain Python, beside the SQL that the writer derived them with. What counts is what was accepted
before the countersignature, whatever time it claims: list lines of that team and game; of those
and of strike-offs, what is not withdrawn; a line is struck off by the first strike-off of its
reason since, by (`at`, order of acceptance); one without a reason strikes off absent and equipment.
What was signed is SHA-256 of the canonical bytes of

    {"game":…,"lines":[[event id, player, reason, id of the strike-off or null],…],"team":…}
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from ledger.audit.rows import Placed
from ledger.chain.canonical import canonical
from ledger.chain.event import Event

_UNNAMED = ("absent", "equipment")


class Lists:
    """The lines, strike-offs and withdrawals so far."""

    def __init__(self) -> None:
        self._lines: dict[tuple[str | None, str | None], list[Placed]] = {}
        self._strikes: dict[tuple[str | None, str | None], list[Placed]] = {}
        self._withdrawals: dict[str, list[Placed]] = {}

    def learn(self, placed: Placed) -> None:
        event = placed.event
        if event.kind == "withdraw":
            self._withdrawals.setdefault(str(event.data.get("target")), []).append(placed)
        else:
            kind = self._lines if event.kind == "list" else self._strikes
            kind.setdefault((event.game, event.team), []).append(placed)

    def digest(self, game: str | None, team: str | None) -> str:
        """SHA-256 (hex) of the list as it stands."""
        lines = self._lines.get((game, team), [])
        strikes = self._strikes.get((game, team), [])
        gone = self._withdrawn({placed.event.id for placed in (*lines, *strikes)})
        standing = [placed for placed in strikes if placed.event.id not in gone]
        told = [
            [line.event.id, line.event.player, line.event.data.get("reason"),
             _struck_by(line, standing)]
            for line in sorted(lines, key=lambda placed: (placed.event.chain, placed.event.seq))
            if line.event.id not in gone
        ]  # fmt: skip
        return sha256(canonical({"game": game, "team": team, "lines": told})).hexdigest()

    def _withdrawn(self, ids: set[str]) -> set[str]:
        """Which of these, and of the withdrawals that concern them, do not count."""
        concerned, found = [], set(ids)
        fresh = list(ids)
        while fresh:
            more = [one for target in fresh for one in self._withdrawals.get(target, [])]
            fresh = [one.event.id for one in more if one.event.id not in found]
            found.update(fresh)
            concerned += more
        gone: set[str] = set()
        for one in sorted(concerned, key=lambda placed: placed.position, reverse=True):
            if one.event.id not in gone:
                gone.add(str(one.event.data.get("target")))
        return gone


def _struck_by(line: Placed, strikes: Iterable[Placed]) -> str | None:
    since = [
        (_moment(strike), strike.event.id)
        for strike in strikes
        if strike.event.player == line.event.player
        and line.event.data.get("reason") in _reasons(strike.event)
        and _moment(strike) > _moment(line)
    ]
    return min(since)[1] if since else None


def _moment(placed: Placed) -> tuple[str, int]:
    return placed.event.at or "", placed.position


def _reasons(strike: Event) -> tuple[object, ...]:
    reason = strike.data.get("reason")
    return _UNNAMED if reason is None else (reason,)
