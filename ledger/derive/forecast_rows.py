"""Rows of the minimum-plays forecast, and their words.

The words say what the numbers say, or why there is none. They give a jersey number or an id, never
a name, and judge nobody.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from typing import Any, Literal

from ledger.derive.snaps_left import Assumptions, HalfModel, left_of_half, summary_of

MayPlay = Literal["full", "second_half"]

HALF_NAMES = {1: "first half", 2: "second half"}

UNCOUNTED = "No plays are counted for this team in this game."
NOT_BEGUN = "No snaps are entered for this game, and its first half has not ended."
NOTHING_KNOWN = "No snaps are entered for this game or for an earlier one of the division."
ENDED = "The second half has ended; overtime is not forecast."
BEHIND = (
    "An entered count of snaps is below a player's plays in that half. The forecast takes those"
    " plays as the least number of snaps."
)
TAKEN_AS_NOT_BEGUN = (
    "No snaps are entered for the second half. The forecast assumes it has not begun."
)
OVERTIME = "Overtime is under way, and it is not forecast."


@dataclass(frozen=True)
class PlayerDue:
    """A player with plays due; `required` are the plays due to each player on the team."""

    team: str
    player: str
    number: int | None
    may_play: MayPlay
    required: int


DUE = tuple(field.name for field in fields(PlayerDue))


@dataclass(frozen=True)
class PlayerForecast(PlayerDue):
    """A player who is short, or whose team has no count (then still_due is None).

    expected_left, left_low, left_high: snaps left and their 80% interval; None if unknown.
    share_needed: still_due / expected_left; over 1 if more plays are due than snaps expected.
    plays_seen of snaps_seen: the present share, over the halves with snaps entered.
    chance: 0 to 1; or None, and `reason` says why (otherwise "").
    """

    still_due: int | None
    expected_left: float | None
    left_low: int | None
    left_high: int | None
    share_needed: float | None
    plays_seen: int
    snaps_seen: int
    chance: float | None
    reason: str

    def content(self) -> dict[str, Any]:
        """The row for programs, with share and words; fractions have four digits."""
        shown = asdict(self) | {"present_share": self.present_share, "words": self.words}
        return {key: round(v, 4) if isinstance(v, float) else v for key, v in shown.items()}

    @property
    def present_share(self) -> float | None:
        """Plays per snap so far; None before the first snap that the player could play."""
        return self.plays_seen / self.snaps_seen if self.snaps_seen else None

    @property
    def words(self) -> str:
        """The row in a few sentences."""
        return " ".join(part for part in (self._due(), self._left(), self._chance()) if part)

    def _due(self) -> str:
        who = f"Player {self.player}" if self.number is None else f"#{self.number}"
        late = ", second half only" if self.may_play == "second_half" else ""
        if self.still_due is None:
            return f"{who}{late}. Required: {self.required} plays."
        return f"{who}{late}. Still due: {self.still_due} of {self.required} plays."

    def _left(self) -> str:
        if self.expected_left is None or not self.expected_left:
            return ""
        about = f"about {self.expected_left:.0f}" if self.expected_left >= 1 else "less than 1"
        left = f"Snaps left: {about} (8 times in 10: {self.left_low} to {self.left_high})."
        if self.share_needed is None:
            return left
        if self.share_needed > 1:
            return f"{left} More plays are due than that."
        return f"{left} Share needed: {percent(self.share_needed)}."

    def _chance(self) -> str:
        if self.chance is None:
            return self.reason
        share = percent(self.present_share or 0.0)
        seen = f"In on {self.plays_seen} of {self.snaps_seen} snaps so far ({share})."
        return f"{seen} Chance of getting the plays due at that share: {percent(self.chance)}."


@dataclass(frozen=True)
class GameForecast:
    """The players, late ones first, and the paragraphs that go with their numbers."""

    players: tuple[PlayerForecast, ...]
    method: tuple[str, ...]


def percent(share: float) -> str:
    """Whole percent; never 0% or 100% unless it is exactly that."""
    if 0 < share < 0.01:
        return "under 1%"
    if 0.99 < share < 1:
        return "over 99%"
    return f"{100 * share:.0f}%"


def no_snaps_of(half: int) -> str:
    """Why there is no chance if plays are counted but snaps are not."""
    return f"Plays are counted for the {HALF_NAMES[half]}, but its snaps are not."


def too_few(seen: int, least: int) -> str:
    """Why there is no chance if the player's share rests on too few snaps; "" if on enough."""
    if seen >= least:
        return ""
    if not seen:
        return f"No chance is given until {least} snaps are entered that this player could play."
    return f"No chance is given: {seen} snaps so far that this player could play, {least} needed."


def method_words(
    halves: Mapping[int, HalfModel], assumed: Assumptions, notes: Sequence[str] = ()
) -> tuple[str, ...]:
    """Method, assumptions and limits, then what is special about this game."""
    method = (
        "Method: the snaps of a half are a negative binomial count, given those already run. The"
        " plays a player gets of the snaps left are a beta-binomial count at the present share."
    )
    assumptions = (
        f"Assumed: a player's share before any snap is {percent(assumed.share)}, weighted like"
        f" {assumed.share_weight:g} snaps. Plays come in runs (a snap's correlation with the next"
        f" is {assumed.run_correlation:g}), so snaps say less than independent ones would."
    )
    limits = (
        "Limits: the clock is unknown, and halves count as independent. A player who is sent in"
        " more often has a higher chance. Counts entered late make all of it wrong. Overtime is"
        " not forecast."
    )
    first = "A forecast, not a finding: what happens if nothing changes. It disqualifies nobody."
    of_halves = (_half_words(half, model, assumed) for half, model in halves.items())
    return (first, *of_halves, method, assumptions, limits, *notes)


def _half_words(half: int, model: HalfModel, assumed: Assumptions) -> str:
    whole = summary_of(left_of_half(model, 0))
    name = HALF_NAMES[half].capitalize()
    says = f"{name}: about {whole.expected:.0f} snaps (8 times in 10: {whole.low} to {whole.high})"
    prior = f"{assumed.snaps_a_half:g} a half, give or take {assumed.snaps_spread:g}"
    if not model.halves:
        return (
            f"{says}. No game in this division is finished yet; {prior}, is our assumption, not a"
            " published figure."
        )
    return (
        f"{says}, from {model.halves} finished this season in this division, drawn slightly"
        f" toward our assumption ({prior})."
    )
