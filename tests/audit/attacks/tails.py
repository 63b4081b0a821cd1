"""The end of the ledger cut away, carelessly or with care; older copies put in its place."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from tests.audit.attacks.attack import AUDIT, COPY, NOBODY, Attack, Hand, in_memory, opened
from tests.audit.attacks.rows import all_rows
from tests.audit.attacks.victim import victim

CARELESS = "the tail cut, at each length, and nothing else"
CAREFUL = "the tail cut, with its checkpoints, keys, texts and files"
OLDER = "the file replaced by an older copy of itself"


def attacks() -> Iterator[Attack]:
    rows = all_rows()
    for length in range(len(rows)):
        cut = f"the ledger cut to {length}"
        noticed_by = NOBODY if length == len(rows) - 1 else AUDIT
        yield Attack(CARELESS, f"{cut}, carelessly", noticed_by, partial(_cut, length))
        yield Attack(CAREFUL, f"{cut}, carefully", _of_careful(length), partial(_cut_well, length))
    for number, copy in enumerate(victim().copies[:-1]):
        lengths = _lengths_of(copy)
        noticed_by = COPY if _is_behind(lengths) else NOBODY
        act = partial(_replace, copy)
        yield Attack(OLDER, f"copy {number}", noticed_by, act, keeps_guards=False)


def _lengths_of(copy: bytes) -> dict[str, int]:
    connection = opened(in_memory(copy))
    found = connection.execute("select chain, count(*) from event group by 1").fetchall()
    connection.close()
    return dict(found)


def _is_behind(lengths: dict[str, int]) -> bool:
    """Whether a kept copy is of more events than these."""
    return any(lengths.get(chain, 0) < victim().behind(chain) for chain in ("office", "tent"))


def _of_careful(length: int) -> str:
    if not length:
        return AUDIT  # a ledger is never empty
    kept = all_rows()[:length]
    lengths = {chain: sum(row.chain == chain for row in kept) for chain in ("office", "tent")}
    # What was erased cannot be put back: before its erasure, the ledger has a text too few.
    erased = any(row.player == "e2" and '"digests"' in row.body for row in kept)
    if erased and not any(row.kind == "erasure" for row in kept):
        return AUDIT
    return COPY if _is_behind(lengths) else NOBODY


def _cut(length: int, hand: Hand) -> None:
    hand.run("delete from event where position > ?", length)


def _cut_well(length: int, hand: Hand) -> None:
    _cut(length, hand)
    there = "exists (select 1 from event where event.chain = {0}.chain and event.seq = {0}.{1})"
    hand.run(f"delete from checkpoint where not {there.format('checkpoint', 'size')}")
    hand.run(f"delete from disclosure where not {there.format('disclosure', 'seq')}")
    named = "exists (select 1 from event where instr(body, exhibit.sha256))"
    hand.run(f"delete from exhibit where not {named}")
    named = "exists (select 1 from event where instr(body, '\"' || key.name || '+'))"
    hand.run(f"delete from key where not {named}")
    hand.close_ranks()


def _replace(copy: bytes, hand: Hand) -> None:
    hand.connection.deserialize(in_memory(copy))
