"""A whole game by two officials on a phone and a laptop, with a killed server and a cut network.

Afterwards the audit finds nothing, and every answer equals that of the same statements loaded as a
season folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from ledger.audit.audit import audit_file
from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.loaded_again import expect_equal_answers
from tests.field.site import PASSPHRASE, Morning

GAME = "practice-1"
DRUMS, KITES = (2, 7, 12, 20, 41, 58, 66, 80), (3, 8, 12, 21, 34, 55, 64, 77)
LATE, OVER = 80, (7, 55)


@pytest.fixture
def morning(tmp_path: Path) -> Iterator[Morning]:
    with Morning(tmp_path) as begun:
        yield begun


@pytest.mark.long
def test_a_whole_game(morning: Morning, phone: Maker, desk: Maker, tmp_path: Path) -> None:
    hand, table = phone(), desk()
    morning.sign_in(hand, "kites-wm1")
    morning.sign_in(table, "drums-wm1")
    visitors = Line(hand, morning, "drums", GAME)
    visitors.press("Check the scale")
    visitors.check_scale()
    for number in DRUMS[:3]:
        visitors.weigh(number, *_answer(number))

    expect_trouble(visitors.page, OFFLINE)
    hand.set_offline(True)
    for number in DRUMS[3:-1]:
        visitors.weigh(number, *_answer(number))
    expect(visitors.page.locator("#saved")).to_have_text("4 wait on this phone")
    hand.set_offline(False)
    visitors.expect_saved()

    home = Line(table, morning, "kites", GAME).begin()
    for number in KITES[:4]:
        home.weigh(number, *_answer(number))
    home.expect_saved()
    expect_trouble(home.page, OFFLINE)
    expect_trouble(visitors.page, OFFLINE)
    morning.kill()
    for number in KITES[4:]:
        home.weigh(number, *_answer(number))
    expect(home.page.locator("#saved")).to_have_text("5 wait on this phone")
    morning.start()
    home.expect_saved()

    visitors.go("close/drums")
    _press(visitors.page, f"{LATE}: Absent")
    _press(visitors.page, "Close the weigh-in")
    home.go("close/kites")
    _press(home.page, "Close the weigh-in")
    home.expect_saved()
    visitors.expect_saved()
    for line in (visitors, home):
        for team in ("drums", "kites"):
            line.go(f"sign/{team}")
            _sign(line.page)

    visitors.go("late/drums")
    visitors.page.get_by_role("button", name=str(LATE)).first.click()
    visitors.press("OK", dead=True)
    visitors.expect_saved()
    assert len(morning.stated(["late_weigh", "strike_off"])) == 2

    home.go("plays/kites")
    for number in KITES:
        home.tap(home.tile(number))
    _press(home.page, "Count with 8")
    for _ in range(3):
        _press(home.page, "Same 8")
    field = phone()
    morning.sign_in(field, "site-1")
    official = Line(field, morning, "kites", GAME)
    official.go("halves")
    _press(official.page, "End the first half now")
    official.expect_saved()
    home.go("left")
    home.expect_saved()
    assert {one.data["count"] for one in morning.stated(["plays"])} == {4}
    assert len(morning.stated(["plays"])) == len(KITES)
    assert len(morning.stated(["half"])) == 1

    report = audit_file(morning.ledger)
    assert report.ok, report.problems
    expect_equal_answers(morning.ledger, GAME, tmp_path / "again")


def _answer(number: int) -> tuple[str, ...]:
    return ("OVER", "Tape is on") if number in OVER else ("OK",)


def _press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()
    page.wait_for_timeout(550)


def _sign(page: Page) -> None:
    page.get_by_label("Your passphrase").fill(PASSPHRASE)
    page.get_by_role("button", name="Sign this list").click()
    expect(page.locator("main")).to_have_attribute("data-screen", "receipt")
