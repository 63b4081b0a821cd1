"""Countersign: an official signs a list, and with it the whole ledger up to then.

The statement keeps the signed list (`ledger.derive.signed_list`), its number, and size and root of
every other chain. In the same transaction the official's key cosigns the checkpoint that includes
it. To rewrite anything before it, in any chain, takes that key too, and every later opponent's.
The list is derived before the lock, and again inside it if something that could change it came in.
If it is not the list shown, nothing is signed. A list signed on paper is `ink`, with the scan. What
was open about the list, and shown to a signer who went on, is kept as `despite`: codes of findings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, TypeVar

from ledger.chain.event import Event
from ledger.chain.note import Note
from ledger.chain.others import format_others
from ledger.derive.engine import Engine
from ledger.derive.scope import read_game
from ledger.derive.settling import Settling, read_settling
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.signed_list import FORM, RULES, list_content, list_number
from ledger.derive.statements import Statement
from ledger.derive.weighmasters import weighmaster_of
from ledger.errors import ChangedError, InputError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.kinds import ANYWHERE
from ledger.record.times import now_utc
from ledger.store.acts import check_official
from ledger.store.store import Store, Stored, Writing
from ledger.store.trees import Trees
from ledger.witness.cosigning import check_continues, check_in_force, cosign
from ledger.witness.keys import OfficialKey

Made = TypeVar("Made")

# First bytes: PDF by ISO 32000-2 7.5.2, PNG by RFC 2083 3.1, TIFF by its revision 6.0 section 2;
# JPEG, WebP (RFC 9649) and HEIC/HEIF (ISO 23008-12) from memory.
_SCANS = (b"%PDF-", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\0", b"MM\0*")
_BRANDS = (b"heic", b"heix", b"mif1", b"msf1")
LIST_CHANGED = (
    "the list changed while you were signing it",
    "Nothing was signed. Look at the list again, then sign.",
)


@dataclass(frozen=True)
class ListShown:
    """A team's list of a game as shown to its signer.

    `content` is that of `signed_list`, `rows` those of the answer `ineligible_list`. `signatures`
    are those to this list, each with later changes; `taken_back` are pairs of a withdrawn
    signature and its withdrawal. `settling` is what is still open about it.
    """

    game: str
    team: str
    official: str
    chain: str
    content: Mapping[str, Any]
    rows: Sequence[dict[str, Any]]
    signatures: Sequence[SignedList]
    settling: Settling
    taken_back: Sequence[tuple[Statement, Statement]] = ()

    @property
    def number(self) -> str:
        return list_number(self.content)


@dataclass(frozen=True)
class Signed:
    """A countersignature's event, and the cosigned checkpoint that includes it."""

    event_id: str
    note: Note


def show_list(store: Store, game: str, team: str, official: str, *, chain: str) -> ListShown:
    """Return the list to sign; RuleError if this official may not sign it, or the game is off."""
    stored, engine = _read(store, game, team, official)
    rows = engine.answer("ineligible_list", game=game, team=team).dicts()
    content = list_content(engine, game, team)
    signatures = Signatures(engine, stored)
    given, taken_back = signatures.of(game, team, content), signatures.taken_back(game, team)
    settling = read_settling(engine, game, team)
    return ListShown(game, team, official, chain, content, rows, given, settling, taken_back)


def _read(store: Store, game: str, team: str, official: str) -> tuple[list[Stored], Engine]:
    """The game's events and an engine with them; RuleError as for `show_list`, InputError for an
    unknown official.
    """
    stored = read_game(store, game)
    engine = Engine(stored)
    row = next(row for row in engine.answer("game").dicts() if row["game"] == game)
    sides = (row["home"], row["visitor"])
    if team not in sides:
        raise RuleError(f"{team} does not play in {game}", hint=f"Teams: {sides[0]}, {sides[1]}.")
    if row["is_off"]:
        raise RuleError(f"{game} is off", hint="There is nothing to sign.")
    if not weighmaster_of(store, official, game) & {*sides}:
        check_official(store, official)
        hint = f"A weighmaster of {sides[0]} or {sides[1]} signs this list."
        raise RuleError(f"{official} is not a weighmaster of either team in {game}", hint=hint)
    return stored, engine


