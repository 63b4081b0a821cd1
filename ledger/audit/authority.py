"""The audit's own reading of sql/README.md, sections 1 and 3: which rows count, and who may appoint
or rule.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ledger.chain.event import Event

ROLES = frozenset({"registrar", "association_president", "division_president"})
"""These may appoint anyone, and do the acts of step 4."""
CORRECTORS = frozenset({"registrar", "division_president"})
"""These may correct a table."""
_APPOINT_HELP = frozenset({"site_official", "board_member"})
_HELP = frozenset({"weighmaster", "play_counter"})


def is_correction(event: Event) -> bool:
    """Whether the event is a row of a table put right."""
    return event.at is None and "corrects" in event.data


def rows_that_count(set_up: Iterable[Event]) -> list[Event]:
    """Of each row, given in ledger order, the latest correction, otherwise the row as loaded."""
    rows: dict[str, Event] = {}
    for event in sorted(set_up, key=is_correction):  # a slow clock may put one before its row
        rows[str(event.data.get("corrects", event.id))] = event
    return list(rows.values())


class Offices:
    """Who holds which role with authority, and whose rulings count.

    `said` are the statements that count, in ledger order; `reviews` of `league` says who rules.
    """

    def __init__(
        self, set_up: Iterable[Event], said: Sequence[Event], league: Mapping[str, Any]
    ) -> None:
        # Official, role, and the game if the role is for one game only.
        self._held: list[tuple[str, str, str | None]] = [
            (e.data["official"], e.data["role"], None) for e in set_up if e.kind == "official"
        ]
        for event in said:
            if event.kind == "appoint" and self.may_appoint(event):
                self._held.append((event.data["value"], event.data["to"], event.game))
        self._openings = [e for e in said if e.kind == "case_open"]
        self._reviews: Mapping[str, Sequence[str]] = league.get("reviews", {})

    def may_rule(self, ruling: Event) -> bool:
        """Whether `by` may review the case as opened in the ruling's own chain."""
        return any(
            self.holds(ruling.by, self._reviewers(opening), opening.game)
            for opening in self._openings
            if (opening.chain, opening.data["case"]) == (ruling.chain, ruling.data["case"])
        )

    def may_appoint(self, event: Event) -> bool:
        """Whether the appoint event has authority."""
        if event.by == event.data["value"]:
            return False
        roles = ROLES | (_APPOINT_HELP if event.data["to"] in _HELP else frozenset())
        return self.holds(event.by, roles, event.game)

    def holds(self, official: str | None, roles: Iterable[str], game: str | None) -> bool:
        """Whether the official holds one of the roles, in general or for that game."""
        wanted = set(roles)
        return any(
            who == official and role in wanted and only in (None, game)
            for who, role, only in self._held
        )

    def _reviewers(self, opening: Event) -> Sequence[str]:
        return self._reviews["roster" if opening.data["reason"] == "roster" else "other"]
