"""Lists, signatures and receipts over HTTP: what was shown is what is signed."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.chain.note import parse_note
from ledger.store.opening import open_store
from ledger.witness.officials import enroll
from tests.field.calling import Caller, Device, calling
from tests.signed_season import PASSPHRASE, REGISTRAR, season

GAME, LIST = "acorn-1a", "/api/games/acorn-1a/teams/newts"
SIGNER, OTHER = "marmots-wm3", "newts-wm1"


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    path = tmp_path / "season.weighbook"
    with season(path, signed=False) as store:
        for official in (SIGNER, OTHER):
            enroll(store, official, PASSPHRASE, by=REGISTRAR, chain="office")
    return path


def run(ledger: Path, test: Callable[[Caller, Device], Awaitable[None]], *who: str) -> None:
    async def whole() -> None:
        async with calling(ledger) as desk:
            await test(desk, await desk.device(*who or (SIGNER,)))

    asyncio.run(whole())


async def shown(device: Device, official: str = SIGNER) -> Any:
    answer = await device.get(f"{LIST}/list?official={official}")
    assert answer.status_code == 200, answer.text
    return answer.json()


def signing(found: Any, official: str = SIGNER, **other: Any) -> dict[str, Any]:
    despite = found["settle"]["codes"]
    given = {"official": official, "number": found["number"], "passphrase": PASSPHRASE}
    return given | {"despite": despite} | other


def listing(number: int, reason: str) -> dict[str, str]:
    entry = {"kind": "list", "team": "newts", "number": str(number), "reason": reason}
    return entry | {"at": "2026-09-05T13:50:00.000Z"}


def test_a_list_is_the_papers(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        found = await shown(device)
        assert found["head"]["home"] == "Glimmerfen Newts"
        assert found["control"]["limit"] == "95 lb"
        assert [one["number"] for one in found["lines"]] == [5, 12, 25, 31, 44, 55]
        assert found["lines"][0]["listings"][0]["reason"] == "Over the carrier limit"
        assert found["may_sign"] is found["has_key"] is True
        signers = {one["official"]: one for one in found["signers"]}
        assert signers[SIGNER]["side"] == "marmots"
        assert not signers[SIGNER]["has_signed"]
        assert {one["side"] for one in signers.values()} == {"newts", "marmots"}

    run(ledger, test)


def test_both_sides_sign_on_one_device_and_take_a_receipt_home(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        for official in (SIGNER, OTHER):
            found = await shown(device, official)
            answer = await device.post(f"{LIST}/sign", signing(found, official))
            assert answer.status_code == 201, answer.text
            given = answer.json()
            assert len(parse_note(given["receipt"].encode()).signatures) == 2
            assert given["code"]["path"].startswith("M")
            again = (await device.get(f"/api/receipts/{given['event']}")).json()
            assert again.items() >= given.items()
            assert (again["game"], again["team"], again["other"]) == (GAME, "newts", "marmots")
        found = await shown(device)
        assert {SIGNER, OTHER} <= {one["official"] for one in found["signers"] if one["has_signed"]}

    run(ledger, test)
    store = open_store(ledger)
    try:
        events = [one.event for one in store.events(kind=["countersign"], game=[GAME])]
        assert [one.by for one in events if one.data.get("how") == "key"] == [SIGNER, OTHER]
    finally:
        store.close()


def test_another_list_than_was_shown_is_not_signed(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        found = await shown(device)
        entry = listing(found["lines"][0]["number"], "other")
        stated = await device.state(GAME, SIGNER, "testdevice-1", entry)
        assert stated.status_code == 201, stated.text
        answer = await device.post(f"{LIST}/sign", signing(found))
        assert (answer.status_code, answer.json()["error"]["code"]) == (409, "list_changed")
        assert "Nothing was signed" in answer.json()["error"]["hint"]

    run(ledger, test)


def test_a_wrong_passphrase_signs_nothing_and_is_limited(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        found = await shown(device)
        for _ in range(5):
            answer = await device.post(f"{LIST}/sign", signing(found, passphrase="not these"))
            assert answer.json()["error"]["code"] == "wrong_passphrase"
            assert PASSPHRASE not in answer.text
        answer = await device.post(f"{LIST}/sign", signing(found))
        assert (answer.status_code, answer.json()["error"]["code"]) == (429, "wait")

    run(ledger, test)


def test_who_may_not_sign_is_refused(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        found = await shown(device)
        answer = await device.post(f"{LIST}/sign", signing(found, "acorn-president"))
        assert (answer.status_code, answer.json()["error"]["code"]) == (403, "not_yours")
        answer = await device.post(f"{LIST}/sign", signing(found, "newts-wm2"))
        assert answer.json()["error"]["code"] == "wrong_passphrase"
        assert "no key" in answer.json()["error"]["message"]

    run(ledger, test)


def test_what_is_open_has_to_be_seen(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        stated = await device.state(GAME, SIGNER, "testdevice-1", listing(2, "over"))
        assert stated.status_code == 201, stated.text
        found = await shown(device)
        assert "listed_over_weighed_ok" in found["settle"]["codes"]
        assert found["settle"] == (await device.get(f"{LIST}/open")).json()
        answer = await device.post(f"{LIST}/sign", signing(found, despite=[]))
        assert (answer.status_code, answer.json()["error"]["code"]) == (422, "ask_despite")
        answer = await device.post(f"{LIST}/sign", signing(found))
        assert answer.status_code == 201, answer.text
        states = [one["state"] for one in (await shown(device))["signatures"]]
        assert any("open when signed: listed as over but weighed ok" in one for one in states)

    run(ledger, test)


def test_names_need_a_confirmed_person_of_the_game(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        fresh = await desk.device()
        assert (await fresh.get(f"{LIST}/list")).status_code == 401
        await fresh.post("/api/sign-in", {"official": SIGNER})
        assert (await fresh.get(f"{LIST}/list")).status_code == 403
        for path in ("/print/list/acorn-1a/newts", "/print/blank-list/newts"):
            refused = await fresh.get(path)
            assert refused.status_code == 403
            assert refused.headers["content-type"].startswith("text/html")
        assert (await device.get("/api/games/acorn-1a/teams/quokkas/list")).status_code == 404
        assert (await device.get("/api/receipts/office:1")).status_code == 404
        assert (await device.get("/api/receipts/nowhere:9")).status_code == 404

    run(ledger, test)


PAGES = {
    "/print/list/acorn-1a/newts": "Ineligible list, Glimmerfen Newts, game acorn-1a",
    "/print/blank-list/acorn-1a/newts": "Weigh-in by hand",
    "/print/blank-list/marmots": "Weigh-in by hand",
    "/print/play-count/acorn-1a/newts": "Play count, Glimmerfen Newts",
    "/print/play-count/marmots": "Play count",
    "/print/card/acorn-1a": "Weigh-in card, game acorn-1a",
}


def test_papers_are_printed_from_the_page(ledger: Path) -> None:
    async def test(desk: Caller, device: Device) -> None:
        for path, said in PAGES.items():
            answer = await device.get(path)
            assert answer.status_code == 200, (path, answer.text)
            assert said in answer.text
            assert answer.headers["cache-control"] == "no-store"
        style = await device.get("/print/style/ineligible_list.css")
        assert style.headers["content-type"].startswith("text/css")
        font = await device.get("/fonts/NotoSans%5Bwght%5D.ttf")
        assert font.status_code == 200
        assert font.headers["cache-control"].startswith("public")
        script = (await device.get("/print/card/acorn-1a")).text.split('src="')[1].split('"')[0]
        assert (await device.get(script)).headers["content-type"].startswith("text/javascript")
        for path in ("/fonts/none.ttf", "/print/style/none.css"):
            assert (await device.get(path)).status_code == 404
        found = await shown(device)
        signed = (await device.post(f"{LIST}/sign", signing(found))).json()
        receipt = await device.get(f"/print/receipt/{signed['event']}")
        assert "Receipt: a list was signed" in receipt.text

    run(ledger, test)
