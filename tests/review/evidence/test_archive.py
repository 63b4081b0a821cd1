"""The one form of a bundle's zip, and what is said of any other."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import InputError, IntegrityError
from ledger.review.evidence import archive
from ledger.review.evidence import check_bundle as alone
from ledger.review.evidence.archive import format_zip, parse_zip, read_bundle

FILES = {"evidence-c1/a.txt": b"one", "evidence-c1/data/b.txt": b"two"}
FLAGS, METHOD, LENGTH_OF_EXTRA, NAME = 6, 8, 28, 30
"""Where these begin in an entry's header."""


def test_what_is_written_is_read() -> None:
    assert parse_zip(format_zip(FILES)) == FILES


@pytest.mark.parametrize(
    ("place", "value", "said"),
    [
        (FLAGS, 1, "evidence-c1/a.txt is encrypted"),
        (METHOD, 8, "evidence-c1/a.txt is compressed"),
        (FLAGS, 8, "'evidence-c1/a.txt' is not an entry of a bundle"),
        (LENGTH_OF_EXTRA, 4, "'evidence-c1/a.txt' is not an entry of a bundle"),
        (NAME, ord("/"), "'/vidence-c1/a.txt' is not an entry of a bundle"),
    ],
)
def test_another_form_is_named(place: int, value: int, said: str) -> None:
    data = bytearray(format_zip(FILES))
    data[place] = value
    with pytest.raises(IntegrityError) as refused:
        parse_zip(bytes(data))
    assert said in refused.value.message


@pytest.mark.parametrize("names", [("a.txt",), ("one/a.txt", "two/a.txt")])
def test_a_bundle_is_one_folder(tmp_path: Path, names: tuple[str, ...]) -> None:
    (tmp_path / "x.zip").write_bytes(format_zip(dict.fromkeys(names, b"")))
    with pytest.raises(IntegrityError, match="exactly one folder"):
        read_bundle(tmp_path / "x.zip")


def test_a_bundle_has_at_most_5000_files() -> None:
    names = [f"evidence-c1/{number}" for number in range(5_001)]
    assert format_zip(dict.fromkeys(names[1:], b""))
    with pytest.raises(InputError, match="or 5,000 files"):
        format_zip(dict.fromkeys(names, b""))


def test_both_checkers_read_the_same_size() -> None:
    assert archive.MOST_BYTES == alone.MOST_BYTES == 512 * 2**20
