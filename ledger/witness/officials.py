"""Officials' keys: made, replaced, revoked; each is an event, and the latest is in force.

The private key lies in the ledger's file, sealed under the official's passphrase. A lost
passphrase is a new key, never a recovery.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key, open_key, seal_key
from ledger.chain.note import VerifierKey, format_verifier_key, parse_verifier_key
from ledger.errors import InputError, RuleError
from ledger.near import near_hint
from ledger.record.accepted import Accepted
from ledger.store.chains import origin_in
from ledger.store.store import Store

KEY_KINDS = ("official_key", "key_revoked")


@dataclass(frozen=True)
class OfficialKey:
    """An official's key: the public half, and since which event it is in force."""

    official: str
    key: VerifierKey
    since: str


def key_name(official: str, origin: str) -> str:
    """The name that an official's cosignatures bear.

    >>> key_name("off-1", "tall-grass-league/2026/office")
    'off-1@tall-grass-league/2026/office'
    """
    return f"{official}@{origin}"


def keys_in_force(events: Iterable[Event]) -> dict[str, OfficialKey]:
    """The key of each official after these events, in ledger order."""
    keys: dict[str, OfficialKey] = {}
    for event in events:
        if event.kind == "official_key":
            official, line = event.data["official"], event.data["key"]
            keys[official] = OfficialKey(official, parse_verifier_key(line), event.id)
        elif event.kind == "key_revoked":
            keys.pop(event.data["official"], None)
    return keys


def key_of(store: Store, official: str) -> OfficialKey | None:
    """The official's key in force, if there is one."""
    events = (stored.event for stored in store.events(kind=KEY_KINDS, subject=[official]))
    return keys_in_force(events).get(official)


def check_enroll(store: Store, official: str, *, by: str, replace: bool) -> None:
    """What `enroll` refuses before a passphrase is of any use: ask it before asking for one."""
    for who in (official, by):
        if not list(store.events(kind=["official", "appoint"], subject=[who])):
            held = [stored.event for stored in store.events(kind=["official", "appoint"])]
            known = {str(event.data.get("official", event.data.get("value"))) for event in held}
            raise InputError(
                f"no official {who} in this ledger", hint=near_hint(who, known, _APPOINT)
            )
    _refuse_second_key(store, official, replace=replace)


def enroll(
    store: Store, official: str, passphrase: str, *, by: str, chain: str, replace: bool = False
) -> OfficialKey:
    """Make the official's key, seal it, and append the public half.

    Raises InputError for an unknown official, RuleError for one who has a key (unless it is to
    be replaced) or for a passphrase that is too short.
    """
    check_enroll(store, official, by=by, replace=replace)
    key, sealed = _new_key(official, passphrase, origin_in(store, chain))
    with store.writing() as writing:
        _refuse_second_key(store, official, replace=replace)  # another may have made one since
        data = {"official": official, "key": format_verifier_key(key)}
        event_id = writing.append([Accepted("official_key", data, by=by)], chain=chain)[0]
        writing.keep_key(key.name, sealed)
    return OfficialKey(official, key, event_id)


def _refuse_second_key(store: Store, official: str, *, replace: bool) -> None:
    if key_of(store, official) and not replace:
        hint = "--replace makes a new one; what the old one signed stays signed."
        raise RuleError(f"{official} has a key already", hint=hint)


def revoke(store: Store, official: str, *, by: str, reason: str, chain: str) -> str:
    """Append that the official's key counts no more; the event id. RuleError if there is none."""
    with store.writing() as writing:
        key = key_of(store, official)
        if key is None:
            raise RuleError(f"{official} has no key in force", hint="There is nothing to revoke.")
        data = {"official": official, "key": format_verifier_key(key.key)}
        revoked = Accepted("key_revoked", data, {"reason": reason}, by=by)
        return writing.append([revoked], chain=chain)[0]


def unlock(store: Store, official: str, passphrase: str) -> tuple[OfficialKey, bytes]:
    """The official's key in force and its private half.

    Raises RuleError when there is no key in force, or when the passphrase does not open it.
    """
    key = key_of(store, official)
    if key is None:
        hint = f"Make one: weighbook enroll {official}. On paper: --ink SCAN.pdf."
        raise RuleError(f"{official} has no key in force", hint=hint)
    sealed = store.key(key.key.name)
    if sealed is None:
        hint = f"It lies on the device where it was made; or: weighbook enroll {official} --replace"
        raise RuleError(f"the key of {official} is not on this device", hint=hint)
    return key, open_key(sealed, passphrase, key.key.public)


def _new_key(official: str, passphrase: str, origin: str) -> tuple[VerifierKey, bytes]:
    pair = make_key()
    return cosigner_key(key_name(official, origin), pair.public), seal_key(pair.private, passphrase)


_APPOINT = "Name one of officials.csv, or state an appoint first."
