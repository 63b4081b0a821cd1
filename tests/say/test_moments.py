"""Notes beside an answer: what the ledger received later than a moment."""

from __future__ import annotations

from ledger.say.moments import as_of_note, behind_note, dated_before_note, known_at_note
from ledger.store.store import Stored
from tests.short_season import short_season, when
from tests.stored import stored_events

ZONE = "UTC"
TWO_LATE = """
14:05 weigh ash a1 ok recorded=14:06
14:10 weigh ash a2 ok recorded=15:10
14:20 weigh elm e1 ok recorded=15:20
"""


def events(text: str) -> list[Stored]:
    return stored_events(short_season(text.strip()))


def test_how_many_statements_came_after_the_moment_of_an_answer() -> None:
    note = as_of_note(events(TWO_LATE), when("15:00"), "g1", ZONE)
    assert note.startswith("The ledger received 2 of 3 statements in this answer after Sat, Sep 5")
    assert as_of_note(events(TWO_LATE), when("15:20"), "g1", ZONE) == ""
    assert as_of_note(events(TWO_LATE), when("15:00"), "g2", ZONE) == ""


def test_since_when_a_game_is_here() -> None:
    held = events(TWO_LATE)
    since = min(one.event.recorded for one in held if one.event.kind == "game")
    assert known_at_note(held, since, "g1", ZONE) == ""
    assert known_at_note(held, "2026-01-01T00:00:00.000Z", "g1", ZONE).startswith(
        "g1 came into the ledger on Sat, Jul 25, 2026, "
    )
    first = known_at_note(held, "2026-01-01T00:00:00.000Z", None, ZONE)
    assert first.startswith("The first entry came into the ledger on Sat, Jul 25, 2026, ")


def test_what_came_in_a_span_and_says_it_is_older() -> None:
    def note(since: str, until: str | None, text: str = TWO_LATE) -> str:
        return dated_before_note(events(text), "g1", when(since), until and when(until), ZONE)

    both, one = note("15:00", None), note("15:00", "15:10")
    assert both.startswith(
        "2 statements about g1 were recorded in this span, but say they were written down before "
        "Sat, Sep 5, 2026, 3:00 PM UTC."
    )
    assert one.startswith(
        "1 statement about g1 was recorded in this span, but says it was written down before "
    )
    assert note("15:20", None) == ""
    assert note("15:00", None, "15:05 weigh ash a1 ok recorded=15:10") == ""


def test_nothing_is_behind_a_signature_where_there_is_none() -> None:
    assert behind_note(events(TWO_LATE), "g1") == ""
