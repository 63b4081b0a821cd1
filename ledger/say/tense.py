"""What a player may do, as of a game to come or going on, and of one that is over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.say import codes


@dataclass(frozen=True)
class Tense:
    """`off_roster`, `nobody` and `unlisted` are phrases; `by_ruling` begins what holds by one."""

    is_past: bool
    off_roster: str
    nobody: str
    unlisted: str
    unweighed: str
    by_ruling: str

    def plays(self, code: str) -> str:
        """ "may play the whole game"; "was allowed to play the whole game"."""
        if self.is_past:
            return codes.plays(code, "was allowed to play", "was not to play")
        return codes.plays(code, "may play")

    def carries(self, code: str) -> str:
        """ "does not carry the ball"; "was not to carry the ball"."""
        if self.is_past:
            return codes.carries(code, "was allowed to carry", "was not to carry", "was not")
        return codes.carries(code)

    def carries_too(self, code: str) -> str:
        """The same behind `plays`: "but not to carry the ball" goes on from "was allowed to"."""
        if self.is_past:
            return codes.carries(code, "to carry", "not to carry", "was not")
        return codes.carries(code)

    def listed(self, reasons: Sequence[str]) -> str:
        """ "is listed as absent and has not been weighed"."""
        return f"{'was' if self.is_past else 'is'} {codes.listed(reasons)} and {self.unweighed}"

    def declared(self) -> str:
        is_listed = "was listed" if self.is_past else "is listed"
        return f"{is_listed} as over the carrier limit and, in this league, need not be weighed"


NOW = Tense(
    is_past=False,
    off_roster="who is not on the team's roster for this game",
    nobody="nobody on the team has been weighed yet, so nothing is decided",
    unlisted="has not been weighed and is on no list",
    unweighed="has not been weighed",
    by_ruling="Since the ruling of",
)
THEN = Tense(
    is_past=True,
    off_roster="who was not on the team's roster for this game",
    nobody="nobody on the team was weighed, so nothing was decided",
    unlisted="was not weighed and was on no list",
    unweighed="was not weighed",
    by_ruling="By the ruling of",
)
