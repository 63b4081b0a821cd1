"""Step 5 for signatures of form 1, which keep only a number, over the lines without their times.

What counts is what was accepted before the countersignature, whatever time it claims: the team's
lines and strike-offs of that game that are not withdrawn. A line is struck off by the first later
strike-off of its reason, by (`at`, order of acceptance). One without a reason strikes off absent
and equipment. The number is SHA-256 of the canonical bytes of

    {"game":…,"lines":[[event id, player, reason, id of the strike-off or null],…],"team":…}
"""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256

from ledger.audit.eligibility import strikes_off, withdrawn
from ledger.audit.rows import Placed
from ledger.chain.canonical import canonical
from ledger.chain.event import Event


class Lists:
    """The lines, strike-offs and withdrawals so far."""

    def __init__(self) -> None:
        self._of_team: dict[tuple[str | None, str | None], list[Placed]] = {}
        self._withdrawals: list[Event] = []

    def learn(self, placed: Placed) -> None:
        event = placed.event
        if event.kind == "withdraw":
            self._withdrawals.append(event)
        else:
            self._of_team.setdefault((event.game, event.team), []).append(placed)

    def digest(self, game: str | None, team: str | None) -> str:
        """Return SHA-256 (hex) of the list so far."""
        gone = withdrawn(self._withdrawals)
        found = [one for one in self._of_team.get((game, team), []) if one.event.id not in gone]
        found.sort(key=lambda placed: (placed.event.chain, placed.event.seq))
        strikes = [one for one in found if one.event.kind != "list"]
        lines = [
            [one.event.id, one.event.player, one.event.data.get("reason"), _struck_by(one, strikes)]
            for one in found
            if one.event.kind == "list"
        ]
        return sha256(canonical({"game": game, "team": team, "lines": lines})).hexdigest()


def _struck_by(line: Placed, strikes: Iterable[Placed]) -> str | None:
    since = [
        (_moment(strike), strike.event.id)
        for strike in strikes
        if strikes_off(strike.event, line.event) and _moment(strike) > _moment(line)
    ]
    return min(since)[1] if since else None


def _moment(placed: Placed) -> tuple[str, int]:
    return placed.event.at or "", placed.position
