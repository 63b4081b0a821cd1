"""What a phone checks after its signature was recorded, and the cosignature that it then gives."""

from __future__ import annotations

from base64 import b64encode
from functools import partial

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions import phone_signing as action
from ledger.chain.event import Event
from ledger.chain.note import format_note
from ledger.errors import InputError
from ledger.field.admitting import acting, admit
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import HeadsAsked, Witness, read_body, read_query
from ledger.field.desk import desk_of
from ledger.field.guard import device_of
from ledger.field.phones import heads_told
from ledger.field.rights import READ_GAME
from ledger.field.signing import receipt_answer
from ledger.store.store import Store


async def get_signature(request: Request) -> Response:
    """The recorded signature: its bytes, its place in the ledger, and the note to cosign."""
    event = await _signed(request)
    since = read_query(request, HeadsAsked).sizes
    found = await desk_of(request).read(action.show_signed, event.id, since)
    return answer(
        {
            "event": event.id,
            "chain": event.chain,
            "seq": event.seq,
            "event_bytes": b64encode(found.body).decode(),
            "note": format_note(found.note).decode(),
            "key": found.key,
            "inclusion": [step.hex() for step in found.inclusion],
            "heads": heads_told(found.heads),
        }
    )


async def post_witness(request: Request) -> Response:
    """Keep the phone's cosignature: 201 and the receipt; 200 and the receipt if it is there."""
    said, event = await read_body(request, Witness), await _signed(request)
    acting(device_of(request), str(event.by))
    desk = desk_of(request)
    try:
        receipt, is_new = await desk.writer.run_alone(
            partial(action.witness, event_id=event.id, line=said.line)
        )
    except action.NotSignedError as error:
        raise Refusal(422, "bad_signature", error.message, hint=error.hint) from error
    return answer(receipt_answer(event.id, receipt.decode()), 201 if is_new else 200)


ROUTES = [
    Route("/api/signatures/{event}", get_signature),
    Route("/api/signatures/{event}/witness", post_witness, methods=["POST"]),
]


async def _signed(request: Request) -> Event:
    """The phone's signature of the address, for those who may read its game."""
    event = await desk_of(request).read(_of_phone, str(request.path_params["event"]))
    if event is None:
        raise Refusal(404, "unknown", "No phone signed this.")
    admit(device_of(request), READ_GAME, str(event.game))
    return event


def _of_phone(store: Store, event: str) -> Event | None:
    try:
        return action.signed_by_phone(store, event)
    except InputError:
        return None
