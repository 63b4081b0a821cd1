"""The folders are found in a source tree and in an installed wheel."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger import resources
from ledger.errors import ReportError


def test_in_this_source_tree() -> None:
    assert (resources.folder("report_templates") / "base" / "paper.html").is_file()


def test_in_a_wheel_what_lies_beside_the_package_is_not_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = tmp_path / "site-packages"
    (site / "ledger" / "_data" / "sql").mkdir(parents=True)
    (site / "sql").mkdir()
    monkeypatch.setattr(resources, "PACKAGE", site / "ledger")
    assert resources.folder("sql") == site / "ledger" / "_data" / "sql"


def test_an_installation_without_them_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(resources, "PACKAGE", tmp_path / "ledger")
    with pytest.raises(ReportError) as caught:
        resources.folder("sql")
    assert "sql" in caught.value.message
    assert "Install" in caught.value.hint
