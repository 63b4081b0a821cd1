"""What a protest packet adds: both sides' words, points agreed, what each ruling changes."""

from __future__ import annotations

from ledger.errors import count_of
from ledger.papers.sheets.packet_context import (
    ProtestShown,
    SaidBy,
    SaidLine,
    TriedLine,
    TriedTable,
)
from ledger.papers.sheets.packet_parts import Whom, said_words, struck_words
from ledger.review.packet_lists import ListThen
from ledger.review.packet_protest import Changed, Count, Protest, Tried
from ledger.review.timeline import TimelineEntry
from ledger.say import codes, packets
from ledger.say.words import join

_UNTOUCHED = (
    "Each line is one ruling by a reviewer, given after everything in this paper. A ruling after a"
    " game does not change the plays due in it. Nothing was written to the ledger."
)

_NONE_AGREE = "The ledger has no two counts that agree."
_NONE_DIFFER = "The ledger has no two counts that differ."


def lay_protest(protest: Protest, whom: Whom) -> ProtestShown:
    sides = [
        SaidBy(side=_side(side, whom), lines=tuple(_said(one, whom) for one in said))
        for side, said in protest.said.items()
        if said or (side in ("visitor", "home") and whom.packet.games)
    ]
    agreed = [_counted(one, whom) for one in protest.counts if one.alike]
    agreed += [text for one in whom.packet.lists if (text := _both_signed(one, whom))]
    differ = [_counted(one, whom) for one in protest.counts if not one.alike]
    none = _nothing_to_compare(protest, whom)
    no_list = " No list is still as both sides signed it." if whom.packet.lists else ""
    tried: dict[tuple[str, str, str], list[Tried]] = {}
    for one in protest.tried:
        tried.setdefault((one.game, one.team, one.player), []).append(one)
    note = _UNTOUCHED if tried else _no_row(whom)
    if protest.left_out:
        note += f" {count_of(protest.left_out, 'more player')} in question, not tried here."
    return ProtestShown(
        sides=tuple(sides),
        agreed=tuple(agreed) or (f"{none or _NONE_AGREE}{no_list}",),
        open=tuple(differ) or (none or _NONE_DIFFER,),
        tried=tuple(_tried(rulings, whom) for rulings in tried.values()),
        tried_note=note,
    )


def _no_row(whom: Whom) -> str:
    if whom.packet.case.state == "withdrawn":
        return "The question was withdrawn, so nobody rules on it."
    return "The case was opened without a player, so no ruling is tried here."


def _nothing_to_compare(protest: Protest, whom: Whom) -> str:
    """Why no two counts can agree or differ; "" if two can be compared."""
    if protest.counts:
        return ""
    counted = any(one.statement.kind == "plays" for one in whom.packet.timeline)
    return "No half has two counts to compare." if counted else "No counts of plays in this case."


def _side(side: str, whom: Whom) -> str:
    if side in ("visitor", "home"):
        team = whom.team(whom.packet.games[0][side])
        return f"{'Visitors' if side == 'visitor' else 'Home'}: {team}"
    return "For both sides" if side == "both" else "For neither side"


def _said(shown: TimelineEntry, whom: Whom) -> SaidLine:
    statement = shown.statement
    return SaidLine(
        when=whom.source.time(statement.happened),
        who=whom.official(statement.by),
        what=whom.what(shown),
        said=said_words(shown.said, shown.is_erased),
        id=statement.event,
        struck=struck_words(statement),
    )


def _counted(count: Count, whom: Whom) -> str:
    player = whom.player(
        count.player, whom.packet.numbers_of.get((count.game, count.team, count.player))
    )
    half = codes.HALVES[count.half]
    if count.alike:
        by = join([whom.official(one) for one in count.by])
        plays = count_of(next(iter(count.by.values())), "play")
        return f"{player}, {half}: {plays}, as counted by {by}."
    each = join([f"{whom.official(by)} counted {plays}" for by, plays in count.by.items()])
    return f"{player}, plays of {half}: {each}."


def _both_signed(one: ListThen, whom: Whom) -> str:
    whole = [signed for signed in one.signatures if signed.stands]
    if len({signed.row["side"] for signed in whole}) < 2:
        return ""
    late = any(signed.state == "late_arrivals" for signed in whole)
    since = "; only late arrivals and rulings came since" if late else " as it stands"
    return f"Both sides signed the list of {whom.team(one.team)} in game {one.game}{since}."


def _tried(rulings: list[Tried], whom: Whom) -> TriedTable:
    first = rulings[0]
    row = next(
        row
        for table in whom.packet.compared
        for row in table.rows
        if (table.game, table.team, row.player) == (first.game, first.team, first.player)
    )
    player = whom.player(first.player, first.number)
    return TriedTable(
        title=f"{player}, {whom.team(first.team)}, game {first.game}",
        now=TriedLine(
            ruling="As it is now",
            eligible=whom.eligible(row.now),
            due=packets.plays_due(first.before),
            others="",
            differs=False,
        ),
        lines=tuple(_tried_line(one, whom) for one in rulings),
    )


def _tried_line(one: Tried, whom: Whom) -> TriedLine:
    changed = {(row.team, row.player): row for row in one.changed}
    own = changed.pop((one.team, one.player), None)
    return TriedLine(
        ruling=packets.ruling(one.key, one.value),
        eligible=packets.eligible(own.after) if own else "No change",
        due=_due(own) if own else "No change",
        others=_others(list(changed.values()), whom),
        differs=bool(one.changed),
    )


def _due(row: Changed) -> str:
    before, after = packets.plays_due(row.before), packets.plays_due(row.after)
    return "No change" if before == after else after


def _others(rows: list[Changed], whom: Whom) -> str:
    shown = []
    for row in rows[:4]:
        due = packets.plays_due(row.after)
        after = due if due != packets.plays_due(row.before) else packets.eligible(row.after)
        shown.append(f"{whom.team(row.team)} {whom.player(row.player, row.number)}: {after}")
    more = [f"{len(rows) - 4} more"] if len(rows) > 4 else []
    return "; ".join([*shown, *more])
