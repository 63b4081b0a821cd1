"""What the full record of a packet says: values before typesetting, from tiny seasons.

Game g1 is on Saturday 5 September 2026, g2 a week later; both have ash at home.
"""

from __future__ import annotations

from pathlib import Path

from ledger.papers.press.heads import Heads
from ledger.papers.sheets.packet_context import PacketPaper
from ledger.papers.sheets.packets import packet_sheet
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.store.sqlite.store import SqliteStore
from tests.review.cases_of import OFFICIALS, adds, opens, season
from tests.tiny import TEXTS, day, says, write_folder

SIGNED = (
    says("weigh", at="2026-09-05T08:30", game="g1", team="ash", player="a2", value="over"),
    says("initial", at="2026-09-05T08:30", game="g1", team="ash", player="a2", value="over",
         initials="QX"),
    says("list", at="2026-09-05T08:31", game="g1", team="ash", player="a2", reason="over"),
    says("list", at="2026-09-05T08:32", game="g1", team="ash", player="a1", reason="absent"),
    says("list", at="2026-09-05T08:33", game="g1", team="ash", player="a1", reason="injured",
         ref="slip"),
    says("countersign", at="2026-09-05T08:50", game="g1", team="ash", by="wa"),
    says("countersign", at="2026-09-05T08:51", game="g1", team="ash"),
)  # fmt: skip
FIRST = (
    opens("c0", at="2026-09-05T09:00"),
    says("ruling", at="2026-09-05T09:05", case="c0", by="so", value="upheld", game="g1",
         team="ash", player="a2", may_carry="yes", note="Read both."),
    says("ruling", at="2026-09-05T09:05", case="c0", by="so", value="decided", game="g1",
         team="ash", player="a1", may_play="none", note="About the other."),
    says("ruling", at="2026-09-05T09:06", case="c0", by="ap", value="denied", game="g1",
         team="ash", player="a2", may_carry="no"),
)  # fmt: skip


def paper_of(store: SqliteStore, case: str = "c1") -> PacketPaper:
    paper = packet_sheet(Heads(store), case).context["paper"]
    assert isinstance(paper, PacketPaper)
    return paper


def test_a_second_case_about_the_same_child_names_the_first_and_its_ruling(tmp_path: Path) -> None:
    """The presidents who get the protest must see that a reviewer has ruled before."""
    asks = opens(reason="protest", at="2026-09-06T09:00")
    with season(tmp_path, *SIGNED, *FIRST, asks) as store:
        paper = paper_of(store)
    (other,) = paper.others
    assert (other.case_id, other.shares, other.stands) == (
        "c0", "Earlier, same player", "Ruled, decided otherwise",
    )  # fmt: skip
    assert other.question.startswith("About the weigh-in: No. 2, Ash Trees, g1. Asked by Ivo")
    upheld, decided, denied = other.rulings
    assert "Ruled: upheld. ash 2 in g1 may carry. “Read both.”" in upheld
    assert "Ruled: decided otherwise. ash 1 in g1 does not play. [" in decided
    assert "it changes nothing" in denied
    now = "Plays the whole game and may carry the ball; by a ruling in case c0"
    assert paper.compared[0].lines[0].now.startswith(now)
    ruled = [one.what for one in paper.moments if "ruling" in one.what]
    assert [text.partition(";")[0] for text in ruled] == [
        "No. 2 Ottla Bramblewick: ruling in case c0: upheld",
        "No. 2 Ottla Bramblewick: ruling in case c0: denied",
    ]


def test_a_ruling_of_this_case_is_named_as_such(tmp_path: Path) -> None:
    with season(tmp_path, *SIGNED, *FIRST) as store:
        paper = paper_of(store, "c0")
    assert "by a ruling in this case" in paper.compared[0].lines[0].now
    assert not paper.others


