"""Canonical bytes against RFC 8785's own pairs and the rfc8785 package."""

import json
from contextlib import suppress
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain.canonical import EXACT_INTEGERS, canonical, parse_canonical
from ledger.errors import InputError

VECTORS = json.loads((Path(__file__).parent.parent / "vectors" / "canonical.json").read_text())
KEYS = st.text(st.characters(max_codepoint=127))
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-EXACT_INTEGERS + 1, EXACT_INTEGERS - 1)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=20,
)


@pytest.mark.parametrize("pair", VECTORS["accepted"])
def test_the_pairs_of_rfc_8785_that_an_event_may_hold(pair: dict[str, str]) -> None:
    assert canonical(json.loads(pair["input"])).hex() == pair["canonical_hex"]


@pytest.mark.parametrize("pair", VECTORS["refused"], ids=lambda pair: pair["why"])
def test_the_pairs_that_need_floats_or_other_keys_are_refused(pair: dict[str, str]) -> None:
    with pytest.raises(InputError, match="no canonical form"):
        canonical(json.loads(pair["input"]))


@given(VALUES)
def test_the_bytes_are_those_of_the_rfc8785_package(value: object) -> None:
    assert canonical(value) == rfc8785.dumps(value)  # type: ignore[arg-type]


@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_parsing_gives_the_value_back(value: dict[str, object]) -> None:
    assert parse_canonical(canonical(value)) == value


@pytest.mark.parametrize("value", [1.0, 2**53, -(2**53), {"é": 1}, {1: 1}, (1,), b"", "\ud800"])
def test_what_has_no_canonical_form_is_refused(value: object) -> None:
    with pytest.raises(InputError):
        canonical(value)


@given(st.binary(max_size=60))
def test_any_bytes_parse_or_are_refused_with_our_error(data: bytes) -> None:
    with suppress(InputError):
        assert canonical(parse_canonical(data)) == data


@pytest.mark.parametrize(
    "data", [b'{"b":1,"a":2}', b'{ "a":1}', b'{"a":1.0}', b"[1]", b'{"a":1}\n']
)
def test_json_that_is_not_canonical_is_refused(data: bytes) -> None:
    with pytest.raises(InputError):
        parse_canonical(data)
