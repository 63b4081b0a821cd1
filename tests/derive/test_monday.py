"""The Monday after: what went well, what is to settle, by whom and until when."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.monday import Monday, monday
from ledger.errors import InputError
from ledger.say.monday import ASK, TO_ASK, page, page_lines
from tests.short_season import short_season
from tests.stored import store_of

AFTER = "2026-09-07T12:00:00.000Z"
CLEAN = """
05/14:30 station g1 reading_clb=1000 limit_clb=10000 by=we
05/14:31 at_scale g1 ash wa
05/14:31 at_scale g1 elm we
05/14:32 weigh g1 elm e1 ok wa
05/14:33 weigh g1 elm e2 ok wa
05/14:34 weigh g1 ash a1 ok we
05/14:35 weigh g1 ash a2 ok we
05/14:36 initial g1 elm e1 ok initials=AT wa
05/14:36 initial g1 elm e2 ok initials=AT wa
05/14:36 initial g1 ash a1 ok initials=IL we
05/14:36 initial g1 ash a2 ok initials=IL we
05/14:40 countersign g1 ash wa
05/14:40 countersign g1 ash we
05/14:40 countersign g1 elm wa
05/14:40 countersign g1 elm we
05/15:40 half g1 half=1 by=so
05/16:30 plays g1 ash a1 half=2 count=12 pc
05/16:30 plays g1 ash a2 half=2 count=12 pc
05/16:30 plays g1 elm e1 half=2 count=12 pc
05/16:30 plays g1 elm e2 half=2 count=12 pc
05/16:30 half g1 half=2 by=so
"""
GAME = "g1, Team elm at Team ash"
SHORT = CLEAN.replace("plays g1 ash a2 half=2 count=12", "plays g1 ash a2 half=2 count=7")


def looked(text: str, *, now: str = AFTER, **asked: Any) -> Monday:
    store = store_of(short_season(text))
    try:
        return monday(store, now=now, **asked)
    finally:
        store.close()


def told(found: Monday) -> list[str]:
    return [line.text for line in page_lines(page(found), "")]


def test_a_game_without_a_finding_went_well() -> None:
    assert told(looked(CLEAN)) == [
        "After week 1 (Sat, Sep 5, 2026)",
        "",
        "What went well",
        "g1, Team elm at Team ash: everything. Protests until Mon, Sep 7, 2026, 11:30 AM CDT.",
        "",
        "Nothing to settle.",
    ]


def test_what_to_settle_by_whom_and_until_when() -> None:
    assert told(looked(SHORT))[3:] == [
        f"{GAME}: everything except plays. Protests until Mon, Sep 7, 2026, 11:30 AM CDT.",
        "",
        "What to settle",
        "For: head official",
        "g1, elm at ash: settle before Sat, Sep 12, 2026, 10:00 AM CDT (g2)",
        "ash 2 (a2): 7 of 10 plays due are counted. (plays_short)",
        "",
        TO_ASK,
        ASK,
    ]


def test_where_much_is_missing_the_page_still_names_what_did_not_go_well() -> None:
    bare = "\n".join(line for line in SHORT.splitlines() if " weigh " in line or " a2 " in line)
    (_, _, said, _) = page(looked(bare)).well[0]
    assert said.startswith("everything except plays, the scale, the people at the scale, the book")


def test_parts_with_an_and_of_their_own_have_semicolons_between_them() -> None:
    asked = SHORT + "08/17:00 case_open g1 ash a1 protest case=late by=we\n"
    (_, _, said, _) = page(looked(asked)).well[0]
    assert said == "everything except plays; questions and protests"


def test_only_what_is_not_usual_is_explained() -> None:
    late = SHORT.replace("05/14:35 weigh", "05/15:35 late_weigh")
    lines = told(looked(late))
    assert [line for line in lines if line.startswith("Number 2 of Team ash")]
    assert "weighbook why g1 --team ash --number 2" in lines


def test_before_the_game_ends_its_plays_are_still_to_do() -> None:
    during = SHORT.replace("05/16:30 half g1 half=2 by=so\n", "")
    found = looked(during, now="2026-09-05T16:40:00.000Z")
    assert found.found == []
    assert [one.row["rule"] for one in found.still] == ["plays_short"]
    assert "Still to do" in told(found)
    assert "Nothing to settle." in told(found)
    assert told(found)[3] == f"{GAME}: everything except plays."  # not well until it is done


def test_an_open_question_stands_with_who_has_it() -> None:
    asked = SHORT + "05/17:00 case_open g1 ash a2 plays case=late-child by=we\n"
    (case,) = page(looked(asked)).cases
    assert case == ("late-child", "g1 ash 2", "open: site official, due Sat, Sep 12, 2026")
    closed = asked + "06/17:00 case_close case=late-child by=dp\n"
    assert page(looked(closed)).cases == ()


def test_a_child_with_two_findings_is_explained_once() -> None:
    twice = SHORT.replace("05/14:36 initial g1 ash a2 ok initials=IL we\n", "")
    found = looked(twice.replace("05/14:35 weigh", "05/15:35 late_weigh"))
    whys = [line for line in told(found) if line.startswith("Number 2 of Team ash")]
    assert {one.row["rule"] for one in found.found} >= {"plays_short", "book_not_initialed"}
    assert len(whys) == 2  # once for each who looks: weighmasters, head official


def test_a_missing_signature_names_the_list_and_the_side() -> None:
    found = looked(CLEAN.replace("05/14:40 countersign g1 ash we\n", ""))
    missing = "list of ash, signature of elm: No weighmaster of this side signed the list."
    assert f"{missing} (list_not_countersigned)" in told(found)


def test_a_finding_about_an_entry_names_it() -> None:
    """A count of one player, one of a half, and a weigh that someone else took back."""
    late = CLEAN.replace("05/16:30 plays g1 elm e2 half=2 count=12 pc\n", "") + (
        "05/16:25 plays g1 elm e2 half=2 count=12 entered=05/17:20 pc\n"
        "05/16:25 snaps g1 half=2 count=30 entered=08/17:30 pc\n"
        "05/16:26 withdraw target=7 reason=mistaken by=ca\n"
    )
    lines = told(looked(late))
    assert (
        "elm 2 (e2), 11:25 AM CDT: Plays in the second half so far: 12. "
        "Written down 55 minutes after it happened. (entered_late)"
    ) in lines
    assert (
        "11:25 AM CDT: Snaps in the second half so far: 30. "
        "Written down 3 days after it happened. (entered_late)"
    ) in lines
    assert (
        "ash 2 (a2), 9:35 AM CDT: Weighed: not over the carrier limit (office:7): "
        "withdrawn by someone other than its author. (withdrawn_by_other)"
    ) in lines


def test_one_play_is_not_plays() -> None:
    text = CLEAN + "05/16:25 plays g1 elm e2 half=1 count=1 pc\n"
    text += "05/16:26 withdraw target=22 reason=mistaken by=ca\n"
    said = "elm 2 (e2), 11:25 AM CDT: 1 play in the first half (office:22): "
    assert any(line.startswith(said) for line in told(looked(text)))


def test_where_nobody_is_named_the_time_stands() -> None:
    """The date too, on another day."""
    noted = (
        CLEAN + "05/14:50 concern g1 coach_near_scale so\n06/14:50 concern g1 coach_near_scale so\n"
    )
    said = "Someone noted a coach near the scale. (coach_near_scale)"
    lines = told(looked(noted))
    assert f"9:50 AM CDT: {said}" in lines
    assert f"Sun, Sep 6, 2026, 9:50 AM CDT: {said}" in lines


def test_children_come_by_number_after_what_is_about_the_game() -> None:
    """Without the book's marks; player ids run against the numbers."""
    swapped = "05/14:00 number_change elm e1 number=9 by=rg"
    missing = "\n".join(line for line in CLEAN.splitlines() if "initial" not in line)
    noted = "\n05/14:50 concern g1 coach_near_scale so\n"
    items = page(looked(swapped + missing + noted)).settle
    about = [item.about for group in items for block in group.blocks for item in block.items]
    assert about == [
        *("elm 2 (e2): ", "elm 9 (e1): "),  # for the weighmasters of ash
        *("ash 1 (a1): ", "ash 2 (a2): "),
        "9:50 AM CDT: ",
    ]


