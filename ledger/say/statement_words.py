"""One statement in words: what it says, when, and by whom. Children go by number and id."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.derive.statements import Role, Statement
from ledger.record.authority import AT_THE_TABLE
from ledger.say import words
from ledger.say.rule_words import ROLES, join

NameOf = Callable[[str], str]

LISTED = {
    "over": "over the limit",
    "absent": "absent",
    "injured": "injured",
    "equipment": "gear not complete",
    "other": "another reason",
}
NO_AUTHORITY = " (appointed without authority)"
VALUES = {"ok": "not over the limit", "over": "over the limit"}
PLAYS = {
    "full": "plays the whole game",
    "second_half": "plays in the second half",
    "none": "does not play",
}
CARRIES = {"yes": "may carry the ball", "no": "does not carry the ball"}
_HALVES = {1: "first half", 2: "second half", 3: "overtime"}
_RULINGS = {"upheld": "upheld", "denied": "denied", "decided": "decided"}
_CASES = {
    "roster": "the roster",
    "weigh": "the weigh-in",
    "plays": "plays",
    "safety": "safety",
    "protest": "a protest",
    "other": "something else",
}


def what(statement: Statement, zone: str) -> str:
    """What the statement says, as a short sentence without its stop."""
    says = statement.says
    match statement.kind:
        case "weigh" | "late_weigh":
            return _weigh(statement)
        case "initial":
            value, initials = VALUES[says["value"]], says["initials"]
            return f"Marked in the book in {statement.game}: {value}, initials {initials}"
        case "list":
            return f"Put on the list: {LISTED[says['reason']]}"
        case "strike_off":
            if "reason" in says:
                return f"Crossed off the list: {LISTED[says['reason']]}"
            # It tells no fault of the player's gear (contract 2: absent and equipment).
            return "Crossed off the list, where absent or for gear"
        case "ruling":
            return _ruling(says)
        case "case_open":
            return f"Case {says['case_id']} opened, about {_CASES[says['reason']]}"
        case "half":
            return f"The {_HALVES[says['half']]} ended"
        case "plays":
            return f"Plays in the {_HALVES[says['half']]} so far: {says['count']}"
        case "withdraw":
            return f"Withdrawn: {says['target_id']}"
        case "roster_add" | "enter_player":
            number = f", number {says['number']}" if "number" in says else ""
            new = "A new player" if statement.kind == "enter_player" else "The player"
            return f"{new} on the roster of {statement.team}{number}" if statement.team else new
        case "appoint":
            given = Role(says["to_role"], statement.team, statement.game)
            return f"Appointed {says['value']}: {role(given)}"
        case "trained":
            return f"{says['value']} was trained as a weighmaster"
        case "assign":
            return f"{says['value']} is to stand at the scale for {statement.team}"
        case "number_change":
            return f"New number for {statement.team}: {says['number']}"
        case "game_change":
            moved = [words.local_time(says["kickoff_at"], zone)] if "kickoff_at" in says else []
            return f"Game moved: {join([*moved, *([says['site']] if 'site' in says else [])])}"
        case _:
            return _PLAIN[statement.kind]


_PLAIN = {
    "stripe": "The helmet was striped",
    "close": "The team's weigh-in was closed",
    "scale_out": "The scale was out of use",
    "roster_drop": "The player off the roster",
    "game_off": "The game was called off",
    "season_close": "The season was closed",
}


def _weigh(statement: Statement) -> str:
    late = statement.kind == "late_weigh"
    value = statement.says["value"]
    if value == "no_scale":
        return f"Came to the scale{' late' if late else ''}; it could not be used"
    return f"Weighed{' late' if late else ''}: {VALUES[value]}"


def _ruling(says: dict[str, Any]) -> str:
    given = [PLAYS[says["may_play"]]] if "may_play" in says else []
    given += [CARRIES[says["may_carry"]]] if "may_carry" in says else []
    what_of_it = f"; the player {join(given)}" if given else ""
    return f"Ruling in case {says['case_id']}: {_RULINGS[says['value']]}{what_of_it}"


def content(statement: Statement, zone: str, name_of: NameOf) -> dict[str, Any]:
    """The statement for JSON: what it says in words, its three times in UTC, and by whom."""
    return {
        "event": statement.event,
        "what": what(statement, zone),
        "happened": statement.happened,
        "entered": statement.entered,
        "recorded": statement.recorded,
        "is_loaded": statement.is_loaded,
        "is_late": statement.is_late,
        "is_behind": statement.is_behind,
        "is_role_later": statement.is_role_later,
        "by": {
            "official": statement.by,
            "name": name_of(statement.by),
            "roles": [role(one) for one in statement.roles],
        },
    }


def when(statement: Mapping[str, Any], zone: str, *, recorded_too: bool = True) -> str:
    """The times of a `content`: happened, written down, and recorded by the ledger's clock."""
    happened, written, recorded = (
        words.local_time(statement[key], zone) for key in ("happened", "entered", "recorded")
    )
    told = f"Happened {happened}; written {'then' if written == happened else written}"
    return told + f"; recorded {'then' if recorded == written else recorded}" * recorded_too


