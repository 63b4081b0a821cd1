"""A key that was revoked signs nothing after that, in a proof too."""

from __future__ import annotations

import pytest

from ledger.chain.checkpoint import Checkpoint
from ledger.chain.cosignature import Cosignature
from ledger.chain.note import parse_verifier_key
from ledger.errors import InputError
from ledger.witness.check import _refuse_out_of_force, _stated_keys
from ledger.witness.checked import Differences, SignedState
from tests.witness.test_keys import OLD, event

EVENTS = (event(2, "official_key", OLD), event(4, "key_revoked", OLD))


def state(size: int) -> SignedState:
    signed = Cosignature(parse_verifier_key(OLD), time=1)
    return SignedState(Checkpoint("league/2026/office", size, bytes(32)), (signed,))


def test_a_revoked_key_is_in_force_up_to_its_revocation() -> None:
    found = Differences()
    stated = _stated_keys(EVENTS, found)
    assert found == []
    _refuse_out_of_force(state(4), stated, "office", EVENTS)
    with pytest.raises(InputError, match="was not in force when it signed"):
        _refuse_out_of_force(state(5), stated, "office", EVENTS)
