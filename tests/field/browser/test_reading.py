"""The page for eyes and ears of every kind: larger text, fewer colors, less motion, contrast."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product

import pytest
from playwright.sync_api import Browser, Playwright

from ledger.field.shell import STATIC
from tests.field.browser import checks
from tests.field.browser.chromium import executable, options
from tests.field.browser.look import LARGE
from tests.field.browser.states import STATES, State
from tests.field.browser.tour import PHONE, Tour, morning_site

SCREENS = {state.screen: state for state in STATES if state.screen and not state.own}
SCREENS |= {one.name: one for one in STATES if one.name in ("plays: counting", "child first game")}
CSS = (STATIC / "page.css").read_text()


@pytest.fixture(scope="module")
def large(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tour]:
    """A browser whose text is twice as large."""
    browser = playwright.chromium.launch(executable_path=executable(), args=[*options(), LARGE])
    with morning_site(tmp_path_factory.mktemp("large")) as site:
        yield Tour(site, browser)
    browser.close()


@pytest.mark.parametrize("state", SCREENS.values(), ids=list(SCREENS))
def test_text_of_twice_the_size(large: Tour, state: State) -> None:
    with large.at(state, PHONE) as page:
        found = checks.layout(page) + checks.focus(page)
    assert not found, "\n".join(found)


def colors(night: bool) -> dict[str, tuple[float, float, float]]:
    """The colors of page.css by name, each part from 0 to 1."""
    by_day, by_night = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)[:2]
    found = dict(re.findall(r"--([a-z-]+): #([0-9a-f]{3,6});", by_day))
    if night:
        found |= dict(re.findall(r"--([a-z-]+): #([0-9a-f]{3,6});", by_night))
    return {name: _parts(text) for name, text in found.items()}


def _parts(text: str) -> tuple[float, float, float]:
    full = text if len(text) == 6 else "".join(letter * 2 for letter in text)
    red, green, blue = (int(full[at : at + 2], 16) / 255 for at in (0, 2, 4))
    return red, green, blue


def contrast(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """WCAG 2.2, "contrast ratio" and "relative luminance"."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(color: tuple[float, float, float]) -> float:
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in color
    ]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_contrast(night: bool) -> None:
    found = colors(night)
    for ink, ground in product(("ink", "soft"), ("paper",)):
        assert contrast(found[ink], found[ground]) >= 7, (ink, ground)
    assert contrast(found["on-strong"], found["strong"]) >= 7
    assert contrast(found["soft"], found["dim"]) >= 4.5, "a done number"
    assert contrast(found["line"], found["paper"]) >= 3, "what is no text"
    assert contrast(found["line"], found["dim"]) >= 3, "the edge of a done number"


def test_colors_are_named_in_one_place() -> None:
    for path in STATIC.glob("screens-*.css"):
        assert not re.findall(r"#[0-9a-f]{3,8}\b|rgb|hsl", path.read_text()), path.name


def test_states_of_tiles_differ_without_color(chromium: Browser, large: Tour) -> None:
    """Where somebody's own colors replace ours, edges and weight still tell them apart."""
    state = next(one for one in STATES if one.name == "numbers: half done")
    with large.at(state, PHONE | {"forced_colors": "active"}) as page:
        looks = page.locator(".tile").evaluate_all(
            """all => all.map((one) => {
              const { borderStyle, borderWidth, fontWeight } = getComputedStyle(one);
              return [one.dataset.state, borderStyle, borderWidth, fontWeight].join();
            })"""
        )
    found = sorted(set(looks))
    assert [one.split(",")[0] for one in found] == ["done", "due", "listed"]
    assert len({one.split(",", 1)[1] for one in found}) == 3


def test_less_motion(large: Tour) -> None:
    state = next(one for one in STATES if one.name == "numbers: before")
    with large.at(state, PHONE | {"reduced_motion": "reduce"}) as page:
        page.evaluate("document.body.classList.add('felt')")
        assert page.evaluate("document.getAnimations().length") == 0
