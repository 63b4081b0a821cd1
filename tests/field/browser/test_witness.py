"""The page's own proofs, notes and signatures, against published vectors and other programs."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from playwright.sync_api import Browser, Page
from tlog_scales.reader import TilesReader
from tlog_scales.signing import Vkey as RefereeKey
from tlog_scales.tlog import Checkpoint as RefereeCheckpoint

from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note, cosigner_key
from ledger.chain.hashing import leaf_hash
from ledger.chain.keys import public_key
from ledger.chain.merkle import prove_consistency, root
from ledger.chain.note import (
    VerifierKey,
    add_signature,
    format_note,
    format_verifier_key,
    parse_note,
    parse_verifier_key,
    sign_note,
)
from tests.chain.mutation import damaged_proofs
from tests.chain.test_merkle import CASES, LEAVES, OTHER, ROOTS, TREE, OneTile
from tests.field.browser.chromium import Guard
from tests.field.browser.pages import MODULE, call, opened
from tests.field.site import Site

VECTORS = Path(__file__).parents[2] / "vectors"
NOTES = json.loads((VECTORS / "signed_notes.json").read_text())
SIGNATURES = json.loads((VECTORS / "ed25519.json").read_text())["cases"]
CHECKS = (Path(__file__).parent / "witness.js").read_text()

ORIGIN = "league.example/2026/office"
LEDGER, ANN = bytes([1]) * 32, bytes([2]) * 32
LEDGER_LINE = format_verifier_key(VerifierKey(ORIGIN, public_key(LEDGER)))
ANN_KEY = cosigner_key(f"off-1@{ORIGIN}", public_key(ANN))
ANN_LINE = format_verifier_key(ANN_KEY)
SIGNED = sign_checkpoint(Checkpoint(ORIGIN, 57, bytes(32)), LEDGER)
COSIGNED = add_signature(SIGNED, cosign_note(SIGNED, ANN_KEY.name, ANN, time=1_789_992_000))
NOTE = format_note(COSIGNED).decode()


@pytest.fixture(scope="module")
def page(chromium: Browser, shared_site: Site) -> Iterator[Page]:
    shared_site.begin_anew()
    context = chromium.new_context()
    guard = Guard(context)
    yield opened(context, shared_site, "#/start-here")
    context.close()
    assert guard.found == []


def run(page: Page, name: str, given: Any) -> Any:
    return page.evaluate(CHECKS, [page.evaluate(MODULE), name, given])


def inclusion(
    leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes, *, accept: bool
) -> dict[str, Any]:
    return {"leaf": leaf.hex(), "index": index, "size": size, "root": root.hex(),
            "proof": [one.hex() for one in proof], "accept": accept}  # fmt: skip


def consistency(
    old: int, new: int, before: bytes, after: bytes, proof: Sequence[bytes], *, accept: bool
) -> dict[str, Any]:
    return {"old": old, "new": new, "old_root": before.hex(), "new_root": after.hex(),
            "proof": [one.hex() for one in proof], "accept": accept}  # fmt: skip


def test_the_published_merkle_cases(page: Page) -> None:
    assert (len(CASES["inclusion"]), len(CASES["consistency"])) == (98, 98)
    assert run(page, "judged", CASES) == []


def test_the_published_tree_and_its_proofs_damaged(page: Page) -> None:
    """A proof with a bit turned, or a hash too many, too few or of another tree, leads nowhere."""
    assert run(page, "leaves", TREE["leaves"]) == [one.hex() for one in LEAVES]
    cases: dict[str, list[Any]] = {"inclusion": [], "consistency": []}
    for one in TREE["inclusion"]:
        at, size, proof = one["index"], one["size"], list(map(bytes.fromhex, one["proof"]))
        add = cases["inclusion"].append
        add(inclusion(LEAVES[at], at, size, proof, ROOTS[size], accept=True))
        add(inclusion(OTHER, at, size, proof, ROOTS[size], accept=False))
        for _, bad in damaged_proofs(proof, OTHER):
            add(inclusion(LEAVES[at], at, size, bad, ROOTS[size], accept=False))
    for one in TREE["consistency"]:
        old, new, proof = one["old"], one["new"], list(map(bytes.fromhex, one["proof"]))
        add = cases["consistency"].append
        add(consistency(old, new, ROOTS[old], ROOTS[new], proof, accept=True))
        add(consistency(old, new, OTHER, ROOTS[new], proof, accept=False))
        add(consistency(new, old, ROOTS[new], ROOTS[old], proof, accept=new == old))
        for _, bad in damaged_proofs(proof, OTHER):
            add(consistency(old, new, ROOTS[old], ROOTS[new], bad, accept=False))
    assert len(cases["consistency"]) > 20
    assert run(page, "judged", {"unit": "hex", **cases}) == []


def test_trees_of_another_program(page: Page) -> None:
    leaves = [leaf_hash(str(n).encode()) for n in range(130)]
    reader = TilesReader(OneTile(leaves))

    def root_of(size: int) -> bytes:
        reader.set_size(size)
        return reader.calculate_root_hash()

    cases: dict[str, list[Any]] = {"inclusion": [], "consistency": []}
    for size in (1, 2, 3, 7, 8, 9, 31, 64, 65, 100, 130):
        for old in {1, max(size // 3, 1), max(size // 2, 1), size}:
            before, after, at = root_of(old), root_of(size), old - 1
            way = reader.get_inclusion_proof(at, size).node_hashes
            cases["inclusion"].append(inclusion(leaves[at], at, size, way, after, accept=True))
            way = reader.get_consistency_proof(old, size).node_hashes
            cases["consistency"].append(consistency(old, size, before, after, way, accept=True))
    assert run(page, "judged", {"unit": "hex", **cases}) == []


def test_the_published_notes_and_signatures(page: Page) -> None:
    """C2SP's examples, and RFC 8032 section 7.1, each also with a message longer by a byte."""
    wanted = NOTES["checkpoint"]
    assert run(page, "published", NOTES | {"cases": SIGNATURES, "ann": ANN_LINE}) == {
        "id": "530d903a",
        "again": NOTES["signed_note"]["verifier_key"],
        "isSigned": True,
        "checkpoint": [wanted["origin"], wanted["size"], wanted["root"]],
        "ids": [wanted["log_key_id"], wanted["witness_key_id"]],
        "message": wanted["cosigned_message"],
        "signatures": [[True, False]] * 4,
    }


