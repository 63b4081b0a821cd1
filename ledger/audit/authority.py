"""The audit's own reading of who may appoint and who may rule (sql/README.md, section 3)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from ledger.chain.event import Event

_APPOINT_ALL = frozenset({"registrar", "association_president", "division_president"})
_APPOINT_HELP = frozenset({"site_official", "board_member"})
_HELP = frozenset({"weighmaster", "play_counter"})


class _Office(NamedTuple):
    """A role held with authority; in one game only where `game` is given."""

    official: str
    role: str
    game: str | None


class Offices:
    """Who holds which role with authority, and whose rulings count.

    `said` are the statements that count, in ledger order; `reviews` of `league` says who rules.
    """

    def __init__(
        self, set_up: Iterable[Event], said: Sequence[Event], league: Mapping[str, Any]
    ) -> None:
        self._held = [
            _Office(e.data["official"], e.data["role"], None)
            for e in set_up
            if e.kind == "official"
        ]
        for event in said:
            if event.kind == "appoint" and self.may_appoint(event):
                self._held.append(_Office(event.data["value"], event.data["to"], event.game))
        self._openings = [e for e in said if e.kind == "case_open"]
        self._reviews: Mapping[str, Sequence[str]] = league.get("reviews", {})

    def may_rule(self, ruling: Event) -> bool:
        """Whether `by` reviews the case as it was opened in the ruling's own chain."""
        return any(
            self.holds(ruling.by, self._reviewers(opening), opening.game)
            for opening in self._openings
            if (opening.chain, opening.data["case"]) == (ruling.chain, ruling.data["case"])
        )

    def may_appoint(self, event: Event) -> bool:
        """Whether this appoint has authority."""
        if event.by == event.data["value"]:
            return False
        roles = _APPOINT_ALL | (_APPOINT_HELP if event.data["to"] in _HELP else frozenset())
        return self.holds(event.by, roles, event.game)

    def holds(self, official: str | None, roles: Iterable[str], game: str | None) -> bool:
        """Whether the official holds one of the roles, everywhere or in that game."""
        wanted = set(roles)
        return any(
            office.official == official and office.role in wanted and office.game in (None, game)
            for office in self._held
        )

    def _reviewers(self, opening: Event) -> Sequence[str]:
        return self._reviews["roster" if opening.data["reason"] == "roster" else "other"]
