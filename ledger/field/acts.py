"""POST /api/acts: one act of a device, read, checked, and given to the writer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.taps import DiffersError, Tap, clock_off, read_tap, with_clock_note
from ledger.errors import InputError
from ledger.field.answers import Refusal, answer, read_json, text_in
from ledger.field.desk import Desk, desk_of
from ledger.field.games import Games
from ledger.field.people import Device
from ledger.field.reading import signed_in
from ledger.field.rights import why_not
from ledger.record.fields import COLUMNS
from ledger.record.statements import KINDS
from ledger.record.times import is_utc_text, now_utc, zone

MOST_ENTRIES = 30
"""A set of plays may change the counts of two elevens, and the count of snaps."""
ACT = re.compile(r"([a-z0-9]{8,32})-[1-9][0-9]{0,8}")
DEVICE = re.compile(r"[a-z0-9]{8,32}")
_FROM_ACT = ("game", "by", "entered")


async def post_act(request: Request) -> Response:
    """Record one act; see the table of answers in the module's tests."""
    desk, device = desk_of(request), signed_in(request)
    content = await read_json(request)
    act = text_in(content, "act")
    match = ACT.fullmatch(act)
    if match is None:
        raise Refusal(422, "refused", "'act' is not DEVICE-COUNT.")
    by = _acting(device, text_in(content, "by"))
    hear(desk, device, match[1], content)
    game = text_in(content, "game") if content.get("game") is not None else None
    entries = _entries(content, act)
    cells = [_cells(one, game, by) for one in entries]
    local, reason = await desk.ask(_zone_and_why_not, device, by, cells)
    if reason:
        raise Refusal(403, "not_yours", reason)
    tap = read_tap(cells, zone(local), fine=content.get("fine") is True)
    off_s = None
    if (clock := content.get("clock")) is not None:
        tap, off_s = _with_clock(tap, clock)
    try:
        done = await desk.writer.record(tap)
    except DiffersError as error:
        raise Refusal(409, "differs", error.message, hint=error.hint) from error
    said: dict[str, Any] = {"act": act, "events": done.event_ids, "recorded": done.recorded}
    if off_s:
        said["clock_off_s"] = off_s
    return answer(said, 201 if done.is_new else 200)


async def post_device(request: Request) -> Response:
    """Note what a device still holds."""
    desk, device = desk_of(request), signed_in(request)
    content = await read_json(request)
    name = text_in(content, "device")
    if not DEVICE.fullmatch(name):
        raise Refusal(422, "refused", "'device' is not 8 to 32 of a-z and 0-9.")
    hear(desk, device, name, content)
    return answer({})


ROUTES = [
    Route("/api/acts", post_act, methods=["POST"]),
    Route("/api/devices", post_device, methods=["POST"]),
]


def hear(desk: Desk, device: Device, name: str, content: Mapping[str, Any]) -> None:
    """Take in what comes along with an act: what the device still holds."""
    if "held" in content:
        desk.devices.hear(name, content["held"], [one.official for one in device.people])


def _acting(device: Device, by: str) -> str:
    """Who acts; a Refusal unless signed in on this device, and confirmed."""
    if by in device.confirmed:
        return by
    if any(one.official == by for one in device.people):
        raise Refusal(403, "to_confirm", "Someone has to confirm you first.")
    raise Refusal(401, "signed_out", "You are not signed in on this device.")


def _zone_and_why_not(
    games: Games, device: Device, by: str, cells: list[dict[str, str]]
) -> tuple[str, str]:
    return games.zone, why_not(device.officials, by, cells, games.author)


def _entries(content: Mapping[str, Any], act: str) -> list[dict[str, str]]:
    """The act's entries as texts by column; a Refusal for any other form."""
    given = content.get("entries")
    if not isinstance(given, list) or not 1 <= len(given) <= MOST_ENTRIES:
        raise Refusal(422, "refused", f"An act has 1 to {MOST_ENTRIES} entries.")
    found = []
    for number, entry in enumerate(given, 1):
        if not isinstance(entry, dict):
            raise Refusal(422, "refused", f"Entry {number} is not an object.")
        cells = {key: value for key, value in entry.items() if value not in (None, "")}
        wrong = [
            key
            for key, value in cells.items()
            if key not in COLUMNS or key in _FROM_ACT or not isinstance(value, str)
        ]
        if wrong:
            raise Refusal(422, "refused", f"Entry {number}: '{wrong[0]}' does not belong here.")
        if cells.get("ref") != f"{act}.{number}":
            raise Refusal(422, "refused", f"Entry {number}: its ref is {act}.{number}.")
        found.append(cells)
    return found


def _cells(entry: Mapping[str, str], game: str | None, by: str) -> dict[str, str]:
    """The entry with what the act says: by whom, and in which game if its kind has one."""
    model = KINDS.get(entry.get("kind", ""))
    cells = {**entry, "by": by}
    if game is not None and model is not None and "game" in model.model_fields:
        cells["game"] = game
    return cells


def _with_clock(tap: Tap, clock: Any) -> tuple[Tap, int]:
    """The act with a note if the device's clock is off; by how many seconds it is ahead."""
    if not isinstance(clock, str) or not is_utc_text(clock):
        raise InputError("'clock' is not a time such as 2026-09-05T13:41:22.000Z")
    off = clock_off(clock, now_utc())
    return (with_clock_note(tap, off), round(off.total_seconds())) if off else (tap, 0)
