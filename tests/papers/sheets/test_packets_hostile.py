"""Packets where every text is hostile, and where something was withdrawn, erased or not signed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.papers.sheets.packet_parts import ERASED, MOST_LETTERS
from ledger.papers.sheets.packets import STATEMENTS, Kind
from ledger.store.erasure import erase, events_of_child
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import squeeze
from tests.papers.sheets.hostile_case import (
    CASE,
    GAME,
    LONG,
    MARKUP,
    NAME,
    OFFICIALS,
    TEAM,
    hostile_case,
)
from tests.papers.sheets.packet_pages import Printed, childrens_names, outside_margins, print_packet
from tests.review.cases_of import adds, opens, season
from tests.tiny import says

KINDS: tuple[Kind, ...] = ("review_packet", "protest_packet")


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    with hostile_case(tmp_path_factory.mktemp("hostile")) as made:
        yield made


@pytest.fixture(scope="module", params=KINDS)
def hostile(
    request: pytest.FixtureRequest, store: SqliteStore, tmp_path_factory: pytest.TempPathFactory
) -> Printed:
    return print_packet(store, CASE, request.param, tmp_path_factory.mktemp("h") / "packet.pdf")


def test_nothing_leaves_its_page(hostile: Printed) -> None:
    """Margins are 15 mm; the bar of the question may stand out of them by its own width."""
    assert not list(outside_margins(hostile.path, side_mm=14))


def test_the_answer_is_on_the_first_page_however_long_the_remark(hostile: Printed) -> None:
    first = squeeze(hostile.pages[0])
    assert squeeze(f"Is the protest about number 7 of {TEAM} in game {GAME} right") in first
    assert (
        squeeze(f"“{LONG[:MOST_LETTERS].rstrip()} …” (whole in “What the ledger shows”)") in first
    )
    assert squeeze("Ruled: denied, by Eve <i>Merriweather</i>, division president") in first
    assert hostile.says(f"No. 7 {NAME} As it is now Plays the whole game and may carry the ball")
    assert hostile.says(LONG)


def test_text_is_text_and_nothing_else(hostile: Printed) -> None:
    assert hostile.text.count(squeeze(MARKUP)) >= 15
    for _, name, _, _ in OFFICIALS[:2] + OFFICIALS[3:4]:
        assert hostile.says(name)
    for number, page in enumerate(hostile.pages, start=1):
        assert f"Page {number} of {len(hostile.pages)}" in page
        assert "Children’s names." in page
    assert hostile.says("letters that this paper’s fonts do not have")


def test_every_line_of_forty_is_there_and_no_name_of_theirs(
    hostile: Printed, store: SqliteStore
) -> None:
    for number in range(0, 40, 3):
        assert hostile.says(f"No. {number} Over the carrier limit 8:20 AM CDT, Ana {MARKUP}")
    everything, names = hostile.everything(), childrens_names(store)
    assert len(names) == 41
    assert [name for name in names.values() if squeeze(name) in everything] == [NAME]


def test_what_was_withdrawn_is_there_with_its_withdrawal(hostile: Printed) -> None:
    (slip,) = [one for one in hostile.paper.moments if one.struck and one.said]
    (back,) = [one for one in hostile.paper.moments if slip.id in one.what]
    assert hostile.says(f"{slip.what} Withdrawn by {back.id}; it does not count {slip.said}")
    assert hostile.says(f"Withdrawn: {slip.id} “wrong {MARKUP}”")


def test_a_ruling_of_somebody_else_changes_nothing(hostile: Printed) -> None:
    (text,) = hostile.paper.outside
    assert text.endswith("so it changes nobody’s eligibility.")
    assert hostile.says("Ruled: denied")


def test_of_much_that_one_reviewer_said_the_timeline_has_it(hostile: Printed) -> None:
    assert hostile.says("Said something 6 times: see “What the ledger shows”.")
    for number in range(6):
        assert hostile.says(f"Said “{number} {MARKUP}”")


def test_counts_that_differ_are_not_agreed(hostile: Printed) -> None:
    if hostile.paper.protest:
        assert hostile.says("counted 3 and")
        assert hostile.says("The ledger has no two counts that agree")


# Smaller seasons

SIGNED = (
    says("weigh", at="2026-09-05T08:30", game="g1", team="ash", number=2, value="over",
         note="about the child"),
    says("list", at="2026-09-05T08:31", game="g1", team="ash", number=2, reason="over"),
    says("countersign", at="2026-09-05T08:50", game="g1", team="ash", by="wa"),
)  # fmt: skip


def test_what_was_erased_is_shown_as_erased(tmp_path: Path) -> None:
    with season(tmp_path, *SIGNED, opens(note="Ottla was weighed in shoes")) as made:
        events = events_of_child(made, "a2")
        erase(made, events, by="rg", reason="the family asks", chain="office", player="a2")
        printed = print_packet(made, "c1", "review_packet", tmp_path / "packet.pdf")
    assert printed.says("No. 2 (name erased)")
    assert printed.text.count(squeeze(ERASED)) == 3  # the question, and both in the timeline
    everything = printed.everything()
    for gone in ("Ottla", "Bramblewick", "about the child", "weighed in shoes"):
        assert squeeze(gone) not in everything
    statements = json.loads(printed.files[STATEMENTS])["statements"]
    texts = {text for one in statements for text in one.get("texts", {}).items()}
    assert {("name", None), ("note", None)} <= texts


def test_a_question_that_was_taken_back_is_not_decided(tmp_path: Path) -> None:
    back = says("withdraw", at="2026-09-05T09:30", target="asked", reason="a misunderstanding")
    with season(tmp_path, *SIGNED, opens(ref="asked"), back) as made:
        printed = print_packet(made, "c1", "protest_packet", tmp_path / "packet.pdf")
    assert squeeze("Withdrawn by the person who asked.") in squeeze(printed.pages[0])
    assert printed.says("Nobody: the question was withdrawn.")
    assert not printed.says("I decide this question as written here.")
    assert printed.says("The question was withdrawn, so nobody rules on it.")
    assert printed.says("“a misunderstanding”")


def test_a_question_for_somebody_who_does_not_review_it(tmp_path: Path) -> None:
    """Passed to the registrar, who is no reviewer of a weigh-in: the next in order decides."""
    passed = adds("case_refer", by="so", to="registrar")
    with season(tmp_path, *SIGNED[:2], opens(), passed) as made:
        printed = print_packet(made, "c1", "review_packet", tmp_path / "packet.pdf")
    assert printed.says("Open, with the registrar.")
    assert printed.says("by the head official, who is next in the league’s order.")
    assert printed.says("Nobody signed")
    assert printed.says("Nobody signed this list. This is how it stands.")
    assert printed.says("No weighmaster of Ash Trees signed it.")


def test_without_the_chains_key_the_statements_go_along_all_the_same(tmp_path: Path) -> None:
    with season(tmp_path, *SIGNED, opens()) as made:
        made.connection.execute("delete from key")
        printed = print_packet(made, "c1", "review_packet", tmp_path / "packet.pdf")
    assert sorted(printed.files) == ["paper.json", STATEMENTS]
    assert printed.says("No proof is attached to this copy: the key of the chain office is not")
