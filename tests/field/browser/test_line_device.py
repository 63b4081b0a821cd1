"""What the line does for its device: it stays awake, and says once that the battery runs out."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import wait_until_ready
from tests.field.browser.states.steps import battery_low
from tests.field.site import GAME, Site

_COUNT_LOCKS = """
globalThis.locks = 0;
navigator.wakeLock.request = async () => {
  globalThis.locks++;
  return { release: () => { globalThis.locks--; } };
};
"""
LINE = ("weigh/newts", "child/newts/k1", "absent/newts", "not-here/newts/k1", "gear/newts/k1",
        "other-number/newts", "objection/newts/k1", "scale/newts", "scale-trouble/newts",
        "late/newts", "close/newts")  # fmt: skip


def go(page: Page, place: str) -> None:
    page.evaluate("to => { location.hash = to }", f"#/game/{GAME}/{place}".rstrip("/"))
    screen = place.partition("/")[0] or "game"
    expect(page.locator(f"main[data-screen={screen}]:not([aria-busy])")).to_be_attached()


def held(page: Page) -> int:
    found: int = page.evaluate("globalThis.locks")
    return found


def test_the_line_keeps_its_device_awake_and_says_once_to_print(site: Site, phone: Maker) -> None:
    context = phone()
    site.sign_in(context)
    page = context.new_page()
    page.add_init_script(_COUNT_LOCKS)
    page.goto(f"{site.url}/#/game/{GAME}")
    wait_until_ready(page)
    assert held(page) == 0
    go(page, "scale/newts")
    for name in ("Level", "Zero", "Set the scale", "10"):
        page.get_by_role("button", name=name).first.click()
    page.get_by_role("button", name="Scale is ready").click()
    expect(page.locator("main[data-screen=weigh]")).to_be_attached()
    for place in LINE:
        go(page, place)
        assert held(page) == 1, place
    go(page, "")
    assert held(page) == 0

    battery_low(page)
    expect(page.locator("#battery")).to_have_count(0)
    go(page, "weigh/newts")
    page.get_by_role("link", name="Battery under 20%: print or copy now.").click()
    expect(page.locator("main[data-screen=paper]")).to_be_attached()
    go(page, "weigh/newts")
    expect(page.locator("#saved")).to_be_visible()
    expect(page.locator("#battery")).to_have_count(0)
