"""The audit of a ledger's file, step by step; it shares only `ledger.chain` with the writer.

1. Bytes to hashes. The file itself: its tables, its guards, indexes that hide no row.
2. Links, numbers and order; every column that copies part of the bytes.
3. Merkle trees, each chain's own key, every stored checkpoint.
4. Officials' keys in force; the cosigned checkpoint of every countersignature and signed act.
5. Every signed list, derived again and compared with what was signed.
6. Personal text and files handed in against their digests.
7. Copies that others kept (`--since`).

Every step lists all it finds. Later steps skip the events that step 1 or 2 found altered.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path

from ledger.audit import lists, personal, signatures
from ledger.audit.acts import ROLE_KINDS, act_notes, correction_notes
from ledger.audit.checkpoints import (
    Chain,
    StoredNote,
    check_checkpoint,
    check_other_keys,
    check_own_keys,
    make_chains,
    read_checkpoints,
)
from ledger.audit.damage import Damage, is_damage, read_around
from ledger.audit.file import check_damage, check_rows, check_schema
from ledger.audit.forms import read_as_newest
from ledger.audit.kept import KeptNote, read_kept
from ledger.audit.keys import KEY_KINDS, Keys
from ledger.audit.links import ChainRead, explain
from ledger.audit.naming import check_others, clock_notes
from ledger.audit.phones import not_witnessed
from ledger.audit.quick import join_runs, prove_rows
from ledger.audit.report import AuditReport, ChainState, Judged, Problem, Step
from ledger.audit.rows import (
    count_events,
    find_place,
    look_at_any_text,
    open_to_read,
    read_disclosing,
    read_kinds,
    read_ordered,
)
from ledger.audit.second import begin_half
from ledger.audit.since import check_kept, continued, covered_by
from ledger.audit.tree import BLOCK
from ledger.chain.event import Event
from ledger.chain.hashing import BEGINNING, HASH_BYTES
from ledger.chain.note import VerifierKey
from ledger.errors import count_of

Count = Callable[[int], object]
SHOWN = 5
WORTH_TWO = 50_000
"""From this many rows on, a second process saves time."""
UNDAMAGED = Damage([])
_EMPTIED = Problem.of_file("gap", "there are no events: a ledger begins with the key of a chain")


def _unheard(count: int) -> None:
    """Show no progress."""


def audit_file(
    path: Path,
    *,
    since: Sequence[Path] = (),
    on_start: Count = _unheard,
    on_step: Count = _unheard,
) -> AuditReport:
    """Audit the ledger at `path`, and compare it with every checkpoint in the files of `since`.

    Calls `on_start` with the number of events and `on_step` with how many more were checked. If
    something is wrong, both start over for a look at every row. Raises StoreError if the file
    cannot be read to its end, InputError if a file of `since` has no checkpoint.
    """
    kept = [note for file in since for note in read_kept(file)]
    with open_to_read(path) as connection:
        return audit(connection, path=path, since=kept, on_start=on_start, on_step=on_step)


def audit(
    connection: sqlite3.Connection,
    *,
    path: Path | None = None,
    since: Sequence[KeptNote] = (),
    on_start: Count = _unheard,
    on_step: Count = _unheard,
) -> AuditReport:
    """Audit the ledger on this connection; with `path`, a second process can help."""
    schema = check_schema(connection)
    try:
        read_as_newest(connection)
        return _audit(connection, schema, path, since, on_start, on_step)
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
        damage = read_around(connection, error)
    return _audit(connection, schema, None, since, on_start, on_step, damage)


def _audit(
    connection: sqlite3.Connection,
    schema: Sequence[Problem],
    path: Path | None,
    since: Sequence[KeptNote],
    on_start: Count,
    on_step: Count,
    damage: Damage = UNDAMAGED,
) -> AuditReport:
    is_whole = damage is UNDAMAGED
    stored = count_events(connection) if is_whole else damage.stored
    bytes_step = Step(1, "Bytes and hashes", problems=[*schema, *damage.problems])
    links_step = Step(2, "Links, numbers, order and columns")
    bytes_step.add([_EMPTIED] * (not stored))
    bytes_step.add(check_rows(connection) if is_whole else check_damage(connection))
    read = _prove(connection, path, stored, on_start, on_step) if is_whole else None
    look_at_any_text(connection)
    if read is None:
        on_start(stored)
        read, bytes_wrong, links_wrong = explain(
            connection, on_step, are_all_there="event" not in damage.tables
        )
        bytes_step.add(bytes_wrong)
        links_step.add(problem for problem in links_wrong if not damage.is_known(problem))
    read += damage.unread({one.chain for one in read})
    events = sum(len(one.hashes) // HASH_BYTES for one in read)
    bytes_step.looked_at = f"{events:,} of {stored:,} events hashed again"
    links_step.looked_at = f"{count_of(len(read), 'chain')}, 14 columns of each event"
    links_step.notes += _clock_notes(read)
    judged = {(problem.chain, problem.seq) for problem in bytes_step.problems + links_step.problems}
    for one in () if is_whole else read:
        links_step.notes += damage.holds(one.chain, one.last_seq, judged)
    chains, trees_step, notes = _trees(connection, read, judged, damage)
    keys_step, keys, signed = _signatures(connection, chains, notes, judged, damage)
    return AuditReport(
        events=events,
        stored=stored,
        chains=[_state(one, chains[one.chain]) for one in read],
        steps=[
            bytes_step,
            links_step,
            trees_step,
            keys_step,
            _lists(connection, judged, signed, damage),
            _personal(connection, chains, judged, damage),
            _kept(since, chains, keys, notes, damage),
        ],
        signatures=len(signed),
        kept=len(since),
    )


def _prove(
    connection: sqlite3.Connection, path: Path | None, stored: int, on_start: Count, on_step: Count
) -> list[ChainRead] | None:
    """Do steps 1 and 2 the quick way, in two processes for a large ledger; None if in doubt."""
    on_start(stored)
    if path is None or stored < WORTH_TWO:
        parts = [prove_rows(connection, 1, stored, on_step)]
    else:
        half = stored // 2 // BLOCK * BLOCK
        finish = begin_half(path, half + 1, stored)
        parts = [prove_rows(connection, 1, half, lambda count: on_step(2 * count)), finish()]
    proved = [part for part in parts if part is not None]
    return join_runs(proved, BEGINNING) if len(proved) == len(parts) else None


def _trees(
    connection: sqlite3.Connection, read: Sequence[ChainRead], judged: Judged, damage: Damage
) -> tuple[dict[str, Chain], Step, list[StoredNote]]:
    step = Step(3, "Trees and checkpoints")
    chains, wrong = make_chains(connection, read, judged)
    step.add(wrong)
    step.add(check_own_keys(connection, chains))
    by_phone = [one.event for one in read_kinds(connection, ["countersign"])]
    late = {(event.chain, event.seq) for event in by_phone if signatures.is_by_phone(event)}
    found, wrong = read_checkpoints(connection, chains, late)
    is_gap_known = "checkpoint" in damage.tables
    step.add(one for one in wrong if one.problem != "gap" or not is_gap_known)
    notes = [note for note in found if damage.is_whole(note.chain, note.size)]
    for note in notes:
        step.add(check_checkpoint(chains[note.chain], note))
    stored = count_of(len(notes), "stored checkpoint")
    step.looked_at = f"{stored} against the trees and the chains' keys"
    if rest := len(found) - len(notes):
        left = count_of(rest, "stored checkpoint")
        step.notes.append(f"{left} not compared: events that they cover cannot be read")
    return chains, step, notes


def _signatures(
    connection: sqlite3.Connection,
    chains: Mapping[str, Chain],
    notes: Sequence[StoredNote],
    judged: Judged,
    damage: Damage,
) -> tuple[Step, list[VerifierKey], list[Event]]:
    step = Step(4, "Keys and signatures")
    asked = read_kinds(connection, signatures.KINDS)
    found = [
        one for one in asked if one.event.kind == "countersign" or signatures.is_act(one.event)
    ]
    events = [placed for placed in found if damage.is_before(placed.event)]
    if rest := len(found) - len(events):
        what = count_of(rest, "event") + " of keys and signatures"
        step.notes.append(f"{what} not checked: events before them cannot be read")
    notes = [note for note in notes if damage.is_covered(note.chain, note.size)]
    stated = [event for event in read_ordered(connection, KEY_KINDS) if damage.is_before(event)]
    keys = Keys(stated, chains, judged)
    step.add(keys.problems)
    if "checkpoint" in damage.tables:
        there = {(note.chain, note.size) for note in notes}
        judged = judged | {(one.event.chain, one.event.seq) for one in events} - there
    place_of = partial(find_place, connection)
    step.add(signatures.check_signatures(events, keys, chains, notes, judged, place_of))
    if "event" not in damage.tables:
        step.add(check_other_keys(connection, chains, keys.known))
    own = [placed.event for placed in events if signatures.is_signed(placed.event)]
    in_ink = sum(event.data.get("how") == "ink" for event in own)
    begun = [one for one in read_kinds(connection, ["chain_key"]) if damage.is_before(one.event)]
    for placed in begun:
        step.add(check_others(placed.event, placed.position, chains, place_of))
    signed_acts = [placed.event for placed in events if signatures.is_signed_act(placed.event)]
    if "event" not in damage.tables:
        naming = [*own, *signed_acts, *(one.event for one in begun)]
        step.notes += clock_notes(connection, naming)
    by_phone = sum(map(signatures.is_by_phone, own))
    on_phones = f" ({by_phone:,} on a phone)" if by_phone else ""
    step.looked_at = (
        f"{count_of(len(keys.known), 'key')} of officials, "
        f"{count_of(len(own) - in_ink, 'signature')} with a key{on_phones}, {in_ink:,} in ink"
    )
    if signed_acts:
        step.looked_at += f"; {count_of(len(signed_acts), 'signed act')}"
    read = read_ordered(connection, signatures.KINDS)
    acts, roles = [*filter(signatures.is_act, read)], read_ordered(connection, ROLE_KINDS)
    step.notes += act_notes(acts, roles, keys, judged) if acts else ()
    if "event" not in damage.tables:
        step.notes += correction_notes((e for e in read if e.kind in signatures.TABLES), judged)
    if "checkpoint" not in damage.tables:
        step.notes += not_witnessed(own, notes, judged)
    for chain in chains.values():
        step.notes += _beyond(chain, chain.witnessed, "since", "not yet witnessed")
    return step, keys.known, own


def _beyond(chain: Chain, size: int, since: str, what: str) -> list[str]:
    """Return a note on the chain's events after the first `size`, if there are any."""
    rest = chain.last_seq - size
    which = f"{since} {chain.name}:{size}" if size else f"of {chain.name}"
    are = "is" if rest == 1 else "are"
    return [f"{count_of(rest, 'event')} {which} {are} {what}"] * bool(rest)


