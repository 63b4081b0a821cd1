"""Lists, signatures, receipts and papers to print, over HTTP: what was shown is what is signed."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from ledger.chain.note import parse_note
from ledger.store.opening import open_store
from ledger.witness.officials import enroll
from tests.field.served import Browser, Server, served
from tests.signed_season import PASSPHRASE, REGISTRAR, season

GAME, LIST = "acorn-1a", "/api/games/acorn-1a/teams/newts"
SIGNER, OTHER, KEYLESS = "marmots-wm3", "newts-wm1", "newts-wm2"
PAGES = {
    "/print/list/acorn-1a/newts": "Ineligible list, Glimmerfen Newts, game acorn-1a, Sat, Sep 5",
    "/print/blank-list/acorn-1a/newts": "Weigh-in by hand",
    "/print/blank-list/marmots": "Weigh-in by hand",
    "/print/play-count/acorn-1a/newts": "Play count, Glimmerfen Newts",
    "/print/play-count/marmots": "Play count",
    "/print/card/acorn-1a": "Weigh-in card, game acorn-1a",
}


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    path = tmp_path / "season.weighbook"
    with season(path, signed=False) as store:
        for official in (SIGNER, OTHER):
            enroll(store, official, PASSPHRASE, by=REGISTRAR, chain="office")
    return path


@pytest.fixture
def server(ledger: Path) -> Iterator[Server]:
    with served(ledger) as begun:
        yield begun


@pytest.fixture
def browser(server: Server) -> Browser:
    return server.browser().sign_in_confirmed(SIGNER)


def shown(browser: Browser, official: str = SIGNER) -> Any:
    answer = browser.get(f"{LIST}/list?official={official}")
    assert answer.status == 200, answer.content
    return answer.json


def signing(found: Any, official: str = SIGNER, **other: Any) -> dict[str, Any]:
    despite = found["settle"]["codes"]
    given = {"official": official, "number": found["number"], "passphrase": PASSPHRASE}
    return given | {"despite": despite} | other


def list_one(browser: Browser, number: int, reason: str) -> None:
    """State one listing of the Newts."""
    entry = {"ref": "testdevice-1.1", "kind": "list", "team": "newts", "number": str(number)}
    entry |= {"reason": reason, "at": "2026-09-05T13:50:00.000Z"}
    body = {"act": "testdevice-1", "game": GAME, "by": SIGNER, "entries": [entry]}
    answer = browser.post("/api/acts", body)
    assert answer.status == 201, answer.content


def test_a_list_is_the_papers(browser: Browser) -> None:
    found = shown(browser)
    assert found["head"]["home"] == "Glimmerfen Newts"
    assert found["control"]["limit"] == "95 lb"
    assert [one["number"] for one in found["lines"]] == [5, 12, 25, 31, 44, 55]
    assert found["lines"][0]["listings"][0]["reason"] == "Over the carrier limit"
    assert (found["not_yet"], found["doubts"]) == ("", [])  # the game is over, its scale was right
    assert found["may_sign"] is found["has_key"] is True
    signers = {one["official"]: one for one in found["signers"]}
    assert signers[SIGNER]["side"] == "marmots"
    assert not signers[SIGNER]["has_signed"]
    assert not signers[KEYLESS]["has_key"]
    assert {one["side"] for one in signers.values()} == {"newts", "marmots"}


def test_both_sides_sign_on_one_device_and_take_a_receipt_home(
    browser: Browser, ledger: Path
) -> None:
    for official in (SIGNER, OTHER):
        answer = browser.post(f"{LIST}/sign", signing(shown(browser, official), official))
        assert answer.status == 201, answer.content
        given = answer.json
        assert len(parse_note(given["receipt"].encode()).signatures) == 2
        assert given["code"]["path"].startswith("M")
        again = browser.get(f"/api/receipts/{given['event']}").json
        assert again.items() >= given.items()
        assert (again["game"], again["team"], again["other"]) == (GAME, "newts", "marmots")
        assert again["official"] == official
        printed = browser.get(f"/print/receipt/{given['event']}")
        assert b"Receipt: a list was signed" in printed.content
    signers = shown(browser)["signers"]
    assert {SIGNER, OTHER} <= {one["official"] for one in signers if one["has_signed"]}
    store = open_store(ledger)
    try:
        events = [one.event for one in store.events(kind=["countersign"], game=[GAME])]
        assert [one.by for one in events if one.data.get("how") == "key"] == [SIGNER, OTHER]
    finally:
        store.close()


def test_another_list_than_was_shown_is_not_signed(browser: Browser) -> None:
    found = shown(browser)
    list_one(browser, found["lines"][0]["number"], "other")
    answer = browser.post(f"{LIST}/sign", signing(found))
    assert (answer.status, answer.code) == (409, "list_changed")
    assert "Nothing was signed" in answer.json["error"]["hint"]


def test_a_wrong_passphrase_signs_nothing_and_is_limited(browser: Browser) -> None:
    found = shown(browser)
    for _ in range(5):
        answer = browser.post(f"{LIST}/sign", signing(found, passphrase="not these"))
        assert (answer.status, answer.code) == (422, "wrong_passphrase")
        assert b"not these" not in answer.content
        assert b"weighbook enroll" not in answer.content, "the table has no command line"
    answer = browser.post(f"{LIST}/sign", signing(found))
    assert (answer.status, answer.code) == (429, "wait")


def test_who_may_not_sign_or_has_no_key_is_refused(browser: Browser) -> None:
    found = shown(browser)
    answer = browser.post(f"{LIST}/sign", signing(found, "acorn-president"))
    assert (answer.status, answer.code) == (403, "not_yours")
    answer = browser.post(f"{LIST}/sign", signing(found, KEYLESS))
    assert (answer.status, answer.code) == (422, "no_key")


def test_what_is_open_has_to_be_seen_and_is_kept_with_the_signature(browser: Browser) -> None:
    list_one(browser, 2, "over")
    found = shown(browser)
    assert "listed_over_weighed_ok" in found["settle"]["codes"]
    assert found["settle"] == browser.get(f"{LIST}/open").json
    answer = browser.post(f"{LIST}/sign", signing(found, despite=[]))
    assert (answer.status, answer.code) == (422, "ask_despite")
    answer = browser.post(f"{LIST}/sign", signing(found))
    assert answer.status == 201, answer.content
    states = [one["state"] for one in shown(browser)["signatures"]]
    assert any("open when signed: listed as over but weighed ok" in one for one in states)


def test_names_need_a_confirmed_person_of_the_game(server: Server, browser: Browser) -> None:
    fresh = server.browser()
    assert fresh.get(f"{LIST}/list").status == 401
    fresh.sign_in(SIGNER)
    assert fresh.get(f"{LIST}/list").status == 403
    for path in ("/print/list/acorn-1a/newts", "/print/blank-list/newts"):
        refused = fresh.get(path)
        assert refused.status == 403
        assert refused.headers["content-type"].startswith("text/html")
    for path in (
        "/api/games/acorn-1a/teams/quokkas/list",
        "/api/receipts/office:1",
        "/api/receipts/nowhere:9",
    ):
        assert browser.get(path).status == 404


def test_papers_are_printed_from_the_page(browser: Browser) -> None:
    for path, said in PAGES.items():
        answer = browser.get(path)
        assert answer.status == 200, (path, answer.content)
        assert said in answer.content.decode()
        assert answer.headers["cache-control"] == "no-store"
    style = browser.get("/print/style/ineligible_list.css")
    assert style.headers["content-type"].startswith("text/css")
    font = browser.get("/fonts/NotoSans[wght].ttf")
    assert font.status == 200
    assert font.headers["cache-control"].startswith("public")
    page = browser.get("/print/card/acorn-1a").content.decode()
    script = page.split('src="')[1].split('"')[0]
    assert browser.get(script).headers["content-type"].startswith("text/javascript")
    for path in ("/fonts/none.ttf", "/print/style/none.css"):
        assert browser.get(path).status == 404


PNG = b"\x89PNG\r\n\x1a\n and the rest of a photo"


def in_ink(found: Any, picture: bytes = PNG, **other: Any) -> dict[str, Any]:
    given = {"official": KEYLESS, "by": SIGNER, "number": found["number"], "name": "signed.png"}
    given |= {"picture": b64encode(picture).decode(), "despite": found["settle"]["codes"]}
    return given | other


def test_a_paper_that_was_signed_is_entered_with_its_picture(
    browser: Browser, ledger: Path
) -> None:
    """By one weighmaster at the table for another, who has no key."""
    answer = browser.post(f"{LIST}/ink", in_ink(shown(browser)))
    assert answer.status == 201, answer.content
    with closing(open_store(ledger)) as store:
        signed = store.event(answer.json["event"])
        assert (signed.by, signed.data["how"]) == (KEYLESS, "ink")
        assert signed.data["entered_by"] == SIGNER
        assert store.exhibit(signed.data["scan"]) == ("signed.png", PNG)
    signers = shown(browser)["signers"]
    assert next(one for one in signers if one["official"] == KEYLESS)["has_signed"]


def test_what_is_no_signed_paper_is_refused(browser: Browser, server: Server) -> None:
    found = shown(browser)
    for body, status, code in (
        (in_ink(found, b"a letter"), 422, "refused"),
        (in_ink(found, number="0" * 64), 409, "list_changed"),
        (in_ink(found, official="registrar"), 403, "not_yours"),
        (in_ink(found, by=OTHER), 403, "not_yours"),
        (in_ink(found, name="a\nb.png"), 400, "not_understood"),
        (in_ink(found) | {"picture": "a"}, 400, "not_understood"),
        (in_ink(found) | {"picture": "A" * 5_000_000}, 413, "too_large"),
    ):
        answer = browser.post(f"{LIST}/ink", body)
        assert (answer.status, answer.code) == (status, code)
    other = server.browser().sign_in_confirmed("registrar")
    answer = other.post(f"{LIST}/ink", in_ink(found))
    assert (answer.status, answer.code) == (403, "not_yours")