def countersign(
    store: Store,
    shown: ListShown,
    key: OfficialKey,
    private: bytes,
    *,
    despite: Sequence[str] = (),
) -> Signed:
    """Append the countersignature and keep the cosigned checkpoint, or do neither.

    `despite` are the codes of what was open, and shown to the official. Raises ChangedError if it
    is not the list shown, IntegrityError if this is not the ledger that the official signed before.
    """

    def sign(writing: Writing, now: str, trees: Trees) -> Signed:
        check_in_force(store, key, shown.game)
        event_id = append_signature(
            writing, shown, now, {"how": "key"} | open_codes(despite), trees
        )
        return Signed(event_id, cosign(writing, shown.chain, key, private, trees))

    check_continues(store, shown.chain, key)
    return under_the_lock(store, shown, sign)


def countersign_in_ink(
    store: Store,
    shown: ListShown,
    scan: bytes,
    scan_name: str,
    *,
    despite: Sequence[str] = (),
    entered_by: str = "",
    at: str = "",
) -> str:
    """Append a signature given on paper, and keep its scan; return the event id.

    `entered_by` is who entered it for the signer, where that is known. `at` is when the paper was
    signed, as UTC text; "" for now.

    Raises ChangedError, and InputError if `scan` is not one.
    """
    check_scan(scan, scan_name)
    digest = sha256(scan).hexdigest()

    def sign(writing: Writing, now: str, trees: Trees) -> str:
        writing.keep_exhibit(digest, scan_name, scan)
        more = {"how": "ink", "scan": digest} | open_codes(despite)
        more |= {"entered_by": entered_by} if entered_by else {}
        return append_signature(writing, shown, at or now, more, trees)

    return under_the_lock(store, shown, sign)


def check_scan(content: bytes, name: str) -> None:
    """Raise InputError unless the file begins as a picture or PDF does.

    A signature keeps its scan for good, so this refuses a roster or letter named by mistake.
    """
    is_webp = content[:4] == b"RIFF" and content[8:12] == b"WEBP"
    is_heif = content[4:8] == b"ftyp" and content[8:12] in _BRANDS
    if not (content.startswith(_SCANS) or is_webp or is_heif):
        hint = "Nothing was signed. A scan is a PDF, JPEG, PNG, TIFF, WebP or HEIC file."
        raise InputError(f"{name} is not a scan", hint=hint)


def under_the_lock(
    store: Store, shown: ListShown, sign: Callable[[Writing, str, Trees], Made]
) -> Made:
    """Run `sign` in a transaction in which the list is the one shown.

    Trees and list are derived before the lock. Inside it the trees take in newer events; if one of
    those could change the list, all starts over.
    """
    for is_last in (False, False, True):
        trees = Trees(store)
        trees.catch_up()
        _refuse_other_list(store, shown)
        now = now_utc()  # before the ledger's own clock is read under the lock
        with store.writing() as writing:
            if any(_could_touch(stored.event, shown.game) for stored in trees.newer()):
                if not is_last:
                    continue
                _refuse_other_list(store, shown)
            trees.catch_up()
            return sign(writing, now, trees)
    raise AssertionError("the last try ends in the lock")


def _could_touch(event: Event, game: str) -> bool:
    """Return whether an event could change the list of that game; if in doubt, yes."""
    return event.game in (None, game) or event.kind in ANYWHERE


def open_codes(despite: Sequence[str]) -> dict[str, Any]:
    """What a signature keeps of what was open."""
    return {"despite": sorted(despite)} if despite else {}


def append_signature(
    writing: Writing, shown: ListShown, at: str, more: dict[str, Any], trees: Trees
) -> str:
    """Append the statement of a signature given `at` that time; `more` says how it was signed."""
    statement = Accepted(
        "countersign",
        {
            "form": FORM,
            "rules": RULES,
            "list": shown.number,
            "shown": dict(shown.content),
            "others": format_others(trees.others(shown.chain)),
        }
        | more,
        at=at,
        entered=at,
        by=shown.official,
        game=shown.game,
        team=shown.team,
    )
    return writing.append([statement], chain=shown.chain)[0]


def _refuse_other_list(store: Store, shown: ListShown) -> None:
    _, engine = _read(store, shown.game, shown.team, shown.official)
    if list_number(list_content(engine, shown.game, shown.team)) != shown.number:
        raise ChangedError(*LIST_CHANGED)
