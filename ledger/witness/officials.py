"""Officials' keys: made, replaced, revoked; each is an event.

The private key lies in the ledger's file, sealed under the official's passphrase. A lost
passphrase is a new key, never a recovery. An official has one key, and beside it at most one for
each game they were appointed for at the table, which counts in that game only.
"""

from __future__ import annotations

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key, open_key, seal_key
from ledger.chain.note import VerifierKey, format_verifier_key
from ledger.errors import InputError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.kinds import KEYS
from ledger.store.acts import (
    WHO,
    Role,
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
    """The official's key in force, if there is one; else the one for this game."""
    keys = keys_in_force(_key_events(store, official))
    return keys.get((official, None)) or keys.get((official, game))


def check_enroll(
    store: Store, official: str, *, by: str, replace: bool, game: str | None = None
) -> None:
    """What `enroll` refuses before a passphrase is of any use: ask it before asking for one."""
    for who in (official, by):
        check_official(store, who)
    if game is not None:
        _check_for_game(store, official, game, by)
    elif not is_by_holder(store, official, by, game):
        check_may(store, by, _verb(store, official))
    _refuse_second_key(store, official, game, replace=replace)


def is_by_holder(store: Store, official: str, by: str, game: str | None = None) -> bool:
    """Whether this is an official who replaces or revokes the own key, and can sign with it."""
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

    `signer` has the key of `by`, where there is one. Raises InputError for an unknown official or
    game; RuleError where `by` may not, for an official who has a key (unless it is to be replaced)
    and for a passphrase that is too short.
    """
    check_enroll(store, official, by=by, replace=replace, game=game)
    _check_signed_by_holder(store, official, by, game, signer)
    origin = origin_in(store, chain)
    key, sealed = _new_key(key_name(official, origin, game), passphrase)
    with store.writing() as writing:
        _refuse_second_key(store, official, game, replace=replace)  # one may have been made since
        data = {"official": official, "key": format_verifier_key(key)}
        if game is not None:
            data["game"] = game
        if before := _last_key(store, official, game):
            data["replaces"] = before
        made = Accepted("official_key", data, by=by)
        event_id = append_act(writing, made, chain=chain, signer=signer)
        writing.keep_key(key.name, sealed)
    return OfficialKey(official, key, event_id, game)


def check_revoke(store: Store, official: str, *, by: str, game: str | None = None) -> OfficialKey:
    """The key to revoke; RuleError if there is none in force or `by` may not revoke it."""
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
    """Append that the official's key counts no more; the event id. RuleError if there is none.

    The holder may revoke it, signed with it; else it takes a role.
    """
    check_revoke(store, official, by=by, game=game)
    _check_signed_by_holder(store, official, by, game, signer)
    with store.writing() as writing:
        key = check_revoke(store, official, by=by, game=game)
        data = {"official": official, "key": format_verifier_key(key.key)}
        revoked = Accepted("key_revoked", data, {"reason": reason}, by=by)
        return append_act(writing, revoked, chain=chain, signer=signer)


def unlock(
    store: Store, official: str, passphrase: str, game: str | None = None
) -> tuple[OfficialKey, bytes]:
    """The official's key in force, or the one for this game, and its private half.

    Raises RuleError when there is no key in force, or when the passphrase does not open it.
    """
    key = key_of(store, official, game)
    if key is None:
        raise RuleError(f"{official} has no key in force", hint=no_key_hint(official, game))
    sealed = store.key(key.key.name)
    if sealed is None:
        hint = (
            "Sign on the device where it was made. Or a new one: "
            f"weighbook enroll {official} --replace --by OFFICIAL."
        )
        raise RuleError(f"the key of {official} is not on this device", hint=hint)
    return key, open_key(sealed, passphrase, key.key.public)


def no_key_hint(official: str, game: str | None) -> str:
    """How somebody without a key can sign: on paper, or with a new key."""
    paper = "Sign on paper, and keep the scan: --ink SCAN.pdf."
    if game is None:
        return f"Make one: weighbook enroll {official} --by REGISTRAR."
    own = f"Or have the registrar make a key: weighbook enroll {official} --by REGISTRAR"
    there = f"add --game {game}, and name in --by the official who appointed {official}"
    return f"{paper} {own}. If {official} was appointed for this game only, {there}."


def _key_events(store: Store, official: str) -> list[Event]:
    return [stored.event for stored in store.events(kind=KEYS, subject=[official])]


def _last_key(store: Store, official: str, game: str | None) -> str | None:
    """The official's latest key before, in force or not, as a verifier key."""
    made = [e for e in _key_events(store, official) if e.kind == "official_key"]
    lines = [str(e.data["key"]) for e in made if e.data.get("game") == game]
    replaced = {e.data.get("replaces") for e in made}
    return next((line for line in reversed(lines) if line not in replaced), None)


def _verb(store: Store, official: str) -> str:
    if key_of(store, official):
        return f"replace the key of {official} without its passphrase"
    return f"make a key for {official}"


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
    appointed_by = {one.by for one in own if one.has_authority}
    if by not in appointed_by and not offices_of(given, by):
        raise RuleError(_not_theirs(given, official, game, by), hint=_appointers(own))


def _not_theirs(given: list[Role], official: str, game: str, by: str) -> str:
    who = f"{WHO}, or the official who appointed {official} for {game},"
    return f"{who} may make this key. {who_is(given, by)}"


def _appointers(own: list[Role]) -> str:
    told = [f"{one.by} made {one.official} {in_words(one)}" for one in own if one.has_authority]
    return "; ".join(told) + "." if told else "That appointment has no authority: appoint again."


def _check_signed_by_holder(
    store: Store, official: str, by: str, game: str | None, signer: Signer | None
) -> None:
    offices = offices_of(roles_given(store), by)
    if is_by_holder(store, official, by, game) and signer is None and not offices:
        hint = "Give its passphrase; if it is lost, the registrar makes a new key."
        raise RuleError(f"{official} signs this with the key in force", hint=hint)


def _refuse_second_key(store: Store, official: str, game: str | None, *, replace: bool) -> None:
    if (official, game) in keys_in_force(_key_events(store, official)) and not replace:
        hint = "--replace makes a new one; what the old one signed stays signed."
        raise RuleError(f"{official} has a key already", hint=hint)


def _new_key(name: str, passphrase: str) -> tuple[VerifierKey, bytes]:
    pair = make_key()
    return cosigner_key(name, pair.public), seal_key(pair.private, passphrase)
