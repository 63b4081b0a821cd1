"""What a page is told of itself: who is signed in on it, and the token for what it posts."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from ledger.actions.officials import Officials
from ledger.field.answers import answer
from ledger.field.desk import desk_of
from ledger.field.device import Device
from ledger.field.guard import set_cookie
from ledger.field.sessions import SignedIn
from ledger.record.times import format_utc
from ledger.say.names import initials_of


def said_of_me(request: Request, device: Device) -> Response:
    """The answer that tells a page who is signed in on it, with its cookie."""
    desk = desk_of(request)
    place = desk.setting.place
    said = {
        "people": [_person(device.officials, one) for one in device.people],
        "token": desk.people.sessions.token(device.cookie),
        "mode": place.mode,
        "practice": place.practice,
        "is_practice": desk.is_practice,
    }
    response = answer(said)
    set_cookie(response, place, device)
    return response


def _person(officials: Officials, person: SignedIn) -> dict[str, Any]:
    name = person.new.name if person.new else officials.names[person.official]
    roles = officials.roles.get(person.official, ())
    held = [
        {"role": h.role, "team": h.team, "game": h.game, "to_confirm": h.to_confirm}
        for h in roles
        if h.has_authority or h.to_confirm
    ]
    said = {
        "official": person.official,
        "name": name,
        "initials": initials_of(name),
        "is_confirmed": person.is_confirmed,
        "has_key": bool(officials.key_games(person.official)),
        "has_phone_key": bool(officials.key_games(person.official, on_phone=True)),
        "key": _key(officials, person.official),
        "roles": held,
        "until": format_utc(datetime.fromtimestamp(person.until, UTC)),
        "coaches": sorted({h.team for h in roles if h.role == "coach" and h.team}),
    }
    if person.new is not None:
        new = person.new
        said["new"] = {"game": new.game, "team": new.team, "to": new.to}
    return said | ({"code": person.code} if person.code else {})


def _key(officials: Officials, official: str) -> dict[str, str] | None:
    """The official's key for the season, else one for a game, and what holds it."""
    scopes = sorted((scope for scope in officials.keys if scope[0] == official), key=str)
    scope = officials.signs_with(official, None) or next(iter(scopes), None)
    if scope is None:
        return None
    held = "device" if scope in officials.on_phones else "passphrase"
    return {"line": officials.keys[scope], "held": held}
