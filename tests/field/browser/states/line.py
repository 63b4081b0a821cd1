"""The line: a team's numbers, and one child."""

from __future__ import annotations

from tests.field.browser.states.state import AFTER_KICKOFF, AT_THE_HALF, State, at, child
from tests.field.browser.states.steps import after, cover, fill, go, press, see

NUMBERS = (
    State("numbers: before", at("ready", "weigh"), "text=24 left"),
    State("numbers: half done", at("line", "weigh"), "text=which one counts?"),
    State("numbers: all done", at("weighed", "weigh"), "text=Nobody left: close"),
    State("numbers: closed", at("closed", "weigh"), "text=weighed late"),
    State("numbers: scale out", at("out", "weigh"), "text=by the book"),
    State("numbers: a digit", at("ready", "weigh"), ".tiles:has(.unmeant)", fill("3")),
    State("numbers: letters", at("ready", "weigh"), ".meant button", fill("be")),
    State(
        "numbers: not on the roster", at("ready", "weigh"), "text=is not on the roster", fill("77")
    ),
    State(
        "numbers: stepped aside",
        at("ready", "child", "/{p39}"),
        "text=Stepped aside: ready now?",
        after(press("Not now"), see(".aside")),
        own=True,
    ),
    State(
        "numbers: written down",
        at("ready", "child", "/{p39}"),
        "text=Take back 39",
        after(press("OK"), see(".last button")),
        own=True,
    ),
    State(
        "numbers: first mark",
        at("ready", "child", "/{p58}"),
        "text=Book marked ok.",
        after(press("OK"), see(".last button")),
        own=True,
    ),
    State(
        "numbers: taken back",
        at("ready", "child", "/{p58}"),
        "text=Bring back 58",
        after(
            press("OK"),
            see(".last button"),
            lambda page: page.wait_for_timeout(600),
            press("Book marked ok"),
        ),
        own=True,
    ),
    State("not here: before the line", at("fresh", "absent"), "text=Choose why"),
    State("not here: some listed", at("line", "absent"), ".tile[data-state=listed]", press("13, ")),
    State("other number", at("ready", "other-number"), "text=Not on the roster"),
    State(
        "other number: on the roster", at("ready", "other-number", "/34"), "text=is on the roster"
    ),
)

CHILD = (
    child("as usual", "ready", 39, ".answers .ok"),
    child("first game", "ready", 58, "text=First game"),
    child("listed absent", "line", 13, "text=Listed absent"),
    child("listed injured", "line", 15, "text=Listed injured"),
    child("listed for gear", "line", 16, "text=Listed for gear"),
    child("listed over", "line", 18, "text=Listed in advance"),
    child("done", "line", 3, "text=Written down at"),
    child("done, answer shown", "line", 3, ".told", do=press("Show the answer")),
    child("tape asked", "line", 22, "text=Tape across the helmet"),
    child(
        "over just now",
        "ready",
        58,
        "text=Tape across the helmet",
        do=after(press("OVER"), see(".tape")),
        own=True,
    ),
    child("written down twice", "line", 27, "text=Take back the wrong one"),
    child("by the book", "out", 39, "text=the book decides"),
    child("by the book, no mark", "out", 58, "text=No mark in the book"),
    child("late", "late", 48, "text=Weighed late", now=AFTER_KICKOFF),
    child("too late", "half", 48, "text=too late to play", now=AT_THE_HALF),
    child("names hidden", "ready", 39, "text=name hidden", do=cover, own=True),
    State(
        "child not on the roster",
        at("ready", "other-number"),
        "text=Not on the roster: settled later",
        after(fill("77"), fill("Somebody New", "main input >> nth=1"), press("To the scale")),
    ),
    State("gear", at("ready", "gear", "/{p39}"), "text=Still missing"),
    State("not here: one child", at("ready", "not-here", "/{p39}"), "text=is not weighed"),
    State("objection", at("ready", "objection", "/{p39}"), "text=Read this aloud"),
    State(
        "objection: a weight",
        at("ready", "objection", "/{p39}"),
        "text=This looks like a weight",
        after(fill("The coach says he weighs 96", "textarea"), press("Write it down")),
    ),
    State("hold", "game/line/hold", "text=On hold", own=True),
    State(
        "numbers: on hold",
        at("ready", "weigh"),
        "#hold",
        after(go("game/ready/hold"), see("#hold"), go(at("ready", "weigh")), see(".tiles")),
        own=True,
    ),
    State("hold: site official", "game/line/hold", "text=Move the kickoff", who="site", own=True),
    State("cover", "cover/%23%2F", "text=Go on", own=True),
)