def test_checkpoints_that_are_refused(page: Page) -> None:
    """Of another key or ledger, changed, cut, or not written as anyone should."""
    other = Checkpoint("league.example/2027/office", 57, bytes(32))
    zero = format_note(sign_note(SIGNED.text.replace("57", "057"), ORIGIN, LEDGER)).decode()
    assert run(page, "checkpoints", {
        "good": (NOTE, LEDGER_LINE),
        "another key": (NOTE, format_verifier_key(VerifierKey(ORIGIN, public_key(ANN)))),
        "another ledger": (format_note(sign_checkpoint(other, LEDGER)).decode(), LEDGER_LINE),
        "another size": (NOTE.replace("\n57\n", "\n58\n"), LEDGER_LINE),
        "a size with a zero": (zero, LEDGER_LINE),
        "no newline at its end": (NOTE[:-1], LEDGER_LINE),
        "a control character": (NOTE.replace("\n57\n", "\n57\t\n"), LEDGER_LINE),
        "two spaces": (NOTE.replace("/office ", "/office  "), LEDGER_LINE),
        "no signature": (NOTE[: NOTE.index("—")], LEDGER_LINE),
        "a key with another id": (NOTE, LEDGER_LINE.replace("+", "+0", 1)),
        "a cosigner's key": (NOTE, ANN_LINE),
    }) == {
        "good": None,
        "another key": "signature",
        "another ledger": "signature",
        "another size": "signature",
        "a size with a zero": "form",
        "no newline at its end": "form",
        "a control character": "form",
        "two spaces": "form",
        "no signature": "form",
        "a key with another id": "form",
        "a cosigner's key": "form",
    }  # fmt: skip


