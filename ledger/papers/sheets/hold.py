"""Check a paper against the ledger: make it again from the same events and compare the bytes.

1. Read paper.json and the paper's checkpoint from the PDF. The chain's key in this ledger must have
   signed the checkpoint, which must name this paper.json.
2. This ledger must have the same events up to the lengths in paper.json.
3. Read only the events within those lengths, check each event's hash and each text's digest, and
   make the paper with the same arguments, print time and note.
4. Compare the bytes. Only equal bytes prove a paper; the rest shows where it differs.

A paper printed without the chain's key has no checkpoint. It can still be the same; the answer
then says that nobody signed it.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

import pikepdf

from ledger.chain.checkpoint import check_checkpoint
from ledger.chain.event import Event
from ledger.chain.merkle import root
from ledger.chain.note import parse_note, parse_verifier_key
from ledger.errors import InputError, IntegrityError
from ledger.papers.press.behind import look_behind
from ledger.papers.press.heads import CHECKPOINT, PAPER_CHECKPOINT, Heads
from ledger.papers.press.pages import find_difference
from ledger.papers.press.paper_file import NAME, PAPER_LINE, parse_paper
from ledger.papers.press.render import typeset_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.press.versions import versions
from ledger.papers.sheets.documents import make_again
from ledger.record.kinds import FILES
from ledger.review.held import Difference, Held, PaperFile
from ledger.store.store import Store

MOST_FILE_BYTES = 512 * 1024 * 1024
_ERASING = {"erasure": "texts were erased", "redaction": "files were redacted"}
_HINT = "Use the PDF file that weighbook print wrote, not a scan or a photo."


@dataclass(frozen=True)
class _Read:
    """What we find in a PDF: paper.json, and its checkpoint ("" for none)."""

    content: bytes
    note: str
    paper: PaperFile


def hold_paper(store: Store, data: bytes) -> Held:
    """Check this PDF against the ledger.

    Raises InputError if it is not a paper that can be checked, IntegrityError if the ledger's own
    events were changed.
    """
    read = _read(data)
    paper = read.paper
    proved = {chain: store.hashes(chain) for chain in store.lengths()}
    if wrong := _wrong_note(store, read) or _wrong_history(proved, paper):
        return Held(verdict="differs", paper=paper, difference=Difference(wrong))
    heads = Heads(
        store,
        lengths=paper.lengths,
        printed_at=paper.printed_at,
        keys=paper.keys,
        note=read.note,
        hashes={chain: proved[chain][:size] for chain, size in paper.lengths.items()},
    )
    others = _other_versions(paper)
    try:
        sheet = make_again(heads, paper.document, paper.arguments)
    except InputError as error:
        if others:
            return Held(verdict="other_versions", paper=paper, others=others)
        what = f"this ledger has no such paper: {error.message}"
        return Held(verdict="differs", paper=paper, difference=Difference(what))
    known: dict[str, Any] = {"paper": paper, "signed": bool(read.note)}
    again = parse_paper(next(file.content for file in sheet.attachments if file.name == NAME))
    agree = (again.values, again.files) == (paper.values, paper.files)
    if not agree:
        missing = heads.missing_keys() if paper.files.keys() - again.files.keys() else []
        if reason := _gone_since(store, paper, missing):
            return Held(verdict="not_comparable", reason=reason, values_agree=False, **known)
    if others:
        return Held(verdict="other_versions", others=others, values_agree=agree, **known)
    made = typeset_sheet(sheet)
    if data == made:
        if _has_other_lines(read, sheet):
            other = Difference("its checkpoint names another list")
            return Held(verdict="differs", difference=other, **known)
        return Held(verdict="same", values_agree=True, **known)
    try:
        difference = find_difference(data, made)
    except (pikepdf.PdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        difference = Difference("its pages cannot be read")
    if data.startswith(made):
        behind = look_behind(data, made)
        if behind.signer:
            return Held(verdict="same_signed", signer=behind.signer, values_agree=True, **known)
        if difference.page is None:
            difference = Difference(f"its pages are the same, but {behind.problem}")
        else:
            difference = replace(difference, what=f"{difference.what}; {behind.problem}")
    return Held(verdict="differs", difference=difference, values_agree=agree, **known)


def _read(data: bytes) -> _Read:
    try:
        with pikepdf.open(io.BytesIO(data)) as pdf:
            files = {
                name: pdf.attachments[name].get_file().read_bytes()
                for name in (NAME, PAPER_CHECKPOINT, CHECKPOINT)
                if name in pdf.attachments
            }
    except (
        pikepdf.PdfError, pikepdf.DependencyError, ValueError, KeyError, TypeError, AttributeError,
    ) as error:  # fmt: skip
        raise InputError("this PDF cannot be read", hint=_HINT) from error
    if NAME not in files:
        raise InputError(
            f"this PDF has no {NAME}, so it cannot be checked",
            hint=f"{_HINT} Papers from earlier versions have none; print the paper again.",
        )
    paper = parse_paper(files[NAME])
    # Without its chain's key a receipt has only the note that an official cosigned.
    own = files.get(CHECKPOINT, b"") if paper.chain in paper.keys else b""
    try:
        return _Read(files[NAME], files.get(PAPER_CHECKPOINT, own).decode(), paper)
    except UnicodeDecodeError:
        raise InputError("the checkpoint in this PDF is not text", hint=_HINT) from None


def _wrong_note(store: Store, read: _Read) -> str:
    """Why this ledger's chain did not sign the checkpoint for this paper; "" if it did."""
    paper = read.paper
    if not read.note:
        return ""
    first = next(iter(store.events(kind=["chain_key"], chain=[paper.chain])), None)
    if first is None:
        return f"its chain is {paper.chain}, which this ledger does not have"
    try:
        note = parse_note(read.note.encode())
        checkpoint = check_checkpoint(note, parse_verifier_key(str(first.event.data["key"])))
    except (InputError, IntegrityError) as error:
        return f"its checkpoint is not from this ledger: {error.message}"
    state = paper.chains[paper.chain]
    if (checkpoint.size, checkpoint.root.hex()) != (state["size"], state["root"]):
        return f"its checkpoint and its {NAME} are from different states of the ledger"
    if len(note.signatures) != 1:
        return "its checkpoint has more signatures than the chain's"
    named = f"{PAPER_LINE} {sha256(read.content).hexdigest()}"
    if named not in checkpoint.extensions:
        return f"its checkpoint was signed for another paper: its {NAME} was changed or replaced"
    return ""


