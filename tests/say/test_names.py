"""Names as papers and pages show them."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.say.names import Names, initials_of
from tests.tiny import tiny_store, write_folder


@pytest.mark.parametrize(
    ("name", "initials"),
    [
        ("Ana Thistlewood", "AT"),
        ("Xanthe Willowbarrow-Finch", "XWF"),
        ("lionel o'dandelow", "LO"),
        ("Tabitha Steinkløver", "TS"),
        ("Élise (Lise) van der Quill", "ÉVDQ"),
        ("A B C D E F G", "ABCDEF"),
        ("", ""),
    ],
)
def test_initials(name: str, initials: str) -> None:
    assert initials_of(name) == initials


def test_what_a_child_is_called(tmp_path: Path) -> None:
    """By name; a child without one by number, or by id."""
    with tiny_store(write_folder(tmp_path / "season")) as store:
        players = [stored.event for stored in store.events(kind=["player"])]
        names = Names(store, players)
        short = Names(store, players, lambda name: "")
    assert names.child("a1", 1) == names.child("a1", None) == "Pip Quillfeather"
    assert (names.child("a9", 9), names.child("a9", None)) == ("No. 9", "a9")
    assert names.of("a9") == "a9"
    assert "Pip" not in short.child("a1", 1) + short.of("a1")
