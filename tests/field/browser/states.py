"""Every screen of the page in every state that one can meet: how to get there, and what shows it.

The accessibility tests, the tests of narrow screens and large text, and the pictures (`look.py`)
all go through STATES. A test holds that each file of static/screens/ is here.

`place` follows `#/`, or is an address that begins with `/`; `{p58}` is the child with that number,
`{signed}` a signature. `do` goes on from there. A state whose `do` leaves something on the device is
`own`: it has a device of its own, from which no tap reaches the server.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any, NamedTuple

from playwright.sync_api import Page, Route

from tests.field.browser.mornings import NOW, PLAYERS
from tests.field.browser.pages import MODULE, call
from tests.field.site import PASSPHRASE

Do = Callable[[Page], object]
ACTS = "**/api/acts"
AFTER_KICKOFF = "2026-10-17T14:21:00Z"
AT_THE_HALF = "2026-10-17T14:48:00Z"


class State(NamedTuple):
    """`sees` is a selector of what is there in this state only; `who` a device of `tour.py`."""

    name: str
    place: str
    sees: str
    do: Do | None = None
    who: str = "weigher"
    own: bool = False
    now: str = NOW

    @property
    def screen(self) -> str:
        """The file of static/screens/ that it shows; "" for a page that is printed."""
        if self.place.startswith("/"):
            return ""
        parts = self.place.split("/")
        if parts[0] != "game":
            return parts[0] or "home"
        return parts[2] if len(parts) > 2 else "game"


def _press(*names: str) -> Do:
    def do(page: Page) -> None:
        for name in names:
            begins = re.compile(f"^{re.escape(name)}")
            one = page.get_by_role("button", name=begins)
            one.or_(page.get_by_role("link", name=begins)).first.click()

    return do


def _type(text: str, where: str = "main input") -> Do:
    return lambda page: page.locator(where).first.fill(text)


def _after(*steps: Do) -> Do:
    def do(page: Page) -> None:
        for step in steps:
            step(page)

    return do


def _go(place: str) -> Do:
    return lambda page: page.evaluate("to => { location.hash = to }", f"#/{place}")


def _see(selector: str) -> Do:
    return lambda page: page.locator(selector).first.wait_for()


def _cover(page: Page) -> None:
    call(page, "names.js", "cover")


def _digits(page: Page) -> None:
    call(page, "line/digits.js", "choose", "newts-wm1", "2468")


def _beam(page: Page) -> None:
    beam = {"game": "oak-one", "division": "Oak", "limit_clb": 12700, "at": NOW}
    call(page, "line/table.js", "setBeam", beam)


def _scale(*, reading: str = "10", limit: str | None = None) -> Do:
    def do(page: Page) -> None:
        for name in ("Level", "Zero", "Set the scale to"):
            page.get_by_role("button", name=name).click()
        if page.get_by_role("button", name=reading, exact=True).count():
            page.get_by_role("button", name=reading, exact=True).click()
        else:
            _enter(page, "Another reading, in lb", reading)
        if limit:
            _enter(page, "Set to another limit, in lb", limit)

    return do


def _enter(page: Page, label: str, text: str) -> None:
    field = page.get_by_label(label)
    field.fill(text)
    field.press("Tab")


def _tap(*entries: dict[str, Any]) -> Do:
    """An act, as a screen states it. It waits on the device."""
    run = f"""async (entries) => {{
      const {{ app }} = await import({MODULE} + "main.js");
      await app.state(entries);
    }}"""
    return lambda page: page.evaluate(run, list(entries))


def _weigh(number: int) -> Do:
    player = PLAYERS[number]
    return _tap({"kind": "weigh", "team": "marmots", "player": player, "value": "ok"})


def _answers(status: int, body: dict[str, Any]) -> Do:
    """What the server says to every act from now on."""

    def fulfil(route: Route) -> None:
        asked = json.loads(route.request.post_data or "{}")
        events = [f"e{n}" for n, _ in enumerate(asked.get("entries", []))]
        said = {"act": asked.get("act"), "events": events, "recorded": NOW} | body
        route.fulfill(status=status, json=said)

    def answering(page: Page) -> None:
        page.route(ACTS, fulfil)
        page.evaluate("globalThis.answering = true")

    return answering


def _offline(page: Page) -> None:
    page.context.set_offline(True)


def _count(*numbers: int) -> Do:
    def do(page: Page) -> None:
        for number in numbers:
            page.locator(".tile").filter(has=page.get_by_text(str(number), exact=True)).first.click()
        page.get_by_role("button", name="Count").click()

    return do


def _refused(code: str, message: str, **more: Any) -> Do:
    error = {"code": code, "message": message} | more
    return _after(_answers(422, {"error": error}), _weigh(45), _see("section.needs"))


ELEVEN = (1, 3, 5, 8, 11, 19, 22, 24, 26, 27, 30)


def _at(game: str, screen: str, more: str = "") -> str:
    return f"game/{game}/{screen}/marmots{more}"


def _child(name: str, game: str, number: int, sees: str, **how: Any) -> State:
    return State(f"child {name}", _at(game, "child", f"/{{p{number}}}"), sees, **how)


SIGNING_IN = (
    State("signed out", "", "text=Who are you?", who="nobody"),
    State("sign in: nobody found", "sign-in", "text=Ask the registrar", _type("zzzz"), "nobody"),
    State("sign in: passphrase", "sign-in", "text=Passphrase of your key", _after(
        _type("Hazel"), _press("Hazel")), "nobody"),
    State("sign in: no key", "sign-in", "h1:has-text('Ottoline')", _after(
        _type("Ottoline"), _press("Ottoline")), "nobody"),
    State("to be confirmed", "", "text=To be confirmed", who="unconfirmed"),
    State("sign in: digits", "sign-in", "text=Four digits for this device", _after(
        _type("Persephone"), _press("Persephone"), _type(PASSPHRASE), _press("Sign in")), "nobody", own=True),
    State("start here", "start-here", "text=Start here"),
    State("language", "language", "text=English"),
)

HOME = (
    State("games", "games", "text=You weigh the Mossbottom Marmots."),
    State("home: many games", "home", "text=You weigh the Mossbottom Marmots."),
    State("home: one game", "", "text=You weigh the Mossbottom Snapdragons.", who="one game"),
    State("home: no role today", "home", "text=You have no role", who="stranger"),
    State("home: no network", "waiting", "text=No answer from the server", _after(_offline, _go("home")), own=True),
    State("game: scale not read", "game/fresh", "text=not read yet"),
    State("game: scale ready", "game/ready", "text=Start weighing"),
    State("game: beam set for another", "game/ready", "text=set it again", _after(_beam, _go("waiting"), _go("game/ready")), own=True),
    State("game: in the line", "game/line", "text=Go on weighing"),
    State("game: scale out", "game/out", "text=Scale out: by the book"),
    State("game: closed", "game/closed", "text=Sign the list"),
    State("game: called off", "game/off", "text=called off"),
    State("game: play counter", "game/plays", "text=You count plays", who="counter"),
    State("game: site official", "game/line", "text=You are the site official", who="site"),
    State("game: president", "game/line", "text=You weigh the", who="president"),
    State("hand over: one", "hand-over", "text=Who has the device?"),
    State("hand over: two", "hand-over", "text=Lionel", who="two"),
    State("hand over: digits", "hand-over", "text=Your four digits", _after(_digits, _press("Hazel")), own=True),
    State("confirm a name", "confirm", "text=The code they tell you"),
    State("confirm: wrong code", "confirm", "[role=status]:not(#live):not(:empty)", _after(
        lambda page: page.locator("select").select_option(index=3), _type("000000"), _press("Confirm")), "president"),
    State("unlock: no digits", "unlock", "text=Show names"),
    State("unlock: digits", "waiting", "text=Your four digits", _after(_digits, _cover, _go("unlock")), own=True),
)

SCALE = (
    State("scale: not read", _at("fresh", "scale"), "text=Check weight, 10 lb"),
    State("scale: passes", _at("fresh", "scale"), "text=It passes.", _scale()),
    State("scale: does not pass", _at("fresh", "scale"), "text=It does not pass", _scale(reading="11.5")),
    State("scale: wrong limit", _at("fresh", "scale"), "text=The limit of this game", _scale(limit="125")),
    State("scale: again", _at("ready", "scale"), "text=Checked at"),
    State("scale: out, again", _at("out", "scale"), "text=Out of use since"),
    State("scale: beam set for another", "waiting", "text=The beam stands at", _after(_beam, _go(_at("ready", "scale"))), own=True),
    State("scale trouble", _at("ready", "scale-trouble"), "text=Scale is out of use"),
    State("scale trouble: out", _at("out", "scale-trouble"), "text=The book decides."),
)

NUMBERS = (
    State("numbers: before", _at("ready", "weigh"), "text=24 left"),
    State("numbers: half done", _at("line", "weigh"), "text=which one counts?"),
    State("numbers: all done", _at("weighed", "weigh"), "text=All are here: close"),
    State("numbers: closed", _at("closed", "weigh"), "text=weighed late"),
    State("numbers: scale out", _at("out", "weigh"), "text=by the book"),
    State("numbers: a digit", _at("ready", "weigh"), ".tiles:has(.unmeant)", _type("3")),
    State("numbers: letters", _at("ready", "weigh"), ".meant button", _type("be")),
    State("numbers: not on the roster", _at("ready", "weigh"), "text=is not on the roster", _type("77")),
    State("numbers: stepped aside", _at("ready", "child", "/{p39}"), "text=Stepped aside: ready now?", _after(
        _press("Not now"), _see(".aside")), own=True),
    State("numbers: written down", _at("ready", "child", "/{p39}"), "text=Take back 39", _after(
        _press("OK"), _see(".last button")), own=True),
    State("numbers: first mark", _at("ready", "child", "/{p58}"), "text=Book marked ok.", _after(
        _press("OK"), _see(".last button")), own=True),
    State("numbers: taken back", _at("ready", "child", "/{p58}"), "text=Bring back 58", _after(
        _press("OK"), _see(".last button"), lambda page: page.wait_for_timeout(600), _press("Book marked ok")), own=True),
    State("not here: before the line", _at("fresh", "absent"), "text=Choose why"),
    State("not here: some listed", _at("line", "absent"), ".tile[data-state=listed]", _press("13, ")),
    State("other number", _at("ready", "other-number"), "text=Not on the roster"),
    State("other number: on the roster", _at("ready", "other-number", "/34"), "text=is on the roster"),
)

CHILD = (
    _child("as usual", "ready", 39, ".answers .ok"),
    _child("first game", "ready", 58, "text=First game"),
    _child("listed absent", "line", 13, "text=Listed absent"),
    _child("listed injured", "line", 15, "text=Listed injured"),
    _child("listed for gear", "line", 16, "text=Listed for gear"),
    _child("listed over", "line", 18, "text=Listed in advance"),
    _child("done", "line", 3, "text=Written down at"),
    _child("done, answer shown", "line", 3, ".told", do=_press("Show the answer")),
    _child("tape asked", "line", 22, "text=Tape across the helmet"),
    _child("over just now", "ready", 58, "text=Tape across the helmet", do=_after(_press("OVER"), _see(".tape")), own=True),
    _child("written down twice", "line", 27, "text=Take back the wrong one"),
    _child("by the book", "out", 39, "text=the book decides"),
    _child("by the book, no mark", "out", 58, "text=No mark in the book"),
    _child("late", "late", 48, "text=Weighed late", now=AFTER_KICKOFF),
    _child("too late", "half", 48, "text=too late to play", now=AT_THE_HALF),
    _child("names hidden", "ready", 39, "text=name hidden", do=_cover, own=True),
    State("child not on the roster", _at("ready", "other-number"), "text=Not on the roster: settled later", _after(
        _type("77"), _type("Somebody New", "main input >> nth=1"), _press("To the scale"))),
    State("gear", _at("ready", "gear", "/{p39}"), "text=Still missing"),
    State("not here: one child", _at("ready", "not-here", "/{p39}"), "text=is not weighed"),
    State("objection", _at("ready", "objection", "/{p39}"), "text=Read this aloud"),
    State("hold", "game/line/hold", "text=On hold", own=True),
    State("hold: site official", "game/line/hold", "text=Move the kickoff", who="site", own=True),
    State("cover", "cover/%23%2F", "text=Go on", own=True),
)

AFTER = (
    State("close: nobody weighed", _at("fresh", "close"), "text=List who is not here"),
    State("close: in the line", _at("line", "close"), "text=Close all the same"),
    State("close: things open", _at("loose", "close"), "text=Listed, and weighed ok"),
    State("close: settled", _at("weighed", "close"), "text=Everybody is weighed or listed"),
    State("close: closed", _at("closed", "close"), "text=Closed at"),
    State("left: in the line", "game/line/left", "text=Missing"),
    State("left: to sign", "game/closed/left", "text=Not signed"),
    State("sign", _at("closed", "sign"), "text=Your passphrase"),
    State("sign: things open", _at("loose", "sign"), "text=Sign all the same"),
    State("sign: one has signed", _at("signed", "sign"), "text=Number of this list"),
    State("sign: on paper", _at("closed", "sign"), ".copy", _press("Sign the paper list now")),
    State("sign: no network", _at("closed", "sign"), "text=as it was read last", _after(
        _see("form.signing button"), _offline, _weigh(45), _see("text=as it was read last")), own=True),
    State("receipt", "receipt/{signed}", ".qr"),
    State("late: before the close", _at("line", "late"), "text=still open"),
    State("late: before the half", _at("late", "late"), "text=plays in the second half", now=AFTER_KICKOFF),
    State("late: after the half", _at("half", "late"), "text=Today you stand with your team", now=AT_THE_HALF),
    State("take over", _at("late", "take-over"), "text=I weigh them from now on"),
    State("plays: which team", "game/closed/plays", "text=Count whose plays?", who="counter"),
    State("plays: begin", _at("closed", "plays"), "text=Tap out, tap in", who="counter", own=True),
    State("plays: counting", _at("closed", "plays"), "text=Same eleven", _after(
        _count(*ELEVEN), _see("text=Same eleven")), "counter", own=True, now=AFTER_KICKOFF),
    State("plays: half ended", _at("plays", "plays"), "text=Count on", _press("First half"), "counter", own=True, now=AT_THE_HALF),
    State("plays: others counted", _at("plays", "plays"), "text=I go on from the count", _press("First half"), "third counter", own=True, now=AT_THE_HALF),
    State("compare: differ", _at("plays", "compare", "/1"), "text=numbers differ", who="counter"),
    State("compare: nobody", _at("closed", "compare", "/1"), "text=Nobody has counted", who="counter"),
    State("halves", "game/late/halves", "text=End the first half now", who="site", now=AFTER_KICKOFF),
    State("halves: ended", "game/half/halves", "text=take back", who="site", now=AT_THE_HALF),
    State("concern", _at("line", "concern"), "text=Note a concern"),
    State("concern: number wrong", _at("line", "concern", "/{p39}"), "text=Nobody here has number", _after(_type("77"), _press("Helmet"))),
    State("paper", "game/line/paper", "text=The card, step by step"),
)

DEVICE = (
    State("all saved", "waiting", "h1:has-text('All saved')"),
    State("waiting", "game/ready", "h1:has-text('2 wait')", _after(_offline, _weigh(45), _weigh(48), _go("waiting")), own=True),
    State("needs you", "game/ready", "text=Send it again", _after(
        _go("waiting"), _refused("refused", "This child is on no roster.", hint="Ask the registrar.")), own=True),
    State("needs you: words", "game/ready", "text=The words are fine", _after(
        _go("waiting"), _refused("ask_texts", "This may be private.", questions=["“asthma” may be about health."])), own=True),
    State("clock ahead", "game/ready", "#clock", _after(_answers(201, {"clock_off_s": 1240}), _weigh(45), _see("#clock")), own=True),
    State("no way to open it offline", "waiting", "#no-reload", lambda page: page.evaluate(f"""async () => {{
      const worker = await import({MODULE} + "worker.js");
      delete Navigator.prototype.serviceWorker;
      await worker.begin();
      (await import({MODULE} + "strip.js")).paintStrip();
    }}"""), own=True),
    State("no such screen", "nowhere", "text=This screen did not open."),
    State("no such game", "game/nothing", "text=This screen did not open."),
)  # fmt: skip

PRINTED = (
    State("print: list", "/print/list/signed/marmots", "h1"),
    State("print: blank list", "/print/blank-list/fresh/marmots", "h1"),
    State("print: play count", "/print/play-count/fresh/marmots", "h1"),
    State("print: card", "/print/card/fresh", "h1"),
    State("print: receipt", "/print/receipt/{signed}", "h1"),
    State("print: refused", "/print/list/nothing/marmots", "text=cannot be printed"),
)

STATES = SIGNING_IN + HOME + SCALE + NUMBERS + CHILD + AFTER + DEVICE + PRINTED
