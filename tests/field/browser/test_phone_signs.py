"""An official's own phone signs, goes home, and next week sees whether the ledger was kept."""

from __future__ import annotations

import json
import sqlite3
from base64 import b64decode, b64encode
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from ledger.actions.keys import revoke
from ledger.audit.audit import audit_file
from ledger.chain.checkpoint import check_checkpoint
from ledger.chain.cosignature import check_cosignatures
from ledger.chain.event import Event
from ledger.chain.merkle import MalformedProofError, RootMismatchError, check_consistency
from ledger.chain.note import parse_note, parse_verifier_key
from ledger.store.opening import open_store
from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import MODULE, call, expect_saved, opened, tap, wait_until_ready
from tests.field.site import GAME, PASSPHRASE, Site
from tests.tiny import events_in

UNA, NEXT = "marmots-wm2", "acorn-2a"
DIGITS = "2468"
KEPT = f"""async () => (await (await import({MODULE} + "db.js")).readAll("keys"))
  .map(({{ pair, ...others }}) => others)[0]"""


@pytest.fixture
def site(own_site: Site) -> Site:
    return own_site


@pytest.fixture
def page(site: Site, phone: Maker) -> Page:
    """Una's phone. She confirms its key with her passphrase, which no longer counts then."""
    context = phone()
    site.sign_in(context, UNA)
    page = opened(context, site, "#/phone-key")
    expect_trouble(page, "401")
    make_key(page)
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Confirm").click()
    expect_counts(page)
    return page


def make_key(page: Page) -> None:
    page.get_by_role("button", name="on this phone").click()
    expect(page.locator(".code")).to_be_visible()


def confirm(registrar: Page, page: Page) -> None:
    """The registrar hears the code and types it; the phone goes on by itself."""
    code = page.locator(".code").inner_text()
    registrar.get_by_label("Whose phone").select_option("Una Fernsby")
    registrar.get_by_label("The code on their phone").fill(code.lower().replace("-", " "))
    registrar.get_by_role("button", name="Confirm").click()
    expect(registrar.get_by_text("The phone of Una Fernsby signs from now on.")).to_be_visible()
    registrar.close()
    expect_counts(page)


def expect_counts(page: Page) -> None:
    expect(page.get_by_role("heading", name="This phone signs for you")).to_be_visible()


def weigh_all(page: Page, game: str = GAME, **given: Any) -> None:
    entry = {"kind": "weigh", "team": "newts", "value": "ok"}
    children = [entry | {"player": f"k{number}"} | given for number in range(1, 13)]
    tap(page, *children, {"kind": "close", "team": "newts"}, by=UNA, game=game)
    expect_saved(page)


def sign(page: Page, game: str = GAME, *, digits: str = "") -> None:
    page.evaluate("hash => { location.hash = hash }", f"#/game/{game}/sign/newts")
    expect(page.get_by_text("This phone signs for Una Fernsby.")).to_be_visible()
    expect(page.get_by_label("Your passphrase")).to_have_count(0)
    expect(page.get_by_label("Your four digits")).to_have_count(1 if digits else 0)
    if digits:
        page.get_by_label("Your four digits").fill(digits)
    page.get_by_role("button", name="Sign this list").click()


def expect_signed(page: Page) -> None:
    heading = page.get_by_role("heading", name="Signed by Una Fernsby")
    expect(heading).to_be_visible()


def signatures(site: Site) -> list[Event]:
    return [one for one in events_in(site.ledger) if one.kind == "countersign"]


def copy(source: Path, target: Path) -> None:
    """A ledger as it is now, whatever still lies in its log."""
    for beside in ("", "-wal", "-shm"):
        Path(f"{target}{beside}").unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as one, closing(sqlite3.connect(target)) as other:
        one.backup(other)


