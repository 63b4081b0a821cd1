"""After the line; the device itself; pages that are printed."""

from __future__ import annotations

from tests.field.browser.pages import MODULE
from tests.field.browser.states.state import AFTER_KICKOFF, AT_THE_HALF, State, at
from tests.field.browser.states.steps import (
    ELEVEN,
    after,
    answering,
    battery_low,
    count,
    fill,
    go,
    offline,
    press,
    proved,
    refused,
    see,
    weighing,
)

AFTER = (
    State("close: nobody weighed", at("fresh", "close"), "text=List who is not here"),
    State("close: in the line", at("line", "close"), "text=Close anyway"),
    State("close: things open", at("loose", "close"), "text=Listed, and weighed ok"),
    State("close: settled", at("weighed", "close"), "text=Everybody is weighed or listed"),
    State("close: closed", at("closed", "close"), "text=Closed at"),
    State("left: in the line", "game/line/left", "text=Missing"),
    State("left: to sign", "game/closed/left", "text=Not signed by"),
    State("sign", at("closed", "sign"), "text=Your passphrase"),
    State("sign: who may still come", at("closed", "sign"), "text=before the first half ends"),
    State("sign: things open", at("loose", "sign"), "text=Sign anyway"),
    State("sign: one has signed", at("signed", "sign"), "text=Number of this list"),
    State("sign: on paper", at("closed", "sign"), ".copy", press("Sign the paper list now")),
    State(
        "sign: no network",
        at("closed", "sign"),
        "text=as it was read last",
        after(see("form.signing button"), offline, weighing(45), see("text=as it was read last")),
        own=True,
    ),
    State("receipt", "receipt/{signed}", ".qr"),
    State("late: before the close", at("line", "late"), "text=still open"),
    State(
        "late: before the half",
        at("late", "late"),
        "text=plays in the second half",
        now=AFTER_KICKOFF,
    ),
    State(
        "late: after the half",
        at("half", "late"),
        "text=Today you can be with your team",
        now=AT_THE_HALF,
    ),
    State("take over", at("late", "take-over"), "text=I weigh them from now on"),
    State(
        "plays: which team",
        "game/closed/plays",
        "main:has-text('Count whose plays?') >> text=Back",
        who="counter",
    ),
    State(
        "plays: begin",
        at("closed", "plays"),
        "text=Tap who is on the field",
        who="counter",
        own=True,
    ),
    State(
        "plays: counting",
        at("closed", "plays"),
        "text=Same eleven",
        after(count(*ELEVEN), see("text=Same eleven")),
        "counter",
        own=True,
        now=AFTER_KICKOFF,
    ),
    State(
        "plays: half ended",
        at("plays", "plays"),
        "text=Count on",
        press("First half"),
        "counter",
        own=True,
        now=AT_THE_HALF,
    ),
    State(
        "plays: others counted",
        at("plays", "plays"),
        "text=I go on from the count",
        press("First half"),
        "third counter",
        own=True,
        now=AT_THE_HALF,
    ),
    State("compare: differ", at("plays", "compare", "/1"), "text=numbers differ", who="counter"),
    State(
        "compare: nobody", at("closed", "compare", "/1"), "text=Nobody has counted", who="counter"
    ),
    State(
        "halves", "game/late/halves", "text=End the first half now", who="site", now=AFTER_KICKOFF
    ),
    State("halves: ended", "game/half/halves", "text=take back", who="site", now=AT_THE_HALF),
    State("concern", at("line", "concern"), "text=Note a concern"),
    State(
        "concern: number wrong",
        at("line", "concern", "/{p39}"),
        "text=Nobody here has number",
        after(fill("77"), press("Helmet")),
    ),
)

QUESTIONS = [{"column": "note", "words": ["96 lb"]}]

DEVICE = (
    State("all saved", "waiting", "h1:has-text('All saved')"),
    State(
        "waiting",
        "game/ready",
        "h1:has-text('2 wait')",
        after(offline, weighing(45), weighing(48), go("waiting")),
        own=True,
    ),
    State(
        "needs you",
        "game/ready",
        "text=Send it again",
        after(
            go("waiting"),
            refused("refused", "This child is on no roster.", hint="Ask the registrar."),
        ),
        own=True,
    ),
    State(
        "needs you: words",
        "game/ready",
        "text=The words are fine",
        after(
            go("waiting"),
            refused("ask_texts", "", "He is 96 lb", questions=QUESTIONS),
        ),
        own=True,
    ),
    State(
        "needs you: changing the words",
        "game/ready",
        "text=Send it with these words",
        after(
            go("waiting"),
            refused("ask_texts", "", "He is 96 lb", questions=QUESTIONS),
            press("Change the words"),
        ),
        own=True,
    ),
    State(
        "clock ahead",
        "game/ready",
        "#clock",
        after(answering(201, {"clock_off_s": 1240}), weighing(45), see("#clock")),
        own=True,
    ),
    State(
        "no way to open it offline",
        "waiting",
        "#no-reload",
        lambda page: page.evaluate(f"""async () => {{
      const worker = await import({MODULE} + "worker.js");
      delete Navigator.prototype.serviceWorker;
      await worker.begin();
      (await import({MODULE} + "strip.js")).paintStrip();
    }}"""),
        own=True,
    ),
    State("along", "along", "text=Take it along"),
    State("along: taken", "along", "text=Turn on airplane mode.", press("Take it along"), own=True),
    State(
        "along: proved",
        "along",
        "text=Opened without a network",
        after(press("Take it along"), see("text=Prove it"), proved, go("games"), go("along")),
        own=True,
    ),
    State("along: no role", "along", "text=You have no job", who="stranger"),
    State("battery low", at("ready", "weigh"), "#battery", battery_low, own=True),
    State("do not reload", "no-reload", "text=Leave it open."),
    State("no such screen", "nowhere", "text=This screen did not open."),
    State("no such game", "game/nothing", "text=This screen did not open."),
)

PRINTED = (
    State("print: list", "/print/list/signed/marmots", "h1"),
    State("print: blank list", "/print/blank-list/fresh/marmots", "h1"),
    State("print: play count", "/print/play-count/fresh/marmots", "h1"),
    State("print: card", "/print/card/fresh", "h1"),
    State("print: receipt", "/print/receipt/{signed}", "h1"),
    State("print: refused", "/print/list/nothing/marmots", "text=cannot be printed"),
)
