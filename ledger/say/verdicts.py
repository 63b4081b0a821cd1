"""What decided what a player may do, in the few words that fit beside it on a list.

`weighbook why` says the same in sentences (`ledger.say.why`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.derive.list_state import Decided, ListState
from ledger.derive.statements import Statement
from ledger.say import codes, procedure
from ledger.say.clock import local_clock

League = Mapping[str, Any]

_WEIGHED_BEFORE = {
    "second_half": "the first half ends",
    "whole_game": "the first half ends",
    "none": "the weigh-in closes",
}
_TELL = "Tell both sides."


def may_play(decided: Decided, state: ListState, league: League) -> str:
    """What the player plays; for one who can still be weighed, until when.

    A player listed only as injured is not asked to the scale.
    """
    late = league["weigh_in"]["late_players"]
    can_come = decided.may_still_weigh and decided.row["listed"] != ["injured"]
    if can_come and not (late == "none" and state.is_closed):
        return f"Does not play unless weighed before {_WEIGHED_BEFORE[late]}"
    return codes.may_play(decided.row["may_play"])


def on_tally(decided: Decided, *, is_excused: bool) -> str:
    """What a play counter must know about a player; "" for one who plays the whole game."""
    play = decided.row["may_play"]
    said = {"full": "", "second_half": "second half only"}.get(play, codes.plays(play))
    if decided.may_still_weigh and decided.row["listed"] != ["injured"]:
        said = "not weighed yet"
    return "; ".join(filter(None, [said, "no minimum (excused)" if is_excused else ""]))


def reason(decided: Decided, zone: str) -> str:
    """Why, without a period: "by the scale"; "weighed late, at 11:50 AM CDT; by the scale"."""
    play, carry = _play(decided, zone), _carry(decided)
    if carry and (decided.play_by == "ruling") != (decided.carry_by == "ruling"):
        carry = f"carrying: {carry}"
        play = f"playing: {play}" if decided.play_by == "ruling" else play
    return "; ".join(dict.fromkeys(filter(None, [play, carry])))


def still_open(decided: Decided, league: League, zone: str) -> tuple[str, str]:
    """What is open about a player whom no line of the list explains, and what to do."""
    match decided.open_for:
        case "missing" if not decided.may_still_weigh:
            return "Neither weighed nor listed: does not play.", _TELL
        case "missing":
            return "Neither weighed nor listed.", "Weigh, or list with a reason."
        case "over":
            over = "Over by the mark in the book" if decided.carry_by == "book" else "Weighed over"
            return f"{over}, and not listed as over.", "Add a line. Tape the helmet."
        case "undecided":
            ask = procedure.reviewers(league, "other").partition(",")[0]
            return f"Carrying is not decided: {_carry(decided)}.", f"Ask {ask} for a ruling."
        case "ruled" if decided.row["may_play"] == "none":
            return f"Does not play, {_ruled(decided.play_ruling)}.", _TELL
        case "ruled":
            return f"Does not carry the ball, {_ruled(decided.carry_ruling)}.", _TELL
        case _:
            return f"Does not play: {_play(decided, zone)}.", _TELL


def _play(decided: Decided, zone: str) -> str:
    presented, half = decided.presented, decided.half_ended
    match decided.play_by:
        case "ruling":
            return _ruled(decided.play_ruling)
        case "late" | "after_half":
            assert presented is not None
            late = f"weighed late, at {local_clock(presented.happened, zone)}"
            if decided.play_by == "after_half":
                assert half is not None
                late += f", after the first half ended at {local_clock(half.happened, zone)}"
            return late
        case "declared":
            return codes.BASES["declared"]
        case "listed" | "not_weighed" | "nobody_yet":
            return codes.BASES["none"]
        case _:
            return ""


def _carry(decided: Decided) -> str:
    match decided.carry_by:
        case "ruling":
            return _ruled(decided.carry_ruling)
        case "scale":
            return codes.BASES["scale"]
        case "book":
            return codes.BASES["book"]
        case "undecided":
            return "no usable scale, and no mark in the book from an earlier game"
        case _:
            return ""


def _ruled(statement: Statement | None) -> str:
    assert statement is not None
    return f"by a ruling in case {statement.says['case_id']}"
