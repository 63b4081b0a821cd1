"""What the forecast of the minimum-plays rule answers, and its words.

A row says in words what its numbers say, and why where there is no number. The words name a number
or an id, never a name, and judge nobody.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Literal

from ledger.derive.snaps_left import Assumptions, HalfModel, left_of_half, summary_of

MayPlay = Literal["full", "second_half"]

HALF_NAMES = {1: "first half", 2: "second half"}

UNCOUNTED = "No plays are counted for this team in this game."
NOT_BEGUN = "No snap is stated for this game and its first half has not ended."
NOTHING_KNOWN = "No snaps are stated, neither for this game nor for an earlier one of the division."
ENDED = "The second half has ended; overtime is not forecast."
BEHIND = (
    "A stated count of snaps is below a player's plays in that half: those plays are taken as the"
    " least number of snaps."
)
TAKEN_AS_NOT_BEGUN = "No snap of the second half is stated: it is taken as not begun."
OVERTIME = "Overtime is under way, and it is not forecast."


@dataclass(frozen=True)
class PlayerForecast:
    """One player who is short, or whose team has no count (then still_due is None).

    expected_left, left_low, left_high: snaps left and their 80 % interval; None where not known.
    share_needed: still_due / expected_left; over 1 where more are due than are expected.
    plays_seen of snaps_seen: the present share, over the halves whose snaps are stated.
    chance: 0 to 1; or None, and `reason` says why (else it is "").
    """

    team: str
    player: str
    number: int | None
    may_play: MayPlay
    required: int
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
        """The row for programs, with its share and its words; four digits behind the point."""
        shown = asdict(self) | {"present_share": self.present_share, "words": self.words}
        return {key: round(v, 4) if isinstance(v, float) else v for key, v in shown.items()}

    @property
    def present_share(self) -> float | None:
        """As counted; None before the first snap that the player could play."""
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
            return f"{left} More are due than that."
        return f"{left} Needed of them: {percent(self.share_needed)}."

    def _chance(self) -> str:
        if self.chance is None:
            return self.reason
        share = percent(self.plays_seen / self.snaps_seen)
        seen = f"In so far on {self.plays_seen} of {self.snaps_seen} snaps ({share})."
        return f"{seen} Chance to get the plays due at that share: {percent(self.chance)}."


@dataclass(frozen=True)
class GameForecast:
    """The players, late ones first, and the paragraphs that belong beside their numbers."""

    players: tuple[PlayerForecast, ...]
    method: tuple[str, ...]


def percent(share: float) -> str:
    """Whole percent; never 0 % or 100 % for what is only nearly so."""
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    return f"{100 * share:.0f} %"


def no_snaps_of(half: int) -> str:
    """Plays are counted, snaps are not: how much of the half is gone is unknown."""
    return f"Plays of the {HALF_NAMES[half]} are counted and its snaps are not."


def too_few(seen: int, least: int) -> str:
    """A share of so few snaps says too little."""
    if not seen:
        return f"No chance is given before {least} snaps are stated that this player could play."
    return f"No chance is given on {seen} of at least {least} snaps that this player could play."


def method_words(
    halves: Mapping[int, HalfModel], assumed: Assumptions, notes: Sequence[str] = ()
) -> tuple[str, ...]:
    """Method, assumptions and limits; then what else the reader must know of this game."""
    lines = [
        "A forecast, not a finding: what comes of it if nothing changes. It disqualifies nobody."
    ]
    lines += [_half_words(half, model, assumed) for half, model in halves.items()]
    lines.append(
        "Method: the snaps of a half are a negative binomial count, given those already run; the"
        " plays a player gets of the snaps left are a beta-binomial count at the present share."
    )
    lines.append(
        f"Assumed: before any snap a player's share is {percent(assumed.share)}, and that weighs as"
        f" much as {assumed.share_weight:g} snaps; plays come in runs (the correlation of a snap"
        f" with the next is {assumed.run_correlation:g}), so that snaps tell less than as many."
    )
    lines.append(
        "Limits: the clock is not known; halves are taken as independent; a player who is sent in"
        " more often has a higher chance; counts that are stated late make all of it wrong;"
        " overtime is not forecast."
    )
    return (*lines, *notes)


def _half_words(half: int, model: HalfModel, assumed: Assumptions) -> str:
    whole = summary_of(left_of_half(model, 0))
    says = f"about {whole.expected:.0f} snaps (8 times in 10: {whole.low} to {whole.high})"
    prior = f"{assumed.snaps_a_half:g} a half, give or take {assumed.snaps_spread:g}"
    name = HALF_NAMES[half].capitalize()
    if not model.halves:
        return (
            f"{name}: {says}. None of this division's is finished this season; {prior}, is an"
            " assumption of ours, not a published figure."
        )
    return (
        f"{name}: {says}, from {model.halves} finished this season in this division, drawn a little"
        f" towards an assumption of ours ({prior})."
    )
