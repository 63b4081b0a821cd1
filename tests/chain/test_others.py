"""Other chains in a countersignature: written, read back, and any other form refused."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain.others import State, format_others, parse_others
from ledger.errors import InputError

STATES = st.dictionaries(
    st.from_regex(r"[a-z][a-z0-9-]{0,8}", fullmatch=True),
    st.builds(State, st.integers(1, 2**53 - 1), st.binary(min_size=32, max_size=32)),
)


@given(STATES)
def test_there_and_back(states: dict[str, State]) -> None:
    assert parse_others({"how": "key", "others": format_others(states)}) == states


def test_a_countersignature_of_the_only_chain_says_nothing() -> None:
    assert parse_others({"how": "key"}) == {}


@pytest.mark.parametrize(
    "others",
    [
        None,
        [],
        "tablet",
        {"tablet": None},
        {"": {"size": 1, "root": "ab" * 32}},
        {"\x1b[31mtablet": {"size": 1, "root": "ab" * 32}},
        {"tablet": {"size": 1}},
        {"tablet": {"size": 0, "root": "ab" * 32}},
        {"tablet": {"size": True, "root": "ab" * 32}},
        {"tablet": {"size": "1", "root": "ab" * 32}},
        {"tablet": {"size": 1, "root": "AB" * 32}},
        {"tablet": {"size": 1, "root": "ab" * 31}},
        {"tablet": {"size": 1, "root": "ab" * 32, "more": 1}},
    ],
)
def test_another_form_is_refused(others: Any) -> None:
    with pytest.raises(InputError, match="about other chains cannot be read"):
        parse_others({"others": others})