def test_the_list_is_as_it_was_signed_and_later_changes_are_marked(tmp_path: Path) -> None:
    later = (
        says("late_weigh", at="2026-09-05T10:20", game="g1", team="ash", player="a1", value="over"),
        says("strike_off", at="2026-09-05T10:20", game="g1", team="ash", player="a1",
             reason="absent"),
        says("list", at="2026-09-05T10:21", game="g1", team="ash", player="a1", reason="over"),
        says("withdraw", at="2026-09-05T10:22", target="slip", reason="wrong child"),
    )  # fmt: skip
    with season(tmp_path, *SIGNED, *later, opens()) as store:
        (one,) = paper_of(store).lists
    assert (one.is_signed, one.signed_at) == (True, "Sat, Sep 5, 2026, 8:50 AM CDT")
    assert {line.reason: (line.struck, line.later) for line in one.lines} == {
        "absent": ("", "crossed off 10:20 AM CDT, Ivo Larkspur; weighed late"),
        "injured": ("", "withdrawn, no longer on the list; weighed late"),
        "over": ("", ""),
    }
    assert [(line.reason, line.later) for line in one.added] == [("over", "weighed late")]
    assert any(text.startswith("No. 1: ") for text in one.since)


def test_a_listed_player_who_was_ruled_on_later_is_marked(tmp_path: Path) -> None:
    """“What was entered later is marked”, and No. 2, ruled on since, was not."""
    ruled = adds("ruling", by="so", value="upheld", game="g1", team="ash", player="a2",
                 may_carry="yes")  # fmt: skip
    with season(tmp_path, *SIGNED, opens(), ruled) as store:
        (one,) = paper_of(store).lists
    assert {line.reason: line.later for line in one.lines}["over"] == "ruled on"


def test_a_list_that_nobody_signed_has_nothing_later(tmp_path: Path) -> None:
    struck = says("strike_off", at="2026-09-05T10:20", game="g1", team="ash", player="a1",
                  reason="absent")  # fmt: skip
    with season(tmp_path, *SIGNED[:4], struck, opens()) as store:
        (one,) = paper_of(store).lists
    assert (one.is_signed, one.added, one.unsigned) == (False, (), ("Ash Trees", "Elm Trees"))
    assert [(line.struck, line.later) for line in one.lines] == [
        ("10:20 AM CDT, Ivo Larkspur", ""), ("", ""),
    ]  # fmt: skip


def test_the_history_is_short_and_marks_what_decides(tmp_path: Path) -> None:
    lines = (
        says("scale_out", at="2026-09-12T09:30", game="g2", reason="no power"),
        says("late_weigh", at="2026-09-12T09:40", game="g2", team="ash", player="a2",
             value="no_scale"),
        opens(game="g2", at="2026-09-12T10:00"),
    )  # fmt: skip
    with season(tmp_path, *SIGNED, *lines) as store:
        (table,) = paper_of(store).history
    assert table.player == "No. 2 Ottla Bramblewick"
    first, second = table.lines
    assert (first.when, first.weighed, first.mark, first.is_asked) == (
        "Sep 5, 2026, g1, No. 2", "Over", "Over, initials QX", False,
    )  # fmt: skip
    assert "the book mark" in first.remarks
    assert (second.weighed, second.mark, second.is_asked) == (
        "Late: came; scale out of use", "", True,
    )  # fmt: skip
    assert second.held.endswith("by the book, scale out of use")


def test_a_game_that_is_off_is_in_the_history_and_says_so(tmp_path: Path) -> None:
    off = says("game_off", at="2026-09-05T09:50", game="g1", by="so", reason="lightning")
    with season(tmp_path, *SIGNED, off, opens(game="g2", at="2026-09-12T10:00")) as store:
        ((first, *_),) = (table.lines for table in paper_of(store).history)
    assert (first.when, first.mark) == ("Sep 5, 2026, g1", "Over, initials QX")
    assert first.held == "The game is off. A mark made in it stays in the book."
    assert first.remarks[0] == "the book mark"


def test_of_many_players_eight_have_their_games_listed(tmp_path: Path) -> None:
    """Ten children whom nobody knows: a roster question without a player asks about all of them."""
    strangers = [
        says("weigh", at=f"2026-09-05T09:{number}", game="g1", team="ash", number=number,
             name=f"Invented {number}", value="ok")
        for number in range(20, 30)
    ]  # fmt: skip
    with season(tmp_path, *strangers, opens(reason="roster", player=None)) as store:
        paper = paper_of(store)
    assert len(paper.history) == 8
    assert paper.history_note == "2 more players: not shown."


