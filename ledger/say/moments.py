"""What an answer as of a moment rests on, in words: statements that the ledger held only later."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.errors import count_of
from ledger.say.clock import local_time
from ledger.store.store import Stored


def as_of_note(events: Iterable[Stored], as_of: str, game: str | None, zone: str) -> str:
    """How many statements of an answer as of a moment the ledger recorded later; "" for none."""
    stated = [
        one.event
        for one in events
        if one.event.at is not None and (game is None or one.event.game == game)
    ]
    there = [event for event in stated if (event.entered or "") <= as_of]
    later = sum(event.recorded > as_of for event in there)
    if not later:
        return ""
    which = "All" if later == len(there) else f"{later:,} of"
    whole = count_of(len(there), "statement")
    return (
        f"The ledger received {which.lower()} {whole} in this answer after "
        f"{local_time(as_of, zone)}. For what it held then, use --known-at."
    )


def known_at_note(events: Iterable[Stored], known_at: str, game: str, zone: str) -> str:
    """Since when the ledger has held the game, where it did not at the moment; "" where it did."""
    held = [one.event for one in events if one.event.game == game]
    since = next((event.recorded for event in held if event.kind == "game"), "")
    if since <= known_at:
        return ""
    return (
        f"{game} came into the ledger on {local_time(since, zone)}, after "
        f"{local_time(known_at, zone)}. For what people had written by then, use --as-of."
    )


def dated_before_note(
    events: Iterable[Stored], game: str, since: str, until: str | None, zone: str
) -> str:
    """Statements recorded in the span that say they were written down before it; "" for none."""
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
    were, say = ("was", "says it was") if len(found) == 1 else ("were", "say they were")
    return (
        f"{count_of(len(found), 'statement')} about {game} {were} recorded in this span, but {say} "
        f"written down before {local_time(since, zone)}. --known goes by the ledger's clock."
    )


def behind_note(events: Iterable[Stored], game: str) -> str:
    """Statements that came behind a signature about them, whatever their clock; "" for none."""
    engine = Engine(events)
    try:
        rows = find(engine, game=game, rule="stated_behind_signature").dicts()
    finally:
        engine.close()
    if not rows:
        return ""
    which = ", ".join(row["events"][0] for row in rows)
    were, say = ("was", "says it was") if len(rows) == 1 else ("were", "say they were")
    return (
        f"{count_of(len(rows), 'statement')} about {game} {were} recorded after a signature about "
        f"it, but {say} written down before: {which}. weighbook findings --game {game} has more."
    )
