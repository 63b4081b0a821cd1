"""Keys that officials' phones made and hold: nobody can copy them, and no passphrase opens them.

The ledger gets the public half, and the phone's proof that it has the other. Such a key replaces
the official's key with a passphrase. It signs lists, not acts: who holds an office that acts keeps
a passphrase.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.chain.event import HELD
from ledger.chain.note import COSIGNATURE, VerifierKey, format_verifier_key, parse_verifier_key
from ledger.chain.phone import check_key_proof, code_of
from ledger.errors import InputError, IntegrityError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.authority import role_name
from ledger.record.fields import is_id
from ledger.store.acts import Signer, append_act, offices_of, roles_given
from ledger.store.chains import begin_chain, origin_in, origin_of
from ledger.store.league import first_league
from ledger.store.store import Store
from ledger.witness.keys import OfficialKey, key_name
from ledger.witness.officials import check_enroll, check_signed_by_holder, last_key


@dataclass(frozen=True)
class PhoneKey:
    """A key that a phone made, with its proof (base64). `chain` is the one that its name ends in.

    `game`: what it is for alone; None for the season.
    """

    official: str
    key: VerifierKey
    proof: str
    chain: str
    game: str | None

    @property
    def line(self) -> str:
        return format_verifier_key(self.key)

    @property
    def code(self) -> str:
        """What the official reads to the one who confirms the key."""
        return code_of(self.line)


def read_phone_key(official: str, line: str, proof: str) -> PhoneKey:
    """Return the key of this line; InputError unless the phone shows that it has that key."""
    key = parse_verifier_key(line)
    named, is_for_one, game = key.name.partition("#")
    who, _, origin = named.partition("@")
    chain = origin.rpartition("/")[2]
    is_named = who == official and is_id(chain) and (is_id(game) or not is_for_one)
    if key.kind != COSIGNATURE or not is_named:
        raise InputError(f"this is not a key of {official}", hint=_AGAIN)
    try:
        check_key_proof(key, proof)
    except IntegrityError as error:
        raise InputError("the phone did not show that it has this key", hint=_AGAIN) from error
    return PhoneKey(official, key, proof, chain, game or None)


def check_phone_key(store: Store, made: PhoneKey) -> None:
    """Raise RuleError or InputError if this key cannot be the official's, whoever confirms it."""
    if offices := offices_of(roles_given(store), made.official):
        raise RuleError(
            f"{made.official} ({role_name(offices[0])}) signs acts with a passphrase",
            hint="Keep the key with the passphrase. It signs lists too.",
        )
    if made.key.name != key_name(made.official, origin_to_be(store, made.chain), made.game):
        raise InputError("this key is for another ledger", hint=_AGAIN)
    events = [one.event for one in store.events(kind=["official_key"])]
    if any(parse_verifier_key(str(e.data["key"])).public == made.key.public for e in events):
        raise RuleError("this key is in the ledger already", hint=_AGAIN)


def check_enroll_phone(store: Store, made: PhoneKey, *, by: str) -> None:
    """Raise what `enroll_phone` raises, before anyone types a passphrase."""
    check_enroll(store, made.official, by=by, replace=True, game=made.game)
    check_phone_key(store, made)


def enroll_phone(
    store: Store, made: PhoneKey, *, by: str, signer: Signer | None = None
) -> OfficialKey:
    """Record the key that a phone made, in place of the official's key so far.

    `signer` has the key of `by`, if any. Raises InputError for a key of another ledger, RuleError
    if `by` may not do this or the official needs a passphrase.
    """
    with store.writing() as writing:
        check_enroll_phone(store, made, by=by)
        check_signed_by_holder(store, made.official, by, made.game, signer)
        begin_chain(writing, made.chain, first_league(store))
        data = {"official": made.official, "key": made.line, "held": HELD, "proof": made.proof}
        data |= {"game": made.game} if made.game is not None else {}
        if before := last_key(store, made.official, made.game):
            data["replaces"] = before
        act = Accepted("official_key", data, by=by)
        event_id = append_act(writing, act, chain=made.chain, signer=signer)
    return OfficialKey(made.official, made.key, event_id, made.game, is_on_phone=True)


def origin_to_be(store: Store, chain: str) -> str:
    """The chain's origin, also before the chain begins."""
    if store.head(chain).seq:
        return origin_in(store, chain)
    return origin_of(first_league(store), chain)


_AGAIN = "Make a new key on the phone."
