"""Countersigning: an official signs a list as it stands, and with it the whole ledger until then.

The statement holds the digest of the list, and size and root of every other chain of the ledger.
In the same transaction the official's key cosigns the checkpoint that includes the statement, so
that whoever rewrites anything before it, of whichever chain, needs that key too, and every later
opponent's. Inside the lock the list is derived again: if it
differs from what was shown, nothing is signed. Signed on paper instead: `ink`, with the scan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

from ledger.chain.canonical import canonical
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.cosignature import check_cosignatures, cosign_note
from ledger.chain.event import place_of
from ledger.chain.merkle import root
from ledger.chain.note import Note, add_signature, format_note, parse_note
from ledger.chain.others import State, format_others
from ledger.derive.engine import Engine
from ledger.derive.scope import read_game, read_official
from ledger.errors import IntegrityError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.chains import sign_head
from ledger.store.store import Store, StoredCheckpoint, Writing
from ledger.witness.officials import OfficialKey
from ledger.witness.scans import check_scan


@dataclass(frozen=True)
class ListShown:
    """A team's list of a game as it was shown to the one who signs.

    `rows` as the answer `ineligible_list` has them; `signatures` as `list_signatures` has those
    that are of the list as it stands.
    """

    game: str
    team: str
    official: str
    chain: str
    rows: Sequence[dict[str, Any]]
    signatures: Sequence[dict[str, Any]]

    @property
    def digest(self) -> str:
        return list_digest(self.game, self.team, self.rows)


@dataclass(frozen=True)
class Signed:
    """A countersignature: its event, and the cosigned checkpoint that includes it."""

    event_id: str
    note: Note


def list_digest(game: str, team: str, rows: Sequence[dict[str, Any]]) -> str:
    """SHA-256 (hex) of a list: its lines in ledger order, each with what struck it off."""
    lines = [
        [row["event_id"], row["player"], row["reason"], row["strike_id"]]
        for row in sorted(rows, key=lambda row: place_of(row["event_id"]))
    ]
    return sha256(canonical({"game": game, "team": team, "lines": lines})).hexdigest()


def show_list(store: Store, game: str, team: str, official: str, *, chain: str) -> ListShown:
    """The list to sign; RuleError when this official may not sign it, or it is not here."""
    stored = read_game(store, game)
    engine = Engine(stored)
    row = next(row for row in engine.answer("game").dicts() if row["game"] == game)
    sides = (row["home"], row["visitor"])
    if team not in sides:
        raise RuleError(f"{team} does not play in {game}", hint=f"Teams: {sides[0]}, {sides[1]}.")
    if row["is_off"]:
        raise RuleError(f"{game} is off", hint="There is nothing to sign.")
    held = Engine(read_official(store, official)).answer("role").dicts()
    if not any(role["role"] == "weighmaster" and role["team"] in sides for role in held):
        hint = f"A list is signed by an own weighmaster of {sides[0]} or {sides[1]}."
        raise RuleError(f"{official} is no weighmaster of either side of {game}", hint=hint)
    rows = engine.answer("ineligible_list", game=game, team=team).dicts()
    elsewhere = {row["event_id"].rpartition(":")[0] for row in rows} - {chain}
    if elsewhere:
        hint = f"Sign it where it is kept: --chain {min(elsewhere)}."
        raise RuleError(f"this list is kept in another chain than {chain}", hint=hint)
    signatures = engine.answer("list_signatures", game=game, team=team).dicts()
    current = [signature for signature in signatures if signature["is_current"]]
    return ListShown(game, team, official, chain, rows, current)


def countersign(store: Store, shown: ListShown, key: OfficialKey, private: bytes) -> Signed:
    """Append the countersignature and keep the cosigned checkpoint, or do neither.

    Raises RuleError when the list changed since it was shown, IntegrityError when the ledger is
    not the one this official signed before.
    """
    now = now_utc()  # before the ledger's own clock is read under the lock
    with store.writing() as writing:
        _still_as_shown(store, shown)
        _continues_what_was_signed(store, shown.chain, key)
        event_id = _append(writing, shown, now, {"how": "key"})
        time = int(datetime.now(UTC).timestamp())
        note = sign_head(store, shown.chain)
        note = add_signature(note, cosign_note(note, key.key.name, private, time=time))
        size = parse_checkpoint(note.text).size
        kept = StoredCheckpoint(shown.chain, size, format_note(note).decode())
        writing.keep_checkpoint(kept)
    return Signed(event_id, note)


def countersign_in_ink(store: Store, shown: ListShown, scan: bytes, scan_name: str) -> str:
    """Append a countersignature that was given on paper, and keep its scan; the event id.

    Raises RuleError when the list changed since it was shown, InputError for what is no scan.
    """
    check_scan(scan, scan_name)
    digest, now = sha256(scan).hexdigest(), now_utc()
    with store.writing() as writing:
        _still_as_shown(store, shown)
        writing.keep_exhibit(digest, scan_name, scan)
        return _append(writing, shown, now, {"how": "ink", "scan": digest})


def _append(writing: Writing, shown: ListShown, now: str, more: dict[str, str]) -> str:
    statement = Accepted(
        "countersign",
        {"list": shown.digest} | more | _others(writing.store, shown.chain),
        at=now,
        entered=now,
        by=shown.official,
        game=shown.game,
        team=shown.team,
    )
    return writing.append([statement], chain=shown.chain)[0]


def _others(store: Store, chain: str) -> dict[str, Any]:
    """What the countersignature says of the other chains, if there are any."""
    hashes = {name: store.hashes(name) for name in store.lengths() if name != chain}
    states = {name: State(len(leaves), root(leaves)) for name, leaves in hashes.items()}
    return {"others": format_others(states)} if states else {}


def _still_as_shown(store: Store, shown: ListShown) -> None:
    now = show_list(store, shown.game, shown.team, shown.official, chain=shown.chain)
    if now.digest != shown.digest:
        hint = "Nothing was signed. Look at the list again, then sign."
        raise RuleError("the list changed while it was being signed", hint=hint)


def _continues_what_was_signed(store: Store, chain: str, key: OfficialKey) -> None:
    """A log's cosigner never signs what does not continue the last checkpoint it signed."""
    hashes: list[bytes] = []
    for kept in reversed(list(store.checkpoints())):
        note = parse_note(kept.note.encode())
        if kept.chain != chain or not check_cosignatures(note, [key.key]):
            continue
        hashes = hashes or store.hashes(chain)
        before = parse_checkpoint(note.text)
        if len(hashes) < before.size or root(hashes[: before.size]) != before.root:
            raise IntegrityError(
                "this ledger is not the one you signed before",
                hint="Nothing was signed. Keep your receipt, and tell the division president.",
                field="root",
                expected=before.root.hex(),
                found=root(hashes[: before.size]).hex(),
            )
        return
