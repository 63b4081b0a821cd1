"""What is asked around the close of a weigh-in, and what a signature keeps of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.actions.asking import Acting, AskDespiteError, AskLateError
from ledger.actions.entries import record, take_back
from ledger.actions.keys import enroll
from ledger.actions.signing import show_list, sign_in_ink, sign_with_key
from ledger.audit.audit import audit_file
from tests.tiny import day, says, statements, tiny_store

Folder = Callable[..., Path]
ASH = {"game": "g1", "team": "ash", "by": "we"}
OVER = says("weigh", game="g1", team="ash", number=2, value="over")
CLOSE = ASH | {"kind": "close", "at": "2026-09-05 08:50"}
LATE = ASH | {"kind": "weigh", "number": "1", "value": "ok", "at": "2026-09-05 08:55"}
OPEN = ("noncarrier_not_listed", "noncarrier_not_striped", "unaccounted")
DESPITE = Acting(despite=frozenset(OPEN))


def test_a_close_says_who_is_over_and_not_listed(folder: Folder) -> None:
    with tiny_store(folder(day=day(OVER))) as store:
        length = store.lengths()
        with pytest.raises(AskDespiteError) as asked:
            record(store, [CLOSE])
        assert asked.value.message == (
            "To settle first, for ash in g1:\n"
            "  No. 2: weighed over, and not listed as over. Add a line. Tape the helmet.\n"
            "  No. 1: neither weighed nor listed. Weigh, or list with a reason."
        )
        assert sorted(asked.value.codes) == sorted(OPEN)
        assert asked.value.lines({"a1": "Pip", "a2": "Ottla"}.get)[0].startswith("No. 2 Ottla: ")
        assert store.lengths() == length
        with pytest.raises(AskDespiteError):  # a yes is for what was shown
            record(store, [CLOSE], Acting(despite=frozenset(OPEN[:2])))
        record(store, [CLOSE], DESPITE)
        assert statements(store)[-1].kind == "close"


def test_a_close_that_comes_with_what_settles_it_is_not_asked_about(folder: Folder) -> None:
    absent = ASH | {"kind": "list", "number": "2", "reason": "absent"}
    weigh = ASH | {"kind": "weigh", "number": "1", "value": "ok", "at": "2026-09-05 08:40"}
    with tiny_store(folder()) as store:
        record(store, [weigh, absent, CLOSE])
        record(store, [CLOSE])  # nothing is open
        assert [event.kind for event in statements(store)] == ["weigh", "list", "close", "close"]


def test_a_signature_keeps_what_was_open(folder: Folder) -> None:
    """By key and in ink; a list without anything open keeps nothing of the kind."""
    scan = b"%PDF- a scan"
    with tiny_store(folder(day=day(OVER))) as store:
        enroll(store, "we", by="rg", acting=Acting(new_passphrase="a sunny morning"))
        shown = show_list(store, "g1", "ash", "we").shown
        with pytest.raises(AskDespiteError):
            sign_with_key(store, shown)
        with pytest.raises(AskDespiteError):
            sign_in_ink(store, shown, scan, "list.pdf")
        signing = Acting(despite=frozenset(OPEN), passphrase="a sunny morning")
        sign_with_key(store, shown, signing)
        sign_in_ink(store, shown, scan, "list.pdf", DESPITE)
        assert [event.data["despite"] for event in statements(store)[-2:]] == [[*OPEN]] * 2
        rest = [{"kind": "list", "number": "1", "reason": "absent"},
                {"kind": "list", "number": "2", "reason": "over"},
                {"kind": "stripe", "number": "2"}]  # fmt: skip
        record(store, [ASH | one for one in rest])
        sign_in_ink(store, show_list(store, "g1", "ash", "we").shown, scan, "list.pdf")
        assert "despite" not in statements(store)[-1].data
    report = audit_file(folder().with_name("tiny.weighbook"))
    assert report.ok, report


def test_a_weigh_after_the_close_may_be_a_late_one(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        closed = record(store, [CLOSE], Acting(despite=frozenset({"unaccounted"}))).event_ids
        with pytest.raises(AskLateError) as asked:
            record(store, [LATE])
        assert asked.value.message == (
            "The weigh-in of ash in g1 closed at 8:50 AM CDT, and this weigh was at 8:55 AM CDT."
        )
        record(store, [LATE], Acting(late=True))
        record(store, [LATE], Acting(late=False))
        record(store, [LATE | {"at": "2026-09-05 08:50"}])  # not after it
        record(store, [LATE | {"kind": "late_weigh"}])
        kinds = [event.kind for event in statements(store)][1:]
        assert kinds == ["late_weigh", "weigh", "weigh", "late_weigh"]
        assert statements(store)[1].data == {"number": 1, "value": "ok"}
        take_back(store, closed, by="we", reason="too early")
        record(store, [LATE])
