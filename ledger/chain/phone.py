"""What an official's phone signs with the key that never leaves it (Ed25519, RFC 8032).

Three texts, UTF-8, each line ending in a newline. The first line says what a text is for; none
begins as a cosignature does (c2sp.org/tlog-cosignature), so no signature can serve as another.

    weighbook-key/v1            the phone has the key
    <verifier key line>

    weighbook-sign-in/v1        somebody signs in on the page with it
    <origin of the page>
    <official>
    <token of the device>

    weighbook-signature/v1      the official signs a list
    <origin of the chain that the server writes>
    <game>
    <team>
    <official>
    <number of the list, 64 hex>
    <chain> <size> <root, 64 hex>    each chain that the phone saw, by name, its own included

The code by which a registrar confirms a key is read aloud, so it has neither 0, O, 1, I nor L. It
has about 40 bits of SHA-256 of the key line: who confirms it confirms that key.

>>> code_of(
...     "off-1@league.example/2026/office+4b29d792+BAABAgMEBQYHCAkKCwwNDg8QERITFBUWFxgZGhscHR4f")
'2Q5HCYAF'
"""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256

from ledger.chain.event import Event
from ledger.chain.keys import check_signature
from ledger.chain.note import VerifierKey, format_verifier_key, parse_base64
from ledger.chain.others import State, parse_seen
from ledger.errors import InputError

KEY, SIGN_IN, SIGNATURE = "weighbook-key/v1", "weighbook-sign-in/v1", "weighbook-signature/v1"
LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
CODE_LETTERS = 8


def key_text(line: str) -> bytes:
    """What a phone signs to show that it has the key of this verifier key line."""
    return _text(KEY, line)


def sign_in_text(origin: str, official: str, token: str) -> bytes:
    """What a phone signs for its official to sign in on the page."""
    return _text(SIGN_IN, origin, official, token)


def signature_text(
    origin: str, game: str, team: str, official: str, number: str, seen: Mapping[str, State]
) -> bytes:
    """What a phone signs when its official signs a list; `seen` are the chains as it saw them."""
    heads = (f"{chain} {seen[chain].size} {seen[chain].root.hex()}" for chain in sorted(seen))
    return _text(SIGNATURE, origin, game, team, official, number, *heads)


def check_key_proof(key: VerifierKey, proof: str) -> None:
    """Raise IntegrityError unless `proof` (base64) shows that its maker has this key."""
    check_signature(key.public, key_text(format_verifier_key(key)), parse_base64(proof))


def check_list_signature(event: Event, origin: str, key: VerifierKey) -> None:
    """Raise IntegrityError unless `key` signed the list that this countersignature keeps.

    `origin` is that of the event's chain. InputError if the event cannot be read, or if the phone
    did not see the chain that it is in.
    """
    seen, signature = parse_seen(event.data), event.data.get("signature")
    said = [event.game, event.team, event.by, event.data.get("list")]
    if not all(isinstance(one, str) for one in (*said, signature)):
        raise InputError("the signature of a phone cannot be read")
    game, team, official, number = map(str, said)
    if event.chain not in seen:
        raise InputError(f"the phone did not see the chain {event.chain}, in which it signed")
    text = signature_text(origin, game, team, official, number, seen)
    check_signature(key.public, text, parse_base64(str(signature)))


def code_of(line: str) -> str:
    """The code of a key: 8 letters and digits."""
    number, code = int.from_bytes(sha256(line.encode()).digest()[:8]), ""
    for _ in range(CODE_LETTERS):
        number, letter = divmod(number, len(LETTERS))
        code = LETTERS[letter] + code
    return code


def _text(*lines: str) -> bytes:
    for line in lines:
        if not line or not line.isprintable():
            raise InputError(f"{line[:80]!r} cannot stand in what a phone signs")
    return "".join(f"{line}\n" for line in lines).encode()
