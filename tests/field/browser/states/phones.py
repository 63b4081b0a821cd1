"""An official's own phone: its key, its receipts, and what it refuses."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

from tests.field.browser.mornings import NOW, ON_PHONE
from tests.field.browser.pages import MODULE
from tests.field.browser.states.state import State, at
from tests.field.browser.states.steps import Do, after, digits, fill, go, press, see
from tests.field.site import PASSPHRASE

_RECEIPT = {
    "event": "office:412",
    "game": "closed",
    "team": "marmots",
    "about": {"team": "Mossbottom Marmots"},
    "at": NOW,
    "text": "tall-grass-league/2026/office\n412\n5ZL4w1z4MQpLo3ggsOkA0sXjWyesCQzFfHYpjesvGUw=\n\n"
    "— tall-grass-league/2026/office ahxfNkY6+5r8EOt61csenPjxGIh04VsprcktH+QwU/ZNUMPG\n"
    "— newts-wm1@tall-grass-league/2026/office XlXWfgAAAABrDEWn2bwl0BhiWTzjtfpyOXiZfNbCXT4v9\n",
    "code": None,
}
_SINCE = "2026-10-17T13:44:00Z"
_OTHER: dict[str, Any] = {
    "why": "the proof leads to another root",
    "at": NOW,
    "event": None,
    "shown": {},
}


def keeps(official: str = "newts-wm1", **how: Any) -> Do:
    """The phone made a key. `counts`: it was in force once; `line`: "in force" if it is now."""
    run = f"""async ([official, how]) => {{
      const [keys, api] = await Promise.all(
        ["witness/keys", "api"].map((name) => import({MODULE} + `${{name}}.js`)));
      const found = await api.get(`/api/phones/mine?official=${{official}}`);
      const record = await keys.make(official, found.origin);
      const line = how.line === "in force" ? found.in_force : record.line;
      await keys.keep({{ ...record, ...how, line }});
    }}"""
    return lambda page: page.evaluate(run, [official, how])


def kept(place: str, official: str = "newts-wm1", **how: Any) -> Do:
    return after(keeps(official, **how), go(place))


def kept_for_one_game(page: Page) -> None:
    """The phone made a key for this game alone, and the server has it in force."""
    run = f"""async () => {{
      const [keys, api] = await Promise.all(
        ["witness/keys", "api"].map((name) => import({MODULE} + `${{name}}.js`)));
      const found = await api.get("/api/phones/mine?official=newts-pc1");
      const record = await keys.make("newts-pc1", found.origin, "closed");
      return {{ ...found, for_games: [record.line] }};
    }}"""
    found = page.evaluate(run)
    page.route("**/api/phones/mine?*", lambda route: route.fulfill(json=found))


def insecure(page: Page) -> None:
    page.evaluate("Object.defineProperty(globalThis, 'isSecureContext', { value: false })")


def whose(page: Page) -> None:
    page.get_by_label("Whose phone").select_option(index=2)


PHONES = (
    State("phone key: none", "phone-key", "text=Make a key on this phone"),
    State(
        "phone key: code",
        "waiting",
        ".code",
        after(go("phone-key"), press("Make a key")),
        own=True,
    ),
    State(
        "phone key: counts",
        "waiting",
        "text=You need no passphrase.",
        kept("phone-key", ON_PHONE, counts=True, line="in force", receipts=[_RECEIPT]),
        "on phone",
        own=True,
    ),
    State(
        "phone key: counts for one game",
        "waiting",
        "text=in this game only",
        after(kept_for_one_game, go("phone-key")),
        "counter",
        own=True,
    ),
    State(
        "phone key: replaced",
        "waiting",
        "text=Another key signs for you now",
        kept("phone-key", counts=True, receipts=[_RECEIPT]),
        own=True,
    ),
    State(
        "phone key: ended",
        "waiting",
        "text=The key of this phone was ended",
        kept("phone-key", "newts-pc1", counts=True),
        "counter",
        own=True,
    ),
    State(
        "phone key: not confirmed",
        "waiting",
        "text=not confirmed yet",
        kept("phone-key", "newts-pc1"),
        "counter",
        own=True,
    ),
    State(
        "phone key: an office", "phone-key", "text=You sign with your passphrase", who="president"
    ),
    State(
        "phone key: not possible",
        "waiting",
        "text=This phone cannot sign for you",
        after(insecure, go("phone-key")),
        own=True,
    ),
    State(
        "sign in: this phone",
        "waiting",
        "text=This phone has your key.",
        after(keeps(ON_PHONE), go("sign-in"), see("main input"), fill("Lionel"), press("Lionel")),
        "on phone",
        own=True,
    ),
    State(
        "sign in: this phone, digits",
        "waiting",
        "text=Your four digits",
        after(
            keeps(ON_PHONE),
            digits(ON_PHONE),
            go("sign-in"),
            see("main input"),
            fill("Lionel"),
            press("Lionel"),
        ),
        "on phone",
        own=True,
    ),
    State(
        "sign in: digits locked",
        "waiting",
        "text=so someone confirms your name",
        after(
            keeps(ON_PHONE),
            digits(ON_PHONE, wrong=5),
            go("sign-in"),
            see("main input"),
            fill("Lionel"),
            press("Lionel"),
        ),
        "on phone",
        own=True,
    ),
    State(
        "sign in: another phone",
        "sign-in",
        "text=Another phone signs for you",
        after(fill("Lionel"), press("Lionel")),
        "nobody",
    ),
    State(
        "sign: by this phone",
        "waiting",
        "text=No passphrase is needed",
        kept(at("closed", "sign"), ON_PHONE, counts=True, line="in force"),
        "on phone",
        own=True,
    ),
    State(
        "sign: by this phone, digits",
        "waiting",
        "text=Your four digits",
        after(
            keeps(ON_PHONE, counts=True, line="in force"),
            digits(ON_PHONE),
            go(at("closed", "sign")),
        ),
        "on phone",
        own=True,
    ),
    State(
        "hand over: receipts", "waiting", "text=Receipts on this phone", kept("hand-over"), own=True
    ),
    State("confirm a phone", "confirm-phone", "text=The code on their phone", who="president"),
    State(
        "confirm a phone: wrong code",
        "confirm-phone",
        "[role=status]:not(#live):has-text('code')",
        after(
            whose,
            fill("ABCD-EFGH"),
            fill(PASSPHRASE, "main input[type=password]"),
            press("Confirm"),
        ),
        "president",
    ),
    State("receipts: none", "receipts", "text=No receipts yet"),
    State(
        "receipts",
        "waiting",
        "text=What to do",
        kept(
            "receipts",
            receipts=[_RECEIPT],
            pending=_RECEIPT | {"game": "signed"},
            evidence=[_OTHER],
        ),
        own=True,
    ),
    State(
        "receipts: another ledger lately",
        "waiting",
        ".notice a",
        kept("receipts", receipts=[_RECEIPT], evidence=[_OTHER | {"at": _SINCE}]),
        own=True,
    ),
    State(
        "receipts: one",
        "waiting",
        ".copy",
        kept("receipts/office%3A412", receipts=[_RECEIPT]),
        own=True,
    ),
    State("another ledger: never", "other-ledger", "text=Nothing is wrong"),
    State(
        "another ledger",
        "waiting",
        "text=Keep this proof",
        kept("other-ledger", evidence=[_OTHER]),
        own=True,
    ),
)
