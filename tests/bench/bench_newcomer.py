"""Somebody asked at 8:25, from "I am new here" to the first child's answer, in seconds of a person.

    python -m tests.bench.bench_newcomer

Chromium at the size of a small phone; the other team's weighmaster confirms on a phone of their
own, in mid-line. Every tap and key is made on the real page and its time measured. What a person
needs besides is added, not waited for: PERSON, from memory (the key is K of the Keystroke-Level
Model, Card, Moran and Newell 1980). Every word of a screen from its top to what is tapped is read
once, small print too. The digits are chosen while the other one confirms. Goal: under a minute.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from time import perf_counter
from typing import Literal

from playwright.sync_api import Locator, Page, ViewportSize, expect, sync_playwright

from tests.field.browser.chromium import executable, options
from tests.field.browser.line import Line
from tests.field.browser.pages import wait_until_ready
from tests.field.site import Morning

GOAL_S = 60
PERSON = {"word": 0.25, "tap": 1.2, "key": 0.28, "spoken digit": 0.5}
GAME, NAME, DIGITS = "practice-1", "Pip Invented", "2468"
PHONE: ViewportSize = {"width": 360, "height": 640}
DOWN_TO = """target => {
  const end = target.getBoundingClientRect().bottom;
  const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  const said = [];
  while (walker.nextNode()) {
    const range = document.createRange();
    range.selectNodeContents(walker.currentNode);
    const { top, height } = range.getBoundingClientRect();
    if (height && top >= 0 && top < end) said.push(walker.currentNode.data);
  }
  return said.join(" ");
}"""
"""The words on a screen from its top, in view, to the end of an element."""


class Person:
    """Somebody with a phone; `seconds` is the person's time and the program's."""

    def __init__(self, page: Page) -> None:
        self.page, self.seconds = page, 0.0
        self.read_before: Counter[str] = Counter()
        self.counts: Counter[str] = Counter()

    def tap(self, target: Locator) -> None:
        self._read_to(target)
        self._timed(target.click)
        self.needs("tap", 1)

    def tap_named(self, role: Literal["link", "button", "radio", "checkbox"], name: str) -> None:
        self.tap(self.page.get_by_role(role, name=re.compile(name)).first)

    def type(self, label: str, text: str) -> None:
        field = self.page.get_by_label(label)
        self._read_to(field)
        self._timed(lambda: field.press_sequentially(text))
        self.needs("key", len(text))

    def waits_for(self, text: str) -> None:
        found = self.page.get_by_text(re.compile(text)).first
        self._timed(lambda: expect(found).to_be_visible(timeout=15_000))

    def needs(self, what: str, count: int) -> None:
        self.counts[what] += count
        self.seconds += PERSON[what] * count

    def _read_to(self, target: Locator) -> None:
        shown = Counter(re.findall(r"[^\W\d_]+", target.evaluate(DOWN_TO)))
        self.needs("word", (shown - self.read_before).total())
        self.read_before |= shown

    def _timed(self, do: Callable[[], object]) -> None:
        begin = perf_counter()
        do()
        self.seconds += perf_counter() - begin


def until_the_code(new: Person) -> str:
    new.tap_named("link", "I am new here")
    new.waits_for("Your name")
    new.type("Your name", NAME)
    new.tap_named("radio", "Paper Kites")
    new.tap_named("radio", "^Weigh")
    new.tap_named("checkbox", "I coach")
    new.tap_named("button", "Go on")
    new.waits_for("Tell this code")
    return new.page.locator(".code").inner_text()


def confirm(other: Person, code: str) -> None:
    other.waits_for(f"{NAME} is new here")
    other.tap_named("link", f"{NAME} is new here")
    other.waits_for("The code they tell you")
    other.needs("spoken digit", len(code))
    other.type("The code they tell you", code)


def weigh_the_first(new: Person) -> None:
    new.waits_for("You weigh the Tin Drums.")
    new.tap_named("button", "Start weighing")
    new.tap(new.page.locator(".tile").first)
    new.tap(new.page.get_by_role("button", name="OK", exact=True))


def main() -> int:
    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory())
        playwright = stack.enter_context(sync_playwright())
        morning = stack.enter_context(Morning(Path(folder)))
        browser = playwright.chromium.launch(executable_path=executable(), args=options())
        stack.callback(browser.close)
        theirs, mine = (browser.new_context(viewport=PHONE, has_touch=True) for _ in range(2))
        morning.sign_in(theirs, "drums-wm1")
        other = Person(Line(theirs, morning, "kites", GAME).begin().page)
        new = Person(mine.new_page())
        new.page.goto(morning.url)
        wait_until_ready(new.page)
        code = until_the_code(new)
        alone = new.seconds
        new.type("Four digits", DIGITS)
        confirm(other, code)
        both = max(new.seconds - alone, other.seconds)
        new.seconds = 0
        weigh_the_first(new)
    total = alone + both + new.seconds
    parts = (alone, both, new.seconds)
    print("to the code {:.0f} s, confirmed in {:.0f}, to the first answer {:.0f}".format(*parts))
    print(f"in all {total:.0f} s (goal {GOAL_S})")
    print(f"somebody new: {dict(new.counts)}; who confirms: {dict(other.counts)}")
    return 0 if total < GOAL_S else 1


if __name__ == "__main__":
    sys.exit(main())
