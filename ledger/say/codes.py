"""The words for every code in answers and statements, each worded once.

A phrase fits inside a sentence. Use `words.upper_first` to begin a line with it, and the functions
here for its other verbs. An unknown code raises ReportError. No words speak of a child's body.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.errors import ReportError
from ledger.record.authority import role_name
from ledger.say.words import join, upper_first


class Codes(dict[Any, str]):
    """The phrase for each code of one kind; `what` names the kind."""

    def __init__(
        self, what: str, numbered: Mapping[Any, str] | None = None, /, **named: str
    ) -> None:
        super().__init__(numbered or named)
        self.what = what

    def __missing__(self, code: object) -> str:
        known = ", ".join(map(str, self))
        raise ReportError(f"unknown {self.what}: {code!r}", hint=f"Codes here are: {known}.")


REASONS = Codes(
    "reason of a listing",
    over="as over the carrier limit",
    absent="as absent",
    injured="as injured",
    equipment="for incomplete gear",
    other="for another reason",
)
VALUES = Codes("result of a weigh", ok="not over the carrier limit", over="over the carrier limit")
_MARKS = Codes("result of a weigh", ok="ok", over="over", no_scale="no usable scale")
_PLAYS = Codes(
    "value of may_play", full="the whole game", second_half="the second half only", none=""
)
BASES = Codes(
    "basis",
    none="not weighed",
    declared="declared by the player’s own team",
    scale="by the scale",
    late_scale="by the scale, weighed late",
    book="by the book, scale out of use",
    ruling="by a ruling",
)
_TOO_LATE = "weighed too late"
"""The scale says who carries; it is not why a player who came too late does not play."""
RULINGS = Codes("value of a ruling", upheld="upheld", denied="denied", decided="decided otherwise")
HOW_SIGNED = Codes(
    "way to sign",
    key="signed with a key",
    device="signed on their own phone",
    ink="signed in ink, scan kept",
    sheet="signed on the sheet",
)
HALVES = Codes("half", {1: "the first half", 2: "the second half", 3: "overtime"})
CASES = Codes(
    "reason of a case",
    roster="the roster",
    weigh="the weigh-in",
    plays="plays",
    safety="safety",
    protest="a protest",
    other="something else",
)
EXCUSES = Codes(
    "reason of an excuse",
    injured="hurt",
    discipline="discipline",
    left="left",
    other="another reason",
)
CONCERNS = Codes(
    "concern",
    mouth_guard="mouth guard",
    chin_strap="chin strap",
    helmet="helmet",
    cleats="cleats",
    equipment="equipment",
    coach_near_scale="a coach near the scale",
    conduct="conduct",
    other="something else",
)
STATUSES = Codes(
    "status of plays",
    met="met",
    short="short",
    excused="excused from the minimum",
    uncounted="plays not counted",
    not_required="no plays due",
)
REVIEWERS = Codes(
    "standing of a reviewer",
    ruled="ruled",
    heard="took part, no ruling",
    referred="has the case, no answer yet",
    skipped="passed over",
    not_yet="not asked",
)
PASSED_ON = "passed it on"
STATEMENTS = Codes(
    "standing of a statement",
    stands="",
    withdrawn="withdrawn",
    crossed_off="crossed off",
    not_counted="does not count",
    no_authority="not by a reviewer of this case",
    replaced="replaced by a later ruling",
)
SIGNATURES = Codes(
    "state of a signature",
    stands="signed, no changes since",
    late_arrivals="signed; late arrivals since",
    changed="changed after signing",
    other="signed a different list",
)
OPEN = Codes(
    "finding that a signature names",
    noncarrier_not_listed="not listed as over",
    carrier_undecided="carrying not decided",
    unaccounted="neither weighed nor listed",
    listed_over_weighed_ok="listed as over but weighed ok",
    not_struck_off="listed as absent or for gear but weighed",
    injured_but_weighed="listed as injured but weighed",
    noncarrier_not_striped="no stripe",
    carrier_striped="a stripe too many",
)
OPEN_SEASON = Codes(
    "what is open in a season",
    case_open="cases",
    game_not_weighed="games not weighed",
    carrier_undecided="carrying not decided",
    list_not_countersigned="signatures missing",
    plays_not_counted="plays not counted",
)
DUE = Codes("moment that a step is due", kickoff="kickoff", end="the end of the game")
VERDICTS = Codes(
    "verdict on a paper",
    same="the same, byte for byte",
    same_signed="the same, with a signature added",
    differs="different",
    not_comparable="cannot be compared",
    other_versions="made by other versions; pages not compared",
)


def reason_alone(code: str) -> str:
    """The reason without its preposition: "incomplete gear"."""
    return REASONS[code].partition(" ")[2]


def reason(code: str) -> str:
    """The reason at the start of a line: "Incomplete gear"."""
    return upper_first(reason_alone(code))


def weigh_mark(code: str) -> str:
    """The result of a weigh as the book and the list mark it: "ok", "over"."""
    return _MARKS[code]


def plays(code: str, verb: str = "plays", negated: str = "does not play") -> str:
    """What a player plays: "plays the second half only", "would not have played"."""
    return f"{verb} {_PLAYS[code]}" if _PLAYS[code] else negated


def carries(
    code: str, verb: str = "may carry", negated: str = "does not carry", undecided: str = "is not"
) -> str:
    """Whether a player carries: "may carry the ball", "carrying is not decided"."""
    return Codes(
        "value of may_carry",
        yes=f"{verb} the ball",
        no=f"{negated} the ball",
        undecided=f"carrying {undecided} decided",
    )[code]


def both(play: str, carry: str, played: str, carried: str) -> str:
    """Join what a player plays with whether the player carries; leave out the second for no play.

    `play` and `carry` are the codes, `played` and `carried` their phrases.
    """
    if play == "none":
        return played
    return played + {"yes": " and ", "no": " but "}.get(carry, ", but ") + carried


def row(answer: Mapping[str, Any], *, with_basis: bool = False, ruled_in: str = "") -> str:
    """A row of eligibility: "plays the whole game and may carry the ball; listed as absent".

    `ruled_in` names the cases behind a ruling.
    """
    play, carry = answer["may_play"], answer["may_carry"]
    rights = both(play, carry, plays(play), carries(carry))
    basis = BASES[answer["basis"]] if with_basis else ""
    if basis and (play, answer["basis"]) == ("none", "late_scale"):
        basis = _TOO_LATE
    if basis and ruled_in and answer["basis"] == "ruling":
        basis += f" in {ruled_in}"
    return "; ".join(filter(None, [rights, basis, listed(answer["listed"])]))


def may_play(code: str) -> str:
    return upper_first(plays(code))


def may_carry(code: str) -> str:
    return upper_first(carries(code))


def case_heading(code: str) -> str:
    """What a case is about, at the start of a line: "Weigh-in"."""
    return upper_first(CASES[code].removeprefix("the ").removeprefix("a "))


def basis(code: str) -> str:
    """What decided may_carry."""
    return BASES[code]


def how_signed(code: str) -> str:
    """The way to sign, at the start of a line."""
    return upper_first(HOW_SIGNED[code])


def listed(reasons: Sequence[str]) -> str:
    """ "listed as absent and for incomplete gear"; "" without reasons."""
    return f"listed {join([REASONS[one] for one in reasons])}" if reasons else ""


def role_held(role: str, team: str | None = None, game: str | None = None) -> str:
    """A role with its team and game: "weighmaster of newts in acorn-1a"."""
    return role_name(role) + (f" of {team}" if team else "") + (f" in {game}" if game else "")
