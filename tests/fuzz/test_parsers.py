"""Whatever bytes a parser is given, it reads them or refuses with an error of ours."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerError
from tests.chain.mutation import damaged_bytes
from tests.fuzz.parsers import Parser, parsers

NAMES = (
    "canonical", "event", "disclosure", "note", "checkpoint", "cosignatures", "verifier_key",
    "sealed_key", "certificate", "others", "phone_key", "list_signature", "proof", "proof_file",
    "bundle", "kept_copy",
    "paper", "exhibit", "league",
    "rosters", "roster_sheet", "day_file",
)  # fmt: skip


@pytest.fixture(scope="module")
def known() -> dict[str, Parser]:
    return parsers()


def test_all_are_here(known: dict[str, Parser]) -> None:
    assert tuple(known) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_it_accepts_its_examples(known: dict[str, Parser], name: str) -> None:
    for example in known[name].examples:
        known[name].read(example)


@pytest.mark.parametrize("name", NAMES)
@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(st.data())
def test_it_refuses_with_our_errors_only(
    known: dict[str, Parser], name: str, data: st.DataObject
) -> None:
    example = data.draw(st.sampled_from(known[name].examples))
    with suppress(LedgerError):
        known[name].read(data.draw(damaged_bytes(example)))