def lateness(statement: Mapping[str, Any]) -> str:
    """What to mark about when it was recorded; "" where that is as usual.

    `statement` is a `content`, or the fields of a Statement. A season typed in on Monday from
    signed paper is usual, and is told once for all its statements.
    """
    marks = ["recorded after a signature, dated before it"] * statement["is_behind"]
    if statement["is_late"] and not (statement["is_loaded"] or statement["is_behind"]):
        marks.append("recorded late")
    if statement["is_role_later"]:
        marks.append("the ledger came to know the role only after this ruling")
    return "; ".join(marks)


def recorded_together(statements: Sequence[Mapping[str, Any]], zone: str) -> str:
    """Where these `content`s all came from day files at once and late: that, in one sentence."""
    moments = {words.local_time(one["recorded"], zone) for one in statements}
    usual = all(one["is_loaded"] and not one["is_behind"] for one in statements)
    if len(moments) != 1 or not usual or not any(one["is_late"] for one in statements):
        return ""
    return f"Typed in from paper: the ledger recorded all of this {moments.pop()}."


def exact_time(utc: str, zone: str) -> str:
    """Local time with its seconds, where it is not a full minute: `…, 8:33:30 AM CDT`."""
    seconds = utc[17:23].removesuffix(".000")
    text = words.local_time(utc, zone)
    if seconds == "00":
        return text
    minutes = utc[13:16]
    return text.replace(f"{minutes} ", f"{minutes}:{seconds} ")


def appointed(statement: Statement, *, has_authority: bool) -> str:
    """Whether an appointment gives authority, and who to ask where it does not."""
    to, value, by = statement.says["to_role"], statement.says["value"], statement.by
    if has_authority:
        only = f", for {statement.game} only" if statement.game else ""
        given = role(Role(to, statement.team))
        return f"Appointed as {given}{only}. This appointment gives authority."
    named = ROLES[to]
    article = "an" if named[0] in "aeiou" else "a"
    why = f"{by} may not appoint {article} {named}"
    if by == value:
        why = "officials do not appoint themselves"
    ask = "the registrar or a president"
    if to in AT_THE_TABLE:
        ask = "the registrar, a president, a board member or the site official"
    return f"This appointment gives no authority: {why}. Ask {ask}."


def role(one: Role) -> str:
    """ "weighmaster of newts in acorn-1a (appointed without authority)", as far as it is so."""
    team = f" of {one.team}" if one.team else ""
    game = f" in {one.game}" if one.game else ""
    return f"{ROLES[one.role]}{team}{game}" + ("" if one.has_authority else NO_AUTHORITY)
