"""Which officials' keys are in force: neither the order nor a slow clock brings one back."""

from __future__ import annotations

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import make_key
from ledger.chain.note import format_verifier_key
from ledger.witness.keys import keys_in_force

OLD, NEW = (
    format_verifier_key(cosigner_key("wa@league/2026/office", make_key().public)) for _ in range(2)
)


def event(seq: int, kind: str, key: str, **data: str) -> Event:
    given = {"official": "wa", "key": key} | data
    return Event("office", seq, b"", "", kind, "2026-09-05T14:00:00.000Z", given)


def in_force(*events: Event) -> list[str]:
    return [format_verifier_key(one.key) for one in keys_in_force(events).values()]


def test_the_later_key_counts() -> None:
    assert in_force(event(1, "official_key", OLD), event(2, "official_key", NEW)) == [NEW]


def test_a_replaced_key_stays_out_in_any_order() -> None:
    old, new = event(1, "official_key", OLD), event(2, "official_key", NEW, replaces=OLD)
    assert in_force(old, new) == [NEW]
    assert in_force(new, old) == [NEW]


def test_a_revoked_key_takes_no_other_with_it() -> None:
    old, new = event(1, "official_key", OLD), event(2, "official_key", NEW)
    revoked = event(3, "key_revoked", OLD)
    assert in_force(old, revoked) == []
    assert in_force(old, new, revoked) == [NEW]
    assert in_force(revoked, old, new) == [NEW]


def test_a_key_for_one_game_stands_beside_the_other() -> None:
    own, guest = event(1, "official_key", OLD), event(2, "official_key", NEW, game="g1")
    assert in_force(own, guest) == [OLD, NEW]
