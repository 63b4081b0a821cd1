"""Rewrite a ledger as its keeper can, with the chain's own key and no official's.

The chain is rewritten from the first changed event on, with new links, and signed by its own key.
Officials' cosignatures and keys are left out: they belong to the old text.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from hashlib import sha256
from typing import Any

from ledger.chain.canonical import canonical
from ledger.chain.checkpoint import Checkpoint, sign_checkpoint
from ledger.chain.hashing import leaf_hash
from ledger.chain.merkle import prove_inclusions, root
from ledger.chain.note import format_note
from ledger.store.chains import origin_in
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.proof import ChainProof, Proof, ProvedEvent

Change = Callable[[dict[str, Any]], object]


def rebuilt(store: SqliteStore, proof: Proof, chain: str, changes: Mapping[int, Change]) -> Proof:
    """The proof with these events of the chain changed, by sequence number."""
    part = next(part for part in proof.chains if part.chain == chain)
    seqs = [json.loads(event.text)["seq"] for event in part.events]
    size = max(seqs)
    first = min(changes, default=size)
    hashes = store.hashes(chain)[: first - 1]
    texts = {seq: event.text for seq, event in zip(seqs, part.events, strict=True)}
    for body in (one.body for one in store.events(chain=[chain]) if first <= one.seq <= size):
        event = json.loads(body)
        event["prev"] = hashes[-1].hex() if hashes else event["prev"]
        changes.get(event["seq"], lambda event: None)(event)
        text = json.dumps(event, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        hashes.append(leaf_hash(text.encode()))
        texts |= {event["seq"]: text} if event["seq"] in texts else {}
    origin = origin_in(store, chain)
    private = store.key(origin)
    assert private is not None
    note = sign_checkpoint(Checkpoint(origin, size, root(hashes)), private)
    paths = prove_inclusions(hashes, [seq - 1 for seq in seqs])
    events = tuple(ProvedEvent(texts[seq], paths[seq - 1]) for seq in seqs)
    made = ChainProof(chain, format_note(note).decode(), (), events)
    others = [replace(one, earlier=()) for one in proof.chains if one.chain != chain]
    chains = tuple(sorted([made, *others], key=lambda one: one.chain))
    return replace(proof, keys=tuple(key for key in proof.keys if "@" not in key), chains=chains)


def numbered(change: Callable[[dict[str, Any]], object]) -> Change:
    """A change of the list in a signature, with the number that fits."""

    def made(event: dict[str, Any]) -> None:
        shown = event["data"]["shown"]
        change(shown)
        event["data"]["list"] = sha256(canonical(shown)).hexdigest()

    return made


def with_data(**data: Any) -> Change:
    return lambda event: event["data"].update(data)


def without_content(event: dict[str, Any]) -> None:
    """A signature of form 1, as older versions made it."""
    for key in ("form", "shown", "rules"):
        event["data"].pop(key)


def _first(shown: dict[str, Any], key: str) -> dict[str, Any]:
    found: dict[str, Any] = next(row for row in shown["rows"] if row[key])
    return found


def _add_event(name: Callable[[dict[str, Any]], str]) -> Change:
    def made(event: dict[str, Any]) -> None:
        add = name(event)
        numbered(lambda shown: shown["rows"][0]["events"].append(add))(event)

    return made


def _exchange_events(shown: dict[str, Any]) -> None:
    one, two = [row for row in shown["rows"] if row["events"]][:2]
    one["events"], two["events"] = two["events"], one["events"]


ZEROS = "00" * 32
LIES: dict[str, tuple[Change, str]] = {
    "another row under the same number": (
        lambda e: e["data"]["shown"]["rows"][0].update(may_play="none", may_carry="no"),
        "its number is not",
    ),
    "another number": (with_data(list=ZEROS), "its number is not"),
    "no list kept": (lambda e: e["data"].pop("shown"), "its list cannot be read"),
    "the list of another game": (
        numbered(lambda shown: shown.update(game="acorn-2a")),
        "for another game or team",
    ),
    "the list of another team": (
        numbered(lambda shown: shown.update(team="wombats")),
        "for another game or team",
    ),
    "one part more": (numbered(lambda shown: shown.update(more=1)), "its list cannot be read"),
    "a row of another game": (
        numbered(lambda shown: shown["rows"][0].update(game="acorn-2a")),
        "a row of its list is for another game",
    ),
    "a row with a cell less": (
        numbered(lambda shown: shown["rows"][0].pop("basis")),
        "the wrong cells",
    ),
    "a line with a cell more": (
        numbered(lambda shown: shown["lines"][0].update(name="x")),
        "the wrong cells",
    ),
    "rows that are none": (numbered(lambda shown: shown.update(rows={})), "its list cannot"),
    "events that are none": (
        numbered(lambda shown: shown["rows"][0].update(events={})),
        "or cannot be read",
    ),
    "it names itself": (_add_event(lambda e: f"{e['chain']}:{e['seq']}"), "does not cover"),
    "it names a later event": (_add_event(lambda e: f"office:{e['seq'] + 1}"), "does not cover"),
    "it names an event of another chain": (_add_event(lambda e: "tent:1"), "does not cover"),
    "an event's id in another form": (_add_event(lambda e: "office:+5"), "event id in its list"),
    "two children's events exchanged": (numbered(_exchange_events), "whose row names it"),
    "a line of another child": (
        numbered(lambda shown: shown["lines"][0].update(player="k1")),
        "its list differs from",
    ),
    "a line with another reason": (
        numbered(lambda shown: shown["lines"][0].update(reason="other")),
        "its list differs from",
    ),
    "a line at another time": (
        numbered(lambda shown: shown["lines"][0].update(at="2026-09-05T00:00:00.000Z")),
        "its list differs from",
    ),
    "a line struck off by its own event": (
        numbered(lambda shown: shown["lines"][0].update(
            struck={key: shown["lines"][0][key] for key in ("event", "at", "by")})),
        "its list differs from",
    ),
    "a strike-off with nothing in it": (
        numbered(lambda shown: shown["lines"][0].update(struck={})),
        "the wrong cells",
    ),
    "a form that nobody knows": (with_data(form=3), "its form is unknown"),
    "a form that is no number": (with_data(form="2"), "its form is unknown"),
    "signed by nothing": (with_data(how="shout"), "neither with a key nor in ink"),
    "another chain in another form": (
        with_data(others={"tent": {"root": ZEROS, "size": 0}}),
        "cannot be read",
    ),
    "a chain of a name that none has": (
        with_data(others={"../tent": {"root": ZEROS, "size": 1}}),
        "cannot be read",
    ),
}  # fmt: skip
"""A change of a signature of form 2, and what `check_proof` says of it."""
