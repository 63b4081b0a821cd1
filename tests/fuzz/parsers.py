"""Every parser of what comes from outside, with bytes that it accepts.

A parser may refuse with the program's own errors, or list faults; nothing else may come out of
it. `tests/fuzz/test_parsers.py` damages these bytes with Hypothesis, `python -m tests.fuzz` has
atheris look for the branches that this does not reach.
"""

from __future__ import annotations

import tempfile
from base64 import b64encode
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple
from unittest.mock import patch
from zoneinfo import ZoneInfo

import orjson

from ledger.audit.kept import read_kept
from ledger.chain import keys
from ledger.chain.canonical import canonical, parse_canonical
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note, cosigner_key
from ledger.chain.disclosure import make_disclosure, open_disclosure
from ledger.chain.event import make_event, parse_event
from ledger.chain.hashing import BEGINNING
from ledger.chain.keys import KeyPair, open_key, public_key, seal_key, sign
from ledger.chain.note import (
    VerifierKey,
    add_signature,
    format_note,
    format_verifier_key,
    parse_note,
    parse_verifier_key,
)
from ledger.chain.others import State, format_others, parse_others
from ledger.chain.phone import check_list_signature, signature_text
from ledger.papers.press.pades import open_certificate
from ledger.papers.press.paper_file import PaperFile, format_paper, parse_paper
from ledger.papers.press.pictures import redraw
from ledger.papers.sheets.packet_exhibits import one_page
from ledger.record.csvfile import read_records
from ledger.record.fields import COLUMNS
from ledger.record.league import read_league
from ledger.record.reading import read_statement
from ledger.record.roster_layout import find_blocks, lay_out
from ledger.record.roster_rows import read_block
from ledger.record.spreadsheet import read_sheets
from ledger.review.evidence.archive import parse_zip
from ledger.review.evidence.check import check_bundle
from ledger.review.evidence.pack import pack_case
from ledger.say.bundles import bundle_texts
from ledger.witness.check import check_proof
from ledger.witness.phone_keys import read_phone_key
from ledger.witness.proof import format_proof, pack_proof, parse_proof, unpack_proof
from tests.papers import certificates
from tests.papers.pictures import noise, turned
from tests.phone import Phone
from tests.record.sheets import first_sheet, with_first_sheet, write_csv, write_workbook
from tests.signed_season import CASE, FOLDER, receipt, season
from tests.witness.small import small_proof

_PRIVATE = bytes(range(32))
_KEY = VerifierKey("league.example/2026/office", public_key(_PRIVATE))
_COSIGNER = cosigner_key("w1", public_key(_PRIVATE))
_PASSPHRASE = "no secret"
_TIME = "2026-09-05T13:41:22.000Z"
_LOCAL = ZoneInfo("America/Chicago")


class Parser(NamedTuple):
    """What reads the bytes, and examples that it accepts."""

    read: Callable[[bytes], object]
    examples: Sequence[bytes]


_PAPER = PaperFile(
    document="ineligible_list",
    arguments={"game": "g1", "team": "t1"},
    printed_at=_TIME,
    chain="office",
    chains={"office": {"root": "ab" * 32, "size": 57}},
    keys=["office"],
    values="cd" * 32,
    files={},
    made_by={"weighbook": "0.1.0"},
)
_PHONE = Phone("wa", "invented/2026/office", pair=KeyPair(_PRIVATE, public_key(_PRIVATE)))
_OTHERS = {"others": {"tablet": {"root": "ab" * 32, "size": 57}}}


def parsers() -> dict[str, Parser]:
    """By name. Key files are sealed at a small cost of scrypt, which `read` minds too."""
    event, _ = make_event(
        {"kind": "weigh", "data": {"number": 7, "value": "ok"}, "at": _TIME, "entered": _TIME,
         "by": "w1", "game": "g1", "team": "t1", "player": "p1"},
        chain="office", seq=1, prev=BEGINNING, recorded=_TIME,
    )  # fmt: skip
    note = receipt()
    with tempfile.TemporaryDirectory() as made, season(Path(made) / "season.weighbook") as store:
        proof = small_proof(store)
        bundle = pack_case(store, CASE, bundle_texts, words=("name", "note")).data
    with patch.object(keys, "SCRYPT_COST", 2):
        sealed = seal_key(_PRIVATE, _PASSPHRASE)
    certificate = certificates.as_pkcs12(
        certificates.issue(certificates.make_root(), certificates.LEAGUE)
    )
    days = sorted((FOLDER / "days").glob("*.csv"))
    return {
        "canonical": Parser(parse_canonical, [event]),
        "event": Parser(parse_event, [event]),
        "disclosure": Parser(_of_text(open_disclosure), [make_disclosure("name", "Möb").encode()]),
        "note": Parser(parse_note, [note]),
        "checkpoint": Parser(_of_text(parse_checkpoint), [parse_note(note).text.encode()]),
        "cosignatures": Parser(_check_cosignatures, [_cosigned(note)]),
        "verifier_key": Parser(_of_text(parse_verifier_key), [format_verifier_key(_KEY).encode()]),
        "sealed_key": Parser(_open_cheap_key, [sealed]),
        "certificate": Parser(_open_certificate, [certificate]),
        "others": Parser(lambda data: parse_others(parse_canonical(data)), [canonical(_OTHERS)]),
        "phone_key": Parser(_of_text(_read_phone_key), [_PHONE.line.encode()]),
        "list_signature": Parser(_check_list_signature, [_signed_by_phone()]),
        "proof": Parser(lambda data: check_proof(parse_proof(data)), [format_proof(proof)]),
        "proof_file": Parser(unpack_proof, [pack_proof(proof)]),
        "bundle": Parser(lambda data: check_bundle(parse_zip(data), bundle_texts), [bundle]),
        "kept_copy": Parser(
            _in_a_file(read_kept), [note, pack_proof(proof), bundle, _seen_by_phone(note)]
        ),
        "paper": Parser(parse_paper, [format_paper(_PAPER)]),
        "exhibit": Parser(_show, [turned(), noise(), b"Four plays\n\tand two."]),
        "league": Parser(_of_text(read_league), [(FOLDER / "league.toml").read_bytes()]),
        "rosters": Parser(_in_a_file(_read_rosters), _rosters()),
        "roster_sheet": Parser(_read_roster_sheet, [_roster_sheet()]),
        "day_file": Parser(_in_a_file(_read_day), [days[0].read_bytes()[:4000]]),
    }


