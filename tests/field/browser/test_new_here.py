"""Somebody who was asked at 8:25: on two phones, from "I am new here" to the line.

`bench_newcomer` says how long it takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, ViewportSize, expect

from tests.field.browser.chromium import expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.browser.pages import wait_until_ready
from tests.field.site import Morning

GAME, NAME = "practice-1", "Pip Invented"
SMALL: ViewportSize = {"width": 360, "height": 640}
LOOKS_MS = 15_000
"""The first screen looks for somebody new every four seconds."""


class Hands:
    """Counts taps and keys on a page."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps, self.keys = page, 0, 0

    def tap(self, role: str, name: str | re.Pattern[str]) -> None:
        self.page.get_by_role(role, name=name).click()  # type: ignore[arg-type]
        self.taps += 1

    def type_name(self, name: str) -> None:
        """The screen before has a field of this label too."""
        expect(self.page.get_by_role("heading", name="I am new here")).to_be_visible()
        self.type("Your name", name)

    def type(self, label: str, text: str) -> None:
        self.page.get_by_label(label).press_sequentially(text)
        self.keys += len(text)


@pytest.fixture
def morning(tmp_path: Path) -> Iterator[Morning]:
    with Morning(tmp_path) as begun:
        yield begun


def test_let_in_by_the_other_team_and_confirmed_by_the_site_official(
    morning: Morning, phone: Maker
) -> None:
    theirs = phone()
    morning.sign_in(theirs, "drums-wm1")
    across = Hands(Line(theirs, morning, "kites", GAME).page)
    mine = phone()
    new = Hands(mine.new_page())
    expect_trouble(new.page, "401")
    new.page.set_viewport_size(SMALL)
    new.page.goto(morning.url)
    wait_until_ready(new.page)
    expect(new.page.get_by_role("link", name="I am new here")).to_be_in_viewport(ratio=1)
    expect(new.page.locator("#practice")).to_have_text("PRACTICE")
    expect(new.page.locator("html")).to_have_attribute("data-is-practice", "")

    new.tap("link", "I am new here")
    new.type_name(NAME)
    for role, name in (("radio", "Paper Kites"), ("radio", re.compile("^Weigh")),
                       ("checkbox", "I coach"), ("button", "Go on")):  # fmt: skip
        new.tap(role, name)
    code = new.page.locator(".code").inner_text()
    expect(new.page.get_by_text("tap each child’s number")).to_be_visible()
    new.type("Four digits", "2468")
    expect(new.page.get_by_text("Your four digits are kept")).to_be_visible()
    expect(across.page.get_by_text(f"{NAME} is new here and waits.")).to_be_visible(
        timeout=LOOKS_MS
    )
    across.page.locator(".notice").get_by_role("link").click()
    expect(across.page.get_by_role("heading", level=1)).to_have_text(NAME)
    across.type("The code they tell you", code)
    started = f"{NAME} can start. Someone from the league still confirms them."
    expect(across.page.get_by_text(started)).to_be_visible()
    across.page.get_by_role("button", name="Back").click()
    expect(across.page.get_by_text("You weigh the Paper Kites.")).to_be_visible()
    heading = new.page.get_by_role("heading", level=1)
    expect(heading).to_contain_text("You weigh the Tin Drums.")
    expect(new.page.get_by_text("still confirms you.")).to_be_visible()
    assert (new.taps, new.keys, across.taps + 1, across.keys) == (5, len(NAME) + 4, 1, 6)

    line = Line(mine, morning, "drums", GAME)
    line.press("Check the scale")
    line.check_scale()
    expect(line.page.get_by_text("you are to be confirmed")).to_be_visible()
    line.weigh(2, "OK")
    line.expect_saved()
    line.go("sign/drums")
    expect(line.page.get_by_text("once someone from the league has confirmed you")).to_be_visible()
    (here,), (weigh,) = morning.stated(["at_scale"]), morning.stated(["weigh"])
    assert here.by == weigh.by
    assert (here.team, re.sub(r"\d{6}$", "", str(here.by))) == ("kites", "new-")

    official = phone()
    morning.sign_in(official, "site-1")
    page = official.new_page()
    page.goto(f"{morning.url}/#/confirm")
    page.get_by_role("button", name=f"Confirm {NAME}").click()
    expect(page.get_by_text(f"Confirmed: {NAME}.")).to_be_visible()
    expect(line.page.get_by_text("once someone from the league")).to_have_count(0)
    line.go("")
    expect(line.page.get_by_text("Go on weighing")).to_be_visible()
    expect(line.page.get_by_text("still confirms you.")).to_have_count(0)


def test_on_one_laptop_the_one_beside_confirms(morning: Morning, desk: Maker) -> None:
    """Somebody known by nearly this name is asked about first."""
    context = desk()
    morning.sign_in(context, "site-1")
    line = Line(context, morning, "kites", GAME)
    line.press("Hand over")
    line.press("Someone else signs in")
    line.press("I am new here")
    hands = Hands(line.page)
    hands.type_name("D. Doorbell")
    for role, name in (("radio", "Tin Drums"), ("radio", "Count plays"), ("checkbox", "I coach"),
                       ("button", "Go on")):  # fmt: skip
        hands.tap(role, name)
    expect(line.page.get_by_role("button", name="Yes: Dot Doorbell")).to_be_visible()
    hands.tap("button", "No, I am someone else")
    hands.tap("button", re.compile("confirms me$"))
    hands.tap("button", "Without digits")
    expect(line.page.get_by_role("heading", level=1)).to_contain_text("You count plays.")
    (appoint,) = [one for one in morning.stated() if one.kind == "appoint"]
    assert (appoint.by, appoint.data["to"]) == ("site-1", "play_counter")
    expect(line.page.get_by_text("still confirms you.")).to_have_count(0)
