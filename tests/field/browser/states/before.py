"""Signing in, the first screens, the scale."""

from __future__ import annotations

from tests.field.browser.states.state import SIX_DAYS_BEFORE, State, at
from tests.field.browser.states.steps import (
    after,
    beam,
    cover,
    digits,
    fill,
    go,
    new_here,
    offline,
    press,
    scale,
    somebody,
    waiting,
)
from tests.field.site import PASSPHRASE

SIGNING_IN = (
    State("signed out", "", "text=Who are you?", who="nobody"),
    State("sign in: nobody found", "sign-in", "text=Ask the registrar", fill("zzzz"), "nobody"),
    State(
        "sign in: passphrase",
        "sign-in",
        "text=Your passphrase",
        after(fill("Hazel"), press("Hazel")),
        "nobody",
    ),
    State(
        "sign in: no key",
        "sign-in",
        "h1:has-text('Ottoline')",
        after(fill("Ottoline"), press("Ottoline")),
        "nobody",
    ),
    State("to be confirmed", "", "text=Have your name confirmed", who="unconfirmed"),
    State(
        "sign in: digits",
        "sign-in",
        "text=Choose four digits",
        after(
            fill("Persephone"),
            press("Persephone"),
            fill(PASSPHRASE, "main input[type=password]"),
            press("Sign in"),
        ),
        "nobody",
        own=True,
    ),
    State("new here", "new-here", "text=Which team are you here for?", who="nobody"),
    State(
        "new here: known",
        "new-here",
        "text=Is this you?",
        new_here("Penelope Tumblethatch"),
        "nobody",
    ),
    State(
        "new here: code",
        "new-here",
        ".code",
        new_here("Pip Invented"),
        "nobody",
        own=True,
    ),
    State(
        "new here: beside",
        "new-here",
        "text=confirms me",
        new_here("Moss Invented"),
        "site",
        own=True,
    ),
    State("start here", "start-here", "text=How it works"),
    State("language", "language", "text=English"),
)

HOME = (
    State("games", "games", "text=You weigh the Mossbottom Marmots."),
    State("home: many games", "home", "text=You weigh the Mossbottom Marmots."),
    State("home: one game", "", "text=You weigh the Mossbottom Snapdragons.", who="one game"),
    State("home: no role today", "home", "text=You have no job", who="stranger"),
    State(
        "home: no network",
        "waiting",
        "text=No answer from the server",
        after(offline, go("home")),
        own=True,
    ),
    State("game: scale not read", "game/fresh", "text=not read yet"),
    State("game: scale ready", "game/ready", "text=Start weighing"),
    State(
        "game: beam set for another",
        "game/ready",
        "text=set it again",
        after(beam, go("waiting"), go("game/ready")),
        own=True,
    ),
    State("game: in the line", "game/line", "text=Go on weighing"),
    State("game: not today", "game/fresh", "text=This game is in 6 days.", now=SIX_DAYS_BEFORE),
    State("game: scale out", "game/out", "text=Scale out: by the book"),
    State("game: closed", "game/closed", "text=Sign the list"),
    State("game: called off", "game/off", "text=called off"),
    State("game: play counter", "game/plays", "text=You count plays", who="counter"),
    State("game: site official", "game/line", "text=You are the site official", who="site"),
    State("game: president", "game/line", "text=You weigh the", who="president"),
    State("hand over: one", "hand-over", "text=Who has the device?"),
    State("hand over: two", "hand-over", "text=Lionel", who="two"),
    State(
        "hand over: digits",
        "hand-over",
        "text=Your four digits",
        after(digits(), press("Hazel")),
        own=True,
    ),
    State(
        "confirm: nobody",
        "confirm",
        "text=No one is waiting.",
        after(waiting(), go("waiting"), go("confirm")),
        own=True,
    ),
    State(
        "confirm: somebody new",
        "waiting",
        "text=Pip Invented",
        after(
            waiting(
                somebody("ready"),
                {"official": "x", "name": "Ottoline Invented", "by": []},
                let_in=(somebody("ready", name="Moss Invented", by_name="Hazel Invented"),),
            ),
            go("confirm"),
        ),
        own=True,
    ),
    State(
        "confirm: without authority",
        "waiting",
        "text=The code they tell you",
        after(waiting(somebody("ready", has_authority=False)), go("confirm")),
        own=True,
    ),
    State(
        "confirm: wrong code",
        "waiting",
        "[role=alert]:not(:empty)",
        after(waiting(somebody("ready")), go("confirm"), fill("000000")),
        own=True,
    ),
    State(
        "weigh: somebody new waits",
        "waiting",
        "a:has-text('is new here and waits')",
        after(waiting(somebody("ready")), go("game/ready/weigh/newts")),
        own=True,
    ),
    State(
        "game: somebody new waits",
        "waiting",
        "text=is new here and waits",
        after(waiting(somebody("ready")), go("game/ready")),
        own=True,
    ),
    State("sessions", "sessions", "text=This device", who="president"),
    State("unlock: no digits", "unlock", "text=Show names"),
    State(
        "unlock: digits",
        "waiting",
        "text=Your four digits",
        after(digits(), cover, go("unlock")),
        own=True,
    ),
)

SCALE = (
    State("scale: not read", at("fresh", "scale"), "text=Check weight, 10 lb"),
    State(
        "scale: passes", at("fresh", "scale"), "text=With this reading the scale passes.", scale()
    ),
    State(
        "scale: does not pass", at("fresh", "scale"), "text=It does not pass", scale(reading="11.5")
    ),
    State(
        "scale: wrong limit",
        at("fresh", "scale"),
        "text=The limit of this game",
        scale(limit="125"),
    ),
    State("scale: again", at("ready", "scale"), "text=Checked at"),
    State("scale: out, again", at("out", "scale"), "text=Out of use since"),
    State(
        "scale: beam set for another",
        "waiting",
        "text=The beam stands at",
        after(beam, go(at("ready", "scale"))),
        own=True,
    ),
    State("scale trouble", at("ready", "scale-trouble"), "text=Scale is out of use"),
    State("scale trouble: out", at("out", "scale-trouble"), "text=The book decides."),
)
