"""A league's rules of a season in plain sentences, for a committee and beside an answer.

`league` is the data of the league's event: league.toml with every default written out, pounds in
hundredths. Each function gives one sentence for one choice.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say.clock import plain_date
from ledger.say.words import join, kilograms, pounds

League = Mapping[str, Any]

_FIRST = {
    "visitors": "The visitors weigh first; the home team begins when they are done.",
    "home": "The home team weighs first; the visitors begin when it is done.",
    "either": "Either team may weigh first.",
}
_LATE = {
    "second_half": "A player who is weighed late, but before the first half ends, plays in the"
    " second half; after that the player does not play.",
    "whole_game": "A player who is weighed late, but before the first half ends, plays from then"
    " on; after that the player does not play.",
    "none": "A player who is weighed late does not play.",
}
_ATTEMPTS = {
    1: "A player is weighed once, as equipped, and the first weigh counts.",
    2: "A player may be weighed twice, and one weigh that is not over the limit is enough.",
}
_SKIP = {
    False: "A player who is listed as over the limit beforehand is weighed all the same.",
    True: "A player who is listed as over the limit beforehand need not be weighed: such a player"
    " plays the whole game and does not carry the ball.",
}
ON_TIME = "A player who is weighed before the weigh-in closes may play the whole game."
CARRIES = "A player who is not over the limit may carry the ball."
BOOK = (
    "Where the scale cannot be used, the mark in the book from the player's first game of the"
    " division decides who may carry; later marks never replace it."
)
NO_MARK = "Without such a mark, carrying stays undecided until somebody who may rule on it does."
RULING = "A ruling by a reviewer goes before the scale and the book."
_ALWAYS = (
    "A player who may not play may not carry the ball.",
    BOOK,
    NO_MARK,
    RULING,
    "A ruling that is given after the game does not change what plays were due in it.",
    "A second weigh, a late paper or a missing signature is pointed out, never refused.",
    "Nothing is changed or deleted: a mistake is withdrawn, and both entries stay.",
    "The ledger disqualifies nobody. Weighmasters weigh and note; officials and presidents decide.",
)


def not_weighed(league: League) -> str:
    if league["weigh_in"]["declared_over_may_skip_scale"]:
        return "A player who was not weighed does not play, unless one who may skip the scale."
    return "A player who was not weighed does not play."


def always(league: League) -> tuple[str, ...]:
    """What is no choice of the league."""
    return (not_weighed(league), *_ALWAYS)


def opens(league: League) -> str:
    minutes = league["weigh_in"]["opens_before_kickoff_min"]
    return f"The weigh-in opens {count_of(minutes, 'minute')} before kickoff."


def first_to_weigh(league: League) -> str:
    return _FIRST[league["weigh_in"]["first_to_weigh"]]


def attempts(league: League) -> str:
    return _ATTEMPTS[league["weigh_in"]["attempts"]]


def late_players(league: League) -> str:
    return _LATE[league["weigh_in"]["late_players"]]


def declared_over(league: League) -> str:
    return _SKIP[league["weigh_in"]["declared_over_may_skip_scale"]]


def short(sentence: str) -> str:
    """A sentence up to its semicolon, for a form with little room."""
    return sentence.partition(";")[0].removesuffix(".") + "."


def check_of_scale(league: League, tolerance_clb: int) -> str:
    """The range in which a check passes; the tolerance comes from the engine."""
    check = league["weigh_in"]["check_weight_clb"]
    division = league["weigh_in"]["scale_division_clb"]
    lowest, highest = pounds(check - tolerance_clb), pounds(check + tolerance_clb)
    many = tolerance_clb // division
    return (
        f"The scale is checked with a weight of {pounds(check)} and passes from {lowest} to"
        f" {highest}: {count_of(many, 'division')} of {pounds(division)} either way, as NIST"
        " Handbook 44 has it for a scale of class III in service."
    )


def weighmasters(league: League) -> str:
    most = league["weigh_in"]["max_weighmasters_per_team"]
    return f"At most {count_of(most, 'weighmaster')} of a team at the scale."


def entered_late(league: League) -> str:
    minutes = league["weigh_in"]["entered_late_after_min"]
    return f"What is written down more than {count_of(minutes, 'minute')} later is pointed out."


def allowance(league: League) -> str:
    steps = league["weigh_in"]["limit_allowance"]
    if not steps:
        return "The limit stays the same all season."
    parts = [f"{pounds(step['clb'])} from {plain_date(step['from'])}" for step in steps]
    return f"Added to the limit: {join(parts)} on (the latest of these counts)."


def limit(name: str, limit_clb: int, league: League) -> str:
    """The limit of a division, with the dates at which it rises or falls."""
    later = "".join(
        f"; from {plain_date(step['from'])} on {pounds(limit_clb + step['clb'])}"
        for step in league["weigh_in"]["limit_allowance"]
    )
    limit = f"{pounds(limit_clb)} ({kilograms(limit_clb)})"
    return f"{name}: who carries the ball is not over {limit}{later}."


def minimum_plays(league: League) -> str:
    plays = league["plays"]
    if "minimum" in plays:
        least = count_of(plays["minimum"], "play")
        return f"Every player who may play gets at least {least}, late players too."
    low, parts = 0, []
    for step in plays["by_squad_size"]:
        top = step.get("up_to")
        if top is None:
            whom = f"{low} or more" if low else "any number"
        else:
            whom = f"{low} to {top}" if low else f"up to {top}"
            low = top + 1
        parts.append(f"{whom}: {step['minimum']}")
    return (
        "Every player who may play gets a number of plays that goes by how many of the team may"
        f" play ({'; '.join(parts)}), late players too."
    )


def roster_reviewers(league: League) -> str:
    return f"Questions of a roster go to {reviewers(league, 'roster')}."


def other_reviewers(league: League) -> str:
    return f"All other questions go to {reviewers(league, 'other')}."


def protest(league: League) -> str:
    hours = league["reviews"]["protest_within_hours"]
    return f"A protest comes within {count_of(hours, 'hour')} of the end of the game."


def decide(league: League) -> str:
    days = league["reviews"]["decide_within_days"]
    return f"A case is decided or closed within {count_of(days, 'day')} of its opening."


def retention(league: League) -> str:
    until = league["privacy"]["keep_personal_until"]
    if not until:
        return (
            "No date is given until which names and notes are kept: the league should write one"
            " (keep_personal_until)."
        )
    return f"Names and notes are kept until {plain_date(until)}, and then erased."


def reviewers(league: League, kind: str) -> str:
    """The reviewers in order: "the site official, then the head official"."""
    return ", then ".join(f"the {role_name(role)}" for role in league["reviews"][kind])
