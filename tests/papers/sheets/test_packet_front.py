"""A packet's first page and its decision form, before they are set."""

from __future__ import annotations

import re
from dataclasses import asdict
from pathlib import Path

import pytest

from ledger.derive.queries import queries
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.packet_context import PacketPaper
from ledger.papers.sheets.packet_front_context import FrontShown
from ledger.papers.sheets.packets import packet_sheet
from ledger.say import packet_front as say
from ledger.say import packets
from ledger.store.sqlite.store import SqliteStore
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

ABOUT = {"game": "g1", "team": "ash", "player": "a2"}
PLAYED = (
    says("list", **ABOUT, at="2026-09-05T08:20", by="ca", reason="absent"),
    says("close", game="g1", team="ash", at="2026-09-05T09:30"),
    says("countersign", game="g1", team="ash", at="2026-09-05T09:31", by="wa"),
    says("late_weigh", **ABOUT, at="2026-09-05T10:10", value="ok"),
    says("plays", **ABOUT, at="2026-09-05T10:20", by="pc", half=1, count=2),
    says("plays", **ABOUT, at="2026-09-05T10:30", by="pc", half=1, count=4),
    says("half", game="g1", at="2026-09-05T10:40", half=1),
    says("half", game="g1", at="2026-09-05T11:30", half=2),
)
PROTEST = {"reason": "protest", "by": "we"}
IN_TIME = opens(**PROTEST, at="2026-09-06T09:00", note="2 had plays before the half.")
LATE = opens("c2", **PROTEST, at="2026-09-09T09:00", note="Finding played_first_half (ash 2): "
             "4 plays of the first half for a player of the second half. [office:5]")  # fmt: skip
UPHELD = adds("ruling", at="2026-09-08T09:00", by="dp", value="upheld", note="Four too many.")
AGAIN = adds("ruling", case="c2", at="2026-09-10T09:00", by="ho", value="denied", **ABOUT,
             may_play="full")  # fmt: skip


def paper(store: SqliteStore, case: str) -> PacketPaper:
    found = packet_sheet(Heads(store), case).context["paper"]
    assert isinstance(found, PacketPaper)
    return found


def facts(front: FrontShown) -> dict[str, tuple[str, bool]]:
    return {fact.label: (fact.text, fact.strong) for fact in front.facts}


@pytest.fixture(scope="module")
def asked_twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[PacketPaper, PacketPaper]:
    """The same question in time, and again when it was too late."""
    folder = tmp_path_factory.mktemp("twice")
    with season(folder, *PLAYED, IN_TIME, UPHELD, LATE, AGAIN) as store:
        return paper(store, "c1"), paper(store, "c2")


