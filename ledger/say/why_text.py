"""A `Why` in plain sentences, for a tired parent and for a reviewer: short, factual, no codes.

The sentence names a child by team and number only, and says no more of a child than what was
written down: not over the limit, over the limit, absent, injured.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.derive.statements import Statement
from ledger.derive.why import Why
from ledger.say import rule_words, signature_words, statement_words, words
from ledger.say.rule_words import join
from ledger.say.statement_lines import Line, statement_lines
from ledger.say.statement_words import NameOf
from ledger.say.why_changes import would_change

_RESULTS = {
    "full": "may play the whole game",
    "second_half": "may play in the second half",
    "none": "does not play in this game",
}
_WITH_BALL = {
    "yes": " and may carry the ball",
    "no": " but does not carry the ball",
    "undecided": ", and whether the player may carry the ball is not decided",
}
_RULED = {
    "full": "the player may play the whole game",
    "second_half": "the player may play in the second half",
    "none": "the player does not play",
    "yes": "the player may carry the ball",
    "no": "the player does not carry the ball",
}
_NOT_YET = "may not play yet"
_LISTED = {
    "over": "is listed as over the limit",
    "absent": "is listed as absent",
    "injured": "is listed as injured",
    "equipment": "is listed with gear that is not complete",
    "other": "is on the list for another reason",
}
_WAS_LISTED = {key: text.removeprefix("is ") for key, text in _LISTED.items()}
_CARRIER = {"ok": "not over the ball-carrier limit", "over": "over the ball-carrier limit"}
_SAID_BY_RULING = ("ruling", "not_playing")
CAUTION = "This shows what was written down. People decide; the ledger disqualifies nobody."


def who(why: Why) -> str:
    """ "Number 14 of Glimmerfen Newts"; by id where there is no number."""
    number = f"Number {why.number}" if why.number is not None else f"Player {why.player}"
    return f"{number} of {why.team_name}"


def title(why: Why) -> str:
    """ "acorn-2a, newts 14 (k499)"; without a number "acorn-2a, newts (k499)"."""
    number = "" if why.number is None else f" {why.number}"
    return f"{why.game}, {why.team}{number} ({why.player})"


def sentence(why: Why, zone: str) -> str:
    """The answer and its reason in one sentence."""
    subject = who(why)
    if why.play_by == "nobody_yet":
        return f"{subject}: nobody of the team has been weighed yet, so nothing is decided."
    if not why.is_on_roster:
        subject += ", who is not on the team's roster for this game,"
    if why.right.may_play != "none":
        result = _RESULTS[why.right.may_play] + _WITH_BALL[why.right.may_carry]
    else:
        over = why.presented or why.closed or why.half_ended or why.play_ruling
        result = _RESULTS["none"] if over else _NOT_YET
    reason = _play(why, zone) + _carry(why, zone)
    mistake = "; an entry made by mistake was withdrawn and does not count" if why.undone else ""
    return f"{subject} {result}: {reason}{mistake}."


def rules(why: Why) -> list[str]:
    """The rules that decided, in the words of `weighbook rules`."""
    league = why.league
    by_play = {
        "ruling": rule_words.RULING,
        "on_time": rule_words.ON_TIME,
        "late": rule_words.late_players(league),
        "after_half": rule_words.late_players(league),
        "declared": rule_words.declared_over(league),
    }
    lines = [by_play.get(why.play_by, rule_words.not_weighed(league))]
    if why.carry_by == "ruling":
        lines.append(rule_words.RULING)
    elif why.carry_by == "scale":
        lines += [rule_words.attempts(league), rule_words.CARRIES]
    elif why.carry_by == "book":
        lines.append(rule_words.BOOK)
    elif why.carry_by == "undecided":
        lines += [rule_words.BOOK, rule_words.NO_MARK]
    return list(dict.fromkeys(lines))


def shown_as_of(why: Why, zone: str) -> str:
    """Which state of the ledger is shown."""
    parts = []
    if why.as_of:
        parts.append(f"had been entered by {statement_words.exact_time(why.as_of, zone)}")
    if why.known_at:
        parts.append(f"the ledger had recorded by {statement_words.exact_time(why.known_at, zone)}")
    return f"Shown is what {' and '.join(parts)}." if parts else "Shown is all the ledger holds."


def why_lines(why: Why, name_of: NameOf) -> list[Line]:
    """Everything, as text for a screen or a page."""
    content = why_content(why, name_of)
    zone = why.league["time_zone"]
    lines = [Line(title(why)), Line(content["sentence"]), Line(""), Line("It rests on")]
    lines += statement_lines(content["rests_on"], zone) or [Line("– nothing that was stated", 2)]
    if content["also"]:
        lines += [Line(""), Line("Also written down")]
        lines += statement_lines(content["also"], zone)
    for heading, texts in (
        ("The rule" if len(content["rules"]) == 1 else "The rules", content["rules"]),
        ("What would have changed it", content["would_change"]),
        ("Findings about it", [_finding(row) for row in content["findings"]] or ["None."]),
    ):
        lines += [Line(""), Line(heading), *(Line(f"– {text}", 2, 4) for text in texts)]
    if content["signatures"] or content["since_signed"]:
        lines += [Line(""), Line("Signatures to the list, and this player")]
        texts = [*content["signatures"], *content["since_signed"]]
        lines += [Line(f"– {text}", 2, 4) for text in texts]
    return [*lines, Line(""), Line(f"{content['shown']} {CAUTION}")]


def why_content(why: Why, name_of: NameOf) -> dict[str, Any]:
    """Everything, for JSON; `name_of` gives an official's name by id."""
    zone = why.league["time_zone"]
    return {
        "game": why.game,
        "team": why.team,
        "player": why.player,
        "number": why.number,
        "may_play": why.right.may_play,
        "may_carry": why.right.may_carry,
        "basis": why.basis,
        "listed": list(why.listed),
        "as_of": why.as_of,
        "known_at": why.known_at,
        "shown": shown_as_of(why, zone),
        "sentence": sentence(why, zone),
        "rests_on": [
            statement_words.content(statement, zone, name_of) for statement in why.rests_on
        ],
        "also": [
            statement_words.content(one.statement, zone, name_of) | {"standing": one.standing}
            for one in why.also
        ],
        "rules": rules(why),
        "would_change": would_change(why, zone),
        "findings": list(why.findings),
        "signatures": [
            signature_words.for_player(one, why.player, zone, name_of) for one in why.signed
        ],
        "since_signed": [
            " ".join([one.text, *one.statements])
            for one in (
                *signature_words.taken_back(why.taken_back, zone, name_of),
                *signature_words.since(why.signed, zone, name_of, player=why.player),
            )
        ],
        "caution": CAUTION,
    }


