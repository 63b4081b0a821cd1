"""What is printed on a sheet is looked at here, not how it is set."""

from __future__ import annotations

import pytest


@pytest.fixture(scope="module", autouse=True)
def each_paper_set_once(papers_set_once: None) -> None:
    """Every test of this folder."""
