"""A first game's weigh-in on two phones, beside the marks that it takes on paper.

    python -m tests.bench.bench_weigh_in

Chromium at the size of a phone; 24 and 22 children, visitors first, each team by the opponents'
weighmaster on a phone of their own. Every tap is made on the real page and its time measured. What
hands and eyes need besides is added, not waited for: the seconds of `HUMAN` are our assumption
(common practice, no source). On paper a mark is what the pen writes in one place: in the book ok or
over, and initials; for a child over the limit also number and reason on the list. Goals: at most
two taps for a child who is ok, three for one over; the whole game within 20 minutes.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path
from statistics import mean
from time import perf_counter

from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from ledger.store.opening import open_store
from tests.bench.bench_field import PROGRAM, Server, free_port
from tests.bench.game_day import player, soon, write_season
from tests.field.browser.chromium import executable, options

HUMAN = {
    "number and helmet": 5.0,  # the child says a number and hands the helmet over
    "step up, beam settles, step down": 9.0,
    "find the tile": 1.5,
    "choose the answer": 1.0,
    "tape the helmet": 10.0,  # for a child over the limit only
}
SQUADS = {"t01": 24, "t00": 22}
OVER_EVERY = 9
PAPER = {"ok": 2, "over": 4}
TAPS = {"ok": 2, "over": 3}
MINUTES = 20
DEAD_MS = 550


def weigh_team(page: Page, server: Server, team: str, squad: int) -> dict[str, list[float]]:
    """The seconds of the page a child, by answer."""
    page.goto(f"{server.address}/#/game/g00/scale/{team}")
    expect(page.locator("main[data-screen=scale] h1")).to_be_visible()
    for name in ("Level", "Zero", "Set the scale"):
        page.get_by_role("button", name=name).click()
    page.get_by_role("button", name="10", exact=True).click()
    page.get_by_role("button", name="Scale is ready", exact=True).click()
    taken: dict[str, list[float]] = defaultdict(list)
    for place in range(squad):
        expect(page.locator("main[data-screen=weigh] .tiles")).to_be_visible()
        page.wait_for_timeout(DEAD_MS)  # hands are with the child meanwhile: no time of the page
        answer = "over" if place % OVER_EVERY == 0 else "ok"
        names = ("OVER", "Tape is on") if answer == "over" else ("OK",)
        assert 1 + len(names) <= TAPS[answer]
        seconds = _timed(page, None, str(3 * place + 1))
        for name in names:
            page.wait_for_timeout(DEAD_MS)
            seconds += _timed(page, name, "")
        taken[answer].append(seconds)
    expect(page.locator("#saved")).to_have_text("All saved")
    return taken


def _timed(page: Page, button: str | None, number: str) -> float:
    """Tap a button, or the tile of a number; seconds until the page shows what comes next."""
    begin = perf_counter()
    if button:
        page.get_by_role("button", name=button, exact=True).click()
    else:
        tile = page.locator(".tile").filter(has=page.get_by_text(number, exact=True)).first
        tile.click()
        expect(page.get_by_role("heading", name=f"Number {number}")).to_be_visible()
    return perf_counter() - begin


def report(team: str, taken: dict[str, list[float]]) -> float:
    """Print a team's children; the script's seconds for all of them."""
    total = 0.0
    for answer, seconds in taken.items():
        human = sum(HUMAN.values()) - (HUMAN["tape the helmet"] if answer == "ok" else 0.0)
        total += sum(seconds) + human * len(seconds)
        print(
            f"{team}, {answer}: {len(seconds)} children, {TAPS[answer]} taps each (on paper "
            f"{PAPER[answer]} marks), page {mean(seconds):.2f} s and hands {human:.1f} s a child"
        )
    return total


def phone(browser: Browser, server: Server, cookie: str) -> BrowserContext:
    size = {"width": 390, "height": 844}
    context = browser.new_context(viewport=size, has_touch=True, is_mobile=True)  # type: ignore[arg-type]
    own = {"name": f"weighbook-{server.port}", "value": cookie, "url": server.address}
    context.add_cookies([own])  # type: ignore[list-item]
    return context


def main() -> None:
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        folder = Path(name)
        write_season(folder / "season", soon(), squads=SQUADS)
        ledger = folder / "day.weighbook"
        loading = [*PROGRAM, "--store", str(ledger), "load", str(folder / "season")]
        subprocess.run(loading, check=True, capture_output=True)
        server = Server(ledger, free_port())
        server.sign_everybody_in()
        server.start()
        browser = playwright.chromium.launch(executable_path=executable(), args=options())
        try:
            total = 0.0
            # The visitors first, by the home side's weighmaster, who is the first device.
            for cookie, (team, squad) in zip(server.cookies[:2], SQUADS.items(), strict=True):
                with phone(browser, server, cookie) as context:
                    total += report(team, weigh_team(context.new_page(), server, team, squad))
        finally:
            browser.close()
            server.kill()
        store = open_store(ledger)
        weighed = {one.event.player for one in store.events(kind=["weigh"])}
        store.close()
        wanted = {player(team, place) for team, squad in SQUADS.items() for place in range(squad)}
        assert weighed == wanted, wanted - weighed
        print(f"the whole game: {total / 60:.1f} minutes of the script's time (goal {MINUTES})")
        if total > MINUTES * 60:
            sys.exit("goal missed")


if __name__ == "__main__":
    main()
