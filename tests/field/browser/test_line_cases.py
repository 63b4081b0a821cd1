"""What is unusual at the scale shows itself in one line, and takes no tap too many."""

from __future__ import annotations

import subprocess
import sys

import pytest
from playwright.sync_api import expect

from tests.field.browser.chromium import expect_trouble
from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.browser.pages import call, tap
from tests.field.site import Site

LATER_GAME = "acorn-2a"


@pytest.fixture
def line(line_site: Site, phone: Maker) -> Line:
    context = phone()
    line_site.sign_in(context)
    return Line(context, line_site).begin()


def listed(line: Line, number: int, reason: str) -> None:
    tap(line.page, {"kind": "list", "team": "newts", "player": f"k{number}", "reason": reason})


def test_listed_absent_is_crossed_off_with_the_answer(line: Line) -> None:
    line.press("Not here")
    line.press("Absent")
    line.tap(line.tile(1))
    expect(line.tile(1)).to_have_attribute("data-state", "listed")
    line.go("weigh/newts")
    line.expect_numbers()
    before = line.taps
    line.weigh(1, "OK")
    assert line.taps - before == 2
    assert line.stated("k1") == [
        ("list", "absent"), ("weigh", "ok"), ("strike_off", None), ("initial", "ok"),
    ]  # fmt: skip


def test_listed_injured_is_asked(line: Line) -> None:
    listed(line, 2, "injured")
    line.tap(line.tile(2))
    expect(line.page.get_by_text("Listed injured: cross off?")).to_be_visible()
    expect(line.button("OK")).to_be_disabled()
    line.press("Leave it")
    line.press("OK", dead=True)
    assert line.stated("k2") == [("list", "injured"), ("weigh", "ok"), ("initial", "ok")]


def test_listed_over_in_advance_and_ok(line: Line) -> None:
    listed(line, 3, "over")
    expect(line.tile(3)).to_have_attribute("data-state", "due")
    line.tap(line.tile(3))
    expect(line.page.get_by_text("Listed in advance. OK crosses it off.")).to_be_visible()
    line.press("OK", dead=True)
    assert line.stated("k3")[-1] == ("strike_off", "over")


def test_listed_over_in_advance_and_over_is_not_listed_twice(line: Line) -> None:
    listed(line, 4, "over")
    line.weigh(4, "OVER", "Tape is on")
    assert [kind for kind, _ in line.stated("k4")] == ["list", "weigh", "initial", "stripe"]


def test_not_now_writes_nothing_and_is_offered_again(line: Line) -> None:
    line.weigh(5, "Not now")
    expect(line.tile(5)).to_have_attribute("data-state", "aside")
    line.page.reload()
    line.press("5, stepped aside")
    line.expect_child(5)
    assert line.stated("k5") == []
    line.press("OK", dead=True)
    expect(line.page.get_by_text("Stepped aside: ready now?")).to_have_count(0)


def test_gear_is_missing_and_comes(line: Line) -> None:
    line.weigh(6, "Gear")
    line.tap(line.page.get_by_role("button", name="Still missing"))
    line.expect_numbers()
    line.page.wait_for_timeout(550)
    line.weigh(6, "OK")
    assert line.stated("k6")[:3] == [("list", "equipment"), ("weigh", "ok"), ("strike_off", None)]


def test_a_mouth_guard_is_noted_and_the_child_is_weighed(line: Line) -> None:
    line.weigh(7, "Gear", "Mouth guard")
    line.expect_child(7)
    assert line.stated("k7") == [("concern", "mouth_guard")]


def test_not_here_during_the_line(line: Line) -> None:
    line.weigh(8, "Not here", "Injured")
    line.expect_numbers()
    expect(line.tile(8)).to_have_attribute("data-state", "listed")
    assert line.stated("k8") == [("list", "injured")]


def test_an_objection_comes_back_to_the_same_child(line: Line) -> None:
    line.weigh(10, "Objection")
    expect(line.page.get_by_text("Below the upper stop is OK.")).to_be_visible()
    expect(line.page.get_by_text("site official: Ada Whinberry")).to_be_visible()
    line.page.locator("textarea").fill("A coach says the child weighs 96 with pads.")
    line.press("Write it down")
    expect(line.page.get_by_role("alert")).to_contain_text("looks like a weight: “weighs 96”")
    line.page.locator("textarea").fill("A coach asks why pads count.")
    line.press("Write it down")
    line.expect_child(10)
    assert line.stated("k10") == [("case_open", "weigh")]


