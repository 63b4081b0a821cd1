"""A packet's lists as they were first signed, with what was entered later marked as later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from ledger.derive.signatures import Changed
from ledger.papers.sheets.list_signatures import signature_line
from ledger.papers.sheets.packet_context import ListEntry, ListShown
from ledger.papers.sheets.packet_parts import Whom
from ledger.review.packet_lists import ListLineThen, ListThen
from ledger.say import packets, since_signed
from ledger.say.clock import time_beside


def lay_list(one: ListThen, whom: Whom) -> ListShown:
    source = whom.source
    game = next(row for row in whom.packet.games if row["game"] == one.game)
    sides = sorted((game["visitor"], game["home"]), key=lambda side: side != one.team)
    own_first = sorted(one.signatures, key=lambda signed: sides.index(signed.row["side"]))
    signed_for = {signed.row["side"] for signed in own_first}
    recorded = since_signed.mostly_recorded(one.signatures, source.zone)
    since = since_signed.since(one.signatures, source.zone, source.names.of, recorded=recorded)
    changes = [change for signed in one.signatures for change in signed.changes]
    lines = {
        is_added: tuple(
            _entry(line, game, [c for c in changes if c.player == line.row["player"]], whom)
            for line in one.lines
            if (line.standing == "added") is is_added
        )
        for is_added in (False, True)
    }
    return ListShown(
        title=f"{whom.team(one.team)}, game {one.game}",
        is_signed=one.signed_at is not None,
        signed_at=source.time(one.signed_at),
        lines=lines[False],
        added=lines[True],
        signatures=tuple(signature_line(source, signed, "") for signed in own_first),
        unsigned=tuple(whom.team(side) for side in sides if side not in signed_for),
        since=tuple(" ".join([line.text, *line.statements]) for line in since),
        recorded=recorded,
    )


def _entry(
    line: ListLineThen, game: Mapping[str, Any], changes: Sequence[Changed], whom: Whom
) -> ListEntry:
    """A line; `changes` are those of its player after signatures."""
    clock = partial(time_beside, game["kickoff_at"], zone_name=whom.source.zone)
    row = line.then or line.row

    def struck(row: Mapping[str, Any]) -> str:
        by = whom.source.names.of(row["struck_by"])
        return f"{clock(row['struck_at'])}, {by}"

    is_struck, was_struck = line.row["strike_id"], row["strike_id"]
    later = []
    if line.standing == "withdrawn":
        later.append(packets.LINE_WITHDRAWN)
    elif is_struck and is_struck != was_struck:
        later.append(packets.crossed_off(struck(line.row)))
    elif was_struck and not is_struck:
        later.append(packets.NOT_CROSSED_OFF)
    after = {one.event: one for change in changes for one in change.statements if one.stands}
    later += packets.done_later(one.kind for one in after.values())
    if changes and not later and line.standing != "added":
        later.append(packets.SEE_CHANGES)
    return ListEntry(
        player=whom.player(row["player"], row["number"]),
        is_asked=row["player"] in whom.packet.asked,
        reason=row["reason"],
        listed=f"{clock(row['listed_at'])}, {whom.source.names.of(row['listed_by'])}",
        struck=struck(row) if was_struck else "",
        later="; ".join(later),
    )
