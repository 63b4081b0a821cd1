"""Make and revoke officials' keys."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.actions.asking import (
    ACTING,
    Act,
    Acting,
    AskPassphraseError,
    act_of,
    ask_about,
    signer_of,
)
from ledger.chain.note import format_verifier_key
from ledger.record.questions import question_about
from ledger.store.store import Store
from ledger.witness import officials


@dataclass(frozen=True)
class Enrolled:
    """A new key, and its public half as a line that anyone can check with."""

    act: Act
    public: str


def enroll(
    store: Store,
    official: str,
    *,
    by: str,
    replace: bool = False,
    game: str | None = None,
    acting: Acting = ACTING,
) -> Enrolled:
    """Make the official's key, sealed under `new_passphrase`; `by` signs it with their own.

    Asks for both passphrases. Raises what `ledger.witness.officials.enroll` does.
    """
    officials.check_enroll(store, official, by=by, replace=replace, game=game)
    signer = None if _replaces_own_phone(store, official, by) else signer_of(store, by, acting)
    secret = acting.new_passphrase
    if secret is None:
        raise AskPassphraseError(official, is_new=True)
    key = officials.enroll(
        store,
        official,
        secret,
        by=by,
        chain=acting.writes_to,
        replace=replace,
        game=game,
        signer=signer,
    )
    return Enrolled(act_of(store, key.since), format_verifier_key(key.key))


def revoke(
    store: Store,
    official: str,
    *,
    by: str,
    reason: str,
    game: str | None = None,
    acting: Acting = ACTING,
) -> Act:
    """End the official's key. Asks about the reason, and for a passphrase.

    Raises what `ledger.witness.officials.revoke` does.
    """
    officials.check_revoke(store, official, by=by, game=game)
    ask_about(question_about("reason", reason), acting)
    signer = signer_of(store, by, acting)
    event_id = officials.revoke(
        store, official, by=by, reason=reason, chain=acting.writes_to, game=game, signer=signer
    )
    return act_of(store, event_id)


def _replaces_own_phone(store: Store, official: str, by: str) -> bool:
    """Whether people with a phone's key, who have since got an office, make one for acts.

    Nobody else may hold an office, so this goes unsigned, and the audit says so.
    """
    key = officials.key_of(store, official)
    return official == by and key is not None and key.is_on_phone
