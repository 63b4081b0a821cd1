"""The entry just recorded, said again to show a slip at once. It names a child only if asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.rule_header import rule_header
from ledger.derive.scope import read_case, read_game, read_statements
from ledger.derive.settling import CODES, has_step
from ledger.derive.statements import Statement, all_statements, numbers_of
from ledger.review.timeline import TimelineEntry
from ledger.say import packets, stated
from ledger.say.clock import local_time
from ledger.say.lines import Line
from ledger.say.stated import NameOf
from ledger.store.store import Store, Stored

_Numbers = Mapping[tuple[str, str, str], int | None]


def recorded_lines(
    store: Store, event_id: str, zone: str, name_of: NameOf | None = None
) -> list[Line]:
    """The statement, what it withdraws, the findings about it, and what is still to do."""
    (stored,) = store.events_by_id([event_id])
    event = stored.event
    target = event.data.get("target")
    around = [*(store.events_by_id([target]) if target else ()), stored]
    game = next((one.event.game for one in around if one.event.game), None)
    case = next((one.event.data["case"] for one in around if "case" in one.event.data), None)
    engine = Engine(_needed(store, around, game, case))
    statements = {one.event: one for one in all_statements(engine)}
    numbers = numbers_of(engine) if game else {}
    lines = [Line(_said(statements[event_id], event, numbers, zone, name_of), 2, 4)]
    if target:
        withdrawn = _said(statements[target], around[0].event, numbers, zone, name_of)
        lines.append(Line(f"Taken back: {withdrawn}", 2, 4))
    rows = find(engine, game=None if case else game, among=_rules_about(event)).dicts()
    found = [row for row in rows if event_id in row["events"] and _is_about(row, event)]
    raised = list(dict.fromkeys(row["rule"] for row in found))
    if event.kind == "appoint":
        has_authority = _has_authority(engine, event_id)
        says = stated.appointed(statements[event_id], has_authority=has_authority)
        lines.append(Line(says, 2, 4))
        raised = [rule for rule in raised if rule != "appointed_without_authority"]
    # Every morning has steps not entered yet. Called findings, they would hide the real slips.
    if slips := [rule for rule in raised if not rule_header(rule).todo]:
        lines.append(Line(f"Findings about it: {', '.join(slips)}.", 2, 4))
    if {*CODES} & {*raised}:
        raised = _with_steps(engine, event, raised)
    if steps := list(dict.fromkeys(step for rule in raised if (step := rule_header(rule).todo))):
        lines.append(Line(f"Still to do: {', '.join(steps)}.", 2, 4))
    return lines


def said_shortly(store: Store, event_ids: Sequence[str], game: str, zone: str) -> list[str]:
    """Each of these entries of a game with its id: "office:24: Struck off the list (…)"."""
    statements = {one.event: one for one in all_statements(Engine(read_game(store, game)))}
    return [f"{one}: {stated.what(statements[one], zone)}." for one in event_ids]


def _with_steps(engine: Engine, event: Event, raised: Sequence[str]) -> list[str]:
    """The rules that ask for a step about this player: one who may not play needs no stripe."""
    mine = (event.team, event.player)
    rows = engine.answer("eligibility", game=event.game).dicts()
    own = [row for row in rows if (row["team"], row["player"]) == mine]
    return [rule for rule in raised if all(has_step(rule, row) for row in own)]


def _needed(
    store: Store, around: Sequence[Stored], game: str | None, case: str | None
) -> list[Stored]:
    """The events its findings depend on: its case, its game, or these statements alone."""
    if not (case or game):
        return read_statements(store, around)
    return sorted({*around, *(read_case(store, case) if case else read_game(store, str(game)))})


def _has_authority(engine: Engine, event_id: str) -> bool:
    engine.make("appointment")
    found = engine.run(
        "select has_authority from appointment "
        "inner join event on appointment.position = event.position where event_id = $id",
        {"id": event_id},
    )
    return bool(found[0][0])


def _said(
    statement: Statement, event: Event, numbers: _Numbers, zone: str, name_of: NameOf | None
) -> str:
    """ "acorn-1a, newts 12 (k499). Weighed: over the limit. Sat, Sep 5, …, by marmots-wm3." """
    subject = (str(statement.game), str(statement.team), str(statement.player))
    number = numbers.get(subject, statement.says.get("number"))
    shown = TimelineEntry(statement, event.data, number, said=None, is_erased=False, is_own=False)
    names_case = statement.kind in ("case_open", "ruling")  # packets name the case in their title
    what = stated.what(statement, zone) if names_case else packets.what(shown, zone)
    case_id = statement.says.get("case_id")
    case = f"case {case_id}" if case_id and not names_case else ""
    name = name_of(statement.player) if name_of and statement.player else statement.player
    named = [statement.player, *([name] if name != statement.player else [])]
    player = "" if statement.player is None else f"({', '.join(filter(None, named))})"
    side = [statement.team, "" if number is None or not player else str(number), player]
    where = ", ".join(filter(None, [case, statement.game, " ".join(filter(None, side))]))
    written = packets.times(shown, zone, recorded_too=False)
    when = ", ".join(filter(None, [local_time(statement.happened, zone), written]))
    return f"{where}{'. ' * bool(where)}{what}. {when}, by {statement.by}."


def _rules_about(event: Event) -> list[str]:
    """The rules whose findings can be about it; the others need no query."""
    named = {"happened_at", "case_id", *(["player"] if event.player else [])}
    return [
        header.rule
        for header in map(rule_header, rules())
        if {"any", event.kind} & {*header.events} and named & {*header.columns}
    ]


def _is_about(finding: Mapping[str, Any], event: Event) -> bool:
    """Whether it is about this statement, its case or its player, not about a whole morning."""
    if finding["at"] is not None or finding["case"] is not None:
        return finding["case"] in (None, event.data.get("case"))
    return (finding["team"], finding["player"]) == (event.team, event.player or "")
