"""Training, assignments and work at weigh-ins, each beside what just does not count."""

from __future__ import annotations

from typing import Any

from ledger.derive.engine import Engine
from tests.short_season import short_season
from tests.stored import stored_events


def rows(name: str, text: str, **rules: Any) -> list[dict[str, Any]]:
    return Engine(stored_events(short_season(text, **rules))).answer(name).dicts()


def test_training_is_entered_by_someone_else_and_ends() -> None:
    season = """
    01/12:00 trained value=wa by=rg
    01/12:00 trained value=we by=we
    """
    assert [(row["official"], row["valid_until"]) for row in rows("training", season)] == [
        ("wa", None)  # the league asks for none, so it stays valid
    ]
    (wa,) = rows("training", season, training_valid_days=4)
    assert wa["valid_until"] == "2026-09-05T12:00:00.000Z"
    people = {row["official"]: row for row in rows("people", season, training_valid_days=4)}
    assert people["wa"]["trained_until"] == wa["valid_until"]
    assert people["we"]["trained_at"] is None


ASSIGNED = """
01/12:00 trained value=wa by=rg
01/15:00 trained value=we by=rg
02/12:00 assign g1 ash value=wa by=rg
02/12:01 assign g1 elm value=we by=rg
02/12:02 assign g1 elm value=ca by=rg
02/12:03 assign g1 ash value=wa2 by=rg
02/12:04 withdraw target=6 by=rg
02/12:05 appoint value=ca to=weighmaster elm by=rg
02/12:06 assign g1 elm value=wa by=rg
"""


def test_who_is_ready_to_weigh() -> None:
    """Training that ends at kickoff, 15:00 UTC, is valid at kickoff; a minute less is not."""

    def ready(**rules: Any) -> list[tuple[str, str, tuple[bool, ...]]]:
        keys = ("is_own_weighmaster", "is_coach", "is_trained")
        return [
            (row["team"], row["official"], tuple(row[key] for key in keys))
            for row in rows("assignment", ASSIGNED, **rules)
        ]

    assert ready() == [
        ("ash", "wa", (True, False, True)),
        ("elm", "ca", (True, True, True)),
        ("elm", "wa", (False, False, True)),
        ("elm", "we", (True, False, True)),
    ]
    trained = {who: is_trained for _, who, (_, _, is_trained) in ready(training_valid_days=4)}
    assert trained == {"wa": False, "ca": False, "we": True}


def test_what_they_did_by_game() -> None:
    season = """
    01/12:00 assign g1 ash value=wa by=rg
    01/12:01 assign g2 ash value=wa by=rg
    01/12:02 game_off g2 fog by=rg
    05/14:30 weigh elm e1 ok wa
    05/14:31 initial elm e1 ok initials=AT wa
    05/14:32 late_weigh elm e2 ok wa
    05/14:33 list elm e2 other wa
    05/14:34 countersign ash wa
    05/14:35 countersign elm wa
    05/14:36 list ash a1 absent ca
    """
    counts = ("team", "is_assigned", "is_at_scale", "weighs", "initials", "listings", "signatures")
    work = rows("weigh_in_work", season)
    assert [(row["official"], *(row[key] for key in counts)) for row in work] == [
        ("ca", "ash", False, False, 0, 0, 1, 0),
        ("wa", "ash", True, False, 0, 0, 0, 1),
        ("wa", "elm", False, True, 2, 1, 1, 1),
    ]
    (wa,) = (row for row in rows("people", season) if row["official"] == "wa")
    assert (wa["assigned"], wa["worked"]) == (1, 1)
