"""Where a question goes first and why, and which question a finding asks."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from ledger.derive.engine import Engine
from ledger.errors import InputError
from ledger.record.fields import ROLES
from ledger.record.statements import CaseOpen
from ledger.review.routes import propose_route, question_of_finding
from ledger.say.cases import route_lines
from tests.review.cases_of import season
from tests.tiny import says

REASONS = get_args(CaseOpen.model_fields["reason"].annotation)
ROSTER = ("association_president", "division_president")
OTHER = ("site_official", "head_official", "division_president")
NOBODY_COUNTS = (
    says("weigh", at="2026-09-05T09:35", game="g1", team="elm", player="e1", value="ok", by="wa"),
    says("weigh", at="2026-09-05T09:40", game="g1", team="ash", player="a1", value="ok"),
    says("weigh", at="2026-09-05T09:41", game="g1", team="ash", number=7, name="A guest",
         value="ok"),
)  # fmt: skip


@pytest.mark.parametrize("reason", REASONS)
def test_every_question_has_a_way_and_says_why(reason: str) -> None:
    """Common practice, no source: rosters are settled away from the child; the people who can make
    the field safe hear of it at once."""
    reviewers = ROSTER if reason == "roster" else OTHER
    route = propose_route(reason, reviewers)
    assert route.reviewers == reviewers
    assert set(route.tell) <= set(ROLES)
    assert bool(route.tell) is (reason == "safety")
    why = route_lines(route)[-1]
    assert why.endswith(".")
    assert ("not in front of the child" in why) is (reason == "roster")


def test_a_finding_fills_the_question_in(tmp_path: Path) -> None:
    with season(tmp_path, *NOBODY_COUNTS) as store:
        engine = Engine(store.events())
        asked = question_of_finding(engine, "not_on_roster", game="g1")
        weigh = next(one.event.id for one in store.events(kind=["weigh"], player=[asked.player]))
    assert (asked.reason, asked.game, asked.team) == ("roster", "g1", "ash")
    assert asked.player == "unlisted-g1-ash-7"
    assert asked.note == (
        f"Finding not_on_roster (ash 7): Not on the team's roster at kickoff. [{weigh}]"
    )


def test_findings_of_several_children_open_no_case(tmp_path: Path) -> None:
    with season(tmp_path, *NOBODY_COUNTS) as store:
        engine = Engine(store.events())
        side = question_of_finding(engine, "unaccounted", game="g1", team="elm")
        worn = question_of_finding(engine, "unaccounted", game="g1", team="ash", number=2)
        child = question_of_finding(engine, "unaccounted", player="a2")
        signed = question_of_finding(engine, "list_not_countersigned")
        with pytest.raises(InputError) as caught:
            question_of_finding(engine, "unaccounted")
    assert caught.value.message == "2 findings unaccounted: g1 ash 2, g1 elm 2"
    assert caught.value.hint.endswith("add --game, --team, and --number or --player.")
    assert (side.team, side.player) == ("elm", "e2")
    assert worn == child
    assert worn.player == "a2"
    assert (signed.reason, signed.game, signed.player) == ("weigh", "g1", None)
    assert signed.note.count("Finding list_not_countersigned") > 1


def test_a_long_note_says_how_many_more(tmp_path: Path) -> None:
    """Thirteen concerns entered late: twelve are named."""
    lines = [
        says("concern", at=f"2026-09-05T08:{minute}", entered="2026-09-06T08:40", game="g1",
             reason="cleats")
        for minute in range(10, 23)
    ]  # fmt: skip
    with season(tmp_path, *lines) as store:
        asked = question_of_finding(Engine(store.events()), "entered_late", game="g1")
    assert asked.note.count("Finding") == 12
    assert asked.note.endswith(" And 1 more.")


@pytest.mark.parametrize(
    ("given", "message", "hint"),
    [
        ({"rule": "not_on_rooster"}, "no rule not_on_rooster", "Did you mean not_on_roster?"),
        (
            {"rule": "weighed_too_often"},
            "no finding weighed_too_often$",
            "weighbook findings lists",
        ),
        (
            {"rule": "not_on_roster", "game": "g1", "team": "elm"},
            "no finding not_on_roster for g1 elm$",
            "weighbook findings --game g1 lists",
        ),
        (
            {"rule": "unaccounted", "game": "g1", "number": 99},
            "no finding unaccounted for g1 99$",
            "--game g1",
        ),
    ],
)
def test_a_finding_that_is_not_there(
    tmp_path: Path, given: dict[str, str], message: str, hint: str
) -> None:
    with season(tmp_path, *NOBODY_COUNTS) as store:
        engine = Engine(store.events())
        with pytest.raises(InputError, match=message) as caught:
            question_of_finding(engine, **given)  # type: ignore[arg-type]
    assert hint in caught.value.hint
