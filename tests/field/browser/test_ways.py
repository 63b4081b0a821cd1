"""What works in Chromium by each way to the page: a table, row by row against the browser."""

from __future__ import annotations

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from playwright.sync_api import Browser, Error, Page, Playwright, expect

from ledger.field.hotspot.certificates import utc_now
from ledger.field.hotspot.files import certificate_path, read_authority
from tests.field.browser.pages import call, expect_saved, wait_until_ready, weigh
from tests.field.browser.trusting import browser_at, trust
from tests.field.site import PASSPHRASE, Hotspot, Site
from tests.field.test_hotspot import forged

BY_NAME, PUBLIC = "scale.home.arpa", "weigh-in.example"
"""A name of a home network (RFC 8375); a public one, reserved for examples (RFC 2606)."""


class Way(NamedTuple):
    """What a volunteer, and the page, can count on."""

    no_warning: bool
    secure_context: bool
    service_worker: bool
    indexeddb: bool
    crypto_subtle: bool
    locks: bool
    sign_in: bool
    tap_recorded: bool


Y, n = True, False
WAYS = {
    #                             no       secure   service  IndexedDB subtle  locks  signs  tap is
    #                             warning  context  worker                            in     kept
    "this computer":          Way(Y,       Y,       Y,       Y,        Y,      Y,     Y,     Y),
    "hotspot, trusted":       Way(Y,       Y,       Y,       Y,        Y,      Y,     Y,     Y),
    "hotspot, clicked through": Way(n,     Y,       n,       Y,        Y,      Y,     Y,     Y),
    "plain HTTP by name":     Way(Y,       n,       n,       Y,        n,      n,     n,     n),
}  # fmt: skip
ASK = """async () => ({
  secure_context: isSecureContext,
  indexeddb: await new Promise((done) => {
    const asked = indexedDB.open("asked");
    asked.onsuccess = () => done(true);
    asked.onerror = () => done(false);
  }),
  crypto_subtle: Boolean(globalThis.crypto?.subtle),
  locks: Boolean(navigator.locks),
  worker: Boolean(navigator.serviceWorker),
})"""


@pytest.fixture(scope="module")
def hotspot(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hotspot]:
    with Hotspot(tmp_path_factory.mktemp("hotspot")) as begun:
        yield begun


@pytest.fixture(scope="module")
def trusting(
    playwright: Playwright, hotspot: Hotspot, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    home = trust(tmp_path_factory.mktemp("trusting"), certificate_path(hotspot.ledger))
    with browser_at(playwright, home, hotspot.name, PUBLIC) as found:
        yield found


@pytest.fixture(scope="module")
def doubting(
    playwright: Playwright, hotspot: Hotspot, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """It knows no authority of a league."""
    with browser_at(
        playwright, tmp_path_factory.mktemp("doubting"), hotspot.name, BY_NAME
    ) as found:
        yield found


@pytest.mark.parametrize("name", WAYS)
def test_what_works_by_each_way(
    name: str, site: Site, hotspot: Hotspot, trusting: Browser, doubting: Browser
) -> None:
    hotspot.begin_anew()
    used = hotspot if name.startswith("hotspot") else site
    browser = trusting if name == "hotspot, trusted" else doubting
    url = f"http://{BY_NAME}:{site.port}" if name == "plain HTTP by name" else used.url
    warned = warns(browser, url)
    context = browser.new_context(ignore_https_errors=warned)
    page = context.new_page()
    page.goto(url)
    works = page.evaluate(ASK)
    has_worker = works.pop("worker")
    if name == "plain HTTP by name":
        assert "This is not the address of this page." in page.content()
        sign_in = tap_recorded = False
    else:
        has_worker = opens_offline(page)
        sign_in = signs_in(page)
        if not has_worker:
            expect_no_morning_without_a_network(page)
        weigh(page, 1)
        expect_saved(page)
        tap_recorded = [one.player for one in used.stated()] == ["k1"]
    found = Way(
        not warned, service_worker=has_worker, sign_in=sign_in, tap_recorded=tap_recorded, **works
    )
    context.close()
    assert found == WAYS[name]


def warns(browser: Browser, url: str) -> bool:
    context = browser.new_context()
    try:
        context.new_page().goto(url)
    except Error as error:
        return "ERR_CERT_AUTHORITY_INVALID" in error.message
    finally:
        context.close()
    return False


def opens_offline(page: Page) -> bool:
    """What the page itself found out; where it cannot, it says so, and why."""
    wait_until_ready(page)
    expect(page.locator("html[data-opens-offline]")).to_be_attached()
    works = page.locator("html[data-opens-offline=yes]").count() == 1
    told = page.locator("#no-reload")
    if works:
        expect(told).to_have_count(0)
    else:
        expect(told).to_have_text("Do not reload this page.")
        told.click()
        expect(page.locator("main")).to_contain_text("Do not install it here.")
    return works


def signs_in(page: Page) -> bool:
    who = {"official": "marmots-wm1", "passphrase": PASSPHRASE}
    found = call(page, "api.js", "post", "/api/sign-in", who)
    cookies = {one["name"]: one for one in page.context.cookies()}
    if page.url.startswith("https:"):
        assert cookies["__Host-weighbook"]["secure"]
    page.evaluate("location.hash = '#/waiting'")
    return [one["is_confirmed"] for one in found["people"]] == [True]


def expect_no_morning_without_a_network(page: Page) -> None:
    """Taking Saturday along is refused: there is nothing to prove."""
    page.reload()
    page.evaluate("location.hash = '#/along'")
    page.get_by_role("button", name="Take it along").click()
    expect(page.get_by_text("This window cannot open the page without a network.")).to_be_visible()
    expect(page.get_by_text("Prove it")).to_have_count(0)


@contextmanager
def serving_as(name: str, hotspot: Hotspot, folder: Path) -> Iterator[int]:
    """A server with a leaf for any name, by the league's own authority; its port."""
    made = forged(read_authority(hotspot.ledger, utc_now()), name)
    path = folder / "leaf.pem"
    key = made.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    path.write_bytes(key + made.certificate.public_bytes(Encoding.PEM))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(path)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        thread = threading.Thread(target=_answer, args=(listening, context))
        thread.start()
        yield listening.getsockname()[1]
        listening.shutdown(socket.SHUT_RDWR)
        thread.join(10)


def _answer(listening: socket.socket, context: ssl.SSLContext) -> None:
    while True:
        try:
            plain, _ = listening.accept()
        except OSError:
            return
        try:
            with context.wrap_socket(plain, server_side=True) as secure:
                secure.recv(65536)
                secure.sendall(b"HTTP/1.0 200 OK\r\nContent-Type: text/plain\r\n\r\nhere")
        except OSError:
            plain.close()


@pytest.mark.parametrize(("is_public", "is_taken"), [(False, True), (True, False)])
def test_the_authority_vouches_for_no_public_site(
    is_public: bool, is_taken: bool, hotspot: Hotspot, trusting: Browser, tmp_path: Path
) -> None:
    name = PUBLIC if is_public else hotspot.name
    page = trusting.new_page()
    with serving_as(name, hotspot, tmp_path) as port:
        if is_taken:
            page.goto(f"https://{name}:{port}")
            assert page.content().count("here") == 1
        else:
            with pytest.raises(Error, match="ERR_CERT_"):
                page.goto(f"https://{name}:{port}")
    page.close()
