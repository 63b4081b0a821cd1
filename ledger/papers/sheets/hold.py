"""Hold a paper against the ledger: make it again from the same events, and compare the bytes.

1. paper.json and the paper's checkpoint are read from the PDF. The checkpoint has to be signed by
   the key of its chain in this ledger, and to name this paper.json.
2. This ledger has to hold the same events up to the lengths that paper.json names.
3. Only events within those lengths are read, each held against its hash and each text against its
   digest; the paper is made with the same arguments, print time and note.
4. The bytes are compared. All else only says where they differ: equal bytes are the one proof.

A paper that was printed where the chain's key is not kept bears no checkpoint; it can be the same
nevertheless, and what is said then is that nobody signed it.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

import pikepdf

from ledger.chain.checkpoint import check_checkpoint
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
from ledger.review.held import Difference, Held, PaperFile
from ledger.store.store import Store

MOST_FILE_BYTES = 512 * 1024 * 1024
_ERASING = ("erasure", "redaction")
_HINT = "Use the PDF file that weighbook print wrote, not a scan or a photo."


@dataclass(frozen=True)
class _Read:
    """What a PDF holds of ours: paper.json, and its checkpoint ("" for none)."""

    content: bytes
    note: str
    paper: PaperFile


def hold_paper(store: Store, data: bytes) -> Held:
    """Hold the PDF of these bytes against the ledger.

    Raises InputError where it is no paper that can be held, IntegrityError where the ledger itself
    is not what was written down.
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
    again = parse_paper(_attached(sheet))
    agree = (again.values, again.files) == (paper.values, paper.files)
    if not agree:
        missing = heads.missing_keys() if paper.files.keys() - again.files.keys() else []
        if reason := _gone_since(store, paper, missing):
            return Held(
                verdict="not_comparable",
                paper=paper,
                signed=bool(read.note),
                reason=reason,
                values_agree=False,
            )
    return _compare(data, read, sheet, others, agree)


def _compare(
    data: bytes,
    read: _Read,
    sheet: Sheet,
    others: tuple[tuple[str, str, str], ...],
    agree: bool,
) -> Held:
    told: dict[str, Any] = {"paper": read.paper, "signed": bool(read.note)}
    if others:
        return Held(verdict="other_versions", others=others, values_agree=agree, **told)
    made = typeset_sheet(sheet)
    if data == made and (wrong := _other_lines(read, sheet)):
        return Held(verdict="differs", difference=Difference(wrong), **told)
    if data == made:
        return Held(verdict="same", values_agree=True, **told)
    difference = _difference(data, made)
    if data.startswith(made):
        behind = look_behind(data, made)
        if behind.signer:
            return Held(verdict="same_signed", signer=behind.signer, values_agree=True, **told)
        if difference.page is None:
            difference = Difference(f"its pages are the same, but {behind.problem}")
        else:
            difference = replace(difference, what=f"{difference.what}; {behind.problem}")
    return Held(verdict="differs", difference=difference, values_agree=agree, **told)


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
            hint=f"{_HINT} Papers of earlier versions have none: print the paper again.",
        )
    paper = parse_paper(files[NAME])
    # Without the key of its chain a receipt bears only the note that an official cosigned.
    own = files.get(CHECKPOINT, b"") if paper.chain in paper.keys else b""
    try:
        return _Read(files[NAME], files.get(PAPER_CHECKPOINT, own).decode(), paper)
    except UnicodeDecodeError:
        raise InputError("the checkpoint in this PDF is no text", hint=_HINT) from None


def _wrong_note(store: Store, read: _Read) -> str:
    """Why the checkpoint is not one that this ledger's chain signed for this paper; "" if it is."""
    paper = read.paper
    if not read.note:
        return ""
    first = next(iter(store.events(kind=["chain_key"], chain=[paper.chain])), None)
    if first is None:
        return f"it is of the chain {paper.chain}, which this ledger does not have"
    try:
        note = parse_note(read.note.encode())
        checkpoint = check_checkpoint(note, parse_verifier_key(str(first.event.data["key"])))
    except (InputError, IntegrityError) as error:
        return f"its checkpoint is not one of this ledger: {error.message}"
    state = paper.chains[paper.chain]
    if (checkpoint.size, checkpoint.root.hex()) != (state["size"], state["root"]):
        return f"its checkpoint is of another state of the ledger than its {NAME}"
    if len(note.signatures) != 1:
        return "its checkpoint bears more signatures than the chain's"
    named = f"{PAPER_LINE} {sha256(read.content).hexdigest()}"
    if named not in checkpoint.extensions:
        return f"its checkpoint was signed for another paper: its {NAME} was changed or exchanged"
    return ""


def _wrong_history(proved: Mapping[str, Sequence[bytes]], paper: PaperFile) -> str:
    """Where this ledger does not hold the events that the paper was made from; "" if it does."""
    for chain, state in paper.chains.items():
        size, there = int(state["size"]), proved.get(chain, ())
        if not there:
            return f"it was made from the chain {chain}, which this ledger does not have"
        if len(there) < size:
            return f"it was made from {size:,} events of {chain}; this ledger has {len(there):,}"
        if root(there[:size]).hex() != state["root"]:
            return f"it was made from another history of the first {size:,} events of {chain}"
    return ""


def _other_lines(read: _Read, sheet: Sheet) -> str:
    """The lines of the signed note are not in the bytes that were made: they came from it."""
    if not read.note:
        return ""
    _, _, _, *lines = parse_note(read.note.encode()).text.splitlines()
    return "" if tuple(lines) == sheet.extensions else "its checkpoint names another list"


def _gone_since(store: Store, paper: PaperFile, missing: Sequence[str]) -> str:
    """Why the paper cannot be made again as it was; "" where nothing that was there is gone.

    `missing` are the chains whose keys an attached proof was signed with, and that are not here.
    """
    found = [
        stored.event
        for stored in store.events(kind=_ERASING)
        if stored.event.seq > paper.lengths.get(stored.event.chain, 0)
    ]
    if found:
        words = {"erasure": "texts were erased", "redaction": "files were redacted"}
        kinds = [kind for kind in _ERASING if any(event.kind == kind for event in found)]
        ids = ", ".join(event.id for event in found)
        return f"{' and '.join(words[kind] for kind in kinds)} since ({ids})"
    if missing:
        return (
            f"the key of {', '.join(missing)}, which its proof is signed with, is not in this copy"
        )
    return ""


def _other_versions(paper: PaperFile) -> tuple[tuple[str, str, str], ...]:
    here = versions()
    names = sorted(here.keys() | paper.made_by.keys())
    pairs = ((name, paper.made_by.get(name, "none"), here.get(name, "none")) for name in names)
    return tuple((name, then, now) for name, then, now in pairs if then != now)


def _difference(data: bytes, made: bytes) -> Difference:
    try:
        return find_difference(data, made)
    except (pikepdf.PdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Difference("its pages cannot be read")


def _attached(sheet: Sheet) -> bytes:
    return next(file.content for file in sheet.attachments if file.name == NAME)
