"""paper.json: what a paper was made from and with what, so that it can be made again.

Attached to every paper, as canonical JSON (RFC 8785). Its keys:

    form        1
    document    the template's folder, such as ineligible_list
    arguments   what was asked for, by ids: game, team, case, event; as_of, known_at (UTC text)
    printed_at  when it was printed, by the clock of the device (UTC text)
    chain       whose checkpoint it bears
    chains      length and root of every chain there was: {chain: {"root": hex, "size": n}}
    keys        the chains whose private keys were at hand
    values      SHA-256 of the template's values as canonical JSON, the checkpoint left out
    files       SHA-256 of every other attached file, by its name
    made_by     versions (ledger.papers.press.versions)

Names and other texts of people are in none of them. The paper's checkpoint bears two extension
lines (c2sp.org/tlog-checkpoint), the second on a list only:

    weighbook-paper <SHA-256 of paper.json, hex>
    weighbook-list <the list's number, hex>

so that the chain's key says which paper it was signed for. Many papers may be printed at one size:
their notes agree in size and root, and differ in these lines alone. `copy for`, and which names
are shown, will be arguments when there is a choice.
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
    """The bytes of paper.json."""
    return canonical({"form": FORM, **asdict(paper)})


def parse_paper(data: bytes) -> PaperFile:
    """The content of these bytes; InputError where they are no paper.json of this form."""
    if len(data) > MOST_BYTES:
        raise InputError(f"{NAME} has more than {MOST_BYTES:,} bytes")
    try:
        value = parse_canonical(data)
    except InputError as error:
        raise InputError(f"{NAME} in it cannot be read: {error.message}", hint=_GET) from error
    form = value.pop("form", None)
    if form != FORM:
        hint = "Update weighbook." if isinstance(form, int) and form > FORM else _GET
        raise InputError(f"{NAME} in it is of a form that is not known here: {form!r}", hint=hint)
    if value.keys() != {field.name for field in fields(PaperFile)} or not _has_form(value):
        raise InputError(f"{NAME} in it is not as weighbook writes it", hint=_GET)
    return PaperFile(**value)


def extension_lines(paper: bytes, list_number: str = "") -> tuple[str, ...]:
    """The lines of the checkpoint that belongs to these bytes of paper.json."""
    digest = sha256(paper).hexdigest()
    lines = (f"{PAPER_LINE} {digest}",)
    return (*lines, f"{LIST_LINE} {list_number}") if list_number else lines


def digest_values(context: Mapping[str, Any]) -> str:
    """SHA-256 (hex) of what a template is given."""
    return sha256(canonical(_plain(context))).hexdigest()


def _plain(value: Any) -> Any:
    """Frozen dataclasses and tuples as JSON has them."""
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


def _has_form(value: Mapping[str, Any]) -> bool:
    def are(kinds: type | tuple[type, ...], *found: Any) -> bool:
        return all(isinstance(one, kinds) for one in found)

    maps = [value[key] for key in ("arguments", "chains", "files", "made_by")]
    texts = [value[key] for key in ("document", "printed_at", "chain", "values")]
    if not are(dict, *maps) or not are(str, *texts) or not are(list, value["keys"]):
        return False
    if not are(str, *value["keys"], *value["files"].values(), *value["made_by"].values()):
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
    is_moment = key not in ("as_of", "known_at") or is_utc_text(value)
    return isinstance(value, str) and is_moment


def _is_state(state: Any) -> bool:
    return (
        isinstance(state, dict)
        and state.keys() == {"root", "size"}
        and type(state["size"]) is int
        and state["size"] > 0
        and isinstance(state["root"], str)
        and _DIGEST.fullmatch(state["root"]) is not None
    )


_GET = "Get the paper again from whoever printed it; or it is no paper of weighbook."
