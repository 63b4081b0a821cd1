"""Every screen in every state: axe-core, fingers, focus and narrow screens find nothing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from ledger.field.shell import STATIC
from tests.field.browser import checks
from tests.field.browser.states import STATES, State
from tests.field.browser.tour import DESK, Tour, morning_site

FIRST = {state.screen: state for state in reversed(STATES) if state.screen}
"""A state of each screen: the dark is looked at in it, and Tab goes through it."""
_WIDE = ("numbers: half done", "child first game", "scale: passes", "sign", "plays: half ended")
WIDE = [one for one in STATES if one.name in _WIDE]


@pytest.fixture(scope="module")
def tour(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tour]:
    with morning_site(tmp_path_factory.mktemp("tour")) as site:
        found = Tour(site, chromium)
        yield found
        found.close()


def named(states: list[State] | tuple[State, ...]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("state", states, ids=[one.name for one in states])


@named(STATES)
def test_a_state_on_a_phone(tour: Tour, state: State) -> None:
    with tour.at(state) as page:
        found = checks.by_axe(page)
        if state is FIRST.get(state.screen):
            found += checks.in_the_dark(page) + checks.tabbing(page)
        if state.screen:
            found += checks.layout(page) + checks.narrow(page)
    assert not found, "\n".join(found)


@named(WIDE)
def test_a_state_on_a_desk(tour: Tour, state: State) -> None:
    with tour.at(state, DESK) as page:
        found = checks.by_axe(page) + checks.layout(page) + checks.focus(page)
    assert not found, "\n".join(found)


def test_every_screen_has_its_states() -> None:
    screens = {path.stem for path in (STATIC / "screens").glob("*.js")}
    assert screens <= {state.screen for state in STATES}


def test_names_of_states_are_their_own() -> None:
    assert len({state.name for state in STATES}) == len(STATES)
