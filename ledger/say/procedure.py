"""A league's rules of a season in plain sentences, for a committee and beside an answer.

`league` is the data of the league's event: league.toml with all its defaults, weights in hundredths
of a pound. Each function returns the sentence for one choice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say.clock import plain_date
from ledger.say.words import join, pounds

League = Mapping[str, Any]
Sentence = Callable[[League], str]

ON_TIME = "A player who is weighed before the weigh-in closes may play the whole game."
CARRIES = "A player who is not over the limit may carry the ball."
BOOK = (
    "When the scale is out of use, the mark in the book from the player's first game in the"
    " division decides who may carry. Later marks never replace it."
)
NO_MARK = "Without such a mark, carrying stays undecided until a reviewer rules on it."
RULING = "A reviewer's ruling comes before the scale and the book."
_ALWAYS = (
    "A player who may not play may not carry the ball.",
    BOOK,
    NO_MARK,
    RULING,
    "A ruling after the game does not change how many plays were due in it.",
    "A second weigh, a late paper or a missing signature is pointed out, never refused.",
    "Nothing is changed or deleted: a mistake is withdrawn, and both entries stay.",
    "The ledger disqualifies nobody. Weighmasters weigh and note; officials and presidents decide.",
)


def _one_of(key: str, sentences: Mapping[Any, str]) -> Sentence:
    """The sentence for each value of a key of [weigh_in]."""
    return lambda league: sentences[league["weigh_in"][key]]


def _count(section: str, key: str, noun: str, sentence: str) -> Sentence:
    """The sentence with a number of the league in its braces."""
    return lambda league: sentence.format(count_of(league[section][key], noun))


first_to_weigh = _one_of(
    "first_to_weigh",
    {
        "visitors": "Visiting players are weighed first; home players come next.",
        "home": "Home players are weighed first; visiting players come next.",
        "either": "Either team may be weighed first.",
    },
)
late_players = _one_of(
    "late_players",
    {
        "second_half": "A player who is weighed late, but before the first half ends, plays in the"
        " second half only; a player weighed after that does not play.",
        "whole_game": "A player who is weighed late, but before the first half ends, plays from"
        " then on; a player weighed after that does not play.",
        "none": "A player who is weighed late does not play.",
    },
)
late_by_hand = _one_of(
    "late_players",
    {
        "second_half": "Weighed after the weigh-in closed, before the first half ends: plays in the"
        " second half. Weighed after that: does not play.",
        "whole_game": "Weighed after the weigh-in closed, before the first half ends: plays from"
        " then on. Weighed after that: does not play.",
        "none": "Weighed after the weigh-in closed: does not play.",
    },
)
"""The same, for the form that is filled in by hand."""
attempts = _one_of(
    "attempts",
    {
        1: "A player is weighed once, in gear, and the first weigh counts.",
        2: "A player may be weighed twice, and one weigh that is not over the limit is enough.",
    },
)
declared_over = _one_of(
    "declared_over_may_skip_scale",
    {
        False: "A player listed in advance as over the limit is still weighed.",
        True: "A player listed in advance as over the limit need not be weighed. That player plays"
        " the whole game and does not carry the ball.",
    },
)
declines = _one_of(
    "declared_over_may_skip_scale",
    {
        False: "A child may say no. Do not press. List for “another reason”. Not weighed: does not"
        " play.",
        True: "A child may say no. Do not press. List as “over” if the child wants that: plays,"
        " does not carry. Else list for “another reason”: does not play.",
    },
)
declines_by_hand = _one_of(
    "declared_over_may_skip_scale",
    {
        False: "A child may say no; do not press. Mark “other”.",
        True: "A child may say no; do not press. Mark “over” if the child wants that, else"
        " “other”.",
    },
)
"""The same, for the form that is filled in by hand."""
not_weighed = _one_of(
    "declared_over_may_skip_scale",
    {
        False: "A player who was not weighed does not play.",
        True: "A player who was not weighed does not play, except one who may skip the scale.",
    },
)
not_weighed_by_hand = _one_of(
    "declared_over_may_skip_scale",
    {
        False: "Not weighed: does not play.",
        True: "Not weighed: does not play, except one who may skip the scale.",
    },
)
"""The same, for the form that is filled in by hand."""
opens = _count(
    "weigh_in", "opens_before_kickoff_min", "minute", "The weigh-in opens {} before kickoff."
)
weighmasters = _count(
    "weigh_in", "max_weighmasters_per_team", "weighmaster", "At most {} per team at the scale."
)
entered_late = _count(
    "weigh_in",
    "entered_late_after_min",
    "minute",
    "An entry made more than {} late is pointed out.",
)
protest = _count(
    "reviews", "protest_within_hours", "hour", "File a protest within {} of the end of the game."
)
decide = _count(
    "reviews", "decide_within_days", "day", "A case is decided or closed within {} of its opening."
)


def always(league: League) -> tuple[str, ...]:
    """The rules that a league cannot choose."""
    return (not_weighed(league), *_ALWAYS)


def short(sentence: str) -> str:
    """A sentence up to its semicolon, for a form with little room."""
    return sentence.partition(";")[0].removesuffix(".") + "."


def check_of_scale(league: League, tolerance_clb: int) -> str:
    """The range in which a check passes; `tolerance_clb` comes from the engine."""
    check = league["weigh_in"]["check_weight_clb"]
    division = league["weigh_in"]["scale_division_clb"]
    lowest, highest = pounds(check - tolerance_clb), pounds(check + tolerance_clb)
    many = count_of(tolerance_clb // division, "division")
    return (
        f"The scale is checked with a weight of {pounds(check)} and passes from {lowest} to"
        f" {highest}: {many} of {pounds(division)} either way, the tolerance of NIST Handbook 44"
        " for a class III scale in service."
    )


def allowance(league: League) -> str:
    """What is added to the limit, and from which date."""
    steps = league["weigh_in"]["limit_allowance"]
    if not steps:
        return "The limit stays the same all season."
    parts = [f"{pounds(step['clb'])} from {plain_date(step['from'])}" for step in steps]
    return f"Added to the limit: {join(parts)} (only the latest counts)."


def minimum_plays(league: League) -> str:
    """The plays due to each player, in all or by the size of the squad."""
    plays = league["plays"]
    if "minimum" in plays:
        least = count_of(plays["minimum"], "play")
        return (
            f"Every player who may play is due at least {least}, late players too, unless excused."
        )
    low, parts = 0, []
    for step in plays["by_squad_size"]:
        top = step.get("up_to")
        if top is None:
            size = f"{low} or more" if low else "any number"
        else:
            size = f"{low} to {top}" if low else f"up to {top}"
            low = top + 1
        parts.append(f"{size}: {step['minimum']}")
    return (
        "Every player who may play, late players too, is due a minimum of plays unless excused. It"
        f" depends on how many of the team may play ({'; '.join(parts)})."
    )


def roster_reviewers(league: League) -> str:
    """The reviewers of a question about a roster."""
    return f"Questions about a roster go to {reviewers(league, 'roster')}."


def other_reviewers(league: League) -> str:
    """The reviewers of every other question."""
    return f"All other questions go to {reviewers(league, 'other')}."


def retention(league: League) -> str:
    """The date until which the league keeps personal data."""
    until = league["privacy"]["keep_personal_until"]
    if not until:
        return (
            "The league has set no date for erasing names and notes. It should set one"
            " (keep_personal_until)."
        )
    return f"Names and notes are kept until {plain_date(until)}, and then erased."


def first_to_ask(league: League) -> str:
    """The first reviewer of what is not about a roster: "the site official"."""
    return f"the {role_name(league['reviews']['other'][0])}"


def reviewers(league: League, kind: str) -> str:
    """The reviewers in order: "the site official, then the head official"."""
    return ", then ".join(f"the {role_name(role)}" for role in league["reviews"][kind])
