"""What an event says of the ledger's other chains, against their trees, places and clocks.

A countersignature and the first event of a chain name how long each other chain was, and its root.
That a clock contradicts it is a note, with both events: a device without a network writes later,
honestly, what happened earlier, and its clock may be wrong.
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
    """Whether the other chains are those that were there when it was written, and no longer.

    `place_of` gives an event's place in the order of acceptance.
    """
    try:
        others = parse_others(event.data)
    except InputError as error:
        yield Problem(event.chain, event.seq, "altered", error.message)
        return
    for name, state in others.items():
        what = f"what {event.id} says of it"
        if name in chains:
            signed = Checkpoint(name, state.size, state.root)
            yield from chains[name].check_checkpoint(signed, what)
            last, next_ = place_of(name, state.size), place_of(name, state.size + 1)
            if (last is not None and last > position) or (next_ is not None and next_ < position):
                how = f"{what} does not fit their places in the ledger's order"
                yield Problem(name, state.size, "reordered", how)
        else:
            how = f"{what} is of {state.size:,} events; there is no such chain"
            yield Problem(name, None, "cut tail", how)
    for name in chains.keys() - others.keys() - {event.chain}:
        first = place_of(name, 1)
        if "form" in event.data and first is not None and first < position:
            what = f"the chain {name} was there, and {event.id} does not name it"
            yield Problem(event.chain, event.seq, "reordered", what)


def clock_notes(connection: sqlite3.Connection, naming: Iterable[Event]) -> Iterator[str]:
    """Clocks that contradict what these events say of other chains: which event, and which clock.

    What an event names was there before it; what it does not name came after it.
    """
    found = connection.execute("select distinct chain from event")
    names = [name for (name,) in found if readable(name) == name]  # others cannot be asked for
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
                    f"{name}:{size} was recorded at {clock} by its clock, and {event.id}, which "
                    f"comes after it, at {event.recorded}"
                )
            count, clock = _earlier(connection, name, size, event.recorded)
            if count:
                last = f" to {name}:{size + count}" if count > 1 else ""
                yield (
                    f"{name}:{size + 1}{last} was recorded by {clock} by its clock, before "
                    f"{event.id} ({event.recorded}), which does not cover it: it counts as after it"
                )


def _clock(connection: sqlite3.Connection, chain: str, seq: int) -> str | None:
    query = "select clock from event where chain = ? and seq = ?"
    row = connection.execute(query, (chain, seq)).fetchone()
    return str(row[0]) if row else None


def _earlier(
    connection: sqlite3.Connection, chain: str, after: int, moment: str
) -> tuple[int, str]:
    """How many events after that one have an earlier clock than `moment`, and the last of these."""
    count, last = 0, ""
    query = "select clock from event where chain = ? and seq > ? order by seq"
    for (clock,) in connection.execute(query, (chain, after)):
        if str(clock) >= moment:  # clocks of a chain never go back
            break
        count, last = count + 1, str(clock)
    return count, last