def test_a_protest_in_time(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    text, strong = facts(asked_twice[0].front)["Asked in time?"]
    assert text == (
        "Yes. Protests about this game were due Mon, Sep 7, 2026, 11:30 AM CDT."
        " This one came Sun, Sep 6, 2026, 9:00 AM CDT."
    )
    assert not strong


def test_only_protests_have_a_time_limit(tmp_path: Path) -> None:
    """“Yes” stood beside the day until which it is to be decided, and beside “late”."""
    with season(tmp_path, opens(reason="plays")) as store:
        told = facts(paper(store, "c1").front)
    assert told["Asked in time?"] == (say.NO_LIMIT, False)
    assert told["To be decided by"][0] == "Sat, Sep 12, 2026, 9:00 AM CDT. The time is over."


@pytest.mark.parametrize(
    ("weighed", "now"),
    [
        ((), "Does not play; not weighed"),
        (("over",), "Plays the whole game but does not carry the ball; by the scale"),
    ],
)
def test_why_it_is_as_it_is_now(tmp_path: Path, weighed: tuple[str, ...], now: str) -> None:
    """“Does not play; listed as over”: a player over the limit plays, one not weighed does not."""
    listed = says("list", **ABOUT, at="2026-09-05T08:20", by="ca", reason="over")
    weighs = [says("weigh", **ABOUT, at="2026-09-05T08:40", value=value) for value in weighed]
    with season(tmp_path, listed, *weighs, opens()) as store:
        (cell,) = paper(store, "c1").front.answers.rows[0].cells
    assert cell == f"{now}; listed as over the carrier limit"


def test_a_late_protest_stands_out(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    text, strong = facts(asked_twice[1].front)["Asked in time?"]
    assert text.startswith("No. ")
    assert "This one came Wed, Sep 9, 2026, 9:00 AM CDT, 1 day late." in text
    assert strong


def test_whether_to_hear_a_late_protest_is_asked_while_it_is_open(
    asked_twice: tuple[PacketPaper, PacketPaper], tmp_path: Path
) -> None:
    """“You decide whether to hear it” stood on a case that was closed."""
    assert say.HEAR_LATE not in facts(asked_twice[1].front)["Asked in time?"][0]
    with season(tmp_path, *PLAYED, LATE) as store:
        first = paper(store, "c2").front
    assert say.HEAR_LATE in facts(first)["Asked in time?"][0]
    assert first.meanings[1] == ("Denied", "The protest is not right, or too late to hear.")


def test_what_was_ruled_before_stands_out(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    """The second case of a child and a game was silent about the first."""
    text, strong = facts(asked_twice[1].front)["Answered before?"]
    assert text == (
        "Yes. Case c1 asked about the same player in this game: upheld, by Eve Merriweather,"
        " division president, Tue, Sep 8, 2026, 9:00 AM CDT. “Four too many.”"
    )
    assert strong


def test_what_was_ruled_later_is_no_earlier_answer(
    asked_twice: tuple[PacketPaper, PacketPaper],
) -> None:
    text, _ = facts(asked_twice[0].front)["Answered before?"]
    assert text.startswith("No, but asked again. Case c2 asked about the same player in this game:")


def test_the_ruling_that_holds_names_its_case(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    """c2 decides; a reader of c1 must learn that."""
    now = asked_twice[0].front.answers.rows[0]
    assert now.answer == "As it is now"
    assert now.cells[0].endswith("by the ruling in case c2")


def test_the_story_in_five_dated_lines(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    assert [(line.when, line.what) for line in asked_twice[0].front.story] == [
        ("Sat, Sep 5, 10:10 AM CDT", "No. 2: weighed late, not over the carrier limit."),
        ("Sat, Sep 5, 10:30 AM CDT", "No. 2: 4 plays in the first half."),
        ("Sun, Sep 6, 9:00 AM CDT", "The question was asked."),
        ("Tue, Sep 8, 9:00 AM CDT", "Ruled: upheld."),
        ("Thu, Sep 10, 9:00 AM CDT", "Ruled in case c2: denied; No. 2 plays the whole game."),
    ]


def test_the_question_has_no_rule_and_no_event_id(
    asked_twice: tuple[PacketPaper, PacketPaper],
) -> None:
    first = asked_twice[1].front
    assert first.said == (
        "From the ledger’s findings: 4 plays of the first half for a player of the second half."
    )
    text = str(asdict(first))
    assert not re.search(r"\b(office|table):\d", text)
    assert not [rule for rule in queries() if "_" in rule and rule in text]


def test_a_persons_own_words_stay_as_they_are() -> None:
    for note in ("Finding him took a while [sic]", "Finding a", "8 wore 18", "", None):
        assert say.plain_note(note) == ""


def test_each_answer_and_what_the_words_mean(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    answers = asked_twice[0].front.answers
    assert answers.players == ("No. 2 Ottla Bramblewick",)
    assert [(row.answer, *row.cells) for row in answers.rows[1:]] == [
        ("Plays the second half only", "Plays the second half only and may carry the ball"),
        ("Does not play", "Does not play"),
        ("Does not carry the ball", "Plays the whole game but does not carry the ball"),
    ]
    assert answers.notes[0] == (
        "“Plays the whole game” and “May carry the ball” would change nothing: that holds already."
    )
    assert asked_twice[0].front.meanings[:2] == (
        ("Upheld", "The protest is right."),
        ("Denied", "The protest is not right."),
    )


def test_the_form_has_what_was_ruled(asked_twice: tuple[PacketPaper, PacketPaper]) -> None:
    form = asked_twice[1].decision
    assert form is not None
    ticked = [word for word, is_ticked in form.verdict.words if is_ticked]
    assert ticked == ["denied"]
    (player,) = form.players
    assert player.player == "No. 2 Ottla Bramblewick, Ash Trees, game g1"
    assert [[word for word, yes in choice.words if yes] for choice in player.choices] == [
        ["whole game"],
        ["nothing said"],
    ]
    assert form.signatures[0].name == "Sol Bramblecote"
    assert form.ruled == "Sol Bramblecote, Thu, Sep 10, 2026, 9:00 AM CDT"


def test_rulings_of_one_go_have_one_time_and_one_reason(tmp_path: Path) -> None:
    """The form had no reason: it took the last of two rulings, and the first had the words."""
    one, two = (
        adds("ruling", at=f"2026-09-08T09:0{minute}", by="dp", value="decided", **about)
        for minute, about in (
            (0, ABOUT | {"may_carry": "no", "note": "They swapped shirts."}),
            (1, ABOUT | {"player": "a1", "may_carry": "yes"}),
        )
    )
    with season(tmp_path, *PLAYED, IN_TIME, one, two) as store:
        first = paper(store, "c1")
    assert first.decision is not None
    assert first.decision.because == "“They swapped shirts.”"
    assert first.decision.ruled.endswith("9:00 AM CDT")
    assert "9:00 AM CDT" in facts(first.front)["Where it stands"][0]


def test_what_held_before_the_ruling(tmp_path: Path) -> None:
    """“Plays the whole game, by the ruling” did not say that the player had not been weighed."""
    listed = says("list", **ABOUT, at="2026-09-05T08:20", by="ca", reason="over")
    changes, agrees = (
        adds("ruling", at="2026-09-08T09:00", by="so", value="decided", **ABOUT, may_play=plays)
        for plays in ("full", "none")
    )
    was = "Before the ruling: does not play; not weighed; listed as over the carrier limit."
    for folder, ruled, ends in (
        ("changes", changes, was),
        ("agrees", agrees, "the player does not play."),
    ):
        with season(tmp_path / folder, listed, opens(), ruled) as store:
            text, _ = facts(paper(store, "c1").front)["What was ruled"]
        assert text.endswith(ends)


def test_a_ruling_made_again_has_its_own_reason(tmp_path: Path) -> None:
    one, two = (
        adds("ruling", at=f"2026-09-08T09:0{minute}", by="dp", value="decided", **ABOUT,
             may_carry=carries, note=note)
        for minute, carries, note in ((0, "no", "He swapped."), (1, "yes", "No, he did not."))
    )  # fmt: skip
    with season(tmp_path, *PLAYED, IN_TIME, one, two) as store:
        form = paper(store, "c1").decision
    assert form is not None
    assert (form.because, form.ruled[-11:]) == ("“No, he did not.”", "9:01 AM CDT")


def test_an_open_question_leaves_the_form_open(tmp_path: Path) -> None:
    """Only one official is a division president here besides `both`, so the name is left open."""
    with season(tmp_path, *PLAYED[:1], opens(reason="roster")) as store:
        first = paper(store, "c1")
    form = first.decision
    assert form is not None
    boxes = [form.verdict, *form.players[0].choices]
    assert not [word for choice in boxes for word, is_ticked in choice.words if is_ticked]
    assert (form.because, form.lines, form.pass_on) == ("", 5, "division president")
    assert form.signatures[0].side == "Association president"
    assert form.signatures[0].name == "Per Hollowell"
    assert form.signatures[1].name == "Ivo Larkspur"
    assert "No reviewer has ruled." in first.front.facts[0].text


def test_a_ruling_without_authority_is_told_and_counts_for_nothing(tmp_path: Path) -> None:
    other = adds("ruling", "09:20", by="ap", value="upheld", **ABOUT, may_carry="no")
    with season(tmp_path, *PLAYED, opens(), other) as store:
        first = paper(store, "c1")
    assert facts(first.front)["Does not count"][0] == (
        "Per Hollowell, association president, entered a ruling: upheld; the player does not carry"
        " the ball. Not a reviewer of this kind of question, so it changes nothing."
    )
    assert first.decision is not None
    assert not any(is_ticked for _, is_ticked in first.decision.verdict.words)


def test_the_story_leaves_exhibits_to_the_exhibits(tmp_path: Path) -> None:
    """They crowded out what decided."""
    files = [adds("case_exhibit", by="we", value=f"{n:064d}") for n in range(3)]
    with season(tmp_path, *PLAYED[:4], opens(), *files) as store:
        story = paper(store, "c1").front.story
    assert [line.what for line in story] == [
        "No. 2: put on the list as absent.",
        "The question was asked.",
        "Ash Trees: the list was signed for the first time.",
        "No. 2: weighed late, not over the carrier limit.",
    ]


def test_an_answered_question_asks_about_another_answer(
    asked_twice: tuple[PacketPaper, PacketPaper],
) -> None:
    """“What your answer would change” stood under “Closed. Ruled: upheld”."""
    assert asked_twice[0].front.is_answered


def test_a_question_about_no_player(tmp_path: Path) -> None:
    with season(tmp_path, opens(reason="safety", team=None, player=None)) as store:
        first = paper(store, "c1")
    assert first.front.answers.rows == ()
    assert first.front.answers.notes == (say.NO_PLAYER, say.RESULT)
    assert not first.front.is_answered
    assert first.decision is not None
    assert first.decision.players == ()


def test_what_an_answer_does_to_the_result_is_left_to_the_league(
    asked_twice: tuple[PacketPaper, PacketPaper], tmp_path: Path
) -> None:
    assert asked_twice[0].front.answers.notes[-1] == say.RESULT
    with season(tmp_path, opens(reason="other", game=None, team=None, player=None)) as store:
        assert say.RESULT not in paper(store, "c1").front.answers.notes


def test_the_command_has_what_the_question_leaves_open(tmp_path: Path) -> None:
    """Typed as printed, a ruling on a player was refused: the question named only the team."""
    with season(tmp_path, *PLAYED, opens(player=None), opens("c2", team=None)) as store:
        of_team, of_player = (paper(store, case).decision for case in ("c1", "c2"))
    assert of_team
    assert of_player
    assert of_team.command == (
        "weighbook case rule c1 --value … --number … --may-play … --may-carry … --by … --close"
    )
    assert of_team.to_enter == "To enter it, once for each player:"
    assert of_player.to_enter == "To enter it:"
    assert "--number" not in of_player.command


def test_a_question_who_carries_asks_that(tmp_path: Path) -> None:
    """“Denied: this weigh-in was in order” stood under a scale that was out of use."""
    note = "Finding carrier_undecided (ash 2): No scale and no mark. [office:5]"
    with season(tmp_path, opens(note=note)) as store:
        front = paper(store, "c1").front
    assert front.question == "May number 2 of Ash Trees in game g1 carry the ball?"
    assert front.said == "From the ledger’s findings: No scale and no mark."
    assert front.meanings[:2] == (
        ("Upheld", "The player may carry the ball."),
        ("Denied", "The player does not carry the ball."),
    )


def test_an_earlier_question_about_all_numbers_may_have_answered_this_one(tmp_path: Path) -> None:
    """The packet said “Not this question”; the first case asked about that number, too."""
    first = opens("c0", reason="roster", player=None, at="2026-09-05T08:50")
    ruled = adds("ruling", "08:55", case="c0", by="ap", value="decided", game="g1", team="ash",
                 player="a1", may_play="full")  # fmt: skip
    with season(tmp_path, *PLAYED, first, ruled, opens(reason="roster")) as store:
        first_page = paper(store, "c1")
    text, strong = facts(first_page.front)["Answered before?"]
    assert text == (
        "Perhaps. Case c0 asked about the numbers of this team in this game: decided otherwise, by"
        " Per Hollowell, association president, Sat, Sep 5, 2026, 8:55 AM CDT. Its rulings do not"
        " name this player."
    )
    assert strong
    assert [one.shares for one in first_page.others] == ["Earlier, same roster question"]


def test_a_question_about_a_team_can_still_change_who_plays(tmp_path: Path) -> None:
    """The form has room for a player; the first page said that no answer changes who plays."""
    with season(tmp_path, *PLAYED, opens(reason="protest", player=None)) as store:
        first = paper(store, "c1")
    assert first.front.answers.notes == (say.NAME_ONE, say.RESULT)
    assert first.decision is not None
    assert [one.player for one in first.decision.players] == [""]


def test_only_plays_that_count_are_counted() -> None:
    """“6 plays counted” stood beside 4 and 6 plays."""
    row = {"status": "short", "recorded": 6, "required": 10, "short": 4}
    assert packets.plays_due(row | {"due_for": "second_half"}) == (
        "6 plays counted after the first half, 10 due: 4 short"
    )
    assert packets.plays_due(row | {"due_for": "full"}) == "6 plays counted, 10 due: 4 short"
