"""Countersign a team's list: show it, then sign exactly what was shown."""

from __future__ import annotations

from dataclasses import dataclass, field

from ledger.actions.asking import ACTING, OFFICE, Acting, AskPassphraseError, ask_despite
from ledger.chain.note import format_note
from ledger.errors import ChangedError, InputError, RuleError
from ledger.store.store import Store
from ledger.witness import countersign
from ledger.witness.countersign import ListShown
from ledger.witness.keys import OfficialKey
from ledger.witness.officials import key_of, no_key_hint, phone_hint, unlock
from ledger.witness.vouching import is_forged


@dataclass(frozen=True)
class ListToSign:
    """A list as the signer sees it; see `ledger.witness.countersign.ListShown`.

    `forged` are event ids of signatures that their key did not make. `has_signed`: the official
    has already signed this list.
    """

    shown: ListShown
    forged: frozenset[str]

    @property
    def has_signed(self) -> bool:
        given = self.shown.signatures
        return any(
            one.row["official"] == self.shown.official and one.state == "stands" for one in given
        )


@dataclass(frozen=True)
class Signed:
    """A countersignature. `receipt` is the checkpoint to take home, None for one in ink."""

    event_id: str
    receipt: bytes | None = None


def show_list(
    store: Store, game: str, team: str, official: str, *, chain: str = OFFICE
) -> ListToSign:
    """Read the list to sign; RuleError if this official may not sign it, or it is not here."""
    shown = countersign.show_list(store, game, team, official, chain=chain)
    forged = {one.event_id for one in shown.signatures if is_forged(store, one.event_id)}
    return ListToSign(shown, frozenset(forged))


@dataclass(frozen=True)
class OpenKey:
    """An official's key, opened for one signature."""

    key: OfficialKey
    private: bytes = field(repr=False)


def check_number(shown: ListShown, number: str) -> None:
    """ChangedError unless this is the number of the list."""
    if shown.number != number:
        raise ChangedError(*countersign.LIST_CHANGED)


def open_key_to_sign(store: Store, shown: ListShown, acting: Acting = ACTING) -> OpenKey:
    """Open the official's key. Asks about what is open, and for the passphrase.

    It takes a third of a second on purpose, so a server does it before its writer waits.
    RuleError if there is no key or the passphrase is wrong.
    """
    official, game = shown.official, shown.game
    if (key := key_of(store, official, game)) is None:
        raise RuleError(f"{official} has no key in force", hint=no_key_hint(official, game))
    if key.is_on_phone:
        raise RuleError(f"the key of {official} is on their phone", hint=phone_hint(official))
    ask_despite(shown.settling, store, acting)
    if acting.passphrase is None:
        raise AskPassphraseError(official)
    return OpenKey(*unlock(store, official, acting.passphrase, game))


def sign_with_open_key(store: Store, shown: ListShown, opened: OpenKey) -> Signed:
    """Sign the list; what is open about it was shown, and is kept with the signature.

    ChangedError if the list is not the one shown; IntegrityError if this is not the ledger
    that this key signed before.
    """
    signed = countersign.countersign(
        store, shown, opened.key, opened.private, despite=shown.settling.codes
    )
    return Signed(signed.event_id, format_note(signed.note))


def sign_with_key(store: Store, shown: ListShown, acting: Acting = ACTING) -> Signed:
    """`open_key_to_sign`, then `sign_with_open_key`."""
    return sign_with_open_key(store, shown, open_key_to_sign(store, shown, acting))


def sign_in_ink(
    store: Store,
    shown: ListShown,
    scan: bytes,
    name: str,
    acting: Acting = ACTING,
    entered_by: str = "",
    at: str = "",
) -> Signed:
    """Keep the scan of a list signed on paper; InputError if it is not a scan.

    `at` is when the paper was signed, "" for now; InputError if that is still to come. Asks about
    what is open.
    """
    if at > store.clock():
        hint = "Nothing was signed. Check the time, and this device's clock."
        raise InputError("the time on the signed paper is still to come", hint=hint)
    ask_despite(shown.settling, store, acting)
    despite = shown.settling.codes
    return Signed(
        countersign.countersign_in_ink(
            store, shown, scan, name, despite=despite, entered_by=entered_by, at=at
        )
    )
