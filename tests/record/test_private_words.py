"""Which words are asked about, in many ways of writing them. All statements are of 2026."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ledger.record.private_words import private_words


def of_child(text: str) -> tuple[str, ...]:
    return private_words(text, about_child=True, year=2026)


def of_other(text: str) -> tuple[str, ...]:
    return private_words(text, about_child=False, year=2026)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("came back at 95 lb", "95 lb"),
        ("95lb", "95lb"),
        ("95.5 LBS.", "95.5 LBS"),
        ("95,5 kg", "95,5 kg"),
        ("a 95-pounder", "95-pounder"),
        ("95 pound child", "95 pound"),
        ("95 - lbs", "95 - lbs"),
        ("between 90 and 95 lb", "95 lb"),
        ("95 1/2 lb", "95 1/2 lb"),
        ("95½ lb", "95 1⁄2 lb"),
        ("９５ ｌｂ", "95 lb"),
        ("95\u00a0\u200blb", "95 lb"),
        ("95\nlb", "95 lb"),
        ("he is 95#", "95#"),
        ("95 # in his socks", "95 #"),
        ("ninety-five pounds", "ninety-five pounds"),
        ("One hundred and two pounds", "One hundred and two pounds"),
        ("43 kilos", "43 kilos"),
        ("43 kilograms", "43 kilograms"),
        ("43kgs", "43kgs"),
        ("7 stone", "7 stone"),
        ("6 st 11", "6 st 11"),
        ("lbs: 95", "lbs: 95"),
        ("kg 43", "kg 43"),
        ("weighs 95", "weighs 95"),
        ("weighs 95 on our scale", "weighs 95"),
        ("Weight: 95.5", "Weight: 95.5"),
        ("weighed in at 95", "weighed in at 95"),
        ("over the limit: 97 lb", "97 lb"),
        ("over the 95 lb limit at 97 lb", "97 lb"),
        ("97 lb, limit 95 lb", "97 lb"),
        ("he was 95 lb. The limit is 100 lb.", "95 lb"),
    ],
)
def test_a_body_weight_is_asked_about_in_any_text(text: str, words: str) -> None:
    assert of_child(text) == of_other(text) == (words,)


@pytest.mark.parametrize(
    "text",
    [
        "check weight read 10.5 lb",
        "check-weight: 10 lb",
        "10 lb check weight",
        "25 lb test weight",
        "limit 95 lb",
        "the limit was set to 95 lb",
        "95 lb limit",
        "the 95-lb division",
        "over; limit 95 lb",
        "#46 came late",
        "46 weighed again",
        "weighed 46 before 12",
        "weighed in 12 players",
        "weighed at 9:40",
        "weighed at 11.40",
        "came in at 9:40",
        "the scale said 12",
        "over by 9:40",
        "weight 5",
        "the weighing took 40 minutes",
        "21st of them",
        "1 of 46",
        "scale 3, bulbs and albums",
        "12345 lb",
        "the twins wear 30 and 18",
    ],
)
def test_what_is_of_the_scale_or_no_weight_is_left_alone(text: str) -> None:
    assert of_child(text) == of_other(text) == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("the scale read 10.5 lb", "10.5 lb"),
        ("October: two pounds more", "two pounds"),
        ("2 lb over", "2 lb"),
        ("over by 3", "over by 3"),
        ("over by about three", "over by about three"),
        ("half a pound over", "half a pound"),
        ("the scale said 97.5", "scale said 97.5"),
        ("came in at 97", "came in at 97"),
        ("3/5/2014", "3/5/2014"),
        ("3/5/14", "3/5/14"),
        ("5.3.2014", "5.3.2014"),
        ("2014-03-05", "2014-03-05"),
        ("20140305", "20140305"),
        ("March 5, 2014", "March 5, 2014"),
        ("mar. 5th 2014", "mar. 5th 2014"),
        ("5 March '14", "5 March '14"),
        ("5th of March, 2014", "5th of March, 2014"),
        ("March 2014", "March 2014"),
        ("12/31/99", "12/31/99"),
    ],
)
def test_a_small_weight_and_a_bare_date_count_where_it_is_about_a_child(
    text: str, words: str
) -> None:
    assert of_child(text) == (words,)
    assert of_other(text) == ()


@pytest.mark.parametrize(
    "text",
    [
        "moved to 2026-09-12",
        "absent on 9/12/26",
        "since August 2025",
        "on September 12, 2026",
        "scores 20-14-07",
        "plays 3-5-7",
        "version 1.2.3.14",
        "2014 was a dry year",
        "birth certificate was not in the binder",
        "newborn sister",
        "decided 2014",
    ],
)
def test_a_date_on_which_no_player_was_born_is_left_alone(text: str) -> None:
    """Nobody on a field was born this season, or the last."""
    assert of_child(text) == of_other(text) == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("born in a leap year", ("born",)),
        ("Born 2014", ("Born",)),
        ("DOB 3/5/14", ("DOB", "3/5/14")),
        ("D.O.B.: 2014-03-05", ("D.O.B", "2014-03-05")),
        ("date of birth unknown", ("date of birth",)),
        ("birthdate", ("birthdate",)),
        ("her birthday is 9/12/26", ("birthday", "9/12/26")),
        ("b-day cake", ("b-day",)),
        ("birth year 2014", ("birth year",)),
    ],
)
def test_a_birth_date_is_asked_about_in_any_text(text: str, words: tuple[str, ...]) -> None:
    assert of_child(text) == of_other(text) == words


def test_all_the_words_are_named_once_and_in_their_order() -> None:
    text = "Born March 5, 2014; 95 lb in May, 97 lb now, and 95 lb again."
    assert of_other(text) == ("Born", "March 5, 2014", "95 lb", "97 lb")


PIECES = ["95", "½", " ", "lb", "#", "born", "March", "/", "-", "2014", "٩٥", "'", "limit", "²"]


@given(st.text() | st.lists(st.sampled_from(PIECES)).map("".join), st.booleans())
@example("٩٥ lb", True)
@example("9" * 500 + " lb", True)
@example("nine " * 500, False)
@settings(deadline=None)
def test_any_text_is_read_and_only_words_of_it_come_out(text: str, about_child: bool) -> None:
    words = private_words(text, about_child=about_child, year=2026)
    assert all(word and len(word) <= 64 for word in words)
    assert len(set(words)) == len(words)
