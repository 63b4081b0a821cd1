"""What hands do at the scale: finds a number, answers, takes back. Counts its own taps."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.field.browser.pages import wait_until_ready
from tests.field.site import GAME, Site

DEAD_MS = 550
"""After an answer, buttons rest for half a second."""


class Line:
    """One device at the scale of `game`, where the official weighs `team`."""

    def __init__(
        self,
        context: BrowserContext,
        site: Site,
        team: str = "newts",
        game: str = GAME,
        *,
        clocked: bool = False,
    ) -> None:
        self.page: Page = context.new_page()
        self.site, self.team, self.game = site, team, game
        self.taps = 0
        self.clocked = clocked
        self.page.goto(f"{site.url}/#/game/{game}")
        wait_until_ready(self.page)

    def begin(self) -> Line:
        """The team's numbers, with the scale checked if it was not yet."""
        self.go(f"weigh/{self.team}")
        expect(self.page.locator(".weigh, .scale")).to_be_visible()
        if self.page.locator(".scale").count():
            self.check_scale()
        self.expect_numbers()
        return self

    def go(self, place: str) -> None:
        """To `#/game/GAME/PLACE/TEAM…`."""
        self.page.evaluate(
            "to => { location.hash = to }", f"#/game/{self.game}/{place}".rstrip("/")
        )

    def press(self, name: str, *, dead: bool = False) -> None:
        """Tap the button, or follow the link, of exactly this name."""
        one = self.button(name).or_(self.page.get_by_role("link", name=name, exact=True))
        self.tap(one.first)
        if dead:
            self.rest()

    def tap(self, target: Locator) -> None:
        self.taps += 1
        target.click()

    def rest(self) -> None:
        """Until buttons count again; at once where the page's clock is the test's."""
        if self.clocked:
            self.page.clock.run_for(DEAD_MS)
        else:
            self.page.wait_for_timeout(DEAD_MS)

    def button(self, name: str) -> Locator:
        return self.page.get_by_role("button", name=name, exact=True)

    def tile(self, number: int) -> Locator:
        found = self.page.locator(".tile")
        return found.filter(has=self.page.get_by_text(str(number), exact=True)).first

    def check_scale(self, *, reading: str = "10", ready: bool = True) -> None:
        self.go(f"scale/{self.team}")
        for name in ("Level", "Zero", "Set the scale"):
            self.page.get_by_role("button", name=name).click()
        self.button(reading).click()
        if ready:
            self.press("Scale is ready", dead=True)
            self.expect_numbers()

    def weigh(self, number: int, answer: str, *after: str) -> None:
        """Choose the number, answer, and press what is asked after it."""
        self.tap(self.tile(number))
        for name in (answer, *after):
            self.press(name, dead=True)

    def expect_numbers(self) -> None:
        expect(self.page.locator("main[data-screen=weigh] .tiles")).to_be_visible()

    def expect_child(self, number: int) -> None:
        expect(self.page.get_by_role("heading", name=f"Number {number}")).to_be_visible()

    def expect_saved(self) -> None:
        expect(self.page.locator("#saved")).to_have_text("All saved")

    def stated(self, player: str) -> list[tuple[Any, ...]]:
        """Kind, and value or reason, of all that was recorded about a child, oldest first."""
        self.expect_saved()
        said = [one for one in self.site.stated() if one.player == player]
        return [(one.kind, one.data.get("value") or one.data.get("reason")) for one in said]
