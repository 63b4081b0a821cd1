"""Make, replace, revoke and unlock officials' keys.

The private key is in the ledger's file, sealed under the official's passphrase. A lost passphrase
takes a new key. An official has one key for the season, and at most one more for each game they
were appointed for at the table.
"""

from __future__ import annotations

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key, open_key, seal_key
from ledger.chain.note import format_verifier_key
from ledger.errors import InputError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.kinds import KEYS
from ledger.store.acts import (
    WHO,
    Signer,
    append_act,
    check_may,
    check_official,
    in_words,
    offices_of,
    roles_given,
    who_is,
)
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.suggest import suggest_hint
from ledger.witness.keys import OfficialKey, key_name, keys_in_force


def key_of(store: Store, official: str, game: str | None = None) -> OfficialKey | None:
    """Return the official's key for the season, else the one for this game, else None."""
    keys = keys_in_force(_key_events(store, official))
    return keys.get((official, None)) or keys.get((official, game))


def check_enroll(
    store: Store, official: str, *, by: str, replace: bool, game: str | None = None
) -> None:
    """Raise what `enroll` raises, before anyone types a passphrase."""
    for who in (official, by):
        check_official(store, who)
    if game is not None:
        _check_for_game(store, official, game, by)
    elif key_of(store, official) is None:
        check_may(store, by, f"make a key for {official}")
    elif official != by:
        check_may(store, by, f"replace the key of {official} without its passphrase")
    _refuse_second_key(store, official, game, replace=replace)


def is_by_holder(store: Store, official: str, by: str, game: str | None = None) -> bool:
    """Return whether officials replace or revoke their own season key, and so can sign with it."""
    return official == by and game is None and key_of(store, official) is not None


def enroll(
    store: Store,
    official: str,
    passphrase: str,
    *,
    by: str,
    chain: str,
    replace: bool = False,
    game: str | None = None,
    signer: Signer | None = None,
) -> OfficialKey:
    """Make the official's key, seal it, and append the public half.

    `signer` has the key of `by`, if any. Raises InputError for an unknown official or game,
    RuleError if `by` may not do this, if the official has a key (without `replace`), or if the
    passphrase is too short.
    """
    check_enroll(store, official, by=by, replace=replace, game=game)
    check_signed_by_holder(store, official, by, game, signer)
    pair = make_key()
    key = cosigner_key(key_name(official, origin_in(store, chain), game), pair.public)
    sealed = seal_key(pair.private, passphrase)
    with store.writing() as writing:
        _refuse_second_key(store, official, game, replace=replace)  # again, under the lock
        data = {"official": official, "key": format_verifier_key(key)}
        if game is not None:
            data["game"] = game
        if before := last_key(store, official, game):
            data["replaces"] = before
        made = Accepted("official_key", data, by=by)
        event_id = append_act(writing, made, chain=chain, signer=signer)
        writing.keep_key(key.name, sealed)
    return OfficialKey(official, key, event_id, game)


def check_revoke(store: Store, official: str, *, by: str, game: str | None = None) -> OfficialKey:
    """Return the key to revoke; RuleError if none is in force, or `by` may not revoke it."""
    for who in (official, by):
        check_official(store, who)
    key = keys_in_force(_key_events(store, official)).get((official, game))
    if key is None:
        raise RuleError(f"{official} has no key in force", hint="There is nothing to revoke.")
    if not is_by_holder(store, official, by, game):
        check_may(store, by, f"revoke the key of {official}")
    return key


def revoke(
    store: Store,
    official: str,
    *,
    by: str,
    reason: str,
    chain: str,
    game: str | None = None,
    signer: Signer | None = None,
) -> str:
    """Revoke the official's key; return the event id. Raises RuleError if there is none.

    Holders may revoke their own, signed with it; anyone else needs a role.
    """
    check_revoke(store, official, by=by, game=game)
    check_signed_by_holder(store, official, by, game, signer)
    with store.writing() as writing:
        key = check_revoke(store, official, by=by, game=game)
        data = {"official": official, "key": format_verifier_key(key.key)}
        revoked = Accepted("key_revoked", data, {"reason": reason}, by=by)
        return append_act(writing, revoked, chain=chain, signer=signer)


