"""Every kind of statement has words, with only its required cells and with all of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.derive.engine import Engine
from ledger.derive.statements import all_statements
from ledger.record.statements import KINDS
from ledger.review.timeline import TimelineEntry
from ledger.say import packets
from tests.record.kinds import FIRST, cells_of
from tests.tiny import day, statements, tiny_store, write_folder


@pytest.mark.parametrize("full", [False, True], ids=["needed", "full"])
def test_every_kind_has_its_words(tmp_path: Path, full: bool) -> None:
    lines = [cells_of(kind, full=full) for kind in KINDS]
    with tiny_store(write_folder(tmp_path / "season", day=day(*FIRST, *lines))) as store:
        stated = all_statements(Engine(store.events()))[len(FIRST) :]
        events = statements(store)[len(FIRST) :]
    assert [one.kind for one in stated] == list(KINDS)
    for one, event in zip(stated, events, strict=True):
        shown = TimelineEntry(one, event.data, number=1, said=None, is_erased=False, is_own=False)
        assert packets.what(shown, "America/Chicago"), one.kind