def test_next_week_the_phone_sees_that_last_week_was_kept(
    site: Site, page: Page, tmp_path: Path
) -> None:
    """Answers get lost, after the receipt or before: the phone finishes by itself, and once.

    Where the server does not know what it recorded, the phone looks, and states it again.
    """
    expect_trouble(page, OFFLINE, "404")
    weigh_all(page)
    page.route("**/witness", lambda route: route.abort())
    sign(page)
    expect(page.locator("#live")).to_contain_text("takes the receipt by itself")
    (event,) = signatures(site)
    assert (event.by, event.data["how"]) == (UNA, "device")
    assert page.evaluate(KEPT)["receipts"] == []
    page.unroute("**/witness")
    unknown = {"error": {"code": "unknown", "message": "No phone signed this."}}
    page.route("**/witness", lambda route: route.fulfill(status=404, json=unknown), times=1)
    page.reload()
    wait_until_ready(page)
    page.evaluate("location.hash = '#/receipts'")
    expect(page.get_by_role("link", name="Newts, game acorn-1a")).to_be_visible()

    site.kill()
    site.start()
    weigh_all(page, NEXT)
    page.route("**/sign", lambda route: (route.fetch(), route.abort()))
    sign(page, NEXT)
    expect(page.get_by_role("alert")).to_contain_text("No answer.")
    page.unroute("**/sign")
    page.evaluate("location.hash = '#/receipts'")
    page.reload()
    wait_until_ready(page)
    page.get_by_role("link", name="Newts, game acorn-2a").click()
    expect(page.get_by_role("img", name="The receipt as a code to scan")).to_be_visible()
    assert len(signatures(site)) == 2
    kept = page.evaluate(KEPT)
    files = []
    for one in kept["receipts"]:
        files.append(tmp_path / f"{one['game']}.txt")
        files[-1].write_text(one["text"])
    assert [file.stem for file in files] == [GAME, NEXT]
    report = audit_file(site.ledger, since=files)
    assert report.problems == []
    assert report.kept == 2
    key = parse_verifier_key(kept["line"])
    assert all(check_cosignatures(parse_note(file.read_bytes()), [key]) for file in files)


def test_another_ledger_is_not_signed_and_the_proof_is_kept(
    site: Site, page: Page, desk: Maker, tmp_path: Path
) -> None:
    """An older copy is put back; then others write on in it, until it is longer than before.

    Una has chosen four digits, so each signature asks for them.
    """
    expect_trouble(page, OFFLINE)
    before = tmp_path / "before.weighbook"
    copy(site.ledger, before)
    weigh_all(page)
    call(page, "line/digits.js", "choose", UNA, DIGITS)
    sign(page, digits="1111")
    expect(page.get_by_role("alert")).to_have_text("Those are not your digits. Try again.")
    assert signatures(site) == []
    sign(page, digits=DIGITS)
    expect_signed(page)
    size = len(events_in(site.ledger))

    site.kill()
    copy(site.ledger, true := tmp_path / "true.weighbook")
    copy(before, site.ledger)
    site.start()
    weigh_all(page, NEXT)
    sign(page, NEXT, digits=DIGITS)
    expect_refused(page)
    proof = check_evidence(page, is_shorter=True)
    assert problems(site.ledger, proof) == {"cut tail"}
    assert problems(true, proof) == set()

    context = desk()
    site.sign_in(context, "marmots-wm1")
    elsewhere = opened(context, site)
    lines = [{"kind": "concern", "team": "newts", "reason": "other"}] * 30
    tap(elsewhere, *lines, by="marmots-wm1")
    expect_saved(elsewhere)
    assert len(events_in(site.ledger)) > size
    sign(page, NEXT, digits=DIGITS)
    expect_refused(page)
    proof = check_evidence(page, is_shorter=False)
    assert problems(site.ledger, proof) == {"fork"}
    assert signatures(site) == []
    assert len(page.evaluate(KEPT)["evidence"]) == 2


def problems(ledger: Path, proof: Path) -> set[str]:
    return {one.problem for one in audit_file(ledger, since=[proof]).problems}


