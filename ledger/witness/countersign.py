"""Countersigning: an official signs a list as it stands, and with it the whole ledger until then.

The statement keeps what is signed (`ledger.derive.signed_list`), its number, and size and root of
every other chain of the ledger. In the same transaction the official's key cosigns the checkpoint
that includes the statement, so that rewriting anything before it, of any chain, takes that key too,
and every later opponent's. The list is derived before the lock; inside, it is derived again only
where something came in meanwhile that could touch it, and if it differs from what was shown,
nothing is signed. Signed on paper instead: `ink`, with the scan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ledger.chain.note import Note
from ledger.chain.others import format_others
from ledger.derive.engine import Engine
from ledger.derive.scope import read_game, read_official
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.signed_list import FORM, RULES, list_content, list_number
from ledger.errors import RuleError
from ledger.record.accepted import Accepted
from ledger.record.times import now_utc
from ledger.store.chains import heads
from ledger.store.store import Store, Writing
from ledger.witness.cosigning import check_in_force, cosign
from ledger.witness.keys import OfficialKey
from ledger.witness.scans import check_scan


@dataclass(frozen=True)
class ListShown:
    """A team's list of a game as it was shown to the one who signs.

    `content` as `signed_list` has it; `rows` as the answer `ineligible_list` has them; `signatures`
    are those to this list, each with what has changed since.
    """

    game: str
    team: str
    official: str
    chain: str
    content: Mapping[str, Any]
    rows: Sequence[dict[str, Any]]
    signatures: Sequence[SignedList]

    @property
    def number(self) -> str:
        return list_number(self.content)


@dataclass(frozen=True)
class Signed:
    """A countersignature: its event, and the cosigned checkpoint that includes it."""

    event_id: str
    note: Note


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
    if not any(
        role["role"] == "weighmaster" and role["team"] in sides and role["game"] in (None, game)
        for role in held
    ):
        hint = f"A list is signed by an own weighmaster of {sides[0]} or {sides[1]}."
        raise RuleError(f"{official} is no weighmaster of either side of {game}", hint=hint)
    rows = engine.answer("ineligible_list", game=game, team=team).dicts()
    content = list_content(engine, game, team)
    signatures = Signatures(engine, stored).of(game, team, content)
    return ListShown(game, team, official, chain, content, rows, signatures)


def countersign(store: Store, shown: ListShown, key: OfficialKey, private: bytes) -> Signed:
    """Append the countersignature and keep the cosigned checkpoint, or do neither.

    Raises RuleError when the list changed since it was shown, IntegrityError when the ledger is
    not the one this official signed before.
    """
    now = now_utc()  # before the ledger's own clock is read under the lock
    with store.writing() as writing:
        _still_as_shown(store, shown)
        check_in_force(store, key, shown.game)
        event_id = _append(writing, shown, now, {"how": "key"})
        note = cosign(writing, shown.chain, key, private)
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
        {
            "form": FORM,
            "rules": RULES,
            "list": shown.number,
            "shown": dict(shown.content),
            "others": format_others(heads(writing.store, besides=shown.chain)),
        }
        | more,
        at=now,
        entered=now,
        by=shown.official,
        game=shown.game,
        team=shown.team,
    )
    return writing.append([statement], chain=shown.chain)[0]


def _still_as_shown(store: Store, shown: ListShown) -> None:
    now = show_list(store, shown.game, shown.team, shown.official, chain=shown.chain)
    if now.number != shown.number:
        hint = "Nothing was signed. Look at the list again, then sign."
        raise RuleError("the list changed while it was being signed", hint=hint)
