"""Names as papers and pages show them."""

from __future__ import annotations

import pytest

from ledger.say.names import initials_of


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
