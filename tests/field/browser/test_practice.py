"""One minute of practice, played on a phone, with a look at each new screen on the way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Page, expect

from tests.field.browser import checks
from tests.field.browser.conftest import Maker
from tests.field.browser.line import DEAD_MS
from tests.field.browser.pages import wait_until_ready
from tests.field.site import Practicing

SWINGS_MS, READS_MS = 4100, 6000


@pytest.fixture(scope="module")
def practice() -> Iterator[Practicing]:
    with Practicing() as begun:
        yield begun


class Volunteer:
    """Hands and eyes on a practice page. `found` are problems of the looks on the way."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.found: list[str] = []

    def hears(self, text: str) -> None:
        expect(self.page.locator(".latest")).to_contain_text(text)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=re.compile(f"^{name}")).click()
        self.page.clock.fast_forward(DEAD_MS)

    def tile(self, number: int) -> None:
        self.page.locator(".tile", has_text=re.compile(f"^{number} ?$")).click()
        expect(self.page.locator(".child")).to_be_visible()

    def wait(self, milliseconds: int) -> None:
        self.page.clock.fast_forward(milliseconds)

    def look(self, *, tab: bool = False) -> None:
        """What everybody must see and reach; and the band, on every screen."""
        expect(self.page.locator("main[aria-busy]")).to_have_count(0)
        expect(self.page.locator(".band")).to_have_text(
            re.compile("PRACTICE. Nothing here counts.")
        )
        expect(self.page.locator(".band")).to_be_visible()
        here = self.page.locator("main").get_attribute("data-screen")
        page = self.page
        found = checks.by_axe(page) + checks.in_the_dark(page) + checks.layout(page)
        found += checks.narrow(page) + (checks.tabbing(page) if tab else [])
        self.found += [f"{here}: {one}" for one in found]


@contextmanager
def still(page: Page, place: str) -> Iterator[None]:
    """Nothing under a finger moves in this block."""
    before = page.locator(place).bounding_box()
    yield
    assert page.locator(place).bounding_box() == before


def test_one_minute(practice: Practicing, phone: Maker) -> None:
    page = phone().new_page()
    page.clock.install()
    page.goto(practice.url)
    wait_until_ready(page)
    one = Volunteer(page)
    expect(page.get_by_role("heading")).to_have_text("Practice the weigh-in")
    one.look(tab=True)

    one.press("One minute")
    one.hears("Press Start weighing")
    one.press("Start weighing")
    one.wait(READS_MS)
    one.hears("Number 8, Olive")
    one.tile(8)
    with still(page, ".answers .ok"):
        one.wait(SWINGS_MS)
        one.hears("It floats below the upper stop")
    one.look()
    one.press("OK")
    one.wait(READS_MS)
    one.hears("Number 12, Felix")
    one.tile(12)
    one.press("OVER")
    one.press("Tape is on")
    one.wait(SWINGS_MS)
    one.hears("It rests at the upper stop")
    one.wait(READS_MS)
    one.hears("You read 21")
    one.tile(21)
    one.wait(SWINGS_MS)
    one.hears("It floats")
    one.press("OK")
    one.wait(READS_MS)
    one.hears("it says 27")
    page.reload()
    wait_until_ready(page)
    one.hears("it says 27")
    one.press("(Book marked ok. ?)?Take back 21")
    one.tile(27)
    one.press("OK")
    one.wait(READS_MS)
    expect(page.get_by_role("heading", level=1)).to_have_text("Thank you. That was the practice.")
    missed = page.locator(".lessons li")
    expect(missed).to_have_count(1)
    expect(missed).to_contain_text("You answered while the beam still swung. Numbers: 12.")
    expect(missed).to_contain_text("Next time:")
    expect(page.get_by_text("The wrong tap was taken back")).to_be_visible()
    one.look(tab=True)
    one.press("Ten minutes")
    one.hears("Half an hour to go")
    expect(page.get_by_text("Check weight: not read yet.")).to_be_visible()
    page.get_by_role("link", name="Stop").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("You stopped here.")
    page.get_by_role("link", name="Go on where you were").click()
    one.hears("Half an hour to go")
    assert (
        page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    )
    assert one.found == []
