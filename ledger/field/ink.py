"""POST of a signature that was given on paper, with a picture of the signed list.

Whoever may sign in this game enters it, for themselves or for another signer of the same paper: the
picture shows who signed, and the event says who entered it. The picture is kept with the ledger, as
`weighbook sign --ink` keeps a scan.
"""

from __future__ import annotations

from base64 import b64decode
from functools import partial
from typing import Annotated

from pydantic import StringConstraints
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions import signing as action
from ledger.actions.asking import Acting
from ledger.errors import ChangedError
from ledger.field.answers import MOST_WITH_PICTURE, Refusal, answer
from ledger.field.bodies import Name, read_body
from ledger.field.desk import desk_of
from ledger.field.guard import device_of
from ledger.field.rights import SIGN, may
from ledger.field.signing import Signer, check_signer, place_in, shown_to

Picture = Annotated[
    str, StringConstraints(pattern=r"^[A-Za-z0-9+/]+={0,2}$", max_length=MOST_WITH_PICTURE)
]


class Ink(Signer):
    """`picture` is a photo or scan of the signed list, in base64; `name` that of its file.

    `by` enters it.
    """

    by: Name
    picture: Picture
    name: Annotated[str, StringConstraints(pattern=r"^[^\x00-\x1f\x7f/\\]{1,200}$")]


async def post_ink(request: Request) -> Response:
    """Enter a signature given on paper, of the list that the page showed."""
    desk, device = desk_of(request), device_of(request)
    game, team = place_in(request, device)
    said = await read_body(request, Ink)
    if said.by not in device.confirmed or not may(device.officials, said.by, SIGN, game):
        raise Refusal(403, "not_yours", "A weighmaster of this game enters a signed paper.")
    check_signer(device, said.official, game)
    try:
        scan = b64decode(said.picture, validate=True)
    except ValueError:
        raise Refusal(400, "not_understood", "picture: not base64") from None
    try:
        found = await desk.read(shown_to, desk.setting.chain, said, game, team)
        acting = Acting(despite=frozenset(said.despite))
        signing = partial(
            action.sign_in_ink,
            shown=found.shown,
            scan=scan,
            name=said.name,
            acting=acting,
            entered_by=said.by,
        )
        signed = await desk.writer.run_alone(signing)
    except ChangedError as error:
        raise Refusal(409, "list_changed", error.message, hint=error.hint) from error
    return answer({"event": signed.event_id}, 201)


ROUTES = [Route("/api/games/{game}/teams/{team}/ink", post_ink, methods=["POST"])]
