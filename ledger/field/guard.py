"""What holds for every request and every answer, before any handler sees one.

A page of another site can make a browser send us a request, but it can neither name our origin nor
read our token. The host must be ours too: a name that a stranger points at this machine is not.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass, replace
from http.cookies import CookieError, SimpleCookie
from typing import Literal
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ledger.errors import LedgerError
from ledger.field.answers import Refusal, most_bytes, refusal_of, refused
from ledger.field.device import Device
from ledger.field.people import People
from ledger.field.sessions import HOURS

POLICY = "; ".join([
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "connect-src 'self'",
    "img-src 'self' data: blob:", "font-src 'self'", "manifest-src 'self'", "worker-src 'self'",
    "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'",
])  # fmt: skip
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "permissions-policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
_SECURE_COOKIE = "__Host-weighbook"
TOKEN = "x-weighbook-token"  # noqa: S105 - the name of a header
PRACTICE = "x-weighbook-practice"
"""The id of its practice, with each POST of a practice page. A page outlives its server, and
another may have its port: no tap of a practice reaches a real ledger then, and no real tap a
practice."""


Mode = Literal["loopback", "proxy", "hotspot"]


@dataclass(frozen=True)
class Place:
    """Where the page is served: the origins that are ours, the name of its cookie, and the way:
    on this computer alone, behind a proxy with TLS, or with TLS of our own. `practice` is the id
    of a practice, "" for a real ledger.
    """

    origins: frozenset[str]
    cookie: str
    mode: Mode
    practice: str = ""

    @property
    def hosts(self) -> frozenset[str]:
        return frozenset(urlsplit(origin).netloc for origin in self.origins)

    @property
    def is_secure(self) -> bool:
        return self.mode != "loopback"

    @classmethod
    def on_loopback(cls, port: int) -> Place:
        """Browsers do not tell ports apart in cookies, so the name does."""
        names = ("localhost", "127.0.0.1", "[::1]")
        origins = frozenset(f"http://{name}:{port}" for name in names)
        return cls(origins, f"weighbook-{port}", "loopback")

    def for_practice(self, practice: str) -> Place:
        """With a cookie of its own: a practice signs nobody in at a real ledger."""
        return replace(self, cookie=f"weighbook-practice-{practice}", practice=practice)

    @classmethod
    def behind_proxy(cls, origin: str) -> Place:
        return cls(frozenset({origin}), _SECURE_COOKIE, "proxy")

    @classmethod
    def in_hotspot(cls, origins: Iterable[str]) -> Place:
        return cls(frozenset(origins), _SECURE_COOKIE, "hotspot")


class Guard:
    """The middleware. It puts the `Device` that calls into the request's state."""

    def __init__(self, app: ASGIApp, *, place: Place, people: People) -> None:
        self._app, self._place, self._people = app, place, people

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        guarded = self._with_headers(send)
        headers = Headers(scope=scope)
        try:
            self._check(scope["method"], scope["path"], headers)
            device = self._people.device(_cookie_in(headers, self._place.cookie))
            if scope["method"] == "POST":
                self._check_token(device, headers)
        except (Refusal, LedgerError) as error:
            refusal = error if isinstance(error, Refusal) else refusal_of(error)
            await refused(refusal)(scope, receive, guarded)
            return
        scope.setdefault("state", {})["device"] = device
        await self._app(scope, receive, guarded)

    def _check(self, method: str, path: str, headers: Headers) -> None:
        if headers.get("host") not in self._place.hosts:
            raise Refusal(421, "wrong_host", "This is not the address of this page.")
        if method != "POST":
            return
        if headers.get("origin") not in self._place.origins:
            raise Refusal(403, "origin", "This came from another page.")
        if headers.get(PRACTICE, "") != self._place.practice:
            # 421: a device keeps its taps, and tries again.
            raise Refusal(421, "practice", "A practice and a real weigh-in do not mix.")
        if headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
            raise Refusal(415, "not_json", "Send JSON.")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > 9 or int(length) > most_bytes(path):
            raise Refusal(413, "too_large", "This is too much at once.")

    def _check_token(self, device: Device, headers: Headers) -> None:
        given, right = headers.get(TOKEN, ""), self._people.sessions.token(device.cookie)
        if not hmac.compare_digest(given.encode(), right.encode()):
            raise Refusal(403, "token", "This page is out of date. Open it again.")

    def _with_headers(self, send: Send) -> Send:
        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                found = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    found[name] = value
                found.setdefault("cache-control", "no-store")
                # Not in a hotspot: it would bind the laptop's other pages for a year, too.
                if self._place.mode == "proxy":
                    found["strict-transport-security"] = "max-age=31536000"
            await send(message)

        return guarded


def address_of(request: Request) -> str:
    """Where the request comes from: behind a proxy, what the proxy itself saw."""
    place: Place = request.app.state.desk.setting.place
    given = request.headers.getlist("x-forwarded-for") if place.mode == "proxy" else []
    seen = ",".join(given).rpartition(",")[2].strip()
    return seen or (request.client.host if request.client else "")


def device_of(request: Request) -> Device:
    """The device that calls."""
    device: Device = request.state.device
    return device


def set_cookie(response: Response, place: Place, device: Device) -> None:
    """Give the device its cookie; it outlives the browser, for as long as a person is signed in."""
    response.set_cookie(
        place.cookie,
        device.cookie,
        max_age=HOURS * 3600,
        path="/",
        secure=place.is_secure,
        httponly=True,
        samesite="strict",
    )


def _cookie_in(headers: Headers, name: str) -> str | None:
    found: SimpleCookie = SimpleCookie()
    try:
        found.load("; ".join(headers.getlist("cookie")))
    except CookieError:
        return None
    return found[name].value if name in found else None
