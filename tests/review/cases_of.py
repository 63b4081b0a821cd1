"""A ledger with the tiny season of `tests.tiny`, a head official more, and a case or two.

Kickoff of g1: Saturday 5 September 2026, 10:00 in Chicago. Officials: so (site official), ho (head
official), dp and ap (division's and association president), we and wa (weighmasters), ca (coach
of ash), pc (play counter), both (site official and division president in one person).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from ledger.store.sqlite.store import SqliteStore
from tests.tiny import TEXTS, day, says, tiny_store, write_folder

OFFICIALS = (
    TEXTS["officials"] + "ho,Sol Bramblecote,head_official,\n"
    "both,Una Pebblewick,site_official,\nboth,Una Pebblewick,division_president,\n"
)


def opens(case: str = "c1", reason: str = "weigh", **cells: object) -> dict[str, str]:
    """A case_open at 9:00 on the day of g1, about a2 of ash there, unless the cells differ."""
    about = {"game": "g1", "team": "ash", "player": "a2"}
    return says(
        "case_open", **({"at": "2026-09-05T09:00", "case": case, "reason": reason} | about | cells)
    )


def adds(kind: str, clock: str = "09:10", *, case: str = "c1", **cells: object) -> dict[str, str]:
    """A later statement about the case, on that morning."""
    return says(kind, **({"at": f"2026-09-05T{clock}", "case": case} | cells))


@contextmanager
def season(tmp_path: Path, *lines: Mapping[str, str], **files: str) -> Iterator[SqliteStore]:
    """The ledger that these lines make."""
    texts = {"officials": OFFICIALS} | files
    with tiny_store(write_folder(tmp_path / "season", day=day(*lines), **texts)) as store:
        yield store
