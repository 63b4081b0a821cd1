"""Notes beside an answer as of a moment: statements that the ledger received only later."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.errors import count_of
from ledger.say.clock import local_time
from ledger.store.store import Stored


def as_of_note(events: Iterable[Stored], as_of: str, game: str | None, zone: str) -> str:
    """How many statements of the answer the ledger recorded after `as_of`; "" for none."""
    there = [
        one.event
        for one in events
        if one.event.at is not None
        and game in (None, one.event.game)
        and (one.event.entered or "") <= as_of
    ]
    later = sum(event.recorded > as_of for event in there)
    if not later:
        return ""
    which = "all" if later == len(there) else f"{later:,} of"
    return (
        f"The ledger received {which} {count_of(len(there), 'statement')} in this answer after "
        f"{local_time(as_of, zone)}. For what it had then, use --known-at."
    )


def known_at_note(events: Iterable[Stored], known_at: str, game: str | None, zone: str) -> str:
    """When the game, or the first of these events, came into the ledger, if after `known_at`."""
    held = [one.event for one in events if game is None or one.event.game == game]
    since = min((one.recorded for one in held if game is None or one.kind == "game"), default="")
    if since <= known_at:
        return ""
    return (
        f"{game or 'The first entry'} came into the ledger on {local_time(since, zone)}, after "
        f"{local_time(known_at, zone)}. For what people had written by then, use --as-of."
    )


def dated_before_note(
    events: Iterable[Stored], game: str, since: str, until: str | None, zone: str
) -> str:
    """How many statements recorded in the span say people wrote them before it; "" for none."""
    found = [
        one.event
        for one in events
        if one.event.game == game
        and (one.event.entered or since) <= since < one.event.recorded
        and (until is None or one.event.recorded <= until)
        and one.event.at is not None
    ]
    if not found:
        return ""
    return (
        f"{_said_before(len(found), game, 'in this span')} {local_time(since, zone)}. "
        "--known uses the ledger's clock."
    )


def behind_note(events: Iterable[Stored], game: str) -> str:
    """Statements recorded after a signature about them but dated before it; "" for none."""
    engine = Engine(events)
    try:
        rows = find(engine, game=game, rule="stated_behind_signature").dicts()
    finally:
        engine.close()
    if not rows:
        return ""
    which = ", ".join(row["events"][0] for row in rows)
    return (
        f"{_said_before(len(rows), game, 'after a signature')} it: {which}. "
        f"See weighbook findings --game {game}."
    )


def _said_before(count: int, game: str, when: str) -> str:
    were, says = ("was", "says it was") if count == 1 else ("were", "say they were")
    return (
        f"{count_of(count, 'statement')} about {game} {were} recorded {when}, but {says} "
        "written down before"
    )
