"""Where a case stands: state, deadlines, reviewers; and that reading it by index is enough."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case
from ledger.errors import InputError
from ledger.review.cases import Case, list_cases, look_up_case, next_after, roles_of
from ledger.store.erasure import erase, redact
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from tests.random_seasons import as_of_moments, known_at_moments, random_season
from tests.review.cases_of import adds, opens, season
from tests.stored import store_of
from tests.tiny import says

# The answers to a case are due 7 times 24 hours after its opening was entered (FORMAT.md,
# section 4, decide_within_days), a protest 48 hours after the game (protest_within_hours).
DUE = "2026-09-12T14:00:00.000Z"


def standings(case: Case) -> list[tuple[str, str]]:
    return [(reviewer.role, reviewer.standing) for reviewer in case.reviewers]


def look(tmp_path: Path, *lines: dict[str, str], **moments: str | None) -> Case:
    with season(tmp_path, opens(), *lines) as store:
        return look_up_case(store, "c1", **moments)


# States


def test_a_new_case_is_with_the_first_reviewer(tmp_path: Path) -> None:
    case = look(tmp_path)
    assert (case.state, case.with_role, case.next_reviewer) == (
        "open", "site_official", "site_official",
    )  # fmt: skip
    assert case.due_at == DUE
    assert (case.game, case.team, case.player, case.number) == ("g1", "ash", "a2", 2)
    assert {standing for _, standing in standings(case)} == {"not_yet"}


def test_a_roster_question_has_the_presidents_as_reviewers(tmp_path: Path) -> None:
    with season(tmp_path, opens(reason="roster")) as store:
        case = look_up_case(store, "c1")
    assert [role for role, _ in standings(case)] == ["association_president", "division_president"]


def test_it_is_with_the_role_it_was_passed_to_last(tmp_path: Path) -> None:
    case = look(
        tmp_path,
        adds("case_refer", "09:20", by="so", to="head_official"),
        adds("case_refer", "09:10", by="we", to="registrar"),
    )
    assert case.with_role == "head_official"


def test_a_ruling_of_a_reviewer_answers_it_and_a_close_closes_it(tmp_path: Path) -> None:
    ruled = look(tmp_path, adds("ruling", by="so", value="denied"))
    assert (ruled.state, ruled.with_role, ruled.ruling) == ("ruled", None, "denied")
    assert ruled.next_reviewer == "head_official"
    closed = look(
        tmp_path,
        adds("ruling", by="so", value="denied"),
        adds("case_close", "09:20", by="so"),
        adds("ruling", "09:30", by="ho", value="upheld"),
    )
    assert (closed.state, closed.ruling, closed.next_reviewer) == ("closed", "upheld", None)


def test_a_ruling_from_outside_answers_nothing_and_stays_visible(tmp_path: Path) -> None:
    case = look(tmp_path, adds("ruling", by="ap", value="upheld", game="g1"))
    assert (case.state, case.ruling) == ("open", None)
    assert [entry.has_authority for entry in case.timeline] == [None, False]
    assert "ruling_without_authority" in {finding["rule"] for finding in case.findings}


def test_a_withdrawn_ruling_answers_nothing(tmp_path: Path) -> None:
    case = look(
        tmp_path,
        adds("ruling", by="so", value="denied", ref="slip"),
        says("withdraw", at="2026-09-05T09:12", by="so", target="slip", reason="wrong case"),
    )
    assert (case.state, case.ruling) == ("open", None)
    ruling, withdrawal = case.timeline[1:]
    assert ruling.withdrawn_by == withdrawal.event_id
    assert (withdrawal.what, withdrawal.said) == (f"Withdrew {ruling.event_id}", "wrong case")


def test_a_case_whose_opening_was_withdrawn_stays_visible(tmp_path: Path) -> None:
    lines = (
        opens(ref="slip"),
        says("withdraw", at="2026-09-05T09:12", by="we", target="slip", reason="asked in error"),
    )
    with season(tmp_path, *lines) as store:
        case = look_up_case(store, "c1")
        columns, rows = list_cases(store)
    assert (case.state, case.due_at, case.is_overdue, case.reviewers) == (
        "withdrawn", None, False, (),
    )  # fmt: skip
    assert [row["state"] for row in rows] == ["withdrawn"]
    assert set(columns) == set(rows[0])


def test_before_it_was_opened_there_is_no_case(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="c1 was not open yet") as caught:
        look(tmp_path, as_of="2026-09-05T13:59:59.999Z")
    assert "--as-of" in caught.value.hint


def test_an_unknown_case_names_those_near_it(tmp_path: Path) -> None:
    with season(tmp_path, opens("wrong-mark")) as store:
        with pytest.raises(InputError, match="no case wrong-marks") as caught:
            look_up_case(store, "wrong-marks")
        assert caught.value.hint == "Did you mean wrong-mark?"
        with pytest.raises(InputError, match="no case zebra") as caught:
            look_up_case(store, "zebra")
        assert "weighbook case list" in caught.value.hint


# Deadlines


@pytest.mark.parametrize(
    ("answered", "later", "is_overdue"),
    [
        (None, DUE, False),  # a statement at the last moment: the time is not over
        (None, "2026-09-12T14:00:00.001Z", True),
        (DUE, "2026-09-30T00:00:00Z", False),  # answered at the last moment
        ("2026-09-12T14:00:00.001Z", "2026-09-12T14:00:00.001Z", True),
    ],
)
def test_overdue_is_counted_to_the_millisecond(
    tmp_path: Path, answered: str | None, later: str, *, is_overdue: bool
) -> None:
    lines = [opens(), says("concern", at=later, game="g2", reason="cleats")]
    lines += [says("case_close", at=answered, case="c1")] if answered else []
    with season(tmp_path, *lines) as store:
        case = look_up_case(store, "c1")
        found = find(Engine(store.events()), rule="case_overdue").rows
    assert case.is_overdue is is_overdue
    assert bool(found) is is_overdue


def test_a_quiet_week_ends_by_the_clock(tmp_path: Path) -> None:
    """Nothing was entered after the due moment, so no finding yet; who looks sees it all the same.

    The moment itself is still in time.
    """
    with season(tmp_path, opens()) as store:
        at_due = look_up_case(store, "c1", now=DUE)
        after = look_up_case(store, "c1", now="2026-09-12T14:00:00.001Z")
    assert (at_due.is_time_over, after.is_time_over) == (False, True)
    assert not after.is_overdue


@pytest.mark.parametrize(
    ("entered", "is_late"),
    [("2026-09-07T11:30", False), ("2026-09-07T11:30:00.001", True)],
)
def test_a_protest_has_its_own_time(tmp_path: Path, entered: str, *, is_late: bool) -> None:
    """48 hours after the second half ended, by when the protest was entered."""
    lines = (
        says("half", at="2026-09-05T11:30", game="g1", half=2, by="so"),
        opens(reason="protest", at="2026-09-05T12:00", entered=entered),
    )
    with season(tmp_path, *lines) as store:
        case = look_up_case(store, "c1")
        found = find(Engine(store.events()), rule="protest_late").rows
    assert case.protest_due_at == "2026-09-07T16:30:00.000Z"
    assert case.is_protest_late is is_late
    assert bool(found) is is_late


def test_only_a_protest_about_an_ended_game_has_that_time(tmp_path: Path) -> None:
    half = says("half", at="2026-09-05T11:30", game="g1", half=2, by="so")
    with season(tmp_path, half, opens(), opens("c2", "protest", game="g2")) as store:
        _, rows = list_cases(store)
    assert {(row["protest_due_at"], row["is_protest_late"]) for row in rows} == {(None, None)}


# Reviewers


@pytest.mark.parametrize(
    ("lines", "expected", "following"),
    [
        pytest.param(
            [adds("case_refer", by="we", to="site_official")],
            ["referred", "not_yet", "not_yet"], "head_official", id="passed to the first",
        ),
        pytest.param(
            [adds("case_statement", by="so", note="I saw it.")],
            ["heard", "not_yet", "not_yet"], "head_official", id="the first spoke",
        ),
        pytest.param(
            [adds("case_refer", by="we", to="division_president")],
            ["skipped", "skipped", "referred"], None, id="passed to the last",
        ),
        pytest.param(
            [adds("ruling", by="ho", value="decided")],
            ["skipped", "ruled", "not_yet"], "division_president", id="the second ruled",
        ),
        pytest.param(
            [adds("case_refer", by="we", to="registrar")],
            ["not_yet", "not_yet", "not_yet"], "site_official", id="passed to no reviewer",
        ),
        pytest.param(
            [adds("ruling", by="both", value="decided")],
            ["ruled", "skipped", "ruled"], None, id="one person, two roles",
        ),
        pytest.param(
            [adds("case_refer", by="we", to="head_official", ref="slip"),
             says("withdraw", at="2026-09-05T09:12", target="slip", reason="a slip")],
            ["not_yet", "not_yet", "not_yet"], "site_official", id="withdrawn",
        ),
    ],
)  # fmt: skip
def test_who_has_had_it_and_who_was_passed_over(
    tmp_path: Path, lines: list[dict[str, str]], expected: list[str], following: str | None
) -> None:
    case = look(tmp_path, *lines)
    assert [standing for _, standing in standings(case)] == expected
    assert case.next_reviewer == following
    roles = ("site_official", "head_official", "division_president")
    assert case.skipped == tuple(
        role for role, standing in zip(roles, expected, strict=True) if standing == "skipped"
    )


def test_who_asks_has_not_reviewed(tmp_path: Path) -> None:
    with season(tmp_path, opens(by="ho")) as store:
        case = look_up_case(store, "c1")
    assert {standing for _, standing in standings(case)} == {"not_yet"}
    assert case.next_reviewer == "site_official"


def test_who_passes_it_on_has_had_it(tmp_path: Path) -> None:
    case = look(tmp_path)
    assert next_after(case.reviewers) == "site_official"
    assert next_after(case.reviewers, frozenset({"site_official"})) == "head_official"
    assert next_after(case.reviewers, frozenset({"coach", "division_president"})) is None


def test_roles_of_an_official_count_whenever_appointed(tmp_path: Path) -> None:
    later = says("appoint", at="2026-09-20T10:00", by="rg", value="we", to="head_official")
    with season(tmp_path, later) as store:
        assert roles_of(store, "we", None) == {"weighmaster", "head_official"}
        assert roles_of(store, "nobody", None) == frozenset()


# What was said


def test_the_timeline_has_three_times_and_who_speaks_as_what(tmp_path: Path) -> None:
    line = adds("case_statement", "08:50", entered="2026-09-05T09:30", by="ca", note="He waited.")
    case = look(tmp_path, line)
    entry = case.timeline[0]  # it happened before the case was opened
    assert (entry.happened_at, entry.entered_at) == (
        "2026-09-05T13:50:00.000Z", "2026-09-05T14:30:00.000Z",
    )  # fmt: skip
    assert entry.recorded_at > "2026-09-05T14:30:00.000Z"
    assert (entry.roles, entry.capacity) == (("coach",), "coach of ash")
    assert (entry.what, entry.said, entry.is_erased) == ("Said", "He waited.", False)


def test_what_a_ruling_says_of_a_child_goes_by_number(tmp_path: Path) -> None:
    about = {"game": "g1", "team": "ash", "player": "a2"}
    case = look(
        tmp_path, adds("ruling", by="so", value="decided", may_play="second_half", may_carry="no",
                       **about),
    )  # fmt: skip
    words = "Ruled: decided. ash 2 in g1 may play in the second half and does not carry"
    assert case.timeline[1].what == words


def test_erased_words_are_said_to_be_erased(tmp_path: Path) -> None:
    with season(tmp_path, opens(note="Pip was cold."), adds("case_close")) as store:
        opening = next(one.event for one in store.events(kind=["case_open"]))
        erase(store, [opening], by="rg", chain="office")
        entry, close = look_up_case(store, "c1").timeline
    assert (entry.said, entry.is_erased) == (None, True)
    assert (close.said, close.is_erased) == (None, False)


def test_a_redacted_copy_is_shown_in_the_place_of_an_exhibit(tmp_path: Path) -> None:
    first, second, third = ("1" * 64, "2" * 64, "3" * 64)
    lines = [adds("case_exhibit", by="ca", value=digest) for digest in (first, second, third)]
    with season(tmp_path, opens(), *lines) as store:
        with store.writing() as writing:
            writing.keep_exhibit(first, "sheet.txt", b"46: four")
            writing.keep_exhibit(second, "other.txt", b"9: two")
        redact(store, first, b"-- four", "once.txt", by="rg", reason="a name", chain="office")
        copy = look_up_case(store, "c1").exhibits[0].copy_sha256
        assert copy is not None
        redact(store, copy, b"-- -", "twice.txt", by="rg", reason="more", chain="office")
        exhibits = look_up_case(store, "c1").exhibits
    assert [exhibit.kept_as for exhibit in exhibits] == ["twice.txt", "other.txt", None]
    assert exhibits[0].copy_sha256 not in (None, copy)
    assert [exhibit.copy_sha256 for exhibit in exhibits[1:]] == [None, None]


# Findings that touch it


def test_findings_of_the_child_the_side_or_the_game(tmp_path: Path) -> None:
    lines = (
        says("weigh", game="g1", team="ash", player="a1", value="ok", at="2026-09-05T09:40"),
        says("weigh", game="g1", team="elm", player="e1", value="ok", at="2026-09-05T09:35",
             by="wa"),
        opens("child"),
        opens("side", player=None),
        opens("game", team=None, player=None),
        opens("nothing", "other", game=None, team=None, player=None),
    )  # fmt: skip
    with season(tmp_path, *lines) as store:
        found = {
            case: {
                (finding["rule"], finding["team"], finding["player"])
                for finding in look_up_case(store, case).findings
            }
            for case in ("child", "side", "game", "nothing")
        }
        everything = find(Engine(store.events()), game="g1").dicts()
    of_game = {("scale_not_proved", None, None)}
    of_team = {
        (rule, "ash", None)
        for rule in ("list_not_countersigned", "no_weighmaster", "plays_not_counted")
    }
    assert found["child"] == of_game | of_team | {("unaccounted", "ash", "a2")}
    assert found["side"] == found["child"] | {("book_not_initialed", "ash", "a1")}
    assert found["game"] == {(row["rule"], row["team"], row["player"]) for row in everything}
    assert found["nothing"] == set()


# Reading by index


@pytest.mark.parametrize("seed", range(8))
def test_a_case_alone_is_a_case_of_the_season(seed: int) -> None:
    events = random_season(seed)
    rng = Random(seed)
    as_of = rng.choice([None, rng.choice(as_of_moments(events))])
    known_at = rng.choice([None, rng.choice(known_at_moments(events))])
    _alone_as_in_the_season(store_of(events), as_of, known_at)


def test_the_cases_of_the_sample_season_alone(sample_ledger: Path) -> None:
    store = open_store(sample_ledger)
    _alone_as_in_the_season(store, None, None)
    _alone_as_in_the_season(store, "2026-10-06T00:20:00.001Z", None)
    store.close()


def _alone_as_in_the_season(store: SqliteStore, as_of: str | None, known_at: str | None) -> None:
    season = Engine(store.events(), as_of=as_of, known_at=known_at)
    rows = season.answer("cases").dicts()
    assert list_cases(store, as_of=as_of, known_at=known_at)[1] == rows
    told = season.answer("case_timeline").dicts()
    off = {row["game"] for row in season.answer("game").dicts() if row["is_off"]}
    overdue = {row["case"] for row in find(season, rule="case_overdue").dicts()}
    late = {row["case"] for row in find(season, rule="protest_late").dicts()}
    for row in rows:
        case_id = row["case_id"]
        events = read_case(store, case_id, as_of=as_of, known_at=known_at)
        alone = Engine(events, as_of=as_of, known_at=known_at)
        own = {"cases": [row], "case_timeline": [r for r in told if r["case_id"] == case_id]}
        for name, expected in own.items():
            found = [r for r in alone.answer(name).dicts() if r["case_id"] == case_id]
            assert found == expected
        if row["game"] not in off:
            assert row["is_overdue"] is (case_id in overdue)
            assert bool(row["is_protest_late"]) is (case_id in late)
