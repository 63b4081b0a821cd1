"""From signing in to a signed list by keyboard alone; what a screen reader is told meanwhile."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import wait_until_ready
from tests.field.site import PASSPHRASE, Site
from tests.tiny import events_in

MOST_TABS = 80
DEAD_MS = 550
"""After an answer, buttons rest for half a second."""
_LISTEN = """
globalThis.heard = [];
addEventListener("DOMContentLoaded", () =>
  new MutationObserver(() => heard.push(document.querySelector("#live").textContent))
    .observe(document.querySelector("#live"), { childList: true, subtree: true }));
"""
_FOCUSED = """() => {
  const { activeElement: node } = document;
  return node.getAttribute("aria-label") ?? (node.labels?.[0] ?? node).textContent.trim();
}"""


class Keyboard:
    """Keys, and what they arrive at. Nothing here has a pointer."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        self.page.keyboard.type(text)

    def focused(self) -> str:
        return str(self.page.evaluate(_FOCUSED))

    def to(self, name: str) -> None:
        """Tab until the control whose name begins so has the focus."""
        met: list[str] = []
        for _ in range(MOST_TABS):
            if self.focused().startswith(name):
                return
            met.append(self.focused())
            self.press("Tab")
        raise AssertionError(f"no {name!r} among {met}")

    def activate(self, *names: str, key: str = "Enter") -> None:
        for name in names:
            self.to(name)
            self.press(key)

    def see(self, screen: str) -> None:
        """The screen is there, and something in it has the focus."""
        there = self.page.locator(f"main[data-screen={screen}]:not([aria-busy])")
        expect(there).to_be_visible()
        self.page.wait_for_function(
            "document.querySelector('main').contains(document.activeElement)"
        )

    def weigh(self, number: int, key: str, *after: str) -> None:
        self.see("weigh")
        self.type(str(number))
        self.press("Enter")
        self.see("child")
        for one in (key, *after):
            self.press(one)
            self.page.wait_for_timeout(DEAD_MS)

    def heard(self) -> list[str]:
        return [text for text in self.page.evaluate("heard") if text]


@pytest.mark.long
def test_from_signing_in_to_a_signed_list(own_site: Site, desk: Maker) -> None:
    page = desk().new_page()
    page.add_init_script(_LISTEN)
    page.goto(f"{own_site.url}/?date=2026-09-05")
    wait_until_ready(page)
    keys = Keyboard(page)

    expect(page.get_by_label("Your name")).to_be_focused()
    keys.type("Ivo")
    keys.press("Enter")
    expect(page.get_by_label("Passphrase")).to_be_focused()
    keys.type(PASSPHRASE)
    keys.press("Enter")
    expect(page.get_by_role("heading", name="Four digits")).to_be_visible()
    keys.activate("Without digits")

    keys.see("game")
    keys.activate("Check the scale")
    keys.see("scale")
    keys.activate("Level", "Zero", "10", "Set the scale to", key="Space")
    assert keys.focused().startswith("Set the scale to"), "drawn anew, it keeps the focus"
    keys.activate("Scale is ready")
    page.wait_for_timeout(DEAD_MS)

    for number in range(1, 10):
        keys.weigh(number, "k")
    keys.weigh(10, "v", "t")
    keys.see("weigh")
    keys.activate("11, to come")
    keys.see("child")
    keys.activate("Not here", "Absent")
    page.wait_for_timeout(DEAD_MS)
    keys.weigh(12, "Escape")
    keys.see("weigh")
    keys.activate("12, to come")
    keys.activate("OK")
    page.wait_for_timeout(DEAD_MS)
    keys.see("weigh")
    assert keys.focused() != "", "the numbers are back, and something has the focus"

    keys.activate("Nobody left: close")
    keys.see("close")
    keys.activate("Close the weigh-in")
    keys.see("sign")
    keys.to("Your passphrase")
    keys.type(PASSPHRASE)
    keys.press("Enter")
    keys.see("receipt")
    expect(page.get_by_role("heading", name="Signed by Ivo Larkspur")).to_be_focused()

    signed = [one for one in events_in(own_site.ledger) if one.kind == "countersign"]
    assert [(one.team, one.by) for one in signed] == [("newts", "marmots-wm1")]
    said = keys.heard()
    assert "10 is written down." in said
    assert "The weigh-in is closed." in said
    assert not [text for text in said if re.search(r"\b(ok|over)\b", text, re.IGNORECASE)]