def test_others_check_the_pages_cosignature(page: Page) -> None:
    """Ours, `cryptography` and tlog-scales."""
    found = run(page, "cosignature", {"note": NOTE, "name": f"off-2@{ORIGIN}"})
    key = parse_verifier_key(found["key"])
    note = parse_note(f"{NOTE}{found['line']}\n".encode())
    assert [one.time for one in check_cosignatures(note, [key])] == [1_790_000_000]
    message = f"cosignature/v1\ntime 1790000000\n{SIGNED.text}".encode()
    public = Ed25519PublicKey.from_public_bytes(key.public)
    public.verify(note.signatures[-1].signature[8:], message)
    referee = RefereeCheckpoint.from_text(format_note(note).decode())
    referee.verify(RefereeKey.from_string(found["key"]))


def test_base64_and_hex_have_one_form(page: Page) -> None:
    fine = ["", "QQ==", "QUI=", b64encode(bytes(range(256))).decode()]
    odd = {"base64": ["QQ", "QR==", "Q Q==", "QQ==\n", "Q-==", "A"], "hex": ["0", "AA", "zz"]}
    assert run(page, "strict", odd | {"fine": fine}) == [["form"] * 9, fine]


def test_what_continues_the_ledger_and_what_does_not(page: Page) -> None:
    """The server writes `office`; `tablet` is another device, whose copy here may be older."""
    leaves = [leaf_hash(str(n).encode()) for n in range(9)]
    odd = [OTHER, *leaves[1:]]

    def head(size: int, since: int = 0, of: list[bytes] = leaves) -> dict[str, Any]:
        proof = prove_consistency(of, since, size) if 0 < since < size else ()
        return {"size": size, "root": root(of[:size]).hex(), "proof": [p.hex() for p in proof]}

    def shown(
        office: dict[str, Any] | None,
        tablet: dict[str, Any],
        key: bytes = LEDGER,
        own: str = ORIGIN,
    ) -> Any:
        """`own` is the origin of the chain that the server writes."""
        heads = {"office": office, "tablet": tablet} if office else {"tablet": tablet}
        head = heads[own.rpartition("/")[2]]
        state = Checkpoint(own, head["size"], bytes.fromhex(head["root"]))
        line = format_verifier_key(VerifierKey(own, public_key(key)))
        note = format_note(sign_checkpoint(state, key)).decode()
        return {"key": line, "note": note, "heads": heads}

    seen = {"office": head(5) | {"key": LEDGER_LINE}, "tablet": head(3)}
    fine = shown(head(8, 5), head(7, 3))
    other = {"key": ANN, "own": "league.example/2026/tablet"}
    cases = {
        "seen for the first time": ({}, fine),
        "continued": (seen, fine),
        "the same": (seen, shown(head(5), head(3))),
        "the other device's copy is older": (seen, shown(head(8, 5), head(2))),
        "the other device writes": (seen, shown(head(5), head(7, 3), **other)),
        "the other device writes, office cut back": (seen, shown(head(4), head(7, 3), **other)),
        "the other device writes, no office": (seen, shown(None, head(7, 3), **other)),
        "cut back": (seen, shown(head(4), head(3))),
        "written anew": (seen, shown(head(8, 5, odd), head(3))),
        "written anew, as long": (seen, shown(head(5, of=odd), head(3))),
        "the other device's, written anew": (seen, shown(head(8, 5), head(7, 3, odd))),
        "no proof": (seen, shown(head(8), head(3))),
        "another key": (seen, shown(head(8, 5), head(3), key=ANN)),
        "a head that is not the note's": (seen, fine | {"heads": {"office": head(7, 5)}}),
        "no length": ({}, with_tablet(fine, head(7) | {"size": "7"})),
        "no root": ({}, with_tablet(fine, head(7) | {"root": "00"})),
        "no name of a chain": ({}, with_tablet(fine, head(7), "tablet 7\noffice")),
        "another season's": ({}, shown(head(8), head(7), own=ORIGIN.replace("2026", "2027"))),
    }  # fmt: skip
    assert run(page, "heads", {"line": ANN_LINE, "cases": cases}) == {
        "seen for the first time": None,
        "continued": None,
        "the same": None,
        "the other device's copy is older": None,
        "the other device writes": None,
        "the other device writes, office cut back": "proof",
        "the other device writes, no office": "proof",
        "cut back": "proof",
        "written anew": "root",
        "written anew, as long": "root",
        "the other device's, written anew": "root",
        "no proof": "proof",
        "another key": "form",
        "a head that is not the note's": "form",
        "no length": "form",
        "no root": "form",
        "no name of a chain": "form",
        "another season's": "form",
    }


