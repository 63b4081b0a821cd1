"""What a proof proves, in words."""

from __future__ import annotations

from ledger.chain.event import Event
from ledger.say.proofs import ranges


def test_ids_in_a_row_are_told_by_the_first_and_the_last() -> None:
    def told(*seqs: int) -> str:
        return ranges([Event("office", seq, b"", "", "weigh", "", {}) for seq in seqs])

    assert told(1) == "office:1"
    assert told(1, 4, 5, 6) == "office:1, office:4 to 6"
    assert told(7, 8, 10) == "office:7 to 8, office:10"
