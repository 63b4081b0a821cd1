"""Step 4: what an event says about the ledger's other chains, against trees, places and clocks.

A countersignature and a chain's first event name length and root of every other chain. A clock that
contradicts them is only a note: a device without a network honestly sends later what happened
earlier, and its clock may be wrong.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping

from ledger.audit.checkpoints import Chain
from ledger.audit.report import Problem
from ledger.audit.rows import readable
from ledger.chain.checkpoint import Checkpoint
from ledger.chain.event import Event
from ledger.chain.others import parse_others
from ledger.errors import InputError

PlaceOf = Callable[[str, int], int | None]


def check_others(
    event: Event, position: int, chains: Mapping[str, Chain], place_of: PlaceOf
) -> Iterator[Problem]:
    """Check that the event names the other chains as they were when it was written.

    `place_of` returns an event's place in the order of acceptance.
    """
    try:
        others = parse_others(event.data)
    except InputError as error:
        yield Problem.of_event(event, "altered", error.message)
        return
    for name, state in others.items():
        covers = f"{event.id} covers {state.size:,} events"
        if name in chains:
            signed = Checkpoint(name, state.size, state.root)
            yield from chains[name].check_checkpoint(signed, event.id)
            last, next_ = place_of(name, state.size), place_of(name, state.size + 1)
            if (last is not None and last > position) or (next_ is not None and next_ < position):
                how = f"{covers}, but the ledger's order has more or fewer before it"
                yield Problem(name, state.size, "reordered", how)
        else:
            yield Problem(name, None, "cut tail", f"{covers}; there is no such chain")
    for name in chains.keys() - others.keys() - {event.chain}:
        first = place_of(name, 1)
        if "form" in event.data and first is not None and first < position:
            what = f"the chain {name} existed then, but {event.id} does not name it"
            yield Problem.of_event(event, "reordered", what)


def clock_notes(connection: sqlite3.Connection, naming: Iterable[Event]) -> Iterator[str]:
    """Yield a note for each clock that contradicts what these events say about other chains.

    What an event names came before it; everything else came after it.
    """
    found = connection.execute("select distinct chain from event")
    names = [name for (name,) in found if readable(name) == name]  # no query can ask for others
    for event in naming:
        try:
            others = parse_others(event.data)
        except InputError:
            continue
        for name in sorted(set(names) - {event.chain}):
            size = others[name].size if name in others else 0
            clock = _clock(connection, name, size)
            if clock is not None and clock > event.recorded:
                yield (
                    f"clocks disagree: {event.id} covers {name}:{size} and comes after it, but "
                    f"was recorded at {event.recorded}, before {clock}"
                )
            count, clock = _earlier(connection, name, size, event.recorded)
            if count:
                last = f" to {name}:{size + count}" if count > 1 else ""
                yield (
                    f"clocks disagree: {event.id} does not cover {name}:{size + 1}{last}, so this "
                    f"counts as later, but was recorded by {clock}, before {event.recorded}"
                )


def _clock(connection: sqlite3.Connection, chain: str, seq: int) -> str | None:
    query = "select clock from event where chain = ? and seq = ?"
    row = connection.execute(query, (chain, seq)).fetchone()
    return str(row[0]) if row else None


def _earlier(
    connection: sqlite3.Connection, chain: str, after: int, moment: str
) -> tuple[int, str]:
    """Return how many events after that one have a clock before `moment`, and the last clock."""
    count, last = 0, ""
    query = "select clock from event where chain = ? and seq > ? order by seq"
    for (clock,) in connection.execute(query, (chain, after)):
        if str(clock) >= moment:  # the column `clock` never goes back in a chain
            break
        count, last = count + 1, str(clock)
    return count, last
