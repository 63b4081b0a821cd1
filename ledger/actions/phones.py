"""Keys that officials' phones made: they wait beside the ledger until somebody confirms them.

The file `LEDGER.phones` has public halves only. Whoever may make keys confirms one by its code,
which the official reads aloud; the code is made of the key, so it can confirm no other.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter, ValidationError

from ledger.actions.asking import ACTING, Act, Acting, act_of, signer_of
from ledger.chain.phone import CODE_LETTERS, LETTERS
from ledger.errors import InputError, ReportError, StoreError
from ledger.outputs import Kind, write_output
from ledger.store.acts import Signer
from ledger.store.store import Store
from ledger.witness.phone_keys import (
    PhoneKey,
    check_enroll_phone,
    check_phone_key,
    enroll_phone,
    origin_to_be,
    read_phone_key,
)

Opened = Signer | None
"""The key of the one who confirms, if they have one."""
DAYS = 7
MOST_WAITING = 500
_FILE = Kind("a file of phones", re.compile(rb'\{"phones"'))


@dataclass(frozen=True)
class Waiting:
    """A key that waits: its official, verifier key line and proof (base64), in seconds until."""

    official: str
    key: str
    proof: str
    until: float


@dataclass(frozen=True)
class _Held:
    phones: tuple[Waiting, ...] = ()


_HELD = TypeAdapter(_Held)


class Phones:
    """The keys that wait beside a ledger, one for each official; read anew at every call."""

    def __init__(self, ledger: Path, now: Callable[[], float] = time.time) -> None:
        self._path, self._now = ledger.with_name(f"{ledger.name}.phones"), now

    def add(self, made: PhoneKey) -> Waiting:
        """Let the key wait, in place of the official's before; it is on the disk then."""
        until = self._now() + DAYS * 24 * 3600
        one = Waiting(made.official, made.line, made.proof, until)
        others = [other for other in self._read() if other.official != made.official]
        self._write((*others, one)[-MOST_WAITING:])
        return one

    def of(self, official: str) -> Waiting | None:
        """The official's key that waits."""
        return next((one for one in self._read() if one.official == official), None)

    def of_code(self, code: str, official: str | None = None) -> PhoneKey:
        """The key with this code, however it is typed; InputError if none waits."""
        asked = plain_code(code)
        for one in self._read():
            made = read_phone_key(one.official, one.key, one.proof)
            if made.code == asked and official in (None, made.official):
                return made
        whose = f" of {official}" if official else ""
        raise InputError(
            f"no key{whose} with the code {code} waits here",
            hint=f"A key waits {DAYS} days. Read the code again, or make a new key on the phone.",
        )

    def forget(self, official: str) -> None:
        """Let the official's key wait no longer."""
        there = self._read()
        if (left := tuple(one for one in there if one.official != official)) != there:
            self._write(left)

    def _read(self) -> tuple[Waiting, ...]:
        try:
            held = _HELD.validate_json(self._path.read_bytes())
        except FileNotFoundError:
            return ()
        except OSError as error:
            raise StoreError(f"{self._path} cannot be read: {error.strerror}") from error
        except ValidationError:
            hint = "Move it away. Phones make their keys again."
            raise StoreError(f"{self._path} is not a file of phones", hint=hint) from None
        return tuple(one for one in held.phones if one.until > self._now())

    def _write(self, phones: tuple[Waiting, ...]) -> None:
        try:
            write_output(_HELD.dump_json(_Held(phones)), self._path, _FILE)
        except ReportError as error:
            raise StoreError(error.message, hint=error.hint) from error


@dataclass(frozen=True)
class PhoneEnrolled:
    """A phone's key that counts from now on: the act, and whose it is for which game."""

    act: Act
    official: str
    game: str | None
    public: str


def ask_for_key(store: Store, official: str, line: str, proof: str) -> PhoneKey:
    """Read the key that a phone made; InputError or RuleError if it cannot be the official's."""
    made = read_phone_key(official, line, proof)
    check_phone_key(store, made)
    return made


def check_confirm(store: Store, made: PhoneKey, *, by: str) -> None:
    """Raise what `confirm` raises, before anyone types a passphrase."""
    check_enroll_phone(store, made, by=by)


def confirm(store: Store, made: PhoneKey, *, by: str, acting: Acting = ACTING) -> PhoneEnrolled:
    """Make the phone's key the official's, in place of the one before; `by` signs with their own.

    Asks for the passphrase of `by`. Raises what `ledger.witness.phone_keys.enroll_phone` does.
    """
    check_confirm(store, made, by=by)
    return confirm_signed(store, made, by=by, signer=signer_of(store, by, acting))


def confirm_signed(store: Store, made: PhoneKey, *, by: str, signer: Opened) -> PhoneEnrolled:
    """The same with the key of `by` opened: a server does that before its writer waits."""
    key = enroll_phone(store, made, by=by, signer=signer)
    return PhoneEnrolled(act_of(store, key.since), made.official, made.game, made.line)


def origin_for_keys(store: Store, chain: str) -> str:
    """What the name of a key ends in that a phone makes for this chain."""
    return origin_to_be(store, chain)


def plain_code(code: str) -> str:
    """The code without dashes and spaces; InputError for letters that no code has.

    >>> plain_code(" 9zn9-vm9z ")
    '9ZN9VM9Z'
    """
    plain = re.sub(r"[\s-]", "", code).upper()
    if len(plain) != CODE_LETTERS or not set(plain) <= set(LETTERS):
        hint = f"It has {CODE_LETTERS} letters and digits, and never 0, O, 1, I or L."
        raise InputError(f"{code!r} is not the code of a phone", hint=hint)
    return plain


def spaced_code(code: str) -> str:
    """The code as people read it: XXXX-XXXX."""
    half = CODE_LETTERS // 2
    return f"{code[:half]}-{code[half:]}"
