"""Every route asks `rights.CALLS` before its handler runs."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.field.answers import Refusal
from ledger.field.device import Device
from ledger.field.guard import device_of
from ledger.field.rights import ANYONE, CALLS, CONFIRMED, PRACTICE_CALLS, SIGNED_IN, may

Handler = Callable[[Request], Awaitable[Response]]


def admitting(routes: Iterable[Route]) -> list[Route]:
    """These routes, each for those who may call it; KeyError for one that is not in the table."""
    found, table = [], CALLS | PRACTICE_CALLS
    for route in routes:
        methods = sorted((route.methods or set()) - {"HEAD"})
        needs = {method: table[f"{method} {route.path}"] for method in methods}
        handler = _admitting(route.endpoint, needs)
        found.append(Route(route.path, handler, methods=methods, name=route.name))
    return found


def _admitting(handler: Handler, needs: dict[str, str]) -> Handler:
    async def admitted(request: Request) -> Response:
        method = "GET" if request.method == "HEAD" else request.method
        admit(device_of(request), needs[method], request.path_params.get("game"))
        return await handler(request)

    return admitted


def admit(device: Device, need: str, game: str | None = None) -> None:
    """Raise the Refusal unless someone on the device has what the call needs."""
    if need == ANYONE:
        return
    if not device.people:
        raise Refusal(401, "signed_out", "Nobody is signed in on this device.")
    if need == SIGNED_IN:
        return
    if not device.confirmed:
        raise Refusal(403, "to_confirm", "Someone has to confirm you first.")
    if need == CONFIRMED:
        return
    if game is not None and game not in device.officials.sides:
        raise Refusal(404, "unknown_game", "There is no such game here.")
    if not any(may(device.officials, one, need, game) for one in device.confirmed):
        where = f" in {game}" if game is not None else ""
        raise Refusal(403, "not_yours", f"Nobody on this device has a role{where} for this.")


def acting(device: Device, by: str) -> str:
    """Who acts; a Refusal unless signed in on this device, and confirmed."""
    if by in device.confirmed:
        return by
    if any(one.official == by for one in device.people):
        raise Refusal(403, "to_confirm", "Someone has to confirm you first.")
    raise Refusal(401, "signed_out", "You are not signed in on this device.")
