"""GET of what is open and of a list, POST of a signature, GET of its receipt.

A signature never waits in a device's queue: what is signed is the number that the page shows, so
another list is answered with 409. The passphrase becomes the key on a thread of its own; then the
signature alone runs between two commits. A phone that has the key signs before it asks, and
witnesses what was recorded (`ledger.field.witnessing`).
"""

from __future__ import annotations

from functools import partial
from typing import Annotated, Any

from anyio import CapacityLimiter
from pydantic import Field, StringConstraints
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions import phone_signing
from ledger.actions import signing as action
from ledger.actions.asking import Acting
from ledger.chain.event import Event
from ledger.chain.others import states_of
from ledger.errors import ChangedError, IntegrityError, LedgerError
from ledger.field.admitting import admit
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import Base64, Body, Name, Passphrase, read_body
from ledger.field.desk import Desk, desk_of
from ledger.field.device import Device
from ledger.field.guard import address_of, device_of
from ledger.field.listed import list_of, open_of
from ledger.field.passphrase import AT_ONCE, try_passphrase
from ledger.field.rights import READ_GAME, SIGN, may
from ledger.papers.press.qr import draw_qr
from ledger.papers.sheets.receipts import cosigned_note
from ledger.store.store import Store

Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]
_OPENING = CapacityLimiter(AT_ONCE)
"""Apart from sign-ins, so that no stranger's tries keep anyone from signing."""


class Head(Body):
    """A chain as a phone saw it: its length and root (64 hex digits)."""

    size: Annotated[int, Field(ge=1, le=10**12)]
    root: Digest


class Signer(Body):
    """Who signs which list, by its number (64 hex digits), although these codes are open."""

    official: Name
    number: Digest
    despite: tuple[Annotated[str, StringConstraints(max_length=64)], ...] = Field(
        default=(), strict=False
    )


class Sign(Signer):
    """With a passphrase, or with what a phone signed (base64) and the chains as it saw them."""

    passphrase: Passphrase | None = None
    signature: Base64 | None = None
    seen: dict[Name, Head] | None = Field(default=None, max_length=100)


async def get_open(request: Request) -> Response:
    """What is to be settled before the team's weigh-in is closed."""
    game, team = place_in(request, device_of(request))
    return answer(await desk_of(request).read(open_of, game, team))


async def get_list(request: Request) -> Response:
    """The list as on paper; `?official=O` says who wants to sign."""
    desk, device = desk_of(request), device_of(request)
    game, team = place_in(request, device)
    found = await desk.read(list_of, device.officials, game, team)
    official = request.query_params.get("official", "")
    who = next((one for one in found["signers"] if one["official"] == official), None)
    return answer(
        found
        | {
            "may_sign": who is not None,
            "has_key": bool(who and who["has_key"]),
            "has_phone_key": bool(who and who["has_phone_key"]),
            "devices": desk.devices.of_game(game),
        }
    )


async def post_sign(request: Request) -> Response:
    """Sign the list that the page showed."""
    desk, device = desk_of(request), device_of(request)
    game, team = place_in(request, device)
    said = await read_body(request, Sign)
    check_signer(device, said.official, game)
    scope = device.officials.signs_with(said.official, game)
    if scope is None:
        hint = "Sign the paper list. The registrar can make a key."
        raise Refusal(422, "no_key", f"{said.official} has no key in force.", hint=hint)
    try:
        if said.signature is not None:
            return await _sign_with_phone(desk, said, game, team)
        if scope in device.officials.on_phones:
            hint = "Sign there, or on the paper list."
            what = f"The key of {said.official} is on their own phone."
            raise Refusal(422, "phone_key", what, hint=hint)
        return answer(await _sign(desk, said, game, team, address_of(request)), 201)
    except ChangedError as error:
        raise Refusal(409, "list_changed", error.message, hint=error.hint) from error


