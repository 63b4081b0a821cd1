"""Which games a week has, and which papers."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import InputError, RuleError
from ledger.papers.press.paper_file import parse_paper
from ledger.papers.sheets.weeks import PAPERS_A_GAME, find_week, lay_week
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.sqlite.store import SqliteStore
from tests.signed_season import CHAIN, season


def test_a_week_is_the_nth_day_with_games(signed: SqliteStore) -> None:
    week = find_week(signed, 5)
    assert week.day == "Oct 3, 2026"
    assert week.games == (
        ("0900", "acorn-5a"), ("0900", "acorn-5b"), ("1130", "oak-5a"), ("1130", "oak-5b"),
    )  # fmt: skip
    assert week.off == ()


def test_a_moved_game_stands_where_it_was_moved_to_and_one_that_is_off_is_told(
    signed: SqliteStore,
) -> None:
    week = find_week(signed, 3)
    assert week.games == (("0900", "acorn-3a"), ("1130", "oak-3a"), ("1430", "acorn-3b"))
    assert week.off == ("oak-3b",)


def test_there_is_no_such_week(signed: SqliteStore) -> None:
    with pytest.raises(InputError, match="no week 8") as caught:
        find_week(signed, 8)
    assert caught.value.hint == "Week 1 is Sep 5, 2026; the last, week 7, is Oct 17, 2026."


def test_a_week_of_other_days_counts_dates_not_saturdays(tmp_path: Path) -> None:
    """A game of the first Saturday, moved to the Monday after, makes that Monday week 2."""
    with season(tmp_path / "season.weighbook", signed=False) as store:
        now = now_utc()
        moved = Accepted(
            "game_change",
            {"kickoff": "2026-09-07T23:00:00.000Z"},
            at=now, entered=now, by="registrar", game="oak-1b",
        )  # fmt: skip
        with store.writing() as writing:
            writing.append([moved], chain=CHAIN)
        assert find_week(store, 2).games == (("1800", "oak-1b"),)
        assert find_week(store, 2).day == "Sep 7, 2026"
        assert find_week(store, 3).day == "Sep 12, 2026"


def test_every_game_has_all_its_papers_the_visitors_first(signed: SqliteStore) -> None:
    names = [name for name, _ in lay_week(signed, find_week(signed, 1))]
    assert len(names) == 4 * PAPERS_A_GAME
    assert names[:9] == [
        "0900-acorn-1a-list-marmots.pdf",
        "0900-acorn-1a-list-newts.pdf",
        "0900-acorn-1a-book-marmots.pdf",
        "0900-acorn-1a-book-newts.pdf",
        "0900-acorn-1a-card.pdf",
        "0900-acorn-1a-blank-list-marmots.pdf",
        "0900-acorn-1a-blank-list-newts.pdf",
        "0900-acorn-1a-play-count-marmots.pdf",
        "0900-acorn-1a-play-count-newts.pdf",
    ]


def test_all_papers_show_the_same_moment(signed: SqliteStore) -> None:
    sheets = [sheet for _, sheet in lay_week(signed, find_week(signed, 1))]
    assert len({sheet.context["paper"].head.head_hash for sheet in sheets}) == 1
    made = [parse_paper(sheet.attachments[-1].content) for sheet in sheets]
    assert all(one.chains == made[0].chains for one in made)
    assert len({one.printed_at for one in made}) == 1


def test_a_ledger_that_is_written_to_meanwhile_is_told(tmp_path: Path) -> None:
    with season(tmp_path / "season.weighbook", signed=False) as store:
        papers = lay_week(store, find_week(store, 1))
        next(papers)
        now = now_utc()
        noted = Accepted("concern", {"reason": "other"}, at=now, entered=now, by="registrar",
                         game="oak-1b")  # fmt: skip
        with store.writing() as writing:
            writing.append([noted], chain=CHAIN)
        with pytest.raises(RuleError, match="was written to while") as caught:
            list(papers)
        assert "Print them again" in caught.value.hint
