"""weighbook enroll OFFICIAL --phone CODE, and what other commands say of such a key."""

from __future__ import annotations

from pathlib import Path

from ledger.actions.phones import Phones, ask_for_key
from ledger.chain.phone import code_of
from ledger.store.chains import origin_in
from ledger.store.opening import open_store
from tests.commands.conftest import Run
from tests.field.desk import make_ledger
from tests.phone import Phone


def test_the_key_of_a_phone_by_its_code(run: Run, tmp_path: Path) -> None:
    path = make_ledger(tmp_path, keys=("wa",))
    store = open_store(path)
    phone = Phone("wa", origin_in(store, "office"))
    Phones(path).add(ask_for_key(store, "wa", phone.line, phone.proof))
    store.close()
    said = ["enroll", "wa", "--phone", code_of(phone.line), "--by", "dp", "--store", path]
    ran = run(*said, "--game", "g1")
    assert (ran.status, "without --game" in ran.err) == (2, True), ran
    ran = run(*said)
    assert (ran.status, ran.out.splitlines()[2]) == (0, phone.line), ran
    assert "The phone of wa has the key, recorded as office:" in ran.out
    assert (
        "Has a key for the season, on their own phone." in run("people", "wa", "--store", path).out
    )
    again = run(*said)
    assert (again.status, "waits here" in again.err) == (2, True), again