def test_two_players_with_one_number_are_asked_for_by_id() -> None:
    late = CLEAN.replace("weigh g1 ash", "late_weigh g1 ash")
    twice = "05/14:00 number_change ash a2 number=1 by=rg" + late
    lines = told(looked(twice))
    assert "weighbook why g1 --team ash a1" in lines
    assert "weighbook why g1 --team ash a2" in lines


def test_games_that_are_off_or_not_weighed() -> None:
    off = "05/12:00 game_off g1 storm by=rg\n"
    assert told(looked(off))[3] == f"{GAME}: called off."
    second = looked(off, week=2)
    assert page(second).well == (("g2", "Team elm at Team ash", "nobody is weighed yet", ""),)
    assert second.games[0].next is None


def test_the_last_day_up_to_now() -> None:
    assert looked(CLEAN).day.date == "2026-09-05"
    assert looked(CLEAN, now="2026-09-12T12:00:00.000Z").day.week == 2
    with pytest.raises(InputError, match="no game was on 2026-09-01 or before"):
        looked(CLEAN, now="2026-09-01T12:00:00.000Z")
    with pytest.raises(InputError, match="no association grove"):
        looked(CLEAN, association="grove")


def test_somebody_let_in_is_to_be_confirmed_and_then_it_is_settled() -> None:
    """The finding stays a fact, and says who has confirmed it."""
    let_in = CLEAN + "05/14:20 appoint g1 ash value=new-1 to=weighmaster we\n"
    found = looked(let_in)
    assert told(found)[3:] == [
        f"{GAME}: everything except entries. Protests until Mon, Sep 7, 2026, 11:30 AM CDT.",
        "",
        "To be confirmed by the site official, a board member, a president or the registrar",
        "g1: new-1 (new-1), weighmaster of ash, let in by we (appointed_without_authority)",
        "weighbook record appoint --game g1 --team ash --value new-1 --to weighmaster --by WHO",
    ]
    yes = let_in + "06/14:20 appoint g1 ash value=new-1 to=weighmaster rg\n"
    assert told(looked(yes))[5:] == [
        "Confirmed since",
        "g1: new-1 (new-1), weighmaster of ash, let in by we, confirmed by rg",
        "",
        "Nothing to settle.",
    ]
    store = store_of(short_season(yes))
    engine = Engine(store.events())
    (row,) = find(engine, rule="appointed_without_authority").dicts()
    assert row["detail"] == "we let in new-1 as weighmaster; rg confirmed it."
    engine.close()
    store.close()


def test_a_first_game_without_a_mark_says_when_the_mark_came() -> None:
    """The page said that the book has no mark, weeks after the child was marked."""
    unmarked = CLEAN.replace("05/14:36 initial g1 ash a2 ok initials=IL we\n", "")
    said = "ash 2 (a2): The first weigh was not marked in the book"
    assert f"{said}. (book_not_initialed)" in told(looked(unmarked))
    later = unmarked + "12/14:36 initial g2 ash a2 ok initials=IL we\n"
    lines = told(looked(later, week=1, now="2026-09-14T12:00:00.000Z"))
    assert f"{said} until Sep 12 (g2). (book_not_initialed)" in lines


def test_a_game_that_is_over_is_told_in_the_past() -> None:
    missing = CLEAN.replace("05/14:35 weigh g1 ash a2 ok we\n", "")
    lines = told(looked(missing))
    past = "Number 2 of Team ash was not to play in this game: the player was not weighed and was"
    assert any(line.startswith(past) for line in lines)
    going_on = told(
        looked(missing, now="2026-09-05T15:20:00.000Z", as_of="2026-09-05T15:20:00.000Z")
    )
    assert any("Number 2 of Team ash may not play yet" in line for line in going_on)
