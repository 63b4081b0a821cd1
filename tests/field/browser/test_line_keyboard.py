"""The line by keyboard alone: digits or letters of a name, Enter, K or V, T or L, Escape."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.site import Site


@pytest.fixture
def line(line_site: Site, desk: Maker) -> Line:
    context = desk()
    line_site.sign_in(context)
    return Line(context, line_site).begin()


def keys(line: Line, *pressed: str) -> None:
    for one in pressed:
        line.page.keyboard.press(one)


def test_a_number_and_an_answer(line: Line) -> None:
    keys(line, "1", "0", "Enter")
    line.expect_child(10)
    keys(line, "k")
    line.expect_numbers()
    line.rest()
    expect(line.page.locator("#find")).to_be_focused()
    keys(line, "1", "Enter")
    line.expect_child(1)
    keys(line, "Escape")
    line.expect_numbers()
    assert line.stated("k10")[0] == ("weigh", "ok")
    assert line.stated("k1") == []


def test_letters_of_a_name_and_over(line: Line) -> None:
    keys(line, "j", "u", "n", "Enter")
    line.expect_child(3)
    expect(line.button("OVER").locator("kbd")).to_have_text("V")
    expect(line.button("OVER").locator("kbd")).to_be_visible()
    keys(line, "v")
    expect(line.button("Tape is on")).to_be_visible()
    line.rest()
    keys(line, "t")
    line.expect_numbers()
    assert [kind for kind, _ in line.stated("k3")] == ["weigh", "initial", "list", "stripe"]


def test_enter_answers_nothing(line: Line) -> None:
    keys(line, "5", "Enter")
    line.expect_child(5)
    keys(line, "Enter", "Space", "Enter")
    line.expect_child(5)
    assert line.stated("k5") == []


def test_every_button_is_reached_by_tab(line: Line) -> None:
    keys(line, "6", "Enter")
    line.expect_child(6)
    reached = set()
    for _ in range(16):
        keys(line, "Tab")
        reached.add(line.page.evaluate("document.activeElement.textContent"))
    wanted = {"OVERV", "OKK", "Not now", "Gear", "Not here", "Scale trouble", "Objection"}
    assert wanted | {"Numbers", "Hide", "Hold"} <= reached
