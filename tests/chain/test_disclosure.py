"""Disclosures against the examples of RFC 9901 (SD-JWT)."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain.disclosure import (
    Disclosed,
    digest_of,
    make_disclosure,
    new_salt,
    open_disclosure,
)
from ledger.errors import InputError

# RFC 9901, "Disclosures for Object Properties" and "Hashing Disclosures": the digest is over the
# disclosure's own text, so other encodings of the same array would have other digests.
FAMILY_NAME = "WyJfMjZiYzRMVC1hYzZxMktJNmNCVzVlcyIsICJmYW1pbHlfbmFtZSIsICJNw7ZiaXVzIl0"
FAMILY_NAME_DIGEST = "X9yH0Ajrdm1Oij4tWso9UzzKJvPoDxwmuEcO3XAdRC0"
ARRAY_ELEMENT = "WyJsa2x4RjVqTVlsR1RQVW92TU5JdkNBIiwgIkZSIl0"
ARRAY_ELEMENT_DIGEST = "w0I8EKcdCtUPkGCNUrfwVp2xEgNjtoIDlOxc9-PlOhs"


def test_the_published_digests() -> None:
    assert digest_of(FAMILY_NAME) == FAMILY_NAME_DIGEST
    assert digest_of(ARRAY_ELEMENT) == ARRAY_ELEMENT_DIGEST


def test_the_published_disclosure_opens() -> None:
    assert open_disclosure(FAMILY_NAME) == Disclosed("family_name", "Möbius")


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_what_was_disclosed_is_what_was_recorded(name: str) -> None:
    assert open_disclosure(make_disclosure("name", name)) == Disclosed("name", name)


def test_the_same_name_twice_has_two_digests() -> None:
    assert digest_of(make_disclosure("name", "Zoë")) != digest_of(make_disclosure("name", "Zoë"))


def test_a_salt_has_128_random_bits() -> None:
    assert len(new_salt()) == 22  # base64url of 16 bytes, RFC 9901 section 4.2.1
    assert new_salt() != new_salt()


@given(st.text(max_size=40))
def test_any_text_opens_or_is_refused_with_our_error(text: str) -> None:
    with suppress(InputError):
        open_disclosure(text)


def test_an_array_element_is_no_disclosure_of_a_field() -> None:
    with pytest.raises(InputError):
        open_disclosure(ARRAY_ELEMENT)
