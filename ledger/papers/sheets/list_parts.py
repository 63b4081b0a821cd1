"""Parts of the ineligible list: control strip, what is open, late arrivals, a game that is off."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.list_state import Decided, ListState
from ledger.errors import count_of
from ledger.papers.sheets.context import SignatureLine
from ledger.papers.sheets.source import GameSource
from ledger.record.kinds import WEIGHS
from ledger.review.timeline import said_in
from ledger.say import codes, lists, signing, verdicts
from ledger.say.names import ERASED
from ledger.say.words import jersey, join, pounds
from ledger.witness.vouching import is_forged

MOST_MISSING = 4
"""More players than this who are neither weighed nor listed share a row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlStrip:
    """What both sides compare before they sign; all are texts, "" for nothing entered."""

    limit: str
    checks: str
    weighed: str
    over: int
    absent: int
    weighed_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a player may do; `holds_back` if it is less than all."""

    text: str
    holds_back: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLine:
    """A player whom no line explains, or the many of a team who are still to be weighed."""

    number: str
    name: str
    what: str
    todo: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LateLine:
    """A player who was weighed late."""

    number: str
    name: str
    at: str
    result: str
    by: str


def control_strip(source: GameSource, state: ListState, limit_clb: int) -> ControlStrip:
    return ControlStrip(
        limit=pounds(limit_clb),
        checks=lists.checks(state, source.clock),
        weighed=lists.weighed(state),
        over=state.over,
        absent=state.absent,
        weighed_by=join([source.names.of(one) for one in state.weighed_by]),
    )


def is_usual(decided: Decided) -> bool:
    """Whether the player was weighed over on time, which a line for "over" says already."""
    by = decided.play_by, decided.carry_by
    return by == ("on_time", "scale") and decided.row["may_carry"] == "no"


def verdicts_of(source: GameSource, decided: Decided, state: ListState) -> tuple[Verdict, ...]:
    """What the player plays and, for one who plays, whether the player carries."""
    play, carry = decided.row["may_play"], decided.row["may_carry"]
    plays = verdicts.may_play(decided, state, source.league)
    carries = Verdict(text=codes.may_carry(carry), holds_back=carry != "yes")
    return (Verdict(text=plays, holds_back=play != "full"), *[carries] * (play != "none"))


def open_lines(source: GameSource, state: ListState) -> tuple[OpenLine, ...]:
    """What to settle before signing; nothing before the weigh-in, when all of it is to do."""
    if state.is_before_weigh_in:
        return ()
    missing = [one for one in state.open if one.open_for == "missing"]
    together = missing if len(missing) > MOST_MISSING else []
    lines = [_open_line(source, one) for one in state.open if one not in together]
    if together:
        what, todo = verdicts.still_open(together[0], source.league, source.zone)
        numbers = ", ".join(jersey(one.row["number"]) for one in together)
        name = count_of(len(together), "player")
        lines.append(OpenLine(number="", name=name, what=f"{what} No. {numbers}", todo=todo))
    return tuple(lines)


def late_lines(source: GameSource, state: ListState) -> tuple[LateLine, ...]:
    """Those who were weighed late, by time."""
    late = [one.presented for one in state.players if one.is_late and one.presented]
    number_of = {one.row["player"]: one.row["number"] for one in state.players}
    return tuple(
        LateLine(
            number=jersey(number_of[str(one.player)]),
            name=source.names.child(str(one.player), number_of[str(one.player)]),
            at=source.clock(one.happened),
            result=codes.weigh_mark(one.says["value"]),
            by=source.names.of(one.by),
        )
        for one in sorted(late, key=lambda one: (one.happened, one.position))
    )


def uncounted_signatures(source: GameSource, team: str) -> tuple[SignatureLine, ...]:
    """Signatures of people who sign for neither side, shown as what they are."""
    return tuple(
        SignatureLine(
            side=lists.NEITHER_SIDE,
            meaning=lists.as_nobody(one.roles),
            name=source.names.of(one.by),
            signed_at=source.time(one.happened),
            how=how,
            id=one.event,
            state=signing.NO_KEY if is_forged(source.store, one.event) else lists.DOES_NOT_COUNT,
            is_whole=False,
            key=signing.key_words(source.store, one.event, source.names.of),
        )
        for one, how in source.signatures.uncounted(source.game, team)
    )


def off_lines(source: GameSource, team: str) -> tuple[str, ...]:
    """Why the game is off, and what was entered about this team all the same."""
    off = source.called_off
    if off is None:
        return ()
    rows = source.engine.answer("statement").dicts()
    mine = [row for row in rows if (row["game"], row["team"]) == (source.game, team)]
    weighed = {row["player"] for row in mine if row["kind"] in WEIGHS}
    listed = {row["player"] for row in mine if row["kind"] == "list"}
    said = said_in(source.store, [off["event_id"]]).get(off["event_id"], ERASED)
    return lists.off_lines(said, source.team_name(team), len(weighed), len(listed))


def _open_line(source: GameSource, decided: Decided) -> OpenLine:
    row = decided.row
    what, todo = verdicts.still_open(decided, source.league, source.zone)
    name = source.names.child(row["player"], row["number"])
    return OpenLine(number=jersey(row["number"]), name=name, what=what, todo=todo)
