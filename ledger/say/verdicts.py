"""What decided what a player may do, in the few words that fit beside it on a list.

`weighbook why` says the same in sentences (`ledger.say.why`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from ledger.derive.list_state import Decided, ListState
from ledger.derive.statements import Statement
from ledger.say import codes, procedure
from ledger.say.words import lower_first, upper_first

League = Mapping[str, Any]
Clock = Callable[[str], str]

_ON_TIME = "{} before the weigh-in closes: whole game."
_LATE = {
    "second_half": "{} before the first half ends: second half.",
    "whole_game": "{} before the first half ends: plays from then on.",
    "none": "{} later: does not play.",
}
_TELL = "Tell both sides."
_PLAYS_NOT, _CARRIES_NOT = "does not play", "does not carry the ball"


def may_play(decided: Decided, state: ListState, league: League) -> str:
    """What the player plays; `not_yet` says until when one who `can_come` is weighed."""
    if can_come(decided, state, league):
        return f"Not {_weighed(state)}: does not play yet"
    play = decided.row["may_play"]
    return "Plays second half only" if play == "second_half" else codes.may_play(play)


def can_come(decided: Decided, state: ListState, league: League) -> bool:
    """Whether the player can still be weighed and play.

    A player listed only as injured is not asked to the scale.
    """
    return is_awaited(decided) and not (
        state.is_closed and league["weigh_in"]["late_players"] == "none"
    )


def not_yet(state: ListState, league: League) -> str:
    """Under a list: what holds for players who are still to be weighed."""
    late = _LATE[league["weigh_in"]["late_players"]]
    said = late if state.is_closed else f"{_ON_TIME} {late}"
    return said.replace("{}", upper_first(_weighed(state)))


def ask_first(league: League) -> str:
    """Before what a player plays who is listed as injured and was weighed."""
    return f"Not settled: ask {procedure.first_to_ask(league)} first. If the player may play:"


def is_awaited(decided: Decided) -> bool:
    """Whether the player was not weighed and is still asked to the scale."""
    return decided.may_still_weigh and decided.row["listed"] != ["injured"]


def on_tally(decided: Decided, *, is_excused: bool, alike: int = 1) -> str:
    """What a play counter must know about a player; "" for one who plays the whole game.

    `alike` players of the team have this number.
    """
    play = decided.row["may_play"]
    said = {"full": "", "second_half": "second half only"}.get(play, codes.plays(play))
    if is_awaited(decided):
        said = "not weighed yet"
    excused = "no minimum (excused)" if is_excused else ""
    return "; ".join(filter(None, [go_by_name(decided, alike), said, excused]))


def go_by_name(decided: Decided, alike: int) -> str:
    """ "two No. 65: go by name"; "" for a number that no other player of the team has."""
    many = "two" if alike == 2 else str(alike)
    return f"{many} No. {decided.row['number']}: go by name" if alike > 1 else ""


def reason(decided: Decided, clock: Clock) -> str:
    """Why, without a period: "by the scale"; "weighed late, at 11:50 AM; by the scale"."""
    play, carry = _play(decided, clock), _carry(decided)
    if carry and (decided.play_by == "ruling") != (decided.carry_by == "ruling"):
        carry = f"carrying: {carry}"
        play = f"playing: {play}" if decided.play_by == "ruling" else play
    return "; ".join(dict.fromkeys(filter(None, [play, carry])))


def still_open(
    decided: Decided,
    state: ListState,
    league: League,
    clock: Clock,
    *,
    tape: bool = True,
    on_paper: bool = False,
    is_many: bool = False,
) -> tuple[str, str]:
    """What is open about a player whom no line of the list explains, and what to do.

    `tape`: the helmet has no stripe yet. `on_paper`: lines are added with a pen, and what holds
    meanwhile stands nowhere else. `is_many`: it is said of several players.
    """
    struck = clock(decided.struck_at) if decided.struck_at else ""
    tell = partial(_tell, decided, on_paper=on_paper)
    match decided.open_for:
        case "missing":
            weighed = _weighed(state)
            what = f"neither {weighed} nor listed"
            if struck:
                what = f"struck off at {struck}, but not {weighed}"
            if not decided.may_still_weigh:
                return f"{upper_first(what)}: {_PLAYS_NOT}.", tell(_PLAYS_NOT)
            if on_paper:
                yet = " yet" if can_come(decided, state, league) else ""
                what = f"{'do' if is_many else 'does'} not play{yet}: {what}"
            weigh = "Check in by the book" if state.is_scale_out else "Weigh"
            return (
                f"{upper_first(what)}.",
                f"{weigh}, or list{' again' * bool(struck)} with a reason.",
            )
        case "over":
            over = "Over by the mark in the book" if decided.carry_by == "book" else "Weighed over"
            what = f"{over}, and not listed as over."
            todo = "Add a line."
            if on_paper:
                plays, carries = codes.may_play(decided.row["may_play"]), codes.may_carry("no")
                what = f"{plays}. {carries}: {lower_first(over)}, not listed."
                todo = "Add a line. Both weighmasters initial it."
            return what, f"{todo} Tape the helmet." if tape else todo
        case "undecided":
            undecided = codes.may_carry("undecided")
            what = f"{undecided}: {_carry(decided)}."
            if on_paper:
                plays = codes.may_play(decided.row["may_play"])
                what = f"{plays}. {undecided}: no scale, and no mark in the book."
            return what, f"Ask {procedure.first_to_ask(league)} for a ruling."
        case "ruled" if decided.row["may_play"] == "none":
            return f"Does not play, {_ruled(decided.play_ruling)}.", tell(_PLAYS_NOT)
        case "ruled":
            ruled = _ruled(decided.carry_ruling)
            return f"Does not carry the ball, {ruled}.", tell(_CARRIES_NOT)
        case _:
            return f"Does not play: {_play(decided, clock)}.", tell(_PLAYS_NOT)


def _weighed(state: ListState) -> str:
    """What a player is at the scale, or beside a scale out of use."""
    return "checked in" if state.is_scale_out else "weighed"


def _tell(decided: Decided, what: str, *, on_paper: bool) -> str:
    """ "Tell both sides: No. 11 does not play."; a screen has the number already."""
    number = decided.row["number"]
    if not on_paper or number is None:
        return _TELL
    return f"{_TELL.removesuffix('.')}: No. {number} {what}."


def _play(decided: Decided, clock: Clock) -> str:
    presented, half = decided.presented, decided.half_ended
    match decided.play_by:
        case "ruling":
            return _ruled(decided.play_ruling)
        case "late" | "after_half":
            assert presented is not None
            late = f"weighed late, at {clock(presented.happened)}"
            if decided.play_by == "after_half":
                assert half is not None
                late += f", after the first half ended at {clock(half.happened)}"
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
