"""The signatures of a list's paper: those given, room for those due, and what came after them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ledger.derive.signatures import SignedList
from ledger.papers.sheets.context import SignatureLine
from ledger.papers.sheets.source import GameSource, LeagueSource
from ledger.say import lists, settling, signing, since_signed
from ledger.say.since_signed import Since
from ledger.witness.vouching import is_forged


def meaning_of(team: str, side: str) -> str:
    """What a side's signature to a team's list means."""
    return signing.PRESENTS if side == team else signing.RECEIVES


def signature_line(
    source: LeagueSource, signed: SignedList, number: str, *, most: int | None = None
) -> SignatureLine:
    """A signature of the ledger; `number` is the list's own now, `most` as in `signing.state`."""
    row = signed.row
    is_false = is_forged(source.store, signed.event_id)
    state = signing.NO_KEY if is_false else signing.state(signed, most)
    still = settling.despite(source.store.event(signed.event_id).data)
    return SignatureLine(
        side=source.team_name(row["side"]),
        meaning=meaning_of(row["team"], row["side"]),
        name=source.names.of(row["official"]),
        signed_at=source.time(row["signed_at"]),
        how=row["how"],
        id=row["event_id"],
        state="; ".join(filter(None, [state, still and f"open when signed: {still}"])),
        is_whole=signing.is_settled(signed) and not is_false,
        number="" if row["list_number"] in ("", number) else row["list_number"],
        key=signing.key_words(source.store, row["event_id"], source.names.of),
    )


def given_signatures(
    source: GameSource,
    team: str,
    opponents: str,
    signatures: Sequence[SignedList],
    number: str,
    *,
    is_over: bool,
) -> tuple[SignatureLine, ...]:
    """The ledger's signatures, own side first, and room to sign for a side without one.

    After the game (`is_over`) the room says that it was left empty.
    """
    lines = []
    for side in (team, opponents):
        own = [one for one in signatures if one.row["side"] == side]
        given = [
            replace(
                signature_line(source, one, number),
                signed_at=source.date_and_clock(one.row["signed_at"]),
            )
            for one in own
        ]
        room = room_to_sign(source, team, side)
        lines += given or [replace(room, state=lists.NO_SIGNATURE) if is_over else room]
    return tuple(lines)


def room_to_sign(source: GameSource, team: str, side: str) -> SignatureLine:
    """Room in ink for a side's signature to a team's list."""
    return SignatureLine(side=source.team_name(side), meaning=meaning_of(team, side))


def since_of(
    source: GameSource,
    team: str,
    signatures: Sequence[SignedList],
    rows: Sequence[Mapping[str, Any]],
    recorded: str,
) -> tuple[Since, ...]:
    """What came after the signatures; `rows` are the lines, `recorded` as in `since_signed`."""
    back = source.signatures.taken_back(source.game, team)
    zone, name_of = source.zone, source.names.of
    return (
        *since_signed.taken_back(back, zone, name_of, clock=source.clock),
        *since_signed.since(
            signatures,
            zone,
            name_of,
            recorded=recorded,
            clock=source.clock,
            struck=_struck(rows),
            is_on_list=True,
        ),
    )


def added_since(
    rows: Sequence[Mapping[str, Any]], signed: Sequence[SignedList]
) -> tuple[int, tuple[int | None, ...]]:
    """How many players came onto the list after a signature; the numbers of those who were on it
    and have one more reason since.
    """
    later = {
        statement.event
        for one in signed
        for change in one.changes
        for statement in change.statements
    }
    number_of = {row["player"]: row["number"] for row in rows if row["event_id"] in later}
    before = {row["player"] for row in rows if row["event_id"] not in later}
    new = sum(player not in before for player in number_of)
    return new, tuple(n for player, n in number_of.items() if player in before)


def _struck(rows: Sequence[Mapping[str, Any]]) -> dict[str, list[str]]:
    """The reasons of the lines that each strike-off struck, by its id."""
    found: dict[str, list[str]] = {}
    for row in rows:
        if row["strike_id"] and row["reason"] not in found.setdefault(row["strike_id"], []):
            found[row["strike_id"]].append(row["reason"])
    return found