def _seen_by_phone(note: bytes) -> bytes:
    seen = {"office": {"size": 3, "note": note.decode()}}
    return orjson.dumps({"weighbook": "other ledger", "seen": seen})


def _show(data: bytes) -> object:
    return redraw(data, "0" * 64) or one_page(data)


def _of_text(read: Callable[[str], object]) -> Callable[[bytes], object]:
    return lambda data: read(data.decode(errors="replace"))


def _cosigned(note: bytes) -> bytes:
    parsed = parse_note(note)
    line = cosign_note(parsed, _COSIGNER.name, _PRIVATE, time=1_788_615_682)
    return format_note(add_signature(parsed, line))


def _check_cosignatures(data: bytes) -> object:
    return check_cosignatures(parse_note(data), [_COSIGNER])


def _read_phone_key(line: str) -> object:
    return read_phone_key("wa", line, _PHONE.proof)


def _signed_by_phone() -> bytes:
    seen = {"office": State(1, bytes(32))}
    said = {"list": "ab" * 32, "seen": format_others(seen)}
    text = signature_text(_PHONE.origin, "g1", "t1", "wa", said["list"], seen)
    said |= {"how": "device", "signature": b64encode(sign(_PRIVATE, text)).decode()}
    event = {"kind": "countersign", "data": said, "by": "wa", "game": "g1", "team": "t1"}
    return make_event(event, chain="office", seq=2, prev=BEGINNING, recorded=_TIME)[0]


def _check_list_signature(data: bytes) -> object:
    key = cosigner_key(_PHONE.name, _PHONE.pair.public)
    return check_list_signature(parse_event(data), _PHONE.origin, key)


def _in_a_file(read: Callable[[Path], object]) -> Callable[[bytes], object]:
    def read_bytes(data: bytes) -> object:
        with tempfile.NamedTemporaryFile() as file:
            file.write(data)
            file.flush()
            return read(Path(file.name))

    return read_bytes


def _read_day(path: Path) -> list[Any]:
    records, faults, _ = read_records(path, "days/01.csv", ("kind", *COLUMNS))
    return faults + [read_statement(one.cells, _LOCAL, one.place) for one in records]


_ROSTER = [["Newts"], ["No.", "Name", "Team", "DOB"], [12.0, "Pip Quill", "Newts", "5/1/2014"]]


def _workbook(folder: Path) -> Path:
    return write_workbook(folder / "r.xlsx", {"Newts": _ROSTER}, ["A1:C1"])


def _rosters() -> list[bytes]:
    with tempfile.TemporaryDirectory() as made:
        text = write_csv(Path(made) / "r.csv", _ROSTER, separator=";", encoding="utf-16")
        return [_workbook(Path(made)).read_bytes(), text.read_bytes()]


def _roster_sheet() -> bytes:
    with tempfile.TemporaryDirectory() as made:
        return first_sheet(_workbook(Path(made)))


def _read_roster_sheet(markup: bytes) -> object:
    with tempfile.TemporaryDirectory() as made:
        return _read_rosters(with_first_sheet(_workbook(Path(made)), markup))


def _read_rosters(path: Path) -> object:
    for sheet in read_sheets(path):
        for block in find_blocks(sheet):
            read_block(block, lay_out(block, {}), "Newts")
    return None


def _open_cheap_key(data: bytes) -> bytes:
    with patch.object(keys, "SCRYPT_COST", 2):
        return open_key(data, _PASSPHRASE, _KEY.public)


def _open_certificate(data: bytes) -> object:
    return open_certificate(data, certificates.PASSPHRASE, now=certificates.NOW)