def expect_refused(page: Page) -> None:
    heading = page.get_by_role("heading", name="This is not the ledger you signed last time")
    expect(heading).to_be_visible()
    expect(page.get_by_text("Nothing was signed. Keep this proof")).to_be_visible()


def check_evidence(page: Page, *, is_shorter: bool) -> Path:
    """Two notes of one chain's key, the first cosigned by the phone: both cannot be true."""
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save the proof as a file").click()
    found = json.loads(saved.value.path().read_text())
    seen, shown = found["seen"]["office"], found["shown"]
    key = parse_verifier_key(seen["key"])
    cosigned, now = parse_note(seen["cosigned"].encode()), parse_note(shown["note"].encode())
    assert check_cosignatures(cosigned, [parse_verifier_key(found["line"])])
    old, new = check_checkpoint(cosigned, key), check_checkpoint(now, key)
    assert (new.size < old.size) is is_shorter
    proof = [bytes.fromhex(step) for step in shown["heads"]["office"]["proof"]]
    with pytest.raises((RootMismatchError, MalformedProofError)):
        check_consistency(old.size, new.size, old.root, new.root, proof)
    return Path(saved.value.path())


def of_the_other_list(route: Route) -> None:
    """The signature as a server would show it that had put it under another list."""
    answer = route.fetch()
    said = answer.json()
    event = b64decode(said["event_bytes"]).replace(b'"team":"newts"', b'"team":"marmots"')
    route.fulfill(json=said | {"event_bytes": b64encode(event).decode()})


def test_a_second_phone_replaces_the_first_and_a_lost_one_is_ended(
    site: Site, page: Page, phone: Maker, desk: Maker
) -> None:
    expect_trouble(page, "422", "401")
    weigh_all(page)
    weigh_all(page, NEXT)
    page.evaluate("location.hash = '#/phone-key'")
    context = phone()
    site.confirm_here(context, UNA)
    second = opened(context, site, "#/phone-key")
    expect(second.get_by_text("the phone that signs for you now no longer does")).to_be_visible()
    make_key(second)
    registrar = desk()
    site.confirm_here(registrar, "registrar")
    confirm(opened(registrar, site, "#/confirm-phone"), second)

    # It says so by itself: this screen is still open on it.
    expect(page.get_by_role("heading", name="Another key signs for you now")).to_be_visible()
    page.get_by_role("link", name="Sign in").click()
    page.get_by_label("Your name").fill("Una")
    page.get_by_role("button", name="Una Fernsby").click()
    page.get_by_role("button", name="Sign in", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("The key of this phone does not count.")
    call(page, "line/digits.js", "choose", UNA, DIGITS)
    page.get_by_role("button", name="Another name").click()
    page.get_by_role("button", name="Una Fernsby").click()
    expect(page.get_by_role("button", name="Sign in", exact=True)).to_have_count(0)
    page.get_by_label("Your four digits").fill(DIGITS)
    expect(page.get_by_role("alert")).to_contain_text("The key of this phone does not count.")
    second.route("**/api/signatures/*", of_the_other_list)
    sign(second)
    expect(second.get_by_text("Your signature was not finished.")).to_be_visible()
    second.reload()  # The same lie again is the same proof, and no cosignature.
    wait_until_ready(second)
    expect(second.locator("#live")).to_contain_text("could not be finished")
    kept = second.evaluate(KEPT)
    assert (len(kept["evidence"]), kept["receipts"]) == (1, [])
    # The true ledger is back: the first list is witnessed too.
    second.unroute_all(behavior="wait")
    sign(second, NEXT)
    expect_signed(second)

    with closing(open_store(site.ledger)) as store:
        revoke(store, UNA, by="registrar", reason="phone lost")
    second.evaluate("location.hash = '#/phone-key'")
    heading = second.get_by_role("heading", name="The key of this phone was ended")
    expect(heading).to_be_visible()
    expect(second.get_by_text("What it signed before still counts.")).to_be_visible()
    report = audit_file(site.ledger)
    assert report.problems == []
    assert not [note for note in report.notes if "signed, not yet witnessed" in note]