def _lists(
    connection: sqlite3.Connection, judged: Judged, signed: Sequence[Event], damage: Damage
) -> Step:
    step = Step(5, "Signed lists", f"{count_of(len(signed), 'list')} derived again as signed")
    if "event" in damage.tables:
        found = read_kinds(connection, ["countersign"])
        left_out = {(e.chain, e.seq) for e in (p.event for p in found) if not damage.is_before(e)}
        judged = judged | left_out
    lists.check_lists(connection, signed, judged, step)
    if old := sum("form" not in event.data for event in signed):
        what = count_of(old, "signature")
        step.notes.append(f"{what} of an older form: only the list's number was compared")
    return step


def _personal(
    connection: sqlite3.Connection, chains: Mapping[str, Chain], judged: Judged, damage: Damage
) -> Step:
    step = Step(6, "Personal text and files")
    last_seqs = {
        chain.name: damage.length.get(chain.name, chain.last_seq) for chain in chains.values()
    }
    disclosing, erasures = read_disclosing(connection), read_kinds(connection, ["erasure"])
    texts, wrong = personal.check_disclosures(
        connection, disclosing, erasures, last_seqs, judged,
        are_all_there=not damage.tables & {"event", "disclosure"},
    )  # fmt: skip
    step.add(wrong)
    files, wrong = personal.check_exhibits(
        connection, read_kinds(connection, personal.EXHIBIT_KINDS), judged,
        are_all_there=not damage.tables & {"event", "exhibit"},
    )  # fmt: skip
    step.add(wrong)
    step.looked_at = (
        f"{count_of(texts.there, 'text')} ({texts.gone:,} erased), "
        f"{count_of(files.there, 'file')} ({files.gone:,} redacted)"
    )
    if files.elsewhere:
        whose = count_of(files.elsewhere, "case file is", "case files are")
        step.notes.append(f"{whose} not kept here, only the digest")
    return step