def _finding(row: Mapping[str, Any]) -> str:
    return f"{row['rule'].replace('_', ' ')}: {row['detail']}"


def _play(why: Why, zone: str) -> str:
    """Why the player may play so long, or not."""
    if why.play_ruling:
        ruled = _ruled(why.play_ruling, why, zone)
        one = why.carry_ruling in (None, why.play_ruling) and why.carry_by in _SAID_BY_RULING
        return f"{ruled} so" if one else f"{ruled} that {_RULED[why.right.may_play]}"
    if why.presented and why.crossed_off:
        listed = join([_WAS_LISTED[reason] for reason in why.crossed_off])
        return f"the player was at first {listed}, then {_came(why, zone)}"
    return f"the player {_came(why, zone)}"


def _came(why: Why, zone: str) -> str:
    late = why.league["weigh_in"]["late_players"]
    came = "came to the scale" if _came_in_vain(why) else "was weighed"
    match why.play_by:
        case "on_time" if _is_after_close(why):
            vain = "having come to the scale" if _came_in_vain(why) else "weighed"
            return f"was stated as {vain} on time"
        case "on_time":
            return f"{came} on time"
        case "late" if late == "none":
            return f"{came} late, and in this league a player who is weighed late does not play"
        case "late":
            return f"{came} late{', but before the first half ended' if why.half_ended else ''}"
        case "after_half":
            assert why.presented is not None
            assert why.half_ended is not None
            at = words.local_clock(why.presented.happened, zone)
            ended = words.local_clock(why.half_ended.happened, zone)
            return f"{came} at {at}, after the first half had ended at {ended}"
        case "declared":
            return "is listed as over the limit and, in this league, need not be weighed"
        case "listed":
            return f"{join([_LISTED[reason] for reason in why.listed])} and has not been weighed"
        case _:
            return "has not been weighed and is on no list"


def _is_after_close(why: Why) -> bool:
    """Whether a finding says that this weigh, stated as on time, was after the team's close."""
    found = [row for row in why.findings if row["rule"] == "weighed_after_close"]
    return why.presented is not None and any(why.presented.event in row["events"] for row in found)


def _carry(why: Why, zone: str) -> str:
    """Why with or without the ball, as it goes on from `_play`; "" where that said it all."""
    match why.carry_by:
        case "ruling" if why.carry_ruling == why.play_ruling:
            return ""
        case "ruling":
            assert why.carry_ruling is not None
            ruled = _ruled(why.carry_ruling, why, zone)
            return f", and {ruled} that {_RULED[why.right.may_carry]}"
        case "scale":
            simple = why.play_by == "on_time" and not why.crossed_off
            subject = "the player " if why.play_ruling else ""
            later = "when weighed later " if _came_in_vain(why) else ""
            return f"{' and' if simple else ', and'} {subject}{later}{_scale(why)}"
        case "book":
            assert why.mark is not None
            mark = statement_words.VALUES[why.mark.says["value"]]
            return f", {_no_scale(why)}, so the mark in the book decides: {mark}"
        case "undecided":
            return f", {_no_scale(why)}, and the book has no mark from an earlier game"
        case "not_weighed" if why.play_ruling:
            return ", and the player has not been weighed"
        case _:
            return ""


def _no_scale(why: Why) -> str:
    if why.play_by == "on_time":
        return "but it could not be used"
    return "and the scale could not be used"


def _came_in_vain(why: Why) -> bool:
    """Whether the player came when there was no usable scale."""
    return why.presented is not None and why.presented.says["value"] == "no_scale"


def _scale(why: Why) -> str:
    assert why.counts is not None
    value = f"was {_CARRIER[why.counts.says['value']]}"
    on_scale = [statement for statement in why.weighs if statement.says["value"] != "no_scale"]
    if len(on_scale) == 1:
        return value
    if why.league["weigh_in"]["attempts"] == 1:
        return f"{value} on the first weigh, which is the one that counts in this league"
    if why.counts == on_scale[0]:
        return f"{value} on the first weigh"
    return f"{value} on the second weigh, and one such weigh is enough in this league"


def _ruled(statement: Statement, why: Why, zone: str) -> str:
    """ "on Oct 5 the head official ruled": by the role that reviews, where there are several."""
    lists = (roles for roles in why.league["reviews"].values() if isinstance(roles, list))
    reviewing = {role for roles in lists for role in roles}
    held = [one.role for one in statement.roles if one.has_authority]
    role = next((role for role in held if role in reviewing), held[0])
    day = words.local_date(statement.happened, zone).split(", ")[1]
    return f"on {day} the {rule_words.ROLES[role]} ruled"
