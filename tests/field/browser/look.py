"""Pictures of every state of every screen, to be looked at.

    python -m tests.field.browser.look FOLDER [NAME …] [--only dark]

writes FOLDER/390/numbers-half-done.png and so on, for each way of looking in LOOKS or for one; with
names of states, or parts of them, only those.
"""

from __future__ import annotations

import re
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import sync_playwright

from tests.field.browser.chromium import executable, options
from tests.field.browser.states import STATES, State
from tests.field.browser.tour import Tour, morning_site

_TOUCH = {"has_touch": True, "is_mobile": True}
LOOKS: Mapping[str, dict[str, Any]] = {
    "360": _TOUCH | {"viewport": {"width": 360, "height": 640}},
    "390": _TOUCH | {"viewport": {"width": 390, "height": 844}},
    "820": _TOUCH | {"viewport": {"width": 820, "height": 1180}},
    "1280": {"viewport": {"width": 1280, "height": 800}},
    "dark": _TOUCH | {"viewport": {"width": 390, "height": 844}, "color_scheme": "dark"},
    "forced": {"viewport": {"width": 390, "height": 844}, "forced_colors": "active"},
    "grey": _TOUCH | {"viewport": {"width": 390, "height": 844}},
    "large": _TOUCH | {"viewport": {"width": 390, "height": 844}},
}
LARGE = "--blink-settings=defaultFontSize=32"
"""Twice the text that a browser begins with, as somebody chooses it in its settings."""


def take(folder: Path, look: str, states: list[State]) -> None:
    where = folder / look
    where.mkdir(parents=True, exist_ok=True)
    more = [LARGE] if look == "large" else []
    with (
        tempfile.TemporaryDirectory() as place,
        morning_site(Path(place)) as site,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=executable(), args=[*options(), *more])
        tour = Tour(site, browser)
        for state in states:
            path = where / f"{re.sub('[^a-z0-9]+', '-', state.name)}.png"
            with tour.at(state, LOOKS[look]) as page:
                page.wait_for_timeout(200)
                page.screenshot(path=path)
            if look == "grey":
                Image.open(path).convert("L").save(path)
            print(path)
        tour.close()
        browser.close()


def main(words: list[str]) -> None:
    parser = ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--only", choices=LOOKS)
    given = parser.parse_intermixed_args(words)
    wanted = [one for one in STATES if any(name in one.name for name in given.names or [""])]
    for look in [given.only] if given.only else LOOKS:
        take(given.folder, look, wanted)


if __name__ == "__main__":
    main(sys.argv[1:])
