"""An official's phone in Python: it makes a key, signs, checks what it is shown, and cosigns.

It does what the page does in a browser, with the functions of `ledger.chain` alone.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ledger.chain.checkpoint import check_checkpoint
from ledger.chain.cosignature import cosign_note, cosigner_key
from ledger.chain.hashing import leaf_hash
from ledger.chain.keys import KeyPair, make_key, sign
from ledger.chain.merkle import check_consistency, check_inclusion
from ledger.chain.note import Note, format_base64, parse_note, parse_verifier_key
from ledger.chain.note import format_verifier_key as line_of
from ledger.chain.others import State, states_of
from ledger.chain.phone import key_text, sign_in_text, signature_text

NOW = 1_788_600_000


@dataclass
class Phone:
    """The phone of one official; `seen` are the heads that it knows."""

    official: str
    origin: str
    game: str | None = None
    pair: KeyPair = field(default_factory=make_key)
    seen: dict[str, State] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return f"{self.official}@{self.origin}" + (f"#{self.game}" if self.game else "")

    @property
    def line(self) -> str:
        return line_of(cosigner_key(self.name, self.pair.public))

    @property
    def proof(self) -> str:
        return self._signed(key_text(self.line))

    @property
    def since(self) -> str:
        return ",".join(f"{chain}:{state.size}" for chain, state in sorted(self.seen.items()))

    def to_sign_in(self, page: str, token: str) -> str:
        return self._signed(sign_in_text(page, self.official, token))

    def look(self, heads: Mapping[str, Any]) -> None:
        """Take an answer of /api/heads, if it continues what the phone knows."""
        note = parse_note(heads["note"].encode())
        own = check_checkpoint(note, parse_verifier_key(heads["key"]))
        shown = self._continued(heads["heads"])
        assert State(own.size, own.root) in shown.values()
        self.seen = shown

    def signature(self, origin: str, game: str, team: str, number: str) -> str:
        return self._signed(signature_text(origin, game, team, self.official, number, self.seen))

    def witness(self, shown: Mapping[str, Any], body: bytes) -> str:
        """Check an answer of /api/signatures, and return the line that cosigns its note."""
        note = parse_note(shown["note"].encode())
        own = check_checkpoint(note, parse_verifier_key(shown["key"]))
        proof = [bytes.fromhex(step) for step in shown["inclusion"]]
        assert own.size == shown["seq"]
        check_inclusion(leaf_hash(body), own.size - 1, own.size, proof, own.root)
        covered = self._continued(shown["heads"])
        assert covered[shown["chain"]] == State(own.size, own.root)
        return self.cosignature(note)

    def cosignature(self, note: Note, *, time: int = NOW) -> str:
        line = cosign_note(note, self.name, self.pair.private, time=time)
        return f"— {line.name} {format_base64(line.key_id + line.signature)}"

    def _continued(self, heads: Mapping[str, Any]) -> dict[str, State]:
        told = {chain: {"size": h["size"], "root": h["root"]} for chain, h in heads.items()}
        shown = states_of(told)
        for chain, before in self.seen.items():
            old, new = sorted((before, shown[chain]))
            proof = [bytes.fromhex(step) for step in heads[chain]["proof"]]
            check_consistency(old.size, new.size, old.root, new.root, proof)
        return shown

    def _signed(self, text: bytes) -> str:
        return b64encode(sign(self.pair.private, text)).decode()