def test_findings_of_one_rule_about_the_same_thing_are_one_line(tmp_path: Path) -> None:
    lines = [
        says("at_scale", at=f"2026-09-05T{clock}", entered="2026-09-05T12:00", game="g1",
             team="ash", by="wa")
        for clock in ("07:20", "08:20", "09:20")
    ]  # fmt: skip
    with season(tmp_path, *SIGNED, *lines, opens()) as store:
        found = [one for one in paper_of(store).findings if one.detail.endswith("are alike.")]
    assert [len(one.events) for one in found] == [3]


def test_a_day_that_was_recorded_later_at_one_moment_says_so_once(tmp_path: Path) -> None:
    """Saturday's sheet is typed in on Sunday; Monday's question is recorded as it is asked."""
    folder, path = tmp_path / "season", tmp_path / "tiny.weighbook"
    asks = opens(at="2026-09-07T09:00")
    for clock, days in (
        ("2026-09-06T20:00:00.000Z", {"01.csv": day(*SIGNED)}),
        ("2026-09-07T14:00:00.000Z", {"01.csv": day(*SIGNED), "02.csv": day(asks)}),
    ):
        write_folder(folder, days=days, officials=OFFICIALS)
        with open_or_make(path) as store:
            store.clock = lambda now=clock: now
            with store.writing() as writing:
                load_folder(writing, read_folder(folder), chain="office")
            paper = paper_of(store) if "02.csv" in days else None
    assert paper is not None
    assert paper.recorded == ""
    saturday, *rest = paper.moments
    assert saturday.recorded == "Sun, Sep 6, 2026, 3:00 PM CDT"
    assert not any(one.recorded or "recorded" in one.times for one in rest)


def test_a_ruling_without_authority_changes_no_signed_list(tmp_path: Path) -> None:
    """“Changed after signing: No. 43” stood beside a list in which nothing had changed."""
    outside = says("ruling", at="2026-09-05T09:06", case="c1", by="ap", value="upheld", game="g1",
                   team="ash", player="a2", may_carry="yes")  # fmt: skip
    with season(tmp_path, *SIGNED, opens(), outside) as store:
        (one,) = paper_of(store).lists
    assert one.since == ()
    assert {line.state for line in one.signatures} == {"Signed, no changes since"}


def test_what_was_received_by_then_is_shown_where_it_is_neither(tmp_path: Path) -> None:
    """One row was as signed, the other as now; a sentence said that all were as now."""
    folder, path = tmp_path / "season", tmp_path / "tiny.weighbook"
    came = says("late_weigh", at="2026-09-05T10:20", game="g1", team="ash", player="a1", value="ok")
    ruled = says("ruling", at="2026-09-07T09:05", case="c1", by="so", value="upheld", game="g1",
                 team="ash", player="a2", may_carry="yes")  # fmt: skip
    first, second = (*SIGNED, came), (opens(at="2026-09-07T09:00"), ruled)
    for clock, days in (
        ("2026-09-06T20:00:00.000Z", {"01.csv": day(*first)}),
        ("2026-09-07T15:00:00.000Z", {"01.csv": day(*first), "02.csv": day(*second)}),
    ):
        write_folder(folder, days=days, officials=OFFICIALS)
        with open_or_make(path) as store:
            store.clock = lambda now=clock: now
            with store.writing() as writing:
                load_folder(writing, read_folder(folder), chain="office")
            paper = paper_of(store) if "02.csv" in days else None
    assert paper is not None
    (table,) = paper.compared
    assert table.recorded == "As the ledger had received it by Sun, Sep 6, 2026, 3:00 PM CDT"
    asked, other = table.lines
    assert (asked.recorded, other.recorded) == (asked.then, other.now)


def test_players_come_by_number(tmp_path: Path) -> None:
    """Twins 8 and 18 came as 18 and 8 in every table that went by id."""
    swapped = TEXTS["players"].replace("a1,ash,1,", "a1,ash,9,")
    rulings = [
        says("ruling", at="2026-09-05T09:05", case="c1", by="ap", value="decided", game="g1",
             team="ash", player=player, may_play="full")
        for player in ("a1", "a2")
    ]  # fmt: skip
    lines = (*SIGNED, opens(reason="roster", player=None), *rulings)
    with season(tmp_path, *lines, players=swapped) as store:
        sheet = packet_sheet(Heads(store), "c1", "protest_packet")
        paper = sheet.context["paper"]
    assert isinstance(paper, PacketPaper)
    assert paper.protest is not None
    assert [table.player[:5] for table in paper.history] == ["No. 2", "No. 9"]
    assert [table.title[:5] for table in paper.protest.tried] == ["No. 2", "No. 9"]
    assert [line.looked_up for line in paper.leads if "No." in line.looked_up] == ["No. 2", "No. 9"]


