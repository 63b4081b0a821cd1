"""POST /api/acts: one act of a device, read, checked, and given to the writer."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.taps import DiffersError, Tap, clock_off, read_tap, with_clock_note
from ledger.field.admitting import acting
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import Act, Holding, read_body
from ledger.field.desk import desk_of
from ledger.field.games import Games
from ledger.field.guard import device_of
from ledger.field.rights import why_not
from ledger.record.statements import KINDS
from ledger.record.times import now_utc, zone


async def post_act(request: Request) -> Response:
    """Record one act: 201; 200 if it is there already; 409 if its refs are, and say something else.

    What cannot be accepted is 422, and so is a text to ask about ("ask_texts"): send it again with
    `fine`. A device keeps its act until it hears 201 or 200.
    """
    desk, device = desk_of(request), device_of(request)
    said = await read_body(request, Act)
    by = acting(device, said.by)
    if said.held is not None:
        desk.devices.hear(said.act.partition("-")[0], said.held, device.confirmed)
    cells = [_cells(said, number) for number in range(1, len(said.entries) + 1)]
    targets = [cell["target"] for cell in cells if "target" in cell]
    authors = await desk.ask(_authors, targets) if targets else {}
    if reason := why_not(device.officials, by, cells, authors.get):
        raise Refusal(403, "not_yours", reason)
    tap = read_tap(cells, zone(desk.zone), fine=said.fine)
    off_s = None
    if said.clock is not None:
        tap, off_s = _with_clock(tap, said.clock)
    try:
        done = await desk.writer.record(tap)
    except DiffersError as error:
        raise Refusal(409, "differs", error.message, hint=error.hint) from error
    told: dict[str, Any] = {"act": said.act, "events": done.event_ids, "recorded": done.recorded}
    if off_s:
        told["clock_off_s"] = off_s
    return answer(told, 201 if done.is_new else 200)


async def post_device(request: Request) -> Response:
    """Note what a device still holds."""
    said = await read_body(request, Holding)
    desk_of(request).devices.hear(said.device, said.held, device_of(request).confirmed)
    return answer({})


ROUTES = [
    Route("/api/acts", post_act, methods=["POST"]),
    Route("/api/devices", post_device, methods=["POST"]),
]


def _authors(games: Games, targets: list[str]) -> dict[str, str | None]:
    """Who stated each target of a withdrawal."""
    return {target: games.author(target) for target in targets}


def _cells(said: Act, number: int) -> dict[str, str]:
    """The entry with what the act says: by whom, and in which game if its kind has one."""
    cells = {column: text for column, text in said.entries[number - 1].items() if text}
    if cells.get("ref") != f"{said.act}.{number}":
        raise Refusal(422, "refused", f"Entry {number}: its ref is {said.act}.{number}.")
    model = KINDS.get(cells.get("kind", ""))
    if said.game is not None and model is not None and "game" in model.model_fields:
        cells["game"] = said.game
    if said.entered is not None:
        cells["entered"] = said.entered
    return cells | {"by": said.by}


def _with_clock(tap: Tap, clock: str) -> tuple[Tap, int]:
    """The act with a note if the device's clock is off; by how many seconds it is ahead."""
    off = clock_off(clock, now_utc())
    return (with_clock_note(tap, off), round(off.total_seconds())) if off else (tap, 0)
