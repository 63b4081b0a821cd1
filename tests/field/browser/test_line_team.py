"""A whole team is weighed on a phone: taps counted, one act a tap, taken back as one."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.field.browser.chromium import OFFLINE, expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import DEAD_MS, Line
from tests.field.browser.pages import tap
from tests.field.site import Site

OVER = (4, 9)
LOOKS = r"all => [...new Set(all.map((one) => one.outerHTML.replace(/\d+/g, '')))]"


@pytest.fixture
def line(line_site: Site, phone: Maker) -> Line:
    context = phone()
    line_site.sign_in(context)
    return Line(context, line_site).begin()


def test_who_goes_first_is_told_until_that_list_is_closed(own_site: Site, phone: Maker) -> None:
    device = phone()
    own_site.sign_in(device)
    page = Line(device, own_site).page
    first = page.get_by_text("Marmots go first.")
    expect(first).to_be_visible()
    tap(page, {"kind": "close", "team": "marmots"})
    expect(first).to_have_count(0)


@pytest.mark.long
def test_from_the_first_screen_to_nobody_left(own_site: Site, phone: Maker) -> None:
    device = phone()
    own_site.sign_in(device)
    line = Line(device, own_site)
    page = line.page
    expect(page.get_by_text("You weigh the Newts.")).to_be_visible()
    expect(page.get_by_text("Set the scale to 95 lb")).to_be_visible()
    line.press("Check the scale")
    line.check_scale()
    expect(page.locator(".facts")).to_contain_text("12 left")
    for number in range(1, 13):
        before = line.taps
        line.weigh(number, *(("OVER", "Tape is on") if number in OVER else ("OK",)))
        assert line.taps - before == (3 if number in OVER else 2)
        line.expect_numbers()
        expect(page.locator(".facts")).to_contain_text(f"{12 - number} left")
    expect(page.get_by_role("link", name="Nobody left: close")).to_be_visible()
    assert line.stated("k1") == [("weigh", "ok"), ("initial", "ok")]
    assert line.stated("k4") == [
        ("weigh", "over"), ("initial", "over"), ("list", "over"), ("stripe", None),
    ]  # fmt: skip
    there = own_site.stated(["at_scale", "station"])
    assert [(one.kind, one.team, one.by) for one in there] == [
        ("at_scale", "marmots", "marmots-wm1"), ("station", None, "marmots-wm1"),
    ]  # fmt: skip
    assert {one.data["initials"] for one in own_site.stated(["initial"])} == {"IL"}
    looks = page.locator(".tile").evaluate_all(LOOKS)
    assert len(looks) == 1, "done tiles look the same whatever the answer"


def test_one_answer_is_one_act_and_is_taken_back_as_one(line: Line) -> None:
    line.weigh(4, "OVER", "Tape is on")
    line.press("Book marked over. Take back 4", dead=True)
    expect(line.tile(4)).to_have_attribute("data-state", "due")
    line.expect_saved()
    taken = line.site.stated(["withdraw"])
    assert len(taken) == 4, "weigh, mark, listing and stripe"
    assert len({one.data["ref"].rpartition(".")[0] for one in taken}) == 1
    line.press("Bring back 4", dead=True)
    expect(line.tile(4)).to_have_attribute("data-state", "done")
    line.tap(line.tile(4))
    line.press("Take back 4", dead=True)
    line.expect_child(4)
    expect(
        line.page.get_by_text("First game: your answer also marks the book, IL.")
    ).to_be_visible()
    line.press("OK", dead=True)
    assert line.stated("k4")[-2:] == [("weigh", "ok"), ("initial", "ok")]


def test_tape_later_waits_with_the_child(line: Line) -> None:
    line.weigh(5, "OVER", "Later")
    line.weigh(5, "Tape is on")
    assert line.stated("k5")[-1] == ("stripe", None)


def test_what_the_last_answer_did_goes_with_the_next_child(line: Line) -> None:
    line.weigh(7, "OK")
    expect(line.page.locator(".last")).to_contain_text("Book marked ok.")
    line.tap(line.tile(8))
    line.press("Numbers")
    expect(line.page.locator(".last")).to_have_text("Take back 7")


def test_half_a_second_is_dead_after_an_answer(line: Line) -> None:
    line.tap(line.tile(9))
    line.button("OK").click()
    line.expect_numbers()
    line.tile(10).click()
    line.expect_numbers()
    line.page.wait_for_timeout(DEAD_MS)
    line.tile(10).click()
    line.expect_child(10)


def test_without_a_network_the_line_goes_on(line: Line) -> None:
    line.page.context.set_offline(True)
    expect_trouble(line.page, OFFLINE)
    for number in (11, 12):
        line.weigh(number, "OK")
        line.expect_numbers()
    expect(line.page.locator("#saved")).to_have_text("2 wait on this phone")
    line.page.context.set_offline(False)
    assert line.stated("k12") == [("weigh", "ok"), ("initial", "ok")]
