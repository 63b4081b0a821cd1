"""Erasing a child's personal text: the disclosures go, the chain stays whole.

What an event says of a name or a note is only a digest, so nothing of the chain changes. The
erasure itself is an event. What lies elsewhere is listed by `out_of_reach`, for a person.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256

from ledger.chain.event import Event
from ledger.errors import InputError, RuleError, StoreError
from ledger.record.accepted import Accepted
from ledger.store.acts import Signer, append_act, check_may
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

FEWEST_LETTERS = 8
"""Of an exhibit's SHA-256: fewer could be a typo, and its file would be gone for good."""


@dataclass(frozen=True)
class Erased:
    """What was erased: the event that says so, and how many texts of which events."""

    event_id: str
    events: tuple[str, ...]
    texts: int


class OldBytesError(StoreError):
    """It is erased and recorded, but its bytes are still in the file: the same again ends it."""


def events_of_child(store: Store, player: str) -> list[Event]:
    """Every event about the child, and all that withdrew these; InputError for an unknown id.

    Earlier erasures are left out: their reasons are asked for without the child's name.
    """
    about = (stored.event for stored in store.events(player=[player]))
    own = [event for event in about if event.kind != "erasure"]
    if not own:
        raise InputError(f"no player {player} in this ledger", hint="Give the id, not the name.")
    return with_withdrawals(store, own)


def erase(
    store: Store,
    events: Iterable[Event],
    *,
    by: str,
    chain: str,
    player: str | None = None,
    reason: str = "",
    rule: str = "",
    signer: Signer | None = None,
) -> Erased:
    """Delete the personal text of these events and free it from the file.

    `reason` is free text, and personal itself; `rule` names a rule that asked for it. Raises
    InputError for an unknown official, RuleError for one who may not or when there is nothing left
    to erase, OldBytesError when the file could not be cleaned.
    """
    check_may(store, by, "erase")
    with store.writing() as writing:
        ids = with_text(store, events)
        if not ids:
            raise RuleError("there is nothing left to erase", hint="It was erased before.")
        texts = writing.drop_disclosures(ids)
        data = {"events": list(ids)} | ({"rule": rule} if rule else {})
        personal = {"reason": reason} if reason else {}
        erasure = Accepted("erasure", data, personal, by=by, player=player)
        event_id = append_act(writing, erasure, chain=chain, signer=signer)
    forget_old_bytes(store, f"it is erased and recorded as {event_id}")
    return Erased(event_id, ids, texts)


def redact(store: Store, before: str, content: bytes, name: str, *, by: str, reason: str,
           chain: str, signer: Signer | None = None) -> str:  # fmt: skip
    """Put a redacted copy in the place of an exhibit; both digests are kept in the event.

    `before` is the exhibit's SHA-256 (hex) or its beginning. InputError where that fits no
    exhibit or several, where the copy is empty or the exhibit itself, or for an unknown official;
    RuleError for one who may not; OldBytesError when the file could not be cleaned: the same again
    cleans it, and changes nothing.
    """
    check_may(store, by, "redact")
    if not content:
        hint = "Nothing was changed. Give the copy with the name blacked out."
        raise InputError(f"{name}: this file is empty", hint=hint)
    after = sha256(content).hexdigest()
    if event_id := _redacted_by(store, before, after):
        forget_old_bytes(store, f"the copy is kept and recorded as {event_id}")
        return event_id
    before = find_exhibit(store, before)
    if after == before:
        hint = "Nothing was changed. Give the copy with the name blacked out."
        raise InputError(f"{name}: this file is the exhibit itself, unchanged", hint=hint)
    with store.writing() as writing:
        writing.keep_exhibit(after, name, content)
        writing.drop_exhibit(before)
        data = {"before": before, "after": after}
        redaction = Accepted("redaction", data, {"reason": reason}, by=by)
        event_id = append_act(writing, redaction, chain=chain, signer=signer)
    forget_old_bytes(store, f"the copy is kept and recorded as {event_id}")
    return event_id


def redactions(store: Store) -> dict[str, str]:
    """The SHA-256 of the redacted copy by that of the exhibit whose place it took."""
    events = [stored.event for stored in store.events(kind=["redaction"])]
    copies: dict[str, str] = {}
    for event in reversed(events):  # a copy may itself have been redacted later
        after = event.data["after"]
        copies[event.data["before"]] = copies.get(after, after)
    return copies


def find_exhibit(store: Store, given: str) -> str:
    """The SHA-256 of the one kept file that it begins; InputError for none or several."""
    beginning = _beginning(given)
    fitting = [digest for digest in store.exhibits() if digest.startswith(beginning)]
    if len(beginning) < FEWEST_LETTERS:
        hint = f"Give the first {FEWEST_LETTERS} characters, or more."
        raise InputError(f"'{given}' is too short for an exhibit's SHA-256", hint=hint)
    if not fitting:
        hint = (
            "weighbook erase lists the exhibits of a child's cases, weighbook case show a case's."
        )
        raise InputError(f"no exhibit {given} in this ledger", hint=hint)
    if len(fitting) > 1:
        hint = f"Give more characters: {', '.join(fitting)}."
        raise InputError(f"{given} matches {len(fitting)} exhibits", hint=hint)
    return fitting[0]


def forget_old_bytes(store: Store, done: str) -> None:
    """Free from the file what was deleted; OldBytesError, which says what is `done`."""
    try:
        store.forget_free_space()
    except (StoreError, KeyboardInterrupt) as error:
        why = error.message if isinstance(error, StoreError) else "it was stopped"
        raise OldBytesError(
            f"{done}, but the old bytes are not gone yet: {why}",
            hint="Close other programs that use the ledger and free disk space if it is full. "
            "Then run the same command again to finish.",
        ) from error


def with_text(store: Store, events: Iterable[Event]) -> tuple[str, ...]:
    """Those events whose personal text is still there, in ledger order."""
    ids = [event.id for event in events if "digests" in event.data]
    there = {row.event_id for row in store.disclosures(ids)}
    return tuple(event_id for event_id in dict.fromkeys(ids) if event_id in there)


def _redacted_by(store: Store, before: str, after: str) -> str:
    """The event that put this copy, which is still kept, in that exhibit's place; else ''."""
    beginning, kept = _beginning(before), store.exhibits()
    for stored in store.events(kind=["redaction"]):
        data = stored.event.data
        is_it = len(beginning) >= FEWEST_LETTERS and data["before"].startswith(beginning)
        if is_it and data["after"] == after and after in kept and data["before"] not in kept:
            return stored.event.id
    return ""


def _beginning(given: str) -> str:
    return given.strip().rstrip("….").lower()