def test_an_appointment_has_a_name(tmp_path: Path) -> None:
    appoints = says("appoint", at="2026-09-05T08:00", game="g1", by="so", value="pc",
                    to="head_official")  # fmt: skip
    with season(tmp_path, appoints, *SIGNED, opens()) as store:
        paper = paper_of(store)
    (what,) = (one.what for one in paper.moments if one.what.startswith("Appointed"))
    assert not what.startswith("Appointed pc")


def test_a_player_who_came_too_late_does_not_play_for_that_reason(tmp_path: Path) -> None:
    late = (
        says("half", at="2026-09-05T10:40", game="g1", half=1, by="so"),
        says("late_weigh", at="2026-09-05T10:50", game="g1", team="ash", player="a1", value="ok"),
    )
    with season(tmp_path, *SIGNED, *late, opens()) as store:
        (table,) = paper_of(store).compared
    assert [line.now for line in table.lines if line.player == "No. 1"] == [
        "Does not play; weighed too late; listed as absent and as injured"
    ]


def test_late_arrivals_are_not_what_both_sides_signed(tmp_path: Path) -> None:
    """“Both sides signed the list as it stands” left out the late child that was asked about."""
    came = says("late_weigh", at="2026-09-05T10:20", game="g1", team="ash", player="a1", value="ok")
    plain = (*SIGNED[:3], *SIGNED[5:])
    agreed = []
    for folder, more in (("signed", ()), ("late", (came,))):
        with season(tmp_path / folder, *plain, *more, opens(reason="protest")) as store:
            protest = paper_of(store).protest
        assert protest is not None
        agreed += protest.agreed
    signed = "Both sides signed the list of Ash Trees in game g1"
    assert agreed == [
        f"{signed} as it stands.",
        f"{signed}; only late arrivals and rulings came since.",
    ]


def test_what_was_counted_once_is_neither_agreed_nor_not(tmp_path: Path) -> None:
    """“No two counts that agree” stood beside “no two counts that differ”."""
    counted = says("plays", at="2026-09-05T10:20", by="pc", half=1, count=4, game="g1", team="ash",
                   player="a2")  # fmt: skip
    found = []
    for folder, more in (("none", ()), ("once", (counted,))):
        with season(tmp_path / folder, *more, opens(reason="protest")) as store:
            protest = paper_of(store).protest
        assert protest is not None
        found.append((protest.agreed[0].partition(". ")[0], *protest.open))
    assert found == [
        ("No counts of plays in this case", "No counts of plays in this case."),
        ("No half has two counts to compare", "No half has two counts to compare."),
    ]


def test_a_reviewer_who_passed_a_case_on_did_that(tmp_path: Path) -> None:
    """“Took part, no ruling” stood beside “Passed to the division president”."""
    passed = adds("case_refer", by="so", to="division_president")
    with season(tmp_path, opens(), passed) as store:
        reviewers = paper_of(store).reviewers
    assert reviewers[0].standing == "Passed it on"


def test_a_child_under_two_ids_is_named_under_both(tmp_path: Path) -> None:
    """“another player, k178” was the child in question, on the roster two days later."""
    roster = TEXTS["players"] + "k9,,,Bo Yarrow\n"
    entered = says("weigh", at="2026-09-05T08:33", game="g1", team="ash", number=7,
                   name="Bo Yarrow", value="ok")  # fmt: skip
    added = says("roster_add", at="2026-09-07T18:00", by="rg", team="ash", player="k9", number=7)
    asks = opens(reason="roster", player="unlisted-g1-ash-7", at="2026-09-07T19:00")
    with season(tmp_path, *SIGNED, entered, added, asks, players=roster) as store:
        paper = paper_of(store)
    assert [one.what for one in paper.moments if "added to the roster" in one.what] == [
        "Bo Yarrow (k9): added to the roster as number 7"
    ]
    assert paper.leads[0].now == ("No. 7 Bo Yarrow (k9)",)
