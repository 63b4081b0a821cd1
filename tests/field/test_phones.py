"""A phone's own key, over HTTP: it waits, is confirmed, signs in, signs a list, witnesses it."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.audit.audit import audit_file
from ledger.chain.phone import code_of
from ledger.errors import LedgerError
from ledger.store.opening import open_store
from tests.field.desk import WORDS, make_ledger
from tests.field.served import ORIGIN, Browser, Server, served
from tests.phone import Phone

SIGN = "/api/games/g1/teams/elm/sign"
CHAIN_ORIGIN = "invented-league/2026/office"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    with served(make_ledger(tmp_path, keys=("wa", "rg"))) as begun:
        yield begun


def ledger(server: Server) -> Path:
    return server.desk.setting.ledger


def asked(browser: Browser, official: str = "wa", **other: Any) -> tuple[Phone, Any]:
    """A phone whose key waits to be confirmed, and the answer."""
    origin = browser.get(f"/api/phones/mine?official={official}").json["origin"]
    phone = Phone(official, origin)
    body = {"official": official, "key": phone.line, "proof": phone.proof}
    return phone, browser.post("/api/phones", body | other)


def confirmed(server: Server, browser: Browser, official: str = "wa") -> Phone:
    """A phone whose key counts."""
    phone, answer = asked(browser, official)
    registrar = server.browser(address="192.0.2.9").sign_in_confirmed("rg")
    said = {"code": answer.json["code"].lower(), "by": "rg", "passphrase": WORDS}
    answer = registrar.post("/api/phones/confirm", said)
    assert answer.status == 201, answer.content
    return phone


def signing(browser: Browser, phone: Phone, **other: Any) -> dict[str, Any]:
    """What the phone sends to sign the list of the elms in g1, after a look at the heads."""
    phone.look(browser.get(f"/api/heads?since={phone.since}").json)
    found = browser.get("/api/games/g1/teams/elm/list").json
    signature = phone.signature(phone.origin, "g1", "elm", found["number"])
    seen = {c: {"size": s.size, "root": s.root.hex()} for c, s in phone.seen.items()}
    said = {"official": phone.official, "number": found["number"], "signature": signature}
    return said | {"seen": seen, "despite": found["settle"]["codes"]} | other


def test_from_the_key_to_the_receipt(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    before = browser.get("/api/phones/mine?official=wa").json
    assert (before["waiting"], before["held"]) == (False, "passphrase")
    phone, answer = asked(browser)
    assert answer.json["code"].replace("-", "") == code_of(phone.line)
    assert browser.get("/api/phones/mine?official=wa").json["waiting"] is True
    registrar = server.browser(address="192.0.2.9").sign_in_confirmed("rg")
    said = {"code": answer.json["code"], "by": "rg"}
    assert registrar.post("/api/phones/confirm", said).code == "ask_passphrase"
    anothers = said | {"official": "we", "passphrase": WORDS}
    assert registrar.post("/api/phones/confirm", anothers).code == "wrong_code"
    done = registrar.post("/api/phones/confirm", said | {"passphrase": WORDS})
    assert (done.status, done.json["official"]) == (201, "wa")
    mine = browser.get("/api/phones/mine?official=wa").json
    assert (mine["waiting"], mine["held"], mine["in_force"]) == (False, "device", phone.line)

    own = server.browser(address="192.0.2.10")
    signature = phone.to_sign_in(ORIGIN, own.me()["token"])
    signed_in = own.post("/api/sign-in", {"official": "wa", "signature": signature})
    own.token = None
    (person,) = signed_in.json["people"]
    assert person["key"] == {"line": phone.line, "held": "device"}
    assert (person["has_key"], person["has_phone_key"], person["is_confirmed"]) == (
        False, True, True,
    )  # fmt: skip

    said = signing(own, phone)
    assert own.post(SIGN, said | {"despite": []}).code == "ask_despite"
    first = own.post(SIGN, said)
    assert (first.status, first.json["receipt"]) == (201, "")
    event = first.json["event"]
    again = own.post(SIGN, said)
    assert (again.status, again.json["event"]) == (200, event)
    report = audit_file(ledger(server))
    assert report.ok, report.problems
    assert any("signed, not yet witnessed" in note for note in report.notes)

    # Others write on before the phone is back.
    entry = {"ref": "testdevice-1.1", "kind": "concern", "reason": "other"}
    act = {"act": "testdevice-1", "game": "g1", "by": "wa", "entries": [entry]}
    assert browser.post("/api/acts", act).status == 201
    shown = own.get(f"/api/signatures/{event}?since={phone.since}").json
    line = phone.witness(shown, b64decode(shown["event_bytes"]))
    kept = own.post(f"/api/signatures/{event}/witness", {"line": line})
    assert kept.status == 201, kept.content
    assert kept.json["receipt"].endswith(f"{line}\n")
    assert own.get(f"/api/receipts/{event}").json["receipt"] == kept.json["receipt"]
    again = own.post(f"/api/signatures/{event}/witness", {"line": line})
    assert (again.status, again.json) == (200, kept.json)
    report = audit_file(ledger(server))
    assert report.ok, report.problems
    assert not any("signed, not yet" in note for note in report.notes)
    taken_home = ledger(server).with_name("receipt.txt")
    taken_home.write_text(kept.json["receipt"], encoding="utf-8")
    assert audit_file(ledger(server), since=[taken_home]).ok


def test_what_a_phone_cannot_do(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    phone = confirmed(server, browser)
    said = signing(browser, phone)
    stranger = Phone("wa", phone.origin, seen=phone.seen)
    forged = stranger.signature(phone.origin, "g1", "elm", said["number"])
    assert browser.post(SIGN, said | {"signature": forged}).code == "bad_signature"
    other = phone.signature(phone.origin, "g1", "ash", said["number"])
    assert browser.post(SIGN, said | {"signature": other}).code == "bad_signature"
    root = {"office": said["seen"]["office"] | {"root": "ab" * 32}}
    assert browser.post(SIGN, said | {"seen": root}).code == "other_ledger"
    assert browser.post(SIGN, said | {"seen": {}}).code == "bad_signature"
    assert browser.post(SIGN, said | {"number": "ab" * 32}).code == "list_changed"
    words = {key: value for key, value in said.items() if key not in ("signature", "seen")}
    assert browser.post(SIGN, words | {"passphrase": WORDS}).code == "phone_key"
    event = browser.post(SIGN, said).json["event"]
    shown = browser.get(f"/api/signatures/{event}?since={phone.since}").json
    line = stranger.witness(shown, b64decode(shown["event_bytes"]))
    refused = browser.post(f"/api/signatures/{event}/witness", {"line": line})
    assert refused.code == "bad_signature"
    assert browser.get("/api/signatures/office:1").code == "unknown"
    report = audit_file(ledger(server))
    assert report.ok, report.problems


def test_the_old_passphrase_signs_in_the_phones_key(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    phone, answer = asked(browser)
    said = {"code": answer.json["code"], "by": "wa"}
    assert browser.post("/api/phones/confirm", said).code == "ask_passphrase"
    wrong = browser.post("/api/phones/confirm", said | {"passphrase": "other words"})
    assert wrong.code == "wrong_passphrase"
    assert browser.post("/api/phones/confirm", said | {"passphrase": WORDS}).status == 201
    assert browser.get("/api/phones/mine?official=wa").json["in_force"] == phone.line
    report = audit_file(ledger(server))
    assert (report.ok, report.notes) == (True, []), report
    # With a phone's key nobody signs in the next one: somebody else has to say that it is theirs.
    _, answer = asked(browser)
    said = {"code": answer.json["code"], "by": "wa", "passphrase": WORDS}
    assert browser.post("/api/phones/confirm", said).code == "not_yours"


def test_a_session_of_a_key_that_is_no_longer_in_force_has_ended(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    phone = confirmed(server, browser)
    own = server.browser(address="192.0.2.10")
    signature = phone.to_sign_in(ORIGIN, own.me()["token"])
    elsewhere = phone.to_sign_in("https://weigh-in.example.org", own.me()["token"])
    for wrong in (elsewhere, Phone("wa", phone.origin).to_sign_in(ORIGIN, own.me()["token"])):
        answer = own.post("/api/sign-in", {"official": "wa", "signature": wrong})
        assert answer.code == "bad_signature"
    assert own.post("/api/sign-in", {"official": "wa", "signature": signature}).status == 200
    assert [one["official"] for one in own.me()["people"]] == ["wa"]
    confirmed(server, browser)  # a second phone of the same official
    assert own.me()["people"] == []


def test_whose_key_no_phone_can_hold(server: Server) -> None:
    registrar = server.browser().sign_in_confirmed("rg")
    _, answer = asked(registrar, "rg")
    assert (answer.status, answer.code) == (422, "refused")
    assert "passphrase" in answer.json["error"]["message"]
    browser = server.browser(address="192.0.2.8").sign_in_confirmed("wa")
    other = Phone("wa", "another-league/2026/office")
    _, answer = asked(browser, key=other.line, proof=other.proof)
    assert "another ledger" in answer.json["error"]["message"]
    _, answer = asked(browser, proof=Phone("wa", "x/y/office").proof)
    assert "did not show" in answer.json["error"]["message"]
    code = {"code": "2222-2222", "by": "rg", "passphrase": WORDS}
    assert "waits" in registrar.post("/api/phones/confirm", code).json["error"]["message"]


def test_a_rewritten_ledger_is_seen_by_the_phone(server: Server, tmp_path: Path) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    phone = confirmed(server, browser)
    phone.look(browser.get("/api/heads").json)
    with served(make_ledger(tmp_path / "anew", keys=("wa", "rg"))) as other:
        there = other.browser().sign_in_confirmed("wa")
        heads = there.get(f"/api/heads?since={phone.since}").json
        with pytest.raises(LedgerError):
            phone.look(heads)


def test_a_key_waits_a_week(server: Server) -> None:
    browser = server.browser().sign_in_confirmed("wa")
    _, answer = asked(browser)
    server.clock.pass_by(hours=7 * 24 + 1)
    registrar = server.browser().sign_in_confirmed("rg")
    said = {"code": answer.json["code"], "by": "rg", "passphrase": WORDS}
    assert registrar.post("/api/phones/confirm", said).status == 422
    store = open_store(ledger(server))
    held = [s.event.data.get("held") for s in store.events(kind=["official_key"])]
    store.close()
    assert held == [None, None]


def test_who_was_appointed_for_one_game_has_a_key_for_that_game(server: Server) -> None:
    """Whoever appointed them may confirm it, and the phone learns that it counts."""
    browser = server.browser().sign_in_confirmed("ga")
    phone = Phone("ga", CHAIN_ORIGIN, "g1")
    body = {"official": "ga", "key": phone.line, "proof": phone.proof}
    code = browser.post("/api/phones", body).json["code"]
    registrar = server.browser(address="192.0.2.9").sign_in_confirmed("rg")
    said = {"code": code, "by": "rg", "passphrase": WORDS}
    done = registrar.post("/api/phones/confirm", said)
    assert (done.status, done.json["game"]) == (201, "g1")
    mine = browser.get("/api/phones/mine?official=ga").json
    assert (mine["in_force"], mine["for_games"]) == (None, [phone.line])
    again = browser.post("/api/phones", body).json["error"]
    assert again["hint"] == "Make a new key on the phone."
    assert browser.post(SIGN, signing(browser, phone)).status == 201
