"""The Python API: what it exports, and tables whose dtypes do not turn on their rows."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

import ledger
from ledger import LedgerError, open_ledger
from ledger.derive.queries import queries
from ledger.errors import InputError, StoreError
from ledger.frames import SeasonFrames
from ledger.record.folder import read_folder
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make

FOLDER = Path(__file__).parent / "derive" / "why_season"
TEXT = pd.StringDtype()
NUMBER = pd.Int64Dtype()
TIME = pd.DatetimeTZDtype("ms", "UTC")
LIST = "object"
DTYPES = {
    "eligibility": {"game": TEXT, "team": TEXT, "player": TEXT, "number": NUMBER,
                    "may_play": TEXT, "may_carry": TEXT, "basis": TEXT, "listed": LIST,
                    "events": LIST},
    "book": {"team": TEXT, "player": TEXT, "number": NUMBER, "game": TEXT, "mark": TEXT,
             "initials": TEXT, "by": TEXT, "at": TIME},
    "exposure": {"game": TEXT, "team": TEXT, "player": TEXT, "number": NUMBER, "may_play": TEXT,
                 "required": NUMBER, "recorded": NUMBER, "short": NUMBER, "status": TEXT},
    "findings": {"rule": TEXT, "game": TEXT, "team": TEXT, "player": TEXT, "official": TEXT,
                 "side": TEXT, "case": TEXT, "at": TIME, "events": LIST, "detail": TEXT},
}  # fmt: skip


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("api") / "season.weighbook"
    with open_or_make(path) as store, store.writing() as writing:
        load_folder(writing, read_folder(FOLDER), chain="office")
    return path


@pytest.fixture
def season(path: Path) -> Iterator[SeasonFrames]:
    with open_ledger(path) as season:
        yield season


def test_all_is_what_can_be_imported() -> None:
    assert sorted(ledger.__all__) == ["LedgerError", "open_ledger"]
    assert all(hasattr(ledger, name) for name in ledger.__all__)


def test_importing_the_package_is_light() -> None:
    heavy = ("pandas", "duckdb", "pydantic", "sqlmodel", "cryptography", "click", "pathlib")
    script = f"import sys, ledger; print([m for m in {heavy!r} if m in sys.modules])"
    command = [sys.executable, "-S", "-c", f"import sys; sys.path.insert(0, '.'); {script}"]
    shown = subprocess.run(
        command, capture_output=True, text=True, check=True, cwd=Path(ledger.__file__).parents[1]
    )
    assert shown.stdout.strip() == "[]"


@pytest.mark.parametrize("moment", [None, "2026-01-01 00:00"])
def test_dtypes_with_rows_and_without(season: SeasonFrames, moment: str | None) -> None:
    tables = {
        "eligibility": season.eligibility("g1", as_of=moment),
        "book": season.book("ash", as_of=moment),
        "exposure": season.exposure("g1", as_of=moment),
        "findings": season.findings(game="g1", as_of=moment),
    }
    for name, table in tables.items():
        assert table.dtypes.to_dict() == DTYPES[name], name
        assert tuple(table.columns) == queries()[name].columns
    assert tables["findings"].empty == (moment is not None)


def test_values_and_nulls(season: SeasonFrames) -> None:
    table = season.eligibility("g1").set_index("player")
    assert table.loc["c5", "may_carry"] == "yes"
    assert table.loc["c5", "listed"] == ["over"]
    assert table.loc["unlisted-g1-ash-30", "number"] == 30
    book = season.book("ash").set_index("player")
    assert book.loc["c3", "at"] == pd.Timestamp("2026-09-05T14:41Z")
    assert pd.isna(book.loc["c4", "at"])
    assert pd.isna(season.exposure("g1")["recorded"]).all()


def test_whole_season_and_filters(season: SeasonFrames) -> None:
    assert set(season.exposure()["game"]) == {"g1", "g2"}
    assert set(season.findings(rule="late_after_half")["player"]) == {"c10"}
    assert set(season.findings(team="elm")["team"]) == {"elm"}
    with pytest.raises(LedgerError, match="no team Elm ") as caught:  # no all-clear for a slip
        season.findings(team="Elm")
    assert caught.value.hint == "Did you mean elm?"


def test_moments_are_local_text(season: SeasonFrames) -> None:
    early = season.eligibility("g1", as_of="2026-09-05 09:42").set_index("player")
    assert early.loc["c3", "basis"] == "scale"
    assert early.loc["c6", "basis"] == "none"
    same = season.eligibility("g1", as_of="2026-09-05T14:42Z").set_index("player")
    assert early["basis"].equals(same["basis"])
    unknown = season.eligibility("g1", known_at="2026-09-05 09:42")
    assert unknown.empty  # the ledger did not hold the game yet


def test_errors(season: SeasonFrames, tmp_path: Path) -> None:
    with pytest.raises(InputError):
        season.eligibility("g9")
    with pytest.raises(InputError) as caught:
        season.eligibility("g1", as_of="yesterday")
    assert "as_of" in caught.value.message
    assert caught.value.hint
    with pytest.raises(StoreError):
        open_ledger(tmp_path / "none.weighbook")
    assert issubclass(StoreError, LedgerError)