def unlock(
    store: Store, official: str, passphrase: str, game: str | None = None
) -> tuple[OfficialKey, bytes]:
    """Return the key of `key_of` and its private half.

    Raises RuleError if there is none, or if the passphrase does not open it.
    """
    key = key_of(store, official, game)
    if key is None:
        raise RuleError(f"{official} has no key in force", hint=no_key_hint(official, game))
    if key.is_on_phone:
        raise RuleError(f"the key of {official} is on their phone", hint=phone_hint(official))
    sealed = store.key(key.key.name)
    if sealed is None:
        new = f"weighbook enroll {official} --replace --by OFFICIAL."
        hint = f"Sign on the device where you made it. Or make a new key: {new}"
        raise RuleError(f"the key of {official} is not on this device", hint=hint)
    return key, open_key(sealed, passphrase, key.key.public)


def phone_hint(official: str) -> str:
    """Say how to sign when a phone holds the key, and it is not here."""
    return (
        "Sign on that phone. Or sign on paper, and keep the scan: --ink SCAN.pdf. "
        "If the phone is lost, make a key with a passphrase: "
        f"weighbook enroll {official} --replace --by REGISTRAR."
    )


def no_key_hint(official: str, game: str | None) -> str:
    """Say how to sign without a key: on paper, or with a new key."""
    enroll = f"weighbook enroll {official} --by REGISTRAR."
    if game is None:
        return f"Make one: {enroll}"
    return (
        "Sign on paper, and keep the scan: --ink SCAN.pdf. "
        f"Or have the registrar make a key: {enroll} "
        f"If {official} was appointed for this game only, add --game {game}, "
        f"and name in --by the official who appointed {official}."
    )


def _key_events(store: Store, official: str) -> list[Event]:
    return [stored.event for stored in store.events(kind=KEYS, subject=[official])]


def last_key(store: Store, official: str, game: str | None) -> str | None:
    """Return the line of the official's latest key so far, in force or not."""
    made = [e for e in _key_events(store, official) if e.kind == "official_key"]
    lines = [str(e.data["key"]) for e in made if e.data.get("game") == game]
    replaced = {e.data.get("replaces") for e in made}
    return next((line for line in reversed(lines) if line not in replaced), None)


def _check_for_game(store: Store, official: str, game: str, by: str) -> None:
    games = [str(s.event.game) for s in store.events(kind=["game"])]
    if game not in games:
        hint = suggest_hint(game, games, "weighbook status lists the games.")
        raise InputError(f"no game {game} in this ledger", hint=hint)
    given = roles_given(store)
    own = [one for one in given if (one.official, one.game) == (official, game)]
    if not own:
        hint = f"Appoint first: weighbook record appoint --game {game} --value {official} …"
        raise RuleError(f"{official} was not appointed for {game}", hint=hint)
    appoints = [one for one in own if one.has_authority]
    if by not in {one.by for one in appoints} and not offices_of(given, by):
        who = f"{WHO}, or the official who appointed {official} for {game},"
        made = "; ".join(f"{one.by} made {official} {in_words(one)}" for one in appoints)
        raise RuleError(
            f"{who} may make this key. {who_is(given, by)}",
            hint=f"{made}." if made else "That appointment has no authority. Appoint again.",
        )


def check_signed_by_holder(
    store: Store, official: str, by: str, game: str | None, signer: Signer | None
) -> None:
    """Raise RuleError if holders without an office replace or revoke their key unsigned."""
    offices = offices_of(roles_given(store), by)
    if is_by_holder(store, official, by, game) and signer is None and not offices:
        key = key_of(store, official)
        hint = "Enter its passphrase. If it is lost, the registrar makes a new key."
        if key is not None and key.is_on_phone:
            hint = "A phone holds it, and signs lists only. The registrar does this."
        raise RuleError(f"{official} must sign this with the key in force", hint=hint)


def _refuse_second_key(store: Store, official: str, game: str | None, *, replace: bool) -> None:
    if (official, game) in keys_in_force(_key_events(store, official)) and not replace:
        hint = "--replace makes a new one. Old signatures stay valid."
        raise RuleError(f"{official} already has a key", hint=hint)
