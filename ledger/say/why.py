"""A `Why` in short, plain, factual sentences, for a tired parent and for a reviewer.

It names a child by team and number only, and repeats only what people wrote down: not over the
limit, over the limit, absent, injured.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.derive.statements import Statement
from ledger.derive.why import Why
from ledger.record.authority import role_name
from ledger.say import codes, procedure, signing, since_signed, stated
from ledger.say.clock import exact_time, local_clock, local_day
from ledger.say.lines import Line
from ledger.say.stated import NameOf, statement_lines
from ledger.say.tense import NOW, Tense
from ledger.say.would_change import would_change

_SAID_BY_RULING = ("ruling", "not_playing")
CAUTION = "It shows what people wrote down. People decide; the ledger disqualifies nobody."


def who(why: Why) -> str:
    """ "Number 14 of Glimmerfen Newts", or by id without a number."""
    number = f"Number {why.number}" if why.number is not None else f"Player {why.player}"
    return f"{number} of {why.team_name}"


def title(why: Why) -> str:
    """ "acorn-2a, newts 14 (k499)"; without a number "acorn-2a, newts (k499)"."""
    number = "" if why.number is None else f" {why.number}"
    return f"{why.game}, {why.team}{number} ({why.player})"


def sentence(why: Why, zone: str, tense: Tense = NOW) -> str:
    """The answer and its reason in one sentence; in the `tense` of the game."""
    subject = who(why)
    if why.play_by == "nobody_yet":
        return f"{subject}: {tense.nobody}."
    if not why.is_on_roster:
        subject += f", {tense.off_roster},"
    play, carry = why.right.may_play, why.right.may_carry
    result = codes.both(play, carry, tense.plays(play), tense.carries_too(carry))
    if play == "none" and tense.is_past:
        result += " in this game"
    elif play == "none":
        over = why.presented or why.closed or why.half_ended or why.play_ruling
        result = "does not play in this game" if over else "may not play yet"
    reason = _play(why, zone, tense) + _carry(why, zone, tense)
    mistake = "; an entry made by mistake was withdrawn and does not count" if why.undone else ""
    return f"{subject} {result}: {reason}{mistake}."


def is_usual(why: Why) -> bool:
    """Whether `sentence` only says: weighed on time, not over, plays the whole game, may carry."""
    came = why.play_by == "on_time" and not _is_after_close(why) and not why.crossed_off
    went = why.carry_by == "scale" and len(why.weighs) == 1 and not why.undone
    right = (why.right.may_play, why.right.may_carry)
    return came and went and why.is_on_roster and right == ("full", "yes")


def rules(why: Why) -> list[str]:
    """The rules that decided, in the words of `weighbook rules`."""
    league = why.league
    by_play = {
        "ruling": procedure.RULING,
        "on_time": procedure.ON_TIME,
        "late": procedure.late_players(league),
        "after_half": procedure.late_players(league),
        "declared": procedure.declared_over(league),
    }
    by_carry = {
        "ruling": [procedure.RULING],
        "scale": [procedure.attempts(league), procedure.CARRIES],
        "book": [procedure.BOOK],
        "undecided": [procedure.BOOK, procedure.NO_MARK],
    }
    play = by_play.get(why.play_by, procedure.not_weighed(league))
    return list(dict.fromkeys([play, *by_carry.get(why.carry_by, ())]))


def shown_as_of(why: Why, zone: str) -> str:
    """The part of the ledger that is shown."""
    shown = [("people had written down", why.as_of), ("the ledger had recorded", why.known_at)]
    parts = [f"{what} by {exact_time(moment, zone)}" for what, moment in shown if moment]
    return f"This is what {' and '.join(parts)}." if parts else "This is everything in the ledger."


def why_lines(why: Why, name_of: NameOf) -> list[Line]:
    """The whole explanation as text for a screen or a page."""
    content = why_content(why, name_of)
    zone = why.league["time_zone"]
    lines = [Line(title(why)), Line(content["sentence"]), Line(""), Line("Based on")]
    lines += statement_lines(content["rests_on"], zone) or [Line("– No entry.", 2)]
    if content["also"]:
        lines += [Line(""), Line("Also written down"), *statement_lines(content["also"], zone)]
    for heading, texts in (
        ("The rule" if len(content["rules"]) == 1 else "The rules", content["rules"]),
        ("What would have changed it", content["would_change"]),
        ("Findings", [_finding(row) for row in content["findings"]] or ["None."]),
        ("Signatures to the list", [*content["signatures"], *content["since_signed"]]),
    ):
        if texts:
            lines += [Line(""), Line(heading), *(Line(f"– {text}", 2, 4) for text in texts)]
    return [*lines, Line(""), Line(f"{content['shown']} {CAUTION}")]


def why_content(why: Why, name_of: NameOf) -> dict[str, Any]:
    """The whole explanation for JSON; `name_of` gives an official's name by id."""
    zone = why.league["time_zone"]
    since = [
        *since_signed.taken_back(why.taken_back, zone, name_of),
        *since_signed.since(why.signed, zone, name_of, player=why.player),
    ]
    return {
        **{key: getattr(why, key) for key in ("game", "team", "player", "number")},
        "may_play": why.right.may_play,
        "may_carry": why.right.may_carry,
        "basis": why.basis,
        "listed": list(why.listed),
        "as_of": why.as_of,
        "known_at": why.known_at,
        "shown": shown_as_of(why, zone),
        "sentence": sentence(why, zone),
        "rests_on": [stated.content(statement, zone, name_of) for statement in why.rests_on],
        "also": [
            stated.content(one.statement, zone, name_of) | {"standing": one.standing}
            for one in why.also
        ],
        "rules": rules(why),
        "would_change": would_change(why, zone),
        "findings": list(why.findings),
        "signatures": [signing.for_player(one, why.player, zone, name_of) for one in why.signed],
        "since_signed": [" ".join([one.text, *one.statements]) for one in since],
        "caution": CAUTION,
    }


