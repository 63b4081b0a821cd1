"""Keys that phones make for their officials, and the heads of the ledger that phones keep.

A phone sends the public half of its key; it waits until somebody who may make keys confirms it by
the code that the official reads aloud.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from functools import partial
from typing import Any

from anyio import CapacityLimiter
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions import phone_signing
from ledger.actions import phones as action
from ledger.actions.asking import Acting, signer_of
from ledger.errors import InputError
from ledger.field.admitting import acting
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import (
    ConfirmPhone,
    HeadsAsked,
    OfficialAsked,
    Phone,
    read_body,
    read_query,
)
from ledger.field.desk import desk_of
from ledger.field.guard import address_of, device_of
from ledger.field.passphrase import AT_ONCE, try_passphrase
from ledger.field.rights import MAKE_KEYS, may
from ledger.record.times import format_utc

_OPENING = CapacityLimiter(AT_ONCE)


async def post_phone(request: Request) -> Response:
    """Let the key of this phone wait to be confirmed."""
    desk, said = desk_of(request), await read_body(request, Phone)
    official = acting(device_of(request), said.official)
    made = await desk.read(action.ask_for_key, official, said.key, said.proof)
    until = datetime.fromtimestamp(desk.phones.add(made).until, UTC)
    told = {"code": action.spaced_code(made.code), "until": format_utc(until)}
    return answer(told, 201)


async def get_mine(request: Request) -> Response:
    """Which key of the official counts, whether one waits, and what a new key is called."""
    desk, official = desk_of(request), read_query(request, OfficialAsked).official
    officials = device_of(request).officials
    scope = officials.signs_with(official, None)
    # Who was appointed for a game may have a key for that game alone.
    for_games = officials.key_games(official, on_phone=True) if scope is None else []
    held = "device" if scope in officials.on_phones else "passphrase"
    return answer(
        {
            "waiting": desk.phones.of(official) is not None,
            "in_force": officials.keys[scope] if scope else None,
            "held": held if scope else None,
            "for_games": [officials.keys[official, game] for game in for_games],
            "origin": await desk.read(action.origin_for_keys, desk.setting.chain),
        }
    )


async def post_confirm(request: Request) -> Response:
    """Make the key with this code count, in place of the official's key so far.

    By somebody who may make keys; or by the official, whose passphrase signs in the phone's key.
    """
    desk, device = desk_of(request), device_of(request)
    said = await read_body(request, ConfirmPhone)
    by = acting(device, said.by)
    try:
        made = desk.phones.of_code(said.code, said.official)
    except InputError as error:
        hint = "Have them read it again: letters and digits, without 0, O, 1, I and L."
        raise Refusal(422, "wrong_code", "No phone waits with this code.", hint=hint) from error
    is_own = by == made.official and None in device.officials.key_games(by)
    if not is_own and not may(device.officials, by, MAKE_KEYS):
        raise Refusal(403, "not_yours", f"{by} may not make keys.")
    await desk.read(action.check_confirm, made, by=by)
    signer = await _signer(request, said, by)
    done = await desk.writer.run_alone(
        partial(action.confirm_signed, made=made, by=by, signer=signer)
    )
    desk.phones.forget(made.official)
    name = device.officials.names.get(made.official, made.official)
    told = {"official": made.official, "name": name, "game": made.game, "event": done.act.event_id}
    return answer(told, 201)


async def get_heads(request: Request) -> Response:
    """Length and root of every chain, each joined to the length that the phone knows."""
    desk, since = desk_of(request), read_query(request, HeadsAsked).sizes
    chain = desk.setting.chain
    if not await desk.read(phone_signing.has_begun, chain):
        await desk.writer.run_alone(partial(phone_signing.begin, chain=chain))
    found = await desk.read(phone_signing.heads_of, chain, since)
    return answer({"note": found.note, "key": found.key, "heads": heads_told(found.heads)})


ROUTES = [
    Route("/api/phones", post_phone, methods=["POST"]),
    Route("/api/phones/mine", get_mine),
    Route("/api/phones/confirm", post_confirm, methods=["POST"]),
    Route("/api/heads", get_heads),
]


def heads_told(heads: Mapping[str, phone_signing.Proved]) -> dict[str, Any]:
    """The heads as JSON."""
    return {
        chain: {
            "size": one.state.size,
            "root": one.state.root.hex(),
            "proof": [step.hex() for step in one.proof],
        }
        for chain, one in heads.items()
    }


async def _signer(request: Request, said: ConfirmPhone, by: str) -> action.Opened:
    """The opened key of the one who confirms; None if they have none."""
    desk, officials = desk_of(request), device_of(request).officials
    if None not in officials.key_games(by):
        return await desk.read(signer_of, by, Acting())
    if said.passphrase is None:
        raise Refusal(422, "ask_passphrase", f"{by} confirms this with a passphrase.")
    acting_by = Acting(passphrase=said.passphrase)
    return await try_passphrase(
        desk.setting.ledger,
        lambda store: signer_of(store, by, acting_by),
        forgive=desk.people.guess(by, address_of(request)),
        limiter=_OPENING,
    )
