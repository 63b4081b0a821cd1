"""What the events and texts of a whole season have to do with each other."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.chain.disclosure import digest_of, open_disclosure
from ledger.errors import IntegrityError
from ledger.store.opening import open_store
from ledger.store.store import Stored
from tests.tiny import body_texts


def test_every_disclosure_is_the_one_its_event_names(sample_ledger: Path) -> None:
    store = open_store(sample_ledger)
    named = {
        (stored.event.id, field): digest
        for stored in store.events()
        for field, digest in stored.event.data.get("digests", {}).items()
    }
    kept = {(f"{d.chain}:{d.seq}", d.field): digest_of(d.text) for d in store.disclosures()}
    store.close()
    assert kept == named
    assert len(kept) > 200


def test_a_body_that_was_spoilt_is_an_integrity_error() -> None:
    with pytest.raises(IntegrityError, match="office:22 is not as it was written") as caught:
        Stored("2026-09-05T13:40:00.000Z", "office", 22, "{").event  # noqa: B018 - it is parsed
    assert caught.value.exit_status == 1
    assert caught.value.hint.startswith("weighbook audit says what was changed")


def test_no_personal_text_is_in_any_event(sample_ledger: Path) -> None:
    """Names, notes and free reasons of the sample season, every one of them."""
    store = open_store(sample_ledger)
    bodies = body_texts(store)
    texts = {open_disclosure(row.text).value for row in store.disclosures()}
    store.close()
    assert len(texts) > 200
    assert [text for text in texts if text in bodies] == []
