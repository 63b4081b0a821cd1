"""Findings for those who should look, and steps that are not due yet."""

from __future__ import annotations

from typing import Any

import pytest

from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.looking import LOOKERS, by_due, lookers, narrow
from ledger.errors import InputError
from tests.short_season import short_season
from tests.stored import stored_events

ZONE = "America/Chicago"
MORNING = """
05/14:10 weigh ash a1 ok
05/14:20 half half=2
"""


def test_someone_looks_at_every_rule() -> None:
    assert {one for rule in rules() for one in lookers(rule)} == set(LOOKERS)
    assert lookers("unaccounted") == ("weighmaster",)


def split(now: str, text: str = MORNING) -> tuple[set[str], set[str]]:
    engine = Engine(stored_events(short_season(text)))
    found, still = by_due(engine, find(engine, game="g1").dicts(), now=now, zone=ZONE)
    return {one["rule"] for one in found}, {one["rule"] for one in still}


AT_KICKOFF = {"unaccounted", "list_not_countersigned", "book_not_initialed", "no_weighmaster"}
AT_ONCE = {"weighed_too_early", "scale_not_proved"}


def test_a_step_is_still_to_do_until_kickoff() -> None:
    """Kickoff is at 15:00 UTC. A weigh that was too early is a finding at once."""
    counted = MORNING + "05/14:30 plays g1 ash a1 half=1 count=10 pc\n"
    assert split("2026-09-05T14:59:59.999Z", counted) == (AT_ONCE, AT_KICKOFF)
    assert split("2026-09-05T15:00:00.000Z", counted) == (AT_ONCE | AT_KICKOFF, set())


def test_plays_are_still_to_do_until_the_game_ends() -> None:
    """Half 2 ends it; where nobody entered that, the next day does, at 05:00 UTC in Chicago."""
    open_end = MORNING.replace("half=2", "half=1")
    assert split("2026-09-06T04:59:59.000Z", open_end)[1] == {"plays_not_counted"}
    assert split("2026-09-06T05:00:00.000Z", open_end)[1] == set()
    assert split("2026-09-05T15:00:00.000Z")[1] == set()
    assert split("2026-09-05T14:00:00.000Z", MORNING.replace("14:20", "13:59"))[1] == AT_KICKOFF


def narrowed(**wanted: Any) -> list[tuple[str, str | None, str | None]]:
    """In `grove` there is only ash; elm has no association."""
    season = short_season(MORNING)
    for event in season:
        if event["kind"] == "team" and event["team"] == "ash":
            event["data"]["association"] = "grove"
    engine = Engine(stored_events(season))
    rows = narrow(engine, find(engine).dicts(), **wanted)
    return [(one["rule"], one["team"], one["side"]) for one in rows]


def test_an_association_has_what_names_its_teams_and_games_of_theirs() -> None:
    found = narrowed(association="grove")
    assert ("scale_not_proved", None, None) in found
    assert ("unaccounted", "ash", None) in found
    assert ("list_not_countersigned", "elm", "ash") in found
    assert ("list_not_countersigned", "ash", "elm") in found
    assert ("list_not_countersigned", "elm", "elm") not in found
    assert ("no_weighmaster", "elm", None) in narrowed()
    assert ("no_weighmaster", "elm", None) not in found


def test_games_and_roles() -> None:
    assert narrowed(games={"g2"}) == []
    assert narrowed(games={"g1"}) == narrowed()
    assert {rule for rule, _, _ in narrowed(role="head_official")} == {"plays_not_counted"}
    with pytest.raises(InputError, match="no finding is for the role coach"):
        narrowed(role="coach")
    with pytest.raises(InputError, match="no association groove") as refused:
        narrowed(association="groove")
    assert refused.value.hint == "Did you mean grove?"
