"""Going on with a pen, and typing the sheet in."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw
from playwright.sync_api import Page

from tests.field.browser.states.state import State, at
from tests.field.browser.states.steps import Do, after, press, see


def a_photo(page: Page) -> None:
    """Of an invented sheet: four lines in a bad hand."""
    sheet = Image.new("L", (700, 900), 235)
    draw = ImageDraw.Draw(sheet)
    for row, text in enumerate(("No.   ok/over   time", "30    ok     8:44", "32    OVER   8:45")):
        draw.text((40, 60 + row * 90), text, font_size=48, fill=40)
    content = io.BytesIO()
    sheet.save(content, "PNG")
    file = {"name": "sheet.png", "mimeType": "image/png", "buffer": content.getvalue()}
    page.locator("input[type=file]").set_input_files(files=[file])  # type: ignore[list-item]


def key(text: str, *, enter: bool = False) -> Do:
    """Types into the number's field."""

    def do(page: Page) -> None:
        field = page.get_by_label("Number", exact=True)
        field.press_sequentially(text)
        if enter:
            field.press("Enter")

    return do


def _sheet(name: str, sees: str, *do: Do, own: bool = False) -> State:
    return State(f"from paper: {name}", at("line", "from-paper"), sees, after(*do), own=own)


PAPER = (
    State("paper", "game/line/paper", "text=Listed, may still come"),
    State(
        "paper: goes on",
        "game/line/paper",
        "text=On paper since",
        press("Go on with paper"),
        own=True,
    ),
    State("paper: all in", "game/weighed/paper", "text=Next: close the"),
    _sheet("empty", "text=Write it down"),
    _sheet("a line", "text=weighed over", key("32v")),
    _sheet("not on the roster", "text=is not on the roster", key("77o")),
    _sheet("twice", "text=is already written down", key("3o")),
    _sheet(
        "a photo, and lines written",
        "text=Take back",
        a_photo,
        see(".sheet img"),
        key("30o", enter=True),
        see(".rows li"),
        key("58v", enter=True),
        see(".rows li >> nth=1"),
        own=True,
    ),
)