def _finding(row: Mapping[str, Any]) -> str:
    return f"{row['rule'].replace('_', ' ')}: {row['detail']}"


def _play(why: Why, zone: str, tense: Tense) -> str:
    """Why the player may play this much, or not."""
    if why.play_ruling:
        ruled = _ruled(why.play_ruling, why, zone)
        one = why.carry_ruling in (None, why.play_ruling) and why.carry_by in _SAID_BY_RULING
        return (
            f"{ruled} so" if one else f"{ruled} that the player {tense.plays(why.right.may_play)}"
        )
    if why.presented and why.crossed_off:
        listed = codes.listed(why.crossed_off)
        return f"the player was first {listed}, then {_came(why, zone, tense)}"
    return f"the player {_came(why, zone, tense)}"


def _came(why: Why, zone: str, tense: Tense) -> str:
    late = why.league["weigh_in"]["late_players"]
    came = "came" if _came_in_vain(why) else "was weighed"
    match why.play_by:
        case "on_time" if _is_after_close(why):
            return f"was entered as {'present' if _came_in_vain(why) else 'weighed'} on time"
        case "on_time":
            return f"{came} on time"
        case "late" if late == "none":
            return f"{came} late, and in this league a player who is weighed late does not play"
        case "late":
            return f"{came} late{', but before the first half ended' if why.half_ended else ''}"
        case "after_half":
            assert why.presented is not None
            assert why.half_ended is not None
            at = local_clock(why.presented.happened, zone)
            ended = local_clock(why.half_ended.happened, zone)
            return f"{came} at {at}, after the first half ended at {ended}"
        case "declared":
            return tense.declared()
        case "listed":
            return tense.listed(why.listed)
        case _:
            return tense.unlisted


def _is_after_close(why: Why) -> bool:
    """Whether a finding says that this weigh, entered as on time, came after the team's close."""
    found = [row for row in why.findings if row["rule"] == "weighed_after_close"]
    return why.presented is not None and any(why.presented.event in row["events"] for row in found)


def _carry(why: Why, zone: str, tense: Tense) -> str:
    """Why the player may carry or not, continuing `_play`; "" if that said it all."""
    match why.carry_by:
        case "ruling" if why.carry_ruling == why.play_ruling:
            return ""
        case "ruling":
            assert why.carry_ruling is not None
            ruled = _ruled(why.carry_ruling, why, zone)
            return f", and {ruled} that the player {tense.carries(why.right.may_carry)}"
        case "scale":
            simple = why.play_by == "on_time" and not why.crossed_off
            subject = "the player " if why.play_ruling else ""
            later = "when weighed later " if _came_in_vain(why) else ""
            return f"{' and' if simple else ', and'} {subject}{later}{_scale(why)}"
        case "book":
            assert why.mark is not None
            mark = codes.VALUES[why.mark.says["value"]]
            return f", {_no_scale(why)}, so the mark in the book decides: {mark}"
        case "undecided":
            return f", {_no_scale(why)}, and the book has no mark from an earlier game"
        case "not_weighed" if why.play_ruling:
            return f", and the player {tense.unweighed}"
        case _:
            return ""


def _no_scale(why: Why) -> str:
    return f"{'but' if why.play_by == 'on_time' else 'and'} the scale was out of use"


def _came_in_vain(why: Why) -> bool:
    """Whether the player came when there was no usable scale."""
    return why.presented is not None and why.presented.says["value"] == "no_scale"


def _scale(why: Why) -> str:
    assert why.counts is not None
    value = f"was {codes.VALUES[why.counts.says['value']]}"
    on_scale = [statement for statement in why.weighs if statement.says["value"] != "no_scale"]
    if len(on_scale) == 1:
        return value
    if why.league["weigh_in"]["attempts"] == 1:
        return f"{value} on the first weigh, which is the one that counts in this league"
    if why.counts == on_scale[0]:
        return f"{value} on the first weigh"
    return f"{value} on the second weigh, and one such weigh is enough in this league"


def _ruled(statement: Statement, why: Why, zone: str) -> str:
    """ "on Oct 5 the head official ruled"; of several roles, the one that reviews."""
    lists = (roles for roles in why.league["reviews"].values() if isinstance(roles, list))
    reviewing = {role for roles in lists for role in roles}
    held = [one.role for one in statement.roles if one.has_authority]
    role = next((role for role in held if role in reviewing), held[0])
    day = local_day(statement.happened, zone).split(", ")[0]
    return f"on {day} the {role_name(role)} ruled"
