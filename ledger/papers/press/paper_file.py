"""paper.json: what a paper was made from, to make it again.

Attached to every paper, as canonical JSON (RFC 8785). Its keys:

    form        1
    document    the template's folder, such as ineligible_list
    arguments   ids of what was asked for: game, team, case, event; as_of, known_at (UTC text)
    printed_at  when it was printed, by the device's clock (UTC text)
    chain       the chain of its checkpoint
    chains      length and root of every chain: {chain: {"root": hex, "size": n}}
    keys        the chains whose private keys were at hand
    values      SHA-256 of the template's values as canonical JSON, without the checkpoint
    files       SHA-256 of every other attached file, by name
    made_by     versions (ledger.papers.press.versions)

It contains no names and no free text. The paper's checkpoint has two extension lines
(c2sp.org/tlog-checkpoint), the second on a list only. They tell for which paper the chain's key
signed it, since the notes of papers printed at one size agree in size and root:

    weighbook-paper <SHA-256 of paper.json, hex>
    weighbook-list <the list's number, hex>
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, fields, is_dataclass
from hashlib import sha256
from typing import Any

from ledger.chain.canonical import canonical, parse_canonical
from ledger.errors import InputError
from ledger.record.times import is_utc_text
from ledger.review.held import PaperFile

NAME = "paper.json"
FORM = 1
PAPER_LINE, LIST_LINE = "weighbook-paper", "weighbook-list"
MOST_BYTES = 1_000_000
_DIGEST = re.compile(r"[0-9a-f]{64}")


def format_paper(paper: PaperFile) -> bytes:
    """Return the bytes of paper.json."""
    return canonical({"form": FORM, **asdict(paper)})


def parse_paper(data: bytes) -> PaperFile:
    """Read paper.json; InputError if it is not one of this form."""
    if len(data) > MOST_BYTES:
        raise InputError(f"{NAME} has more than {MOST_BYTES:,} bytes")
    try:
        value = parse_canonical(data)
    except InputError as error:
        raise InputError(f"{NAME} in it cannot be read: {error.message}", hint=_GET) from error
    form = value.pop("form", None)
    if form != FORM:
        hint = "Update weighbook." if isinstance(form, int) and form > FORM else _GET
        raise InputError(f"{NAME} in it has the unknown form {form!r}", hint=hint)
    if value.keys() != {field.name for field in fields(PaperFile)} or not _has_form(value):
        raise InputError(f"{NAME} in it was not written by weighbook", hint=_GET)
    return PaperFile(**value)


def extension_lines(paper: bytes, list_number: str = "") -> tuple[str, ...]:
    """The extension lines of the checkpoint for these bytes of paper.json."""
    digest = sha256(paper).hexdigest()
    lines = (f"{PAPER_LINE} {digest}",)
    return (*lines, f"{LIST_LINE} {list_number}") if list_number else lines


def digest_values(context: Mapping[str, Any]) -> str:
    """SHA-256 (hex) of a template's values."""
    return sha256(canonical(_plain(context))).hexdigest()


def _plain(value: Any) -> Any:
    """Dataclasses, mappings and tuples as plain JSON values, without uncounted fields."""
    if is_dataclass(value):
        counted = (one for one in fields(value) if one.metadata.get("is_counted", True))
        return {one.name: _plain(getattr(value, one.name)) for one in counted}
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


def _has_form(value: Mapping[str, Any]) -> bool:
    kinds = {"keys": list} | dict.fromkeys(("arguments", "chains", "files", "made_by"), dict)
    if not all(isinstance(one, kinds.get(key, str)) for key, one in value.items()):
        return False
    texts = [*value["keys"], *value["files"].values(), *value["made_by"].values()]
    if not all(isinstance(text, str) for text in texts):
        return False
    return (
        all(_is_argument(key, one) for key, one in value["arguments"].items())
        and all(_is_state(state) for state in value["chains"].values())
        and value["chain"] in value["chains"]
        and is_utc_text(value["printed_at"])
        and all(_DIGEST.fullmatch(one) for one in (value["values"], *value["files"].values()))
    )


def _is_argument(key: str, value: Any) -> bool:
    if key == "blank":
        return isinstance(value, bool)
    return isinstance(value, str) and (key not in ("as_of", "known_at") or is_utc_text(value))


def _is_state(state: Any) -> bool:
    return (
        isinstance(state, dict)
        and state.keys() == {"root", "size"}
        and type(state["size"]) is int
        and state["size"] > 0
        and isinstance(state["root"], str)
        and _DIGEST.fullmatch(state["root"]) is not None
    )


_GET = "Ask for a fresh copy of the file. It may not be a weighbook paper."
