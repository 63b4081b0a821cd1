"""Keys on phones: enrolled by code, for lists alone, replaced and revoked like any other."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.actions.asking import Acting, AskPassphraseError
from ledger.actions.keys import enroll, revoke
from ledger.actions.phones import Phones, ask_for_key, confirm, plain_code
from ledger.actions.signing import show_list, sign_with_key
from ledger.audit.audit import audit
from ledger.chain.phone import code_of, key_text, sign_in_text, signature_text
from ledger.errors import InputError, RuleError
from ledger.store.chains import origin_in
from ledger.store.opening import open_store
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.officials import key_of
from ledger.witness.phone_keys import enroll_phone
from tests.field.desk import SECRET, make_ledger
from tests.phone import Phone


@pytest.fixture
def store(tmp_path: Path):
    opened = open_store(make_ledger(tmp_path, keys=("wa", "rg")))
    yield opened
    opened.close()


def enrolled(
    store: SqliteStore, official: str, *, by: str = "dp", game: str | None = None
) -> Phone:
    phone = Phone(official, origin_in(store, "office"), game)
    made = ask_for_key(store, official, phone.line, phone.proof)
    confirm(store, made, by=by)
    return phone


def notes(store: SqliteStore) -> list[str]:
    report = audit(store.connection)
    assert report.ok, report.problems
    return report.notes


def test_no_text_that_a_phone_signs_can_pass_for_another() -> None:
    texts = [key_text("a+b+c"), sign_in_text("https://x.example", "wa", "t"),
             signature_text("o", "g1", "ash", "wa", "ab" * 32, {})]  # fmt: skip
    first = {text.partition(b"\n")[0] for text in texts}
    assert len(first) == 3
    assert not any(line.startswith(b"cosignature/") for line in first)
    with pytest.raises(InputError):
        signature_text("o", "g1\nash", "wa", "x", "ab" * 32, {})


def test_a_phones_key_replaces_the_passphrase_and_the_other_way_round(store: SqliteStore) -> None:
    phone = enrolled(store, "wa")
    key = key_of(store, "wa")
    assert key is not None
    assert (key.is_on_phone, key.key.public) == (True, phone.pair.public)
    with pytest.raises(RuleError, match="on their phone") as refused:
        sign_with_key(store, show_list(store, "g1", "elm", "wa").shown, SECRET)
    assert "enroll wa --replace" in refused.value.hint
    enroll(store, "wa", by="dp", replace=True, acting=SECRET)
    assert not key_of(store, "wa").is_on_phone
    assert "dp replaced the key of wa without the old key (office:37)" in notes(store)


def test_who_confirms_signs_that_with_the_own_key(store: SqliteStore) -> None:
    phone = Phone("we", origin_in(store, "office"))
    made = ask_for_key(store, "we", phone.line, phone.proof)
    with pytest.raises(AskPassphraseError):
        confirm(store, made, by="rg")
    with pytest.raises(RuleError, match="may make a key"):
        confirm(store, made, by="so")
    assert confirm(store, made, by="rg", acting=SECRET).act.is_signed
    with pytest.raises(RuleError, match="in the ledger already"):
        confirm(store, made, by="dp")
    assert notes(store) == []


def test_nobody_replaces_the_own_key_unsigned(store: SqliteStore) -> None:
    phone = Phone("wa", origin_in(store, "office"))
    made = ask_for_key(store, "wa", phone.line, phone.proof)
    with pytest.raises(RuleError, match="must sign this with the key in force"):
        enroll_phone(store, made, by="wa")
    assert confirm(store, made, by="wa", acting=SECRET).act.is_signed


def test_an_office_needs_a_passphrase(store: SqliteStore) -> None:
    phone = Phone("rg", origin_in(store, "office"))
    with pytest.raises(RuleError, match="signs acts with a passphrase"):
        ask_for_key(store, "rg", phone.line, phone.proof)


def test_who_gets_an_office_later_makes_a_key_with_a_passphrase(store: SqliteStore) -> None:
    from ledger.actions.entries import record

    enrolled(store, "we")
    record(store, [{"kind": "appoint", "by": "dp", "value": "we", "to": "registrar"}])
    with pytest.raises(RuleError, match="signs this with a passphrase"):
        revoke(store, "wa", by="we", reason="left", acting=Acting())
    enroll(store, "we", by="we", replace=True, acting=SECRET)
    assert revoke(store, "wa", by="we", reason="left", acting=SECRET).is_signed


def test_a_key_for_one_game(store: SqliteStore) -> None:
    enrolled(store, "ga", by="so", game="g1")
    key = key_of(store, "ga", "g1")
    assert key is not None
    assert key.is_on_phone
    assert key_of(store, "ga") is None
    assert notes(store)


def test_a_code_is_typed_as_it_is_read(tmp_path: Path) -> None:
    phones = Phones(tmp_path / "a.weighbook", lambda: 0.0)
    phone = Phone("wa", "invented-league/2026/office")
    code = code_of(phone.line)
    assert plain_code(f" {code[:4].lower()} - {code[4:]} ") == code
    for wrong in ("7KQM-2WX", "7KQM-2WX0", "7KQM-2WXI"):
        with pytest.raises(InputError, match="is not the code of a phone"):
            phones.of_code(wrong)
