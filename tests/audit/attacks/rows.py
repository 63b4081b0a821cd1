"""Rows of the event table deleted, repeated, exchanged, put in; nothing else made to fit."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise

from ledger.audit.rows import RawEvent
from ledger.chain.canonical import canonical
from ledger.chain.event import parse_event
from ledger.chain.hashing import leaf_hash
from tests.audit.attacks.attack import AUDIT, NOBODY, Attack, Hand, loose_file, opened, whole_file
from tests.audit.attacks.victim import victim

COLUMNS = ", ".join(RawEvent._fields)


def attacks() -> Iterator[Attack]:
    rows = all_rows()
    last = {row.chain: row.seq for row in rows}
    for row in rows:
        at = f"{row.chain}:{row.seq}"
        is_end = row.seq == last[row.chain]
        # The very last event of the ledger leaves no trace if its texts go too.
        free = NOBODY if is_end and row is rows[-1] else AUDIT
        yield Attack("an event deleted", f"{at} deleted", free, partial(_delete, row))
        free = NOBODY if is_end and row.seq > victim().behind(row.chain) else AUDIT
        yield Attack(
            "an event deleted with its texts, and the rest renumbered",
            f"{at} deleted, ranks closed", free, partial(_delete_neatly, row),
        )  # fmt: skip
        yield Attack("an event repeated", f"{at} repeated", AUDIT, partial(_repeat, row),
                     is_loose=True)  # fmt: skip
        yield Attack(
            "an event repeated at the end of its chain, under the next number",
            f"{at} repeated at the end", AUDIT, partial(_repeat_at_end, row), is_loose=True,
        )  # fmt: skip
        yield Attack(
            "a forged event inserted, what follows moved up",
            f"{at} forged behind it", NOBODY if is_end else AUDIT, partial(_insert, row),
            is_loose=True,
        )  # fmt: skip
    for one, other in pairwise(rows):
        yield from _exchanges(one, other)
    yield from _repeated()


def all_rows() -> list[RawEvent]:
    """Every row, in ledger order."""
    connection = opened(whole_file())
    found = connection.execute(f"select {COLUMNS} from event order by position").fetchall()
    connection.close()
    return [RawEvent(*row) for row in found]


def _repeated() -> Iterator[Attack]:
    connection = opened(loose_file())
    for table in ("disclosure", "key", "exhibit"):
        for (rowid,) in connection.execute(f"select rowid from {table} order by 1").fetchall():
            yield Attack(f"a row of `{table}` repeated", f"{table} {rowid} repeated", AUDIT,
                         partial(_repeat_in, table, rowid), is_loose=True)  # fmt: skip
    connection.close()


def _exchanges(one: RawEvent, other: RawEvent) -> Iterator[Attack]:
    pair = f"{one.chain}:{one.seq} and {other.chain}:{other.seq}"
    for columns in (("body",), ("body", "hash"), ("seq",), ("position",)):
        line, noticed_by = f"two neighbors' {' and '.join(columns)} exchanged", AUDIT
        if one.chain != other.chain and columns in (("seq",), ("position",)):
            if columns == ("seq",) and one.seq == other.seq:
                continue
            if columns == ("position",):
                line, noticed_by = "the order of two events of different chains exchanged", NOBODY
                if '"others"' in one.body + other.body:
                    noticed_by = AUDIT
        act = partial(_exchange, one, other, columns)
        name = f"{pair}: {' and '.join(columns)} exchanged"
        yield Attack(line, name, noticed_by, act, is_loose=True)


def _delete(row: RawEvent, hand: Hand) -> None:
    hand.run("delete from event where position = ?", row.position)


def _delete_neatly(row: RawEvent, hand: Hand) -> None:
    _delete(row, hand)
    hand.run("delete from disclosure where chain = ? and seq = ?", row.chain, row.seq)
    hand.close_ranks()


def _repeat(row: RawEvent, hand: Hand) -> None:
    hand.add(row._replace(position=1 + len(all_rows())))


def _repeat_in(table: str, rowid: int, hand: Hand) -> None:
    hand.run(f"insert into {table} select * from {table} where rowid = ?", rowid)


def _repeat_at_end(row: RawEvent, hand: Hand) -> None:
    end = hand.rows(row.chain)[-1]
    hand.add(row._replace(position=1 + len(all_rows()), seq=end.seq + 1, prev=end.hash))


def _insert(row: RawEvent, hand: Hand) -> None:
    hand.run("update event set position = position + 1 where position > ?", row.position)
    hand.run("update event set seq = seq + 1 where chain = ? and seq > ?", row.chain, row.seq)
    hand.add(forged_after(row))


def forged_after(row: RawEvent) -> RawEvent:
    """A well-formed event that follows this one: a play counter's remark nobody made."""
    event = parse_event(row.body.encode())
    said = {"at": "2026-09-05T13:00:00.000Z", "entered": "2026-09-05T13:00:00.000Z", "by": "pc",
            "chain": row.chain, "data": {"count": 99, "half": 1}, "game": "g1", "kind": "plays",
            "player": "a1", "prev": row.hash.hex(), "recorded": row.recorded, "team": "ash",
            "salt": event.salt[::-1].replace("=", "A"), "seq": row.seq + 1, "v": 1}  # fmt: skip
    body = canonical(said)
    return RawEvent(row.position + 1, row.chain, row.seq + 1, row.hash, leaf_hash(body),
                    body.decode(), "plays", row.recorded, row.clock, said["entered"],
                    "g1", "ash", "a1", None, None)  # fmt: skip


def _exchange(one: RawEvent, other: RawEvent, columns: tuple[str, ...], hand: Hand) -> None:
    sets = ", ".join(f"{column} = ?" for column in columns)
    for row, new in ((one, other), (other, one)):
        values = [getattr(new, column) for column in columns]
        hand.run(f"update event set {sets} where hash = ? and rowid = ?", *values, row.hash,
                 row.position)  # fmt: skip
