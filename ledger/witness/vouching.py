"""Who made the key behind a signature, with which role, and instead of which key."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.chain.cosignature import check_cosignatures
from ledger.chain.event import HELD, Event
from ledger.chain.note import parse_note
from ledger.chain.others import covered_by
from ledger.chain.phone import check_list_signature
from ledger.errors import InputError, LedgerError
from ledger.record.kinds import KEYS
from ledger.store.acts import offices_of, roles_given
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.witness.keys import OfficialKey, keys_in_force


@dataclass(frozen=True)
class Vouched:
    """The key in force for a signature, and the official who made it (`by`).

    `is_replaced`: the official had a key before. `by_holder`: that earlier key signed this one in.
    """

    key: OfficialKey
    by: str
    is_replaced: bool
    by_holder: bool

    @property
    def is_set_by_another(self) -> bool:
        """Whether someone other than its holder replaced an earlier key with this one."""
        return self.is_replaced and not self.by_holder


def vouched(store: Store, signed: Event) -> Vouched | None:
    """Return the key behind this signature; None if no key signed, or none is known.

    The events that the signature covers decide which key was in force; clocks do not.
    """
    if signed.data.get("how") in (None, "ink") or signed.by is None:
        return None
    try:
        covered = covered_by(signed)
    except InputError:
        return None
    stored = store.events(kind=KEYS, subject=[signed.by])
    events = [one.event for one in stored if covered.covers(one.chain, one.seq)]
    keys = keys_in_force(events)
    key = keys.get((signed.by, None)) or keys.get((signed.by, signed.game))
    if key is None:
        return None
    made = next(event for event in events if event.id == key.since)
    earlier = [
        event
        for event in events[: events.index(made)]
        if event.kind == "official_key" and event.data.get("game") == key.game
    ]
    return Vouched(
        key,
        by=made.by or "",
        is_replaced="replaces" in made.data or bool(earlier),
        by_holder=made.by == signed.by and made.data.get("how") == "key",
    )


def is_forged(store: Store, event_id: str) -> bool:
    """Return whether an event says that a key or a phone made this signature, and none did."""
    is_by_key = store.event(event_id).data.get("how") in ("key", HELD)
    return is_by_key and not is_key_signature(store, event_id)


def is_key_signature(store: Store, event_id: str) -> bool:
    """Return whether the key in force made this signature.

    Anyone who has the file can write an event that names a key. Only the key can cosign its
    checkpoint; a phone's key signs the list itself first.
    """
    signed = store.event(event_id)
    known = vouched(store, signed)
    is_by_phone = signed.data.get("how") == HELD
    if known is None or known.key.is_on_phone != is_by_phone:
        return False
    try:
        if is_by_phone:
            check_list_signature(signed, origin_in(store, signed.chain), known.key.key)
            return True
        return any(
            check_cosignatures(parse_note(kept.note.encode()), [known.key.key])
            for kept in store.checkpoints()
            if (kept.chain, kept.size) == (signed.chain, signed.seq)
        )
    except LedgerError:
        return False


def role_behind(store: Store, by: str) -> str:
    """Return the role that lets this official make keys for others; "" if there is none."""
    return next(iter(offices_of(roles_given(store), by)), "")