async def get_receipt(request: Request) -> Response:
    """The receipt of a signature: the text to keep, and its code to draw."""
    device, event = device_of(request), str(request.path_params["event"])
    found = await desk_of(request).read(_receipt, event)
    if found is None:
        raise Refusal(404, "unknown", "There is no receipt with this number.")
    signed, text = found
    officials, game = device.officials, str(signed.game)
    admit(device, READ_GAME, game)
    other = next(one for one in officials.sides[game] if one != signed.team)
    said = {"game": game, "team": signed.team, "other": other, "official": signed.by}
    name = officials.names.get(str(signed.by), signed.by)
    return answer(receipt_answer(event, text) | said | {"name": name})


ROUTES = [
    Route("/api/games/{game}/teams/{team}/open", get_open),
    Route("/api/games/{game}/teams/{team}/list", get_list),
    Route("/api/games/{game}/teams/{team}/sign", post_sign, methods=["POST"]),
    Route("/api/receipts/{event}", get_receipt),
]


def check_signer(device: Device, official: str, game: str) -> None:
    """A Refusal unless this official may sign lists of the game."""
    if not may(device.officials, official, SIGN, game):
        hint = "A weighmaster of either team signs this list."
        raise Refusal(403, "not_yours", f"{official} may not sign this list.", hint=hint)


def place_in(request: Request, device: Device) -> tuple[str, str]:
    """The game and the team of the address."""
    game, team = str(request.path_params["game"]), str(request.path_params["team"])
    if team not in device.officials.sides[game]:
        raise Refusal(404, "unknown", f"{team} does not play in {game}.")
    return game, team


async def _sign_with_phone(desk: Desk, said: Sign, game: str, team: str) -> Response:
    """Record what the phone signed: once, however often it sends it."""
    signature = str(said.signature)
    before = await desk.read(phone_signing.find_signed, game, team, signature)
    if before is not None:
        return answer({"event": before, "receipt": "", "code": None})
    seen = {chain: head.model_dump() for chain, head in (said.seen or {}).items()}
    found = await desk.read(shown_to, desk.setting.chain, said, game, team)
    try:
        event = await desk.writer.run_alone(
            partial(
                phone_signing.sign_with_phone,
                shown=found.shown,
                signature=signature,
                seen=states_of(seen),
                acting=Acting(despite=frozenset(said.despite)),
            )
        )
    except IntegrityError as error:
        raise Refusal(409, "other_ledger", error.message, hint=error.hint) from error
    except phone_signing.NotSignedError as error:
        raise Refusal(422, "bad_signature", error.message, hint=error.hint) from error
    return answer({"event": event, "receipt": "", "code": None}, 201)


async def _sign(desk: Desk, said: Sign, game: str, team: str, address: str) -> dict[str, Any]:
    if said.passphrase is None:
        raise Refusal(422, "ask_passphrase", f"{said.official} signs with a passphrase.")
    found = await desk.read(shown_to, desk.setting.chain, said, game, team)
    forgive = desk.people.guess(said.official, address)
    acting = Acting(despite=frozenset(said.despite), passphrase=said.passphrase)
    key = await try_passphrase(
        desk.setting.ledger,
        lambda store: action.open_key_to_sign(store, found.shown, acting),
        forgive=forgive,
        limiter=_OPENING,
    )
    signed = await desk.writer.run_alone(
        partial(action.sign_with_open_key, shown=found.shown, opened=key)
    )
    assert signed.receipt is not None
    return receipt_answer(signed.event_id, signed.receipt.decode())


def shown_to(store: Store, chain: str, said: Signer, game: str, team: str) -> action.ListToSign:
    """The list as it is shown to its signer; ChangedError if it is not the one with this number."""
    found = action.show_list(store, game, team, said.official, chain=chain)
    action.check_number(found.shown, said.number)
    return found


def _receipt(store: Store, event: str) -> tuple[Event, str] | None:
    """A signature with a key, and its note; None if there is none."""
    try:
        found = store.event(event)
    except LedgerError:
        return None
    text = cosigned_note(store, found) if found.kind == "countersign" else ""
    return (found, text) if text else None


def receipt_answer(event: str, text: str) -> dict[str, Any]:
    """The receipt as JSON: the text to keep, and its code to draw."""
    code = draw_qr(text)
    return {"event": event, "receipt": text, "code": {"side": code.side, "path": code.path}}