def _kept(
    since: Sequence[KeptNote],
    chains: Mapping[str, Chain],
    keys: Sequence[VerifierKey],
    notes: Sequence[StoredNote],
    damage: Damage,
) -> Step:
    step = Step(7, "Copies that others kept", count_of(len(since), "copy", "copies"))
    if not since:
        step.looked_at = "none given (--since FILE); only a copy would show a rewritten ledger"
    for kept in since:
        name = kept.checkpoint.origin.rpartition("/")[2]
        if not damage.is_covered(name, kept.checkpoint.size):
            what = f"the copy in {kept.file} cannot be compared: events that it covers are gone"
            step.add([Problem(name, kept.checkpoint.size, "unreadable", what)])
            continue
        wrong = list(check_kept(kept, chains, keys, notes))
        step.add(wrong)
        step.notes += [continued(kept)] * (not wrong)
    if since and step.ok:
        for name, size in covered_by(since, chains).items():
            step.notes += _beyond(chains[name], size, "after", "in no copy")
    return step


def _clock_notes(read: Sequence[ChainRead]) -> list[str]:
    notes = []
    for one in read:
        shown = ", ".join(f"{one.chain}:{seq}" for seq in one.clock_back[:SHOWN])
        more = f" and {len(one.clock_back) - SHOWN:,} more" * (len(one.clock_back) > SHOWN)
        notes += [f"the ledger's clock went back at {shown}{more}"] * bool(one.clock_back)
    return notes


def _state(read: ChainRead, chain: Chain) -> ChainState:
    head = read.hashes[-HASH_BYTES:] or BEGINNING
    size = len(read.hashes) // HASH_BYTES
    return ChainState(read.chain, size, head.hex(), chain.tree.root(size).hex())