def test_another_season_is_another_ledger(page: Page) -> None:
    """What was seen of one is nothing to the next, and is there again when the phone comes back."""
    one, other = ORIGIN, ORIGIN.replace("2026", "2027")
    assert run(page, "seasons", [one, other, one, other]) == [[], [], [one], [other]]


def with_tablet(shown: Any, head: dict[str, Any], name: str = "tablet") -> Any:
    return shown | {"heads": {"office": shown["heads"]["office"], name: head}}


def test_only_what_the_phone_signed_is_witnessed(page: Page) -> None:
    """An event of the ledger that differs in anything it signed is not cosigned."""
    seen = {"office": {"size": 5, "root": "aa" * 32}, "tablet": {"size": 3, "root": "bb" * 32}}
    others = {"tablet": {"size": 4, "root": "cc" * 32}}
    body = {"official": "wa", "number": "ab" * 32, "signature": "c2lnbmVk", "seen": seen,
            "despite": ["to_weigh"]}  # fmt: skip
    pending = {"game": "g1", "team": "elm", "chain": "office", "body": body}
    data = {"how": "device", "list": body["number"], "signature": body["signature"],
            "seen": seen, "others": others, "despite": ["to_weigh"]}  # fmt: skip
    event = {"kind": "countersign", "by": "wa", "game": "g1", "team": "elm", "chain": "office",
             "seq": 7, "data": data}  # fmt: skip
    changes: dict[str, Any] = {"kind": "list", "by": "we", "game": "g2", "team": "ash",
                               "chain": "tablet", "seq": 8}  # fmt: skip
    inside = {"how": "key", "list": "cd" * 32, "signature": "b3RoZXI=", "others": seen,
              "seen": {"office": seen["office"]}, "despite": ["no_scale"]}  # fmt: skip
    cases = {key: event | {key: value} for key, value in changes.items()}
    cases |= {key: event | {"data": data | {key: value}} for key, value in inside.items()}
    asked = {"pending": pending, "heads": others | {"office": {"size": 7, "root": "dd" * 32}}}
    found = run(page, "events", asked | {"cases": cases | {"good": event}})
    assert found == dict.fromkeys(cases, "form") | {"good": None}


def test_what_an_older_page_kept_is_still_there(chromium: Browser, shared_site: Site) -> None:
    """Version 1 of what the browser keeps had no keys; its acts wait on."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{shared_site.url}/api/schema.json")
    page.evaluate("""() => new Promise((resolve) => {
      const request = indexedDB.open("weighbook", 1);
      request.onupgradeneeded = () => {
        const base = request.result;
        base.createObjectStore("acts", { keyPath: "count" }).put({ count: 1, by: "newts-wm1",
          game: "acorn-1a", act: "olddevice-1", state: "waiting", fine: false, entries: [] });
        for (const name of ["device", "shape"]) base.createObjectStore(name);
      };
      request.onsuccess = () => { request.result.close(); resolve(); };
    })""")
    page.goto(f"{shared_site.url}/#/start-here")
    page.locator("html[data-ready]").wait_for(state="attached")
    assert [one["act"] for one in call(page, "acts.js", "all")] == ["olddevice-1"]
    assert call(page, "db.js", "readAll", "keys") == []
    context.close()
