"""The page in another language: every text comes from the catalogue."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

from playwright.sync_api import expect

from ledger.field.shell import STATIC
from tests.field.browser.conftest import Maker
from tests.field.browser.pages import call, opened, tap
from tests.field.catalogue import catalogue
from tests.field.site import GAME, TEXTS, Site

PLACES = ("start-here", "waiting", "hand-over", f"game/{GAME}", f"game/{GAME}/scale",
          f"game/{GAME}/weigh/newts", f"game/{GAME}/child/newts/k1", "sign-in")  # fmt: skip
SAID = re.compile(r"[A-Za-z]{3}")
WORDS = re.findall(r"[A-Za-z]{3,}", " ".join(TEXTS.values()))
DATES = {"Saturday", "September", "Sat", "Sep"}
DATA = re.compile("|".join(sorted({"English", *DATES, *WORDS}, key=len, reverse=True)))


def marked(text: str) -> str:
    """The text in brackets, and shorn of letters, so that what is not in them shows."""
    parts = re.split(r"(\{\w+\})", text)
    return (
        "⟦" + "".join(p if p.startswith("{") else re.sub(r"[A-Za-z]", "·", p) for p in parts) + "⟧"
    )


def other_language() -> str:
    said = {
        (one.id[0] if one.pluralizable else one.id): [marked(form) for form in one.id]
        if one.pluralizable
        else marked(one.id)
        for one in catalogue()
        if one.id
    }
    return f"export default {json.dumps(said)};"


def test_no_text_stands_outside_the_catalogue(own_site: Site, phone: Maker, tmp_path: Path) -> None:
    new = Path(shutil.copytree(STATIC, tmp_path / "static"))
    (new / "words").mkdir(exist_ok=True)
    (new / "words" / "eo.js").write_text(other_language(), encoding="utf-8")
    own_site.kill()
    own_site.start(new)
    context = phone()
    own_site.sign_in(context)
    page = opened(context, own_site)
    call(page, "words.js", "speak", "eo")
    expect(page.locator("html")).to_have_attribute("lang", "eo")
    tap(page, {"kind": "at_scale", "team": "newts"})
    tap(page, {"kind": "station", "reading": "10", "limit": "95"})
    left = {}
    for place in PLACES:
        page.evaluate("(place) => { location.hash = place; }", f"#/{place}")
        name = place.split("/")[2] if place.count("/") > 1 else place.split("/")[0]
        expect(page.locator(f"main[data-screen={name}]:not([aria-busy])")).to_be_attached()
        expect(page.locator("main")).to_contain_text("⟦")
        lines = page.locator("main").inner_text().splitlines()
        own = [line for line in lines if SAID.search(DATA.sub("", line))]
        if own:
            left[place] = own
    assert left == {}
    call(page, "words.js", "speak", "en")
    expect(page.locator("html")).to_have_attribute("lang", "en")
