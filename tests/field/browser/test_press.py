"""Cold hands: what counts as a press, and names that hide themselves."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import CDPSession, Page, expect

from tests.field.browser.conftest import Maker
from tests.field.browser.pages import MODULE, opened
from tests.field.site import Site

MADE = f"""async () => {{
  const {{ press }} = await import({MODULE} + "press.js");
  const {{ h, replace }} = await import({MODULE} + "dom.js");
  globalThis.seen = [];
  const say = (name) => () => {{ globalThis.seen.push(name); }};
  const button = (name, how) =>
    press(h("button", {{ class: "answer wide" }}, name), say(name), how);
  const disabled = button("none");
  disabled.disabled = true;
  replace(
    document.querySelector("main"),
    button("plain"), button("answer", {{ answer: true }}), button("long", {{ long: say("held") }}),
    disabled,
  );
}}"""


@pytest.fixture
def page(site: Site, phone: Maker) -> Page:
    found = opened(phone(), site, "#/start-here")
    found.evaluate(MADE)
    return found


def seen(page: Page) -> list[str]:
    found: list[str] = page.evaluate("() => globalThis.seen.splice(0)")
    return found


def middle(page: Page, name: str) -> tuple[float, float]:
    box = page.get_by_role("button", name=name).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


class Fingers:
    """Touches as the system tells them to the browser."""

    def __init__(self, page: Page) -> None:
        self._session: CDPSession = page.context.new_cdp_session(page)

    def touch(self, kind: str, *places: tuple[float, float]) -> None:
        points: list[dict[str, Any]] = [
            {"x": x, "y": y, "id": number} for number, (x, y) in enumerate(places)
        ]
        self._session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def test_a_tap_a_click_and_a_key_count_once_each(page: Page) -> None:
    button = page.get_by_role("button", name="plain")
    button.tap()
    assert seen(page) == ["plain"]
    page.mouse.click(*middle(page, "plain"))
    assert seen(page) == ["plain"]
    button.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Space")
    assert seen(page) == ["plain", "plain"]


def test_a_screen_reader_clicks_without_a_finger(page: Page) -> None:
    page.get_by_role("button", name="plain").evaluate("(button) => button.click()")
    assert seen(page) == ["plain"]


def test_a_finger_that_slides_within_the_button_counts(page: Page) -> None:
    fingers, (x, y) = Fingers(page), middle(page, "plain")
    fingers.touch("touchStart", (x, y))
    for step in range(1, 8):
        fingers.touch("touchMove", (x + 10 * step, y + 2 * step))
    fingers.touch("touchEnd")
    assert seen(page) == ["plain"]


def test_a_finger_that_leaves_the_button_or_came_from_another_does_not(page: Page) -> None:
    fingers, here, there = Fingers(page), middle(page, "plain"), middle(page, "answer")
    fingers.touch("touchStart", here)
    fingers.touch("touchMove", there)
    fingers.touch("touchEnd")
    page.mouse.move(*here)
    page.mouse.down()
    page.mouse.move(*there)
    page.mouse.up()
    assert seen(page) == []


def test_two_fingers_are_none(page: Page) -> None:
    fingers, here, there = Fingers(page), middle(page, "plain"), middle(page, "answer")
    fingers.touch("touchStart", here)
    fingers.touch("touchStart", here, there)
    fingers.touch("touchEnd", here)
    fingers.touch("touchEnd")
    assert seen(page) == []
    page.get_by_role("button", name="plain").tap()
    assert seen(page) == ["plain"], "the next finger counts again"


def test_after_an_answer_half_a_second_is_dead(page: Page) -> None:
    page.evaluate("() => { const own = performance.now(); performance.now = () => own }")
    page.get_by_role("button", name="answer").tap()
    page.get_by_role("button", name="plain").tap()
    page.get_by_role("button", name="answer").tap()
    assert seen(page) == ["answer"]
    page.evaluate("() => { const then = performance.now(); performance.now = () => then + 550 }")
    page.get_by_role("button", name="plain").tap()
    assert seen(page) == ["plain"]


def test_a_finger_that_stays_is_a_long_press_and_no_press(page: Page) -> None:
    fingers, here = Fingers(page), middle(page, "long")
    fingers.touch("touchStart", here)
    page.wait_for_timeout(700)
    fingers.touch("touchEnd")
    page.wait_for_timeout(50)
    assert seen(page) == ["held"]
    page.get_by_role("button", name="long").tap()
    assert seen(page) == ["long"]


def test_a_button_that_is_off_says_nothing(page: Page) -> None:
    page.get_by_role("button", name="none").tap(force=True)
    assert seen(page) == []


NAMED = f"""async () => {{
  const {{ nameOf }} = await import({MODULE} + "names.js");
  document.querySelector("main").replaceChildren("21 ", nameOf({{ name: "Pip Quillfeather" }}));
}}"""


def test_names_hide_after_two_idle_minutes_and_numbers_stay(site: Site, phone: Maker) -> None:
    context = phone()
    page = context.new_page()
    page.clock.install()
    page.goto(f"{site.url}/#/start-here")
    expect(page.locator("html[data-ready]")).to_be_attached()
    page.evaluate(NAMED)
    name = page.get_by_text("Pip Quillfeather")
    page.clock.run_for(100_000)
    expect(name).to_be_visible()
    page.keyboard.press("Shift")
    page.clock.run_for(100_000)
    expect(name).to_be_visible()
    page.clock.run_for(30_000)
    expect(name).to_be_hidden()
    expect(page.locator("main")).to_contain_text("21")
    page.keyboard.press("Shift")
    expect(name).to_be_hidden()
    page.evaluate(f'async () => (await import({MODULE} + "names.js")).uncover()')
    expect(name).to_be_visible()
