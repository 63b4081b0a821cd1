"""After the line by keyboard alone: Tab and Enter reach everything, and focus is never lost."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import call, expect_saved, opened, tap, weigh
from tests.field.browser.test_after_closing import HERE, go
from tests.field.site import PASSPHRASE, Site

MOST_TABS = 80
LABEL = """() => {
  const one = document.activeElement;
  return one === document.body ? "" : one.getAttribute("aria-label") || one.name || one.textContent;
}"""


def tab_to(page: Page, label: str) -> None:
    """Tab until what has the focus is called so."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate(LABEL) == label:
            return
    raise AssertionError(f"Tab never reaches {label}")


def enter(page: Page, label: str) -> None:
    tab_to(page, label)
    page.keyboard.press("Enter")
    page.wait_for_timeout(600)
    assert page.evaluate(LABEL), f"the focus is lost after {label}"


def test_a_team_is_closed_and_its_list_signed(own_site: Site, desk: Maker) -> None:
    context = desk()
    own_site.sign_in(context)
    page = opened(context, own_site, HERE)
    for number in range(1, 11):
        weigh(page, number, "over" if number == 3 else "ok")
    tap(page, {"kind": "list", "team": "newts", "player": "k3", "reason": "over"})
    go(page, "close/newts")
    enter(page, "11: Absent")
    enter(page, "12: Gear")
    enter(page, "3: Tape is on")
    tab_to(page, "Close the weigh-in")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_have_attribute("data-screen", "sign")
    expect(page.get_by_label("Your passphrase")).to_be_visible()
    tab_to(page, "passphrase")
    page.keyboard.type(PASSPHRASE)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Signed by Ivo Larkspur")).to_be_visible()
    expect(page.get_by_role("heading", name="Signed by Ivo Larkspur")).to_be_focused()


def test_plays_are_counted(own_site: Site, desk: Maker) -> None:
    context = desk()
    own_site.sign_in(context, "marmots-wm1", "newts-pc")
    page = opened(context, own_site, HERE)
    for number in (1, 2):
        weigh(page, number)
    expect_saved(page)
    call(page, "device.js", "setActive", "newts-pc")
    go(page, "plays/newts")
    for number in (1, 2):
        enter(page, f"{number}, 10 due")
    enter(page, "Count with 2")
    assert page.evaluate(LABEL) == "Same 2"
    page.keyboard.press("Enter")
    expect(page.locator(".facts")).to_contain_text("2 plays")
    page.wait_for_timeout(600)
    enter(page, "Undo")
    expect(page.locator(".facts")).to_contain_text("1 play")
