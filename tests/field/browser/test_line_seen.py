"""What a bystander may see, hear or find on the page: no names after a pause, no "over"."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.field.browser.conftest import Maker
from tests.field.browser.line import Line
from tests.field.site import Site

NAMES = ("Pip", "Ottla", "Juno", "Wren", "Quillfeather", "Saltmarsh")
TWO_MINUTES = 121_000
SLIP_MS = 10_000


@pytest.fixture
def line(line_site: Site, phone: Maker) -> Line:
    context = phone()
    context.clock.install()
    line_site.sign_in(context)
    return Line(context, line_site, clocked=True)


def html(line: Line) -> str:
    return str(line.page.locator("body").inner_html())


def has_name(line: Line) -> bool:
    return any(name in html(line) for name in NAMES)


def test_no_child_stands_on_the_first_screen(line: Line) -> None:
    expect(line.page.get_by_text("You weigh the Newts.")).to_be_visible()
    assert not has_name(line)
    assert "acorn-2a" not in html(line)


def test_numbers_only_on_the_tiles(line: Line) -> None:
    line.begin()
    line.weigh(3, "OVER", "Tape is on")
    line.expect_numbers()
    assert not has_name(line)
    line.tap(line.tile(4))
    line.press("Numbers")
    line.expect_numbers()
    text = line.page.locator("main").inner_text().lower()
    assert "over" not in text
    assert "disqualif" not in text


def test_the_page_never_says_over_aloud(line: Line) -> None:
    line.begin()
    for number, answer in ((5, "OK"), (6, "OVER")):
        line.weigh(number, answer)
        expect(line.page.locator("#live")).to_have_text(f"{number} is written down.")
    line.press("Tape is on")


def test_two_idle_minutes_hide_names_and_nothing_else(line: Line) -> None:
    line.begin()
    line.tap(line.tile(1))
    expect(line.page.get_by_text("Pip Quillfeather")).to_be_visible()
    line.page.clock.run_for(TWO_MINUTES)
    expect(line.page.get_by_text("name hidden")).to_be_visible()
    assert not has_name(line)
    box = line.button("name hidden").bounding_box()
    assert box is not None
    line.page.mouse.move(box["x"] + 9, box["y"] + 9)
    line.page.mouse.down()
    line.page.clock.run_for(700)
    expect(line.page.get_by_text("Pip Quillfeather")).to_be_visible()
    line.page.mouse.up()
    assert not has_name(line)
    line.rest()
    line.press("OK", dead=True)
    line.expect_numbers()
    line.press("Show names")
    expect(line.page.get_by_role("heading", name="Names are hidden")).to_be_visible()
    line.press("Show names")
    line.expect_numbers()
    line.tap(line.tile(2))
    expect(line.page.get_by_text("Ottla Quillfeather")).to_be_visible()


def test_hide_leaves_one_button(line: Line) -> None:
    line.begin()
    line.tap(line.tile(2))
    line.press("Hide")
    expect(line.page.get_by_role("button")).to_have_count(1)
    expect(line.page.locator("#strip")).to_be_hidden()
    assert not has_name(line)
    line.press("Go on")
    line.expect_child(2)
    expect(line.page.get_by_text("name hidden")).to_be_visible()


def test_hold_is_one_tap_and_comes_back(line: Line) -> None:
    line.begin()
    line.tap(line.tile(2))
    line.press("Hold")
    expect(line.page.get_by_role("heading", name="On hold")).to_be_visible()
    assert not has_name(line)
    line.page.go_back()
    line.expect_child(2)
    line.page.reload()
    line.tap(line.page.get_by_role("link", name="On hold since"))
    line.press("Go on")
    line.expect_child(2)
    expect(line.page.locator("#hold")).to_have_count(0)


def test_a_slip_on_hold_is_taken_back_and_leaves_nothing(line: Line) -> None:
    """Hide and Hold stand apart; and for ten seconds, one tap undoes the other kind of slip."""
    line.begin()
    line.tap(line.tile(2))
    bar = line.page.locator(".thumb > *").all_inner_texts()
    assert (bar[0], bar[-1]) == ("Hide", "Hold")
    line.press("Hold")
    line.press("A slip: take it back")
    line.expect_child(2)
    assert has_name(line)
    expect(line.page.locator("#hold")).to_have_count(0)
    line.press("Hold")
    expect(line.button("A slip: take it back")).to_be_visible()
    line.page.clock.run_for(SLIP_MS)
    expect(line.button("A slip: take it back")).to_have_count(0)
    line.press("Go on")
    line.expect_child(2)
    assert not has_name(line)
