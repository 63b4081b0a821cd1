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

NEEDED_ONLY = {
    "roster_add": "Added to the roster",
    "roster_drop": "Taken off the roster",
    "number_change": "New number: 5",
    "enter_player": "Added to the roster",
    "trained": "wa is trained as a weighmaster",
    "assign": "wa will stand at the scale for ash",
    "appoint": "Appointed bo as registrar",
    "game_change": "Game moved",
    "game_off": "The game was called off",
    "season_close": "The season was closed",
    "at_scale": "Stood at the scale",
    "station": "The scale read 10.05 lb with the check weight, and was set to 100 lb",
    "scale_out": "The scale was out of use",
    "list": "Put on the list for another reason",
    "weigh": "Weighed: not over the carrier limit",
    "late_weigh": "Weighed late: not over the carrier limit",
    "initial": "Marked in the book in g1: not over the carrier limit, initials QX",
    "strike_off": "Struck off the list (was: absent or incomplete gear)",
    "stripe": "The helmet was striped",
    "close": "Closed the team's weigh-in",
    "countersign": "Signed the team's list as it was",
    "half": "The first half ended",
    "plays": "Plays in the first half so far: 12",
    "snaps": "Snaps in the first half so far: 12",
    "excuse": "Excused from the minimum plays: another reason",
    "concern": "Noted and passed on: something else",
    "case_open": "Asked the question",
    "case_refer": "Passed to the registrar",
    "case_statement": "Said",
    "case_exhibit": "Handed in a file",
    "ruling": "Ruling in case c1: upheld",
    "case_close": "Closed the case",
    "withdraw": "Withdrawn: office:21",
}
"""As tests/record/kinds.py fills the cells; a newer kind may go by its name."""
WITH_ALL = {"game_change": "Game moved: Sat, Sep 5, 2026, 11:00 AM CDT, Meadow"}


@pytest.mark.parametrize("full", [False, True], ids=["needed", "full"])
def test_every_kind_has_its_words(tmp_path: Path, full: bool) -> None:
    lines = [cells_of(kind, full=full) for kind in KINDS]
    with tiny_store(write_folder(tmp_path / "season", day=day(*FIRST, *lines))) as store:
        stated = all_statements(Engine(store.events()))[len(FIRST) :]
        events = statements(store)[len(FIRST) :]
    assert [one.kind for one in stated] == list(KINDS)
    for one, event in zip(stated, events, strict=True):
        shown = TimelineEntry(one, event.data, number=1, said=None, is_erased=False, is_own=False)
        told = packets.what(shown, "America/Chicago")
        assert told, one.kind
        assert told == (WITH_ALL if full else NEEDED_ONLY).get(one.kind, told)
