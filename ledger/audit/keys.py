"""Whose key was in force when: chains' own keys, and officials' keys in ledger order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ledger.audit.report import Problem
from ledger.chain.event import Event
from ledger.chain.note import VerifierKey, parse_verifier_key
from ledger.errors import InputError


@dataclass
class KeyBook:
    """Keys as the events name them. `at_signature` is the signer's key at each countersign."""

    chains: dict[str, VerifierKey] = field(default_factory=dict)
    in_force: dict[str, VerifierKey] = field(default_factory=dict)
    at_signature: dict[str, VerifierKey | None] = field(default_factory=dict)
    ever: dict[str, VerifierKey] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def learn(self, events: Iterable[Event]) -> None:
        """Take the events in, in ledger order."""
        for event in events:
            if event.kind == "chain_key":
                self._chain_key(event)
            elif event.kind == "official_key":
                key = self._key(event)
                if key:
                    self.in_force[event.data["official"]] = key
                    self.ever[key.name] = key
            elif event.kind == "key_revoked":
                self.in_force.pop(str(event.data.get("official")), None)
            elif event.kind == "countersign" and event.data.get("how") == "key":
                self.at_signature[event.id] = self.in_force.get(event.by or "")

    def _chain_key(self, event: Event) -> None:
        key = self._key(event)
        if event.seq != 1:
            what = "a chain's key is its first event, and no other"
            self.problems.append(Problem(event.chain, event.seq, "unknown key", what))
        elif key:
            self.chains[event.chain] = key

    def _key(self, event: Event) -> VerifierKey | None:
        try:
            return parse_verifier_key(str(event.data.get("key", "")))
        except InputError as error:
            what = f"its key cannot be read: {error.message}"
            self.problems.append(Problem(event.chain, event.seq, "unknown key", what))
            return None