def _wrong_history(proved: Mapping[str, Sequence[bytes]], paper: PaperFile) -> str:
    """How this ledger's events differ from those that the paper was made from; "" if not."""
    for chain, state in paper.chains.items():
        size, there = int(state["size"]), proved.get(chain, ())
        if not there:
            return f"it was made from the chain {chain}, which this ledger does not have"
        if len(there) < size:
            return f"it was made from {size:,} events of {chain}; this ledger has {len(there):,}"
        if root(there[:size]).hex() != state["root"]:
            return f"it was made from another history of the first {size:,} events of {chain}"
    return ""


def _has_other_lines(read: _Read, sheet: Sheet) -> bool:
    """Whether the note's lines differ: equal bytes do not show it, since the note was reused."""
    lines = parse_note(read.note.encode()).text.splitlines()[3:] if read.note else None
    return lines is not None and tuple(lines) != sheet.extensions


def _gone_since(store: Store, paper: PaperFile, missing: Sequence[str]) -> str:
    """Why the paper cannot be made again; "" if nothing it needs is gone.

    `missing` are the chains whose keys signed an attached proof but are not in this ledger.
    """
    events = [stored.event for stored in store.events(kind=list(_ERASING))]
    found = [event for event in events if event.seq > paper.lengths.get(event.chain, 0)]
    if found:
        kinds = {event.kind for event in found}
        what = " and ".join(said for kind, said in _ERASING.items() if kind in kinds)
        return f"{what} since ({', '.join(event.id for event in found)})"
    if again := _handed_in_again(store, paper):
        return f"files were handed in again since ({', '.join(again)})"
    chains = ", ".join(missing)
    return f"the key of {chains}, which signed its proof, is not in this copy" if missing else ""


def _handed_in_again(store: Store, paper: PaperFile) -> list[str]:
    """Later events about files that the paper's events name: such a file may be kept only now."""
    named: set[str] = set()
    later: list[Event] = []
    for event in (stored.event for stored in store.events(kind=list(FILES))):
        if event.seq > paper.lengths.get(event.chain, 0):
            later.append(event)
        elif digest := event.data.get(FILES[event.kind]):
            named.add(digest)
    return [event.id for event in later if event.data.get(FILES[event.kind]) in named]


def _other_versions(paper: PaperFile) -> tuple[tuple[str, str, str], ...]:
    here = versions()
    names = sorted(here.keys() | paper.made_by.keys())
    pairs = ((name, paper.made_by.get(name, "none"), here.get(name, "none")) for name in names)
    return tuple((name, then, now) for name, then, now in pairs if then != now)
