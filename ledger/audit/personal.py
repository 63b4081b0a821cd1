"""Step 6: personal text against its digests, and files handed in against their SHA-256."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from functools import partial
from hashlib import sha256
from typing import Any, NamedTuple

from ledger.audit.report import Judged, Problem
from ledger.audit.rows import Placed, readable
from ledger.chain.disclosure import digest_of, open_disclosure
from ledger.chain.event import Event
from ledger.errors import InputError

EXHIBIT_KINDS = ("countersign", "case_exhibit", "redaction")


class Looked(NamedTuple):
    """How many texts or files are here, how many were erased or redacted, and how many may be kept
    elsewhere, with only the digest in the ledger.
    """

    there: int
    gone: int
    elsewhere: int = 0


def check_disclosures(
    connection: sqlite3.Connection,
    disclosing: Iterable[Placed],
    erasures: Iterable[Placed],
    last_seqs: Mapping[str, int],
    judged: Judged,
    *,
    are_all_there: bool = True,
) -> tuple[Looked, list[Problem]]:
    """Check that each digest has its text, unless erased, and that each text has its digest.

    Skips the digests of events in `judged`. A text beyond the end of its chain shows a cut tail;
    step 2 has reported gaps inside a chain. `are_all_there` is False if some texts or erasures
    cannot be read; then missing texts are no problem.
    """
    erased = {
        str(event_id): event.id
        for _, _, event in erasures
        if (event.chain, event.seq) not in judged
        for event_id in _as_list(event.data.get("events"))
    }
    query = "select chain, seq, field, text from disclosure"
    texts = {(chain, seq, name): text for chain, seq, name, text in connection.execute(query)}
    problems: list[Problem] = []
    there = gone = 0
    for _, _, event in disclosing:
        digests = event.data.get("digests")
        for name, digest in digests.items() if isinstance(digests, dict) else ():
            text = texts.pop((event.chain, event.seq, name), None)
            there += text is not None
            gone += text is None
            if (event.chain, event.seq) not in judged:
                if text is None and not are_all_there:
                    continue
                if wrong := _compare(name, digest, text, erased.get(event.id)):
                    problems.append(Problem.of_event(event, "disclosure differs", wrong))
    for chain, seq, name in texts:
        if type(seq) is not int or chain not in last_seqs:
            what = f"a text {readable(name)} belongs to no event"
            problems.append(Problem(readable(chain), None, "disclosure differs", what))
        elif seq > last_seqs[chain]:
            what = f"the text {readable(name)} of event {seq} is here, but the event is not"
            problems.append(Problem(chain, last_seqs[chain], "cut tail", what))
        elif (chain, seq) not in judged and _is_there(connection, chain, seq):
            what = f"the event does not name its text {readable(name)}"
            problems.append(Problem(chain, seq, "disclosure differs", what))
    return Looked(there, gone), problems


def _is_there(connection: sqlite3.Connection, chain: str, seq: int) -> bool:
    query = "select 1 from event where chain = ? and seq = ?"
    return connection.execute(query, (chain, seq)).fetchone() is not None


def _compare(name: str, digest: Any, text: Any, erased_by: str | None) -> str:
    """Return what is wrong with the text of a field, or ""."""
    if text is None:
        return "" if erased_by else f"the text {name} is missing, and no erasure names it"
    if erased_by:
        return f"the text {name} was erased by {erased_by}, but is still here"
    try:
        if not isinstance(text, str):
            raise InputError("it is not stored as text")
        if open_disclosure(text).field == name and digest_of(text) == digest:
            return ""
    except InputError as error:
        return f"the text {name} cannot be read: {error.message}"
    return f"the text {name} is not the one that was recorded"


def check_exhibits(
    connection: sqlite3.Connection,
    naming: Iterable[Placed],
    judged: Judged,
    *,
    are_all_there: bool = True,
) -> tuple[Looked, list[Problem]]:
    """Check that each file fits its digest and is named, and that none is missing.

    The ledger must keep the scan of a signature in ink and a redacted copy. A file of a case may be
    kept elsewhere. A redacted file stays away, even if someone hands it in again.
    `are_all_there` is False if some files, or events that name them, cannot be read.
    """
    problems: list[Problem] = []
    named: set[str] = set()
    needed: dict[str, Event] = {}
    redacted: dict[str, Event] = {}
    for _, _, event in naming:
        if event.kind == "redaction":
            before, copy = str(event.data.get("before")), str(event.data.get("after"))
            needed.pop(before, None)
            redacted[before] = event
        else:
            copy = str(event.data.get("value" if event.kind == "case_exhibit" else "scan"))
        if copy == "None":
            continue
        named.add(copy)
        if event.kind != "case_exhibit" and (event.chain, event.seq) not in judged:
            needed[copy] = event
            redacted.pop(copy, None)
    there, elsewhere = 0, named - needed.keys() - redacted.keys()
    for digest, name, content in connection.execute("select sha256, name, content from exhibit"):
        there += 1
        what = f"the file {readable(name)} ({readable(digest)[:16]}…)"
        if not isinstance(content, bytes) or sha256(content).hexdigest() != digest:
            problems.append(_wrong_file(f"{what} is not the one that was handed in"))
        elif digest in redacted:
            by = redacted[digest].id
            problems.append(_wrong_file(f"{what} was redacted by {by}, but is still here"))
        elif digest not in named and are_all_there:
            problems.append(_wrong_file(f"{what} is not named by any event"))
        if not isinstance(name, str):
            problems.append(_wrong_file(f"{what} has no name"))
        needed.pop(digest, None)
        elsewhere.discard(digest)
    for digest, event in needed.items() if are_all_there else ():
        what = f"the file {readable(digest)[:16]}… is missing"
        problems.append(Problem.of_event(event, "exhibit differs", what))
    return Looked(there, len(redacted), len(elsewhere)), problems


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


_wrong_file = partial(Problem.of_file, "exhibit differs")
