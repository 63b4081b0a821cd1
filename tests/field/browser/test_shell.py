"""The page's weight, its hosts, its addresses, and what its service worker keeps and renews."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Request, expect

from ledger.field.shell import STATIC, build, shell_html
from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import expect_saved, kept, opened, wait_until_ready, weigh
from tests.field.site import Site

MOST_BYTES = 150_000


def ready_offline(page: Page) -> Page:
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    return page


@pytest.fixture
def device(site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    site.sign_in(context)
    return context


def test_the_whole_page_is_light_and_comes_from_here(site: Site, phone: Maker) -> None:
    """Every module and sheet is loaded at once: no screen needs the network later."""
    context = phone(service_workers="block")
    site.sign_in(context)
    done: list[Request] = []
    context.on("requestfinished", lambda request: done.append(request))
    page = opened(context, site, "")
    page.wait_for_load_state("networkidle")
    loaded = {re.sub(r".*/static/[0-9a-f]+/", "", one.url) for one in done if "/static/" in one.url}
    assert loaded == {n for n in build().kept if not n.startswith("words/")} - {"print.js"}
    assert {one.url.split("/")[2] for one in done} == {f"127.0.0.1:{site.port}"}
    sent = sum(one.sizes()["responseBodySize"] for one in done)
    assert 10_000 < sent < MOST_BYTES


def test_a_browser_without_gzip_gets_the_same_bytes(site: Site, device: BrowserContext) -> None:
    path = f"{site.url}/static/{build().version}/main.js"
    plain = device.request.get(path, headers={"Accept-Encoding": "identity"})
    packed = device.request.get(path)
    assert "content-encoding" not in plain.headers
    assert packed.headers["content-encoding"] == "gzip"
    assert plain.body() == packed.body() == build().files["main.js"].data


def test_an_address_of_another_build_is_not_answered(site: Site, device: BrowserContext) -> None:
    for path in ("0" * 16 + "/main.js", f"{build().version}/sw.js", f"{build().version}/../app.py"):
        assert device.request.get(f"{site.url}/static/{path}").status == 404


def test_the_shell_names_nobody_and_has_no_inline_code() -> None:
    html = shell_html()
    assert "<style" not in html
    assert " style=" not in html
    assert re.findall(r"<script(?! type=\"module\" src=)", html) == []
    assert re.findall(r"\son\w+=", html) == []


def addresses(page: Page) -> list[str]:
    found: list[str] = page.evaluate(
        """async () => {
          const found = [];
          for (const name of await caches.keys())
            for (const one of await (await caches.open(name)).keys()) found.push(one.url);
          return found;
        }"""
    )
    return found


def test_the_worker_keeps_the_shell_and_static_files_only(
    site: Site, device: BrowserContext
) -> None:
    page = ready_offline(opened(device, site, ""))
    weigh(page, 1)
    expect_saved(page)
    page.reload()
    wait_until_ready(page)
    static = f"{site.url}/static/{build().version}/"
    assert sorted(addresses(page)) == sorted([f"{site.url}/", *(static + n for n in build().kept)])


def test_a_new_build_comes_by_itself_and_keeps_the_taps(
    own_site: Site, phone: Maker, tmp_path: Path
) -> None:
    """Other bytes have another version; what waited under the old page goes by the new one."""
    new = Path(shutil.copytree(STATIC, tmp_path / "static"))
    strip = (new / "strip.js").read_text(encoding="utf-8")
    (new / "strip.js").write_text(strip.replace("All saved", "All is saved"), encoding="utf-8")
    context = phone()
    own_site.sign_in(context)
    page = ready_offline(opened(context, own_site))
    expect_trouble(page, OFFLINE)
    own_site.kill()
    weigh(page, 1)
    expect_saved(page, "1 waits on this phone")
    own_site.start(new)
    expect_saved(page, "All saved")
    own_site.kill()
    weigh(page, 2)
    own_site.start(new)
    page.reload()
    old = page.locator("script").get_attribute("src") or ""
    assert build().version in old
    expect_saved(page, "All saved")
    for _ in range(50):
        if not all(build().version in one for one in addresses(page) if "static" in one):
            break
        page.wait_for_timeout(100)
    page.reload()
    wait_until_ready(page)
    expect(page.locator("script")).not_to_have_attribute("src", old)
    expect_saved(page, "All is saved")
    assert kept(page) == []
    assert [event.player for event in own_site.stated()] == ["k1", "k2"]
    kept_files = addresses(page)
    assert any(build().version in one for one in kept_files), "an old page may still be open"
