"""What would have changed an answer: one sentence for each way, the closest first."""

from __future__ import annotations

from ledger.derive.why import Why
from ledger.derive.why_facts import Right
from ledger.record.authority import role_name
from ledger.say import codes
from ledger.say.clock import local_clock
from ledger.say.words import join


def would_change(why: Why, zone: str) -> list[str]:
    """The sentences; never empty, because a ruling always could change it or has done so."""
    lines = [] if why.play_ruling else _play(why, zone)
    if why.right.may_play != "none" and not why.carry_ruling:
        lines += _carry(why)
    if why.play_ruling or why.carry_ruling:
        lines.append(f"Without the ruling, the player {_would(why.by_rules)}.")
    for undone in why.undone:
        entry = f"If the entry withdrawn{_at(undone.withdrawal.happened, zone)} had counted"
        same = undone.without == why.right
        then = "nothing would be different" if same else f"the player {_would(undone.without)}"
        lines.append(f"{entry}, {then}.")
    if not (why.play_ruling or why.carry_ruling):
        lines.append(f"A ruling by {_reviewers(why)} would count instead.")
    return lines


def _play(why: Why, zone: str) -> list[str]:
    late = why.league["weigh_in"]["late_players"]
    closed = _at(why.closed.happened if why.closed else None, zone)
    ended = _at(why.half_ended.happened if why.half_ended else None, zone)
    in_time = f"If weighed before the weigh-in closed{closed}, the player {_played('full')}."
    after = f"If weighed after the first half ended{ended}, the player {_played('none')}."
    then = _played("second_half") if late == "second_half" else "would have played from then on"
    before = f"If weighed before the first half ended{ended}, the player {then}."
    match why.play_by:
        case "nobody_yet":
            return ["A weigh decides it."]
        case "listed" if "injured" in why.listed:
            return ["Once the player is well and crossed off the list, a weigh decides."]
        case "listed" | "not_weighed":
            return [in_time] if late == "none" else [in_time, before]
        case "after_half":
            return [in_time if late == "none" else before]
        case "late":
            return {"none": [in_time], "whole_game": [after]}.get(late, [in_time, after])
        case _:
            return []


_CARRY = {
    "book": "A weigh on a working scale would have counted instead of the book.",
    "undecided": "A weigh on a working scale would have decided it.",
    "declared": "If weighed and not over the limit, the player could have carried the ball.",
}


def _carry(why: Why) -> list[str]:
    attempts = why.league["weigh_in"]["attempts"]
    made = sum(statement.says["value"] != "no_scale" for statement in why.weighs)
    match why.carry_by:
        case "scale" if why.right.may_carry == "yes":
            without = _would(Right(why.right.may_play, "no"))
            return [f"With a weigh over the limit, the player {without}."]
        case "scale" if made < attempts:
            return [
                "If not over the limit on a second weigh, the player could have carried the ball."
            ]
        case "scale":
            another = "Another" if made > 1 else "A second"
            counted = "the first one counts" if attempts == 1 else "two are allowed"
            return [f"{another} weigh would not have changed it: in this league {counted}."]
        case other:
            return [_CARRY[other]] if other in _CARRY else []


def _played(play: str) -> str:
    return codes.plays(play, "would have played", "would not have played")


def _would(right: Right) -> str:
    carry = right.may_carry
    carried = codes.carries(carry, "could have carried", "could not have carried", "would not be")
    return codes.both(right.may_play, carry, _played(right.may_play), carried)


def _reviewers(why: Why) -> str:
    kind = "other" if why.is_on_roster else "roster"
    return join([f"the {role_name(role)}" for role in why.league["reviews"][kind]], "or")


def _at(utc: str | None, zone: str) -> str:
    return f" at {local_clock(utc, zone)}" if utc else ""