def test_a_touch_does_not_reach_the_next_screen(line: Line) -> None:
    """The click after a touch once fell into the field that came under the finger: a keyboard."""
    line.tap(line.tile(10))
    line.page.evaluate(
        "addEventListener('mousedown', ({ target }) => { window.fell = target.localName; }, true)"
    )
    line.button("Objection").tap()
    expect(line.page.get_by_text("Below the upper stop is OK.")).to_be_visible()
    expect(line.page.locator("h1")).to_be_focused()
    assert line.page.evaluate("window.fell ?? null") is None


def test_a_number_that_is_on_no_roster(line: Line) -> None:
    line.page.locator("#find").fill("77")
    line.page.keyboard.press("Enter")
    line.page.get_by_label("Name").fill("Invented Newcomer")
    line.press("To the scale")
    expect(line.page.get_by_text("Not on the roster")).to_be_visible()
    line.press("OVER", dead=True)
    line.press("Tape is on", dead=True)
    expect(line.tile(77)).to_have_attribute("data-state", "done")
    said = line.stated("unlisted-acorn-1a-newts-77")
    assert [kind for kind, _ in said] == ["weigh", "initial", "list", "stripe"]


def test_weighed_twice_is_a_question(line: Line) -> None:
    for value in ("ok", "over"):
        tap(line.page, {"kind": "weigh", "team": "newts", "player": "k11", "value": value})
    line.press("11 is written down twice: which one counts?")
    line.press("Take back 11", dead=True)
    expect(line.page.get_by_text("Written down twice.")).to_have_count(0)


def test_after_the_close_a_weigh_is_late(line_site: Site, phone: Maker) -> None:
    context = phone()
    line_site.sign_in(context, "newts-wm1")
    line = Line(context, line_site, "marmots", LATER_GAME).begin()
    by = {"by": "newts-wm1", "game": LATER_GAME}
    tap(line.page, {"kind": "list", "team": "marmots", "player": "m1", "reason": "absent"}, **by)
    tap(line.page, {"kind": "list", "team": "marmots", "player": "m2", "reason": "absent"}, **by)
    tap(line.page, {"kind": "close", "team": "marmots"}, **by)
    line.tap(line.tile(1))
    expect(line.page.get_by_text("Weighed late.")).to_be_visible()
    line.press("OK", dead=True)
    assert line.stated("m1")[1:3] == [("late_weigh", "ok"), ("strike_off", None)]


def test_two_children_with_one_number(own_site: Site, phone: Maker) -> None:
    words = ["record", "number_change", "--team", "newts", "--player", "k2", "--number", "3"]
    command = [sys.executable, "-m", "ledger.commands", *words, "--by", "registrar"]
    told = ["--store", str(own_site.ledger), "--at", "2026-09-01 09:00"]
    subprocess.run([*command, *told], check=True, capture_output=True)
    context = phone()
    own_site.sign_in(context)
    line = Line(context, own_site).begin()
    expect(line.page.get_by_role("button", name="3 OQ, to come")).to_be_visible()
    expect(line.page.get_by_role("button", name="3 JQ, to come")).to_be_visible()
    line.page.locator("#find").fill("3")
    line.page.keyboard.press("Enter")
    line.expect_numbers()
    line.press("3 Juno Quillfeather")
    call(line.page, "names.js", "cover")
    expect(line.page.get_by_text("name hidden")).to_be_visible()
    expect(line.page.get_by_role("heading", name="Number 3 JQ")).to_have_text("3 JQ")
    line.press("OK", dead=True)
    expect(line.page.get_by_role("button", name="Take back 3 JQ")).to_be_visible()
    assert line.stated("k3")[0] == ("weigh", "ok")
    assert line.stated("k2") == []


def test_a_refused_answer_shows_on_its_tile(line: Line) -> None:
    expect_trouble(line.page, "422")
    tap(line.page, {"kind": "weigh", "team": "newts", "player": "k12", "value": "heavy"})
    expect(line.tile(12)).to_have_attribute("data-state", "refused")
    line.tap(line.tile(12))
    expect(line.page.locator("main[data-screen=waiting]")).to_be_visible()


def test_a_site_official_is_not_asked_to_weigh(line_site: Site, phone: Maker) -> None:
    context = phone()
    line_site.confirm_here(context, "site")
    page = context.new_page()
    page.goto(f"{line_site.url}/#/game/acorn-1a")
    expect(page.get_by_text("You are the site official.")).to_be_visible()
    expect(page.get_by_role("link", name="Check the scale")).to_have_count(0)
