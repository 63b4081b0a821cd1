"""Which statements the timeline of a packet shows, and which of their texts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ledger.chain.event import Event
from ledger.derive.statements import Statement, base_of, with_withdrawals
from ledger.record.kinds import IN_PACKET, OF_THING, TABLE
from ledger.review.timeline import TimelineEntry, is_erased, said_in
from ledger.store.store import Store


def shown_by(
    findings: Sequence[Mapping[str, Any]],
    asked: frozenset[str],
    statements: Mapping[str, Statement],
) -> set[str]:
    """Events of these findings; a player's only if the case asks about that player or none."""
    found: set[str] = set()
    for row in findings:
        if row["player"] is None:
            here = [statements[one] for one in row["events"] if one in statements]
            found |= {one.event for one in here if not one.player or one.player in asked}
        elif row["player"] in asked or not asked:
            found |= set(row["events"])
    return found


def is_wanted(
    one: Statement,
    asked: frozenset[str],
    sides: Sequence[tuple[str, str]],
    games: Sequence[Mapping[str, Any]],
) -> bool:
    """Whether a statement that belongs to no case is for the timeline."""
    if "case_id" in one.says:
        return False
    is_in_game = one.game in [game["game"] for game in games]
    if one.player:
        return one.player in asked and (is_in_game or one.game is None)
    if not is_in_game or one.kind not in IN_PACKET:
        return False
    # A team is weighed by the other side's people, so both sides' stand in its story.
    is_of_both = one.kind == "at_scale" and bool(sides)
    return is_of_both or TABLE[one.kind].about != "team" or (one.game, one.team) in sides


def in_order(wanted: Iterable[str], statements: Sequence[Statement]) -> list[Statement]:
    """The statements with these ids, and their withdrawals, as they happened."""
    ids = with_withdrawals({*wanted} & {one.event for one in statements}, statements)
    chosen = [one for one in statements if one.event in ids]
    return sorted(chosen, key=lambda one: (one.happened, one.position))


def lay_timeline(
    store: Store,
    chosen: Sequence[Statement],
    statements: Sequence[Statement],
    events: Mapping[str, Event],
    own: set[str],
    asked: frozenset[str],
    numbers: Mapping[tuple[str, str, str], int | None],
) -> tuple[TimelineEntry, ...]:
    """The entries of the chosen statements, without texts about other children and cases."""
    by_id = {one.event: one for one in statements}
    shown = set()
    for one in chosen:
        about = base_of(one, by_id)
        is_ours = one.event in own or about.player in asked or one.kind in OF_THING
        is_known = one.kind == "withdraw" and about.kind != "withdraw"
        if is_ours or (is_known and about.player is None and "case_id" not in about.says):
            shown.add(one.event)
    said = said_in(store, shown)
    return tuple(
        TimelineEntry(
            statement=one,
            data=events[one.event].data,
            number=numbers.get(
                (str(one.game), str(one.team), str(one.player)),
                one.says.get("number") if one.game else None,
            ),
            said=said.get(one.event),
            is_erased=one.event in shown and is_erased(events[one.event], said),
            is_own=one.event in own,
        )
        for one in chosen
    )
