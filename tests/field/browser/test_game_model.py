"""What a page knows of a game: what others tapped, what waits here, and all of it without names."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import MODULE, expect_saved, opened, tap, wait_until_ready, weigh
from tests.field.site import GAME, Site

CHILD = (
    "one => one && [one.done, one.counting?.value ?? null, one.name, one.counting?.waits ?? false]"
)


@pytest.fixture
def device(own_site: Site, phone: Maker) -> BrowserContext:
    context = phone()
    own_site.sign_in(context)
    return context


def look(page: Page, player: str) -> Any:
    """What the open game says of a child of the newts; the test opens it once in a page."""
    return page.evaluate(
        f"""async ([game, player]) => {{
          const {{ open }} = await import({MODULE} + "game.js");
          globalThis.held ??= await open(game);
          return ({CHILD})(globalThis.held.child("newts", player));
        }}""",
        [GAME, player],
    )


def look_until(page: Page, player: str, wanted: list[Any], most_ms: int = 1000) -> int:
    """How many ms it took until the game said so."""
    for waited in range(0, most_ms, 50):
        if look(page, player) == wanted:
            return waited
        page.wait_for_timeout(50)
    assert look(page, player) == wanted
    return most_ms


def test_two_devices_see_each_other_within_a_second(
    own_site: Site, device: BrowserContext, desk: Maker
) -> None:
    other = desk()
    own_site.sign_in(other, "newts-wm1")
    here, there = opened(device, own_site), opened(other, own_site)
    assert look(here, "k1") == look(there, "k1") == [False, None, "Pip Quillfeather", False]
    here.wait_for_timeout(500)
    weigh(here, 1, "over")
    assert look_until(there, "k1", [True, "over", "Pip Quillfeather", False]) <= 1000


def test_without_streams_a_page_asks(own_site: Site, device: BrowserContext, desk: Maker) -> None:
    other = desk()
    other.add_init_script("Object.defineProperty(navigator, 'locks', { value: undefined });")
    own_site.sign_in(other, "newts-wm1")
    here, there = opened(device, own_site), opened(other, own_site)
    assert look(there, "k2")[0] is False
    weigh(here, 2)
    look_until(there, "k2", [True, "ok", "Ottla Quillfeather", False], most_ms=6500)


def test_a_tap_shows_at_once_and_stays_through_recording(
    own_site: Site, device: BrowserContext
) -> None:
    page = opened(device, own_site)
    look(page, "k3")
    page.evaluate(
        """() => {
          globalThis.seen = [];
          const note = (model) => globalThis.seen.push(model.child("newts", "k3").done);
          globalThis.held.onChange(note);
        }"""
    )
    weigh(page, 3)
    expect_saved(page)
    page.wait_for_timeout(300)
    seen = page.evaluate("() => globalThis.seen")
    assert seen
    assert all(seen), "a child who was weighed never looks as if not"
    assert look(page, "k3") == [True, "ok", "Juno Quillfeather", False]


def test_it_opens_by_number_without_a_network(own_site: Site, device: BrowserContext) -> None:
    page = opened(device, own_site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    look(page, "k4")
    act = weigh(page, 4, "over")
    expect_saved(page)
    look_until(page, "k4", [True, "over", "Wren Quillfeather", False])
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    weigh(page, 5)
    tap(page, {"kind": "withdraw", "target": act["entries"][0]["ref"], "reason": "wrong tap"})
    page.reload()
    wait_until_ready(page)
    assert look(page, "k5") == [True, "ok", None, True]
    assert look(page, "k4") == [False, None, None, False]
    device.set_offline(False)
    expect_saved(page)
    look_until(page, "k5", [True, "ok", "Tuck Quillfeather", False], most_ms=6000)
    look_until(page, "k4", [False, None, "Wren Quillfeather", False], most_ms=6000)


def test_a_page_opened_without_a_network_asks_calmly(
    own_site: Site, device: BrowserContext
) -> None:
    """It once asked without end, thousands of times a second, which empties a phone."""
    page = opened(device, own_site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    expect_trouble(page, OFFLINE)
    device.set_offline(True)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    wait_until_ready(page)
    asked.clear()
    page.wait_for_timeout(7000)
    assert 1 <= len([url for url in asked if "/api/" in url]) <= 12


def test_recorded_and_not_yet_read_survives_a_reload_without_network(
    own_site: Site, device: BrowserContext
) -> None:
    """The act was answered, and the phone went out of reach before the game was read again."""
    page = opened(device, own_site)
    expect(page.locator("html[data-opens-offline=yes]")).to_be_attached()
    look(page, "k6")
    expect_trouble(page, OFFLINE)
    page.route("**/api/games/**", lambda route: route.abort())
    weigh(page, 6)
    expect_saved(page)
    device.set_offline(True)
    page.reload()
    wait_until_ready(page)
    assert look(page, "k6") == [True, "ok", None, False]


def test_what_stands_aside_is_not_shown_as_done(own_site: Site, device: BrowserContext) -> None:
    page = opened(device, own_site)
    expect_trouble(page, "422")
    look(page, "k7")
    tap(
        page,
        {"kind": "weigh", "team": "newts", "player": "k7", "value": "ok"},
        {"kind": "weigh", "team": "newts", "player": "k99", "value": "ok"},
    )
    expect_saved(page, "1 needs you")
    assert look(page, "k7")[0] is False
    aside = page.evaluate("() => globalThis.held.aside.map((one) => one.act.entries[0].player)")
    assert aside == ["k7"]


def test_names_leave_with_the_last_person(own_site: Site, device: BrowserContext) -> None:
    page = opened(device, own_site, f"#/game/{GAME}/weigh/newts")
    expect(page.locator("main")).to_contain_text("1")
    page.goto(f"{own_site.url}/#/hand-over")
    expect_trouble(page, "401", "403")
    page.get_by_role("button", name="Sign out").click()
    expect(page.locator("h1")).to_have_text("Who are you?")
    run = f'async () => (await import({MODULE} + "main.js")).app.model'
    assert page.evaluate(run) is None


def test_signing_out_says_whose_taps_stay(own_site: Site, device: BrowserContext) -> None:
    page = opened(device, own_site)
    expect_trouble(page, "503", "401", "403")
    page.route("**/api/acts", lambda route: route.fulfill(status=503, body="{}"))
    weigh(page, 8)
    page.goto(f"{own_site.url}/#/hand-over")
    page.get_by_role("button", name="Sign out").click()
    expect(page.locator("#live")).to_contain_text("1 tap by Ivo Larkspur waits on this phone.")
    page.unroute("**/api/acts")
    expect_saved(page, "1 waits on this phone")
    own_site.sign_in(device)
    expect_saved(page)
    assert [event.player for event in own_site.stated()] == ["k8"]
