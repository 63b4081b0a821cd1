"""The sentence in leagues with other rules, and in rarer cases; tiny seasons as text."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.derive.why import Why, explain
from ledger.say.why import sentence
from ledger.say.would_change import would_change
from tests.short_season import short_season
from tests.stored import stored_events

ZONE = "America/Chicago"


def why(text: str, player: str = "a1", **rules: Any) -> Why:
    events = short_season(text, **rules)
    stored = stored_events(events)
    return explain(stored, "g1", player=player)


SECOND_OK = "14:40 weigh ash a1 over\n14:41 weigh ash a1 ok"
LATE = "14:50 close ash\n15:20 late_weigh ash a1 ok\n15:45 half half=1"
WITH_BALL = "may play the whole game and may carry the ball"
WITHOUT_BALL = "may play the whole game but does not carry the ball"
SENTENCES: list[tuple[str, dict[str, Any], str]] = [
    (
        SECOND_OK,
        {"attempts": 2},
        (
            f"{WITH_BALL}: the player was weighed on time and was"
            " not over the carrier limit on the second weigh, and one such weigh is enough in"
            " this league."
        ),
    ),
    (
        LATE,
        {"late_players": "none"},
        (
            "does not play in this game: the player was weighed late, and in this league a player"
            " who is weighed late does not play."
        ),
    ),
    (
        LATE,
        {"late_players": "whole_game"},
        (
            f"{WITH_BALL}: the player was weighed late, but before"
            " the first half ended, and was not over the carrier limit."
        ),
    ),
    (
        "14:50 close ash\n15:20 weigh ash a1 ok",
        {},
        (
            f"{WITH_BALL}: the player was entered as weighed on time and was not over the"
            " carrier limit."
        ),
    ),
    (
        "14:40 weigh ash a1 ok\n14:50 close ash\n15:20 weigh ash a1 ok",
        {"attempts": 2},
        (
            f"{WITH_BALL}: the player was weighed on time and was not over the carrier limit"
            " on the first weigh."
        ),
    ),
    (
        "14:50 close ash\n15:19 scale_out\n15:20 weigh ash a1 no_scale",
        {},
        (
            "may play the whole game, but carrying is not decided: the player was entered as"
            " present on time, but the scale was out of use,"
            " and the book has no mark from an earlier game."
        ),
    ),
    (
        "14:40 weigh ash a1 no_scale\n15:10 late_weigh ash a1 ok",
        {},
        (
            f"{WITH_BALL}: the player came on time and when weighed later was not over"
            " the carrier limit."
        ),
    ),
    (
        "15:10 late_weigh ash a1 no_scale\n15:45 half half=1",
        {},
        (
            "may play the second half only, but carrying is not decided:"
            " the player came late, but before the first half ended, and the scale"
            " was out of use, and the book has no mark from an earlier game."
        ),
    ),
    (
        "14:20 list ash a1 over by=ca",
        {"declared_over_may_skip_scale": True},
        (
            f"{WITHOUT_BALL}: the player is listed as over the carrier"
            " limit and, in this league, need not be weighed."
        ),
    ),
    (
        "14:20 list ash a1 over by=ca\n14:50 close ash",
        {},
        (
            "does not play in this game: the player is listed as over the carrier limit and has not"
            " been weighed."
        ),
    ),
    (
        (
            "14:20 list ash a1 equipment by=ca\n14:40 strike_off ash a1 equipment\n"
            "14:41 weigh ash a1 over"
        ),
        {},
        (
            f"{WITHOUT_BALL}: the player was first listed for"
            " incomplete gear, then was weighed on time, and was over the carrier"
            " limit."
        ),
    ),
    (
        (
            "14:40 weigh ash a1 no_scale\n14:50 case_open case=c1 weigh game=g1\n"
            "14:55 ruling so case=c1 decided game=g1 ash a1 may_play=second_half may_carry=no"
        ),
        {},
        (
            "may play the second half only but does not carry the ball: on Sep 5 the site official"
            " ruled so."
        ),
    ),
    (
        (
            "14:40 weigh ash a1 no_scale\n14:50 case_open case=c1 weigh game=g1\n"
            "14:55 ruling so case=c1 decided game=g1 ash a1 may_play=second_half"
        ),
        {},
        (
            "may play the second half only, but carrying is not decided:"
            " on Sep 5 the site official ruled that the player may play the second half only, and"
            " the scale was out of use, and the book has no mark from an earlier game."
        ),
    ),
    (
        (
            "14:40 weigh ash a1 ok\n14:50 case_open case=c1 weigh game=g1\n"
            "14:55 ruling so case=c1 decided game=g1 ash a1 may_play=none"
        ),
        {},
        "does not play in this game: on Sep 5 the site official ruled so.",
    ),
    (
        (
            "14:50 close ash\n14:51 case_open case=c1 weigh game=g1\n"
            "14:55 ruling so case=c1 decided game=g1 ash a1 may_play=full"
        ),
        {},
        (
            f"{WITHOUT_BALL}: on Sep 5 the site official ruled that"
            " the player may play the whole game, and the player has not been weighed."
        ),
    ),
]


@pytest.mark.parametrize(("text", "rules", "expected"), SENTENCES)
def test_sentence(text: str, rules: dict[str, Any], expected: str) -> None:
    assert sentence(why(text, **rules), ZONE) == f"Number 1 of Team ash {expected}"


def test_somebody_without_a_number_is_named_by_id() -> None:
    text = sentence(why("14:40 weigh ash u1 ok", "u1"), ZONE)
    assert text.startswith("Player u1 of Team ash, who is not on the team's roster for this game,")


CHANGES: list[tuple[str, dict[str, Any], str]] = [
    ("14:40 weigh ash a1 over", {"attempts": 2}, ("If not over the limit on a second weigh, the"
     " player could have carried the ball.")),
    ("14:40 weigh ash a1 over\n14:41 weigh ash a1 over", {"attempts": 2}, ("Another weigh would not"
     " have changed it: in this league two are allowed.")),
    (LATE, {"late_players": "none"}, ("If weighed before the weigh-in closed at 9:50 AM CDT, the"
     " player would have played the whole game.")),
    (LATE, {"late_players": "whole_game"}, ("If weighed after the first half ended at 10:45 AM"
     " CDT, the player would not have played.")),
]  # fmt: skip


@pytest.mark.parametrize(("text", "rules", "expected"), CHANGES)
def test_what_would_have_changed_it(text: str, rules: dict[str, Any], expected: str) -> None:
    assert would_change(why(text, **rules), ZONE)[0] == expected


def test_a_withdrawn_withdrawal_shows_and_changes_nothing() -> None:
    shown = why(
        "14:20 list ash a1 absent ca\n14:21 withdraw ca target=1\n14:22 withdraw ca target=2"
    )
    assert [(one.statement.kind, one.standing) for one in shown.also] == [
        ("withdraw", "withdrawn"),
        ("withdraw", "stands"),
    ]
    assert shown.listed == ("absent",)


def test_a_ruling_without_authority_and_one_replaced_are_shown_as_such() -> None:
    shown = why(
        "14:40 weigh ash a1 over\n14:50 case_open case=c1 weigh game=g1\n"
        "14:51 ruling ap case=c1 decided game=g1 ash a1 may_carry=yes\n"
        "14:52 ruling so case=c1 decided game=g1 ash a1 may_carry=yes\n"
        "14:53 ruling dp case=c1 decided game=g1 ash a1 may_carry=no"
    )
    rulings = [
        (one.statement.by, one.standing) for one in shown.also if one.statement.kind == "ruling"
    ]
    assert rulings == [("ap", "no_authority"), ("so", "replaced")]
    assert shown.carry_ruling is not None
    assert shown.carry_ruling.by == "dp"
