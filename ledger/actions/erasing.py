"""Erase a child's texts, redact a file, and apply the league's retention rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.actions.asking import ACTING, Act, Acting, act_of, ask_about, signer_of
from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.record.questions import question_about
from ledger.store import erasure
from ledger.store.acts import check_may
from ledger.store.mentions import names_in, names_one
from ledger.store.not_erased import OutOfReach, out_of_reach
from ledger.store.retention import Due, due_texts, today
from ledger.store.store import Store


@dataclass(frozen=True)
class ToErase:
    """What an erasure would delete, and the rest, which a person must deal with.

    `is_left` is false if all of it is already erased.
    """

    player: str
    by: str
    reason: str
    events: tuple[Event, ...]
    is_left: bool
    rest: OutOfReach


@dataclass(frozen=True)
class Erased:
    """An erasure, and how many texts are gone."""

    act: Act
    texts: int


def look_before_erasing(
    store: Store,
    player: str,
    *,
    by: str,
    reason: str,
    note_of: Sequence[str] = (),
    acting: Acting = ACTING,
) -> ToErase:
    """Find what erases the child's name and notes, and the notes of the events `note_of`.

    Show it before `erase_child`: once the name is gone, nothing can search for it. Raises RuleError
    if `by` may not erase, InputError for an unknown child or event, or for a reason that names the
    child. Asks about the reason.
    """
    check_may(store, by, "erase")
    events = erasure.events_of_child(store, player)
    if names_one(reason, names_in(store, events)):
        hint = "The reason is kept. Leave the name out of it."
        raise InputError("--reason: it names the child", hint=hint)
    events += [stored.event for stored in store.events_by_id(note_of)]
    ask_about(question_about("reason", reason), acting)
    rest = out_of_reach(store, player, events)
    is_left = bool(erasure.with_text(store, events))
    return ToErase(player, by, reason, tuple(events), is_left, rest)


def erase_child(store: Store, shown: ToErase, acting: Acting = ACTING) -> Erased | None:
    """Erase what was shown. Return None if nothing was left; then only clean away old bytes.

    Asks for a passphrase. Raises what `ledger.store.erasure.erase` does.
    """
    if not shown.is_left:
        erasure.forget_old_bytes(store, "there is nothing left to erase")
        return None
    signer = signer_of(store, shown.by, acting)
    done = erasure.erase(
        store, shown.events, player=shown.player, by=shown.by, reason=shown.reason,
        chain=acting.writes_to, signer=signer,
    )  # fmt: skip
    return Erased(act_of(store, done.event_id), done.texts)


def redact(
    store: Store,
    sha256: str,
    content: bytes,
    name: str,
    *,
    by: str,
    reason: str,
    acting: Acting = ACTING,
) -> Act:
    """Replace a kept file with a redacted copy. Asks about reason and file name, and for a
    passphrase. Raises what `ledger.store.erasure.redact` does.
    """
    check_may(store, by, "redact")
    asked = [*question_about("reason", reason), *question_about("file name", name)]
    ask_about(asked, acting)
    signer = signer_of(store, by, acting)
    event_id = erasure.redact(
        store, sha256, content, name, by=by, reason=reason, chain=acting.writes_to, signer=signer
    )
    return act_of(store, event_id)


def due_by_rule(
    store: Store, *, on: str | None = None, by: str | None = None, to_erase: bool = False
) -> Due:
    """Find what the league's rule makes due on a local date (YYYY-MM-DD; default: today).

    RuleError if `by` is given and may not erase. InputError for another form of date and, with
    `to_erase`, for a future date.
    """
    now = today(store)
    due = due_texts(store, now if on is None else on)
    if to_erase and due.on > now:
        hint = f"Today is {now}. Leave out --apply to see what will be due on that day."
        raise InputError(f"--on {on}: that day has not come; nothing was erased", hint=hint)
    if by is not None:
        check_may(store, by, "erase")
    return due


def erase_due(store: Store, due: Due, *, by: str, acting: Acting = ACTING) -> Erased | None:
    """Erase what is due. Return None if nothing is; then only clean away old bytes.

    Asks for a passphrase. Raises what `ledger.store.erasure.erase` does.
    """
    if not due.events:
        if due.is_past:
            erasure.forget_old_bytes(store, "there is nothing left to erase")
        return None
    rule, chain = f"keep_personal_until {due.keep_until}", acting.writes_to
    signer = signer_of(store, by, acting)
    done = erasure.erase(store, due.events, by=by, rule=rule, chain=chain, signer=signer)
    return Erased(act_of(store, done.event_id), done.texts)
