"""Parts of the ineligible list: control strip, what is open, late arrivals, a game that is off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.derive.list_doubts import Doubt
from ledger.derive.list_state import Decided, ListState
from ledger.derive.settling import Settling, ToSettle
from ledger.errors import count_of
from ledger.papers.sheets.context import SignatureLine
from ledger.papers.sheets.source import GameSource
from ledger.record.kinds import WEIGHS
from ledger.review.timeline import said_in
from ledger.say import codes, lists, settling, signing, verdicts
from ledger.say.names import ERASED
from ledger.say.words import jersey, join, pounds
from ledger.witness.vouching import is_forged

MOST_ROWS = 4
"""More players than this of whom the same is open share a row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlStrip:
    """What both sides compare before they sign; all are texts, "" for nothing entered.

    `listed_as` says what `listed` counts, `by` what those of `weighed_by` did.
    """

    limit: str
    checks: str
    weighed: str
    over: str
    listed: str
    weighed_by: str
    listed_as: str = "Listed, not weighed"
    by: str = "Weighed by"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a player may do; `holds_back` if it is less than all."""

    text: str
    holds_back: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLine:
    """What is open about a player, or about more players than have room for a line each.

    Those share a line without `number`, and `name` says how many they are. `is_to_add` if it may
    take a new line.
    """

    number: str
    name: str
    what: str
    todo: str
    is_to_add: bool = False


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
        checks=lists.checks(state, source.clock, source.team_name),
        weighed=lists.weighed(state),
        over="–" if state.is_before_weigh_in else str(state.over),
        listed="–" if state.is_before_weigh_in else str(state.listed_only),
        weighed_by=join([source.names.of(one) for one in state.weighed_by]),
        listed_as=lists.listed_only(state),
        by=lists.weighed_by(state),
    )


def is_usual(decided: Decided) -> bool:
    """Whether the player was weighed on time on a scale, and no injury is to be settled."""
    by = decided.play_by, decided.carry_by
    return by == ("on_time", "scale") and "injured" not in decided.row["listed"]


def verdicts_of(source: GameSource, to_settle: Settling, decided: Decided) -> tuple[Verdict, ...]:
    """What the player plays and, for one who plays, whether the player carries; before it whether
    an injury is to be settled.
    """
    play, carry = decided.row["may_play"], decided.row["may_carry"]
    plays = verdicts.may_play(decided, to_settle.state, source.league)
    said = [Verdict(text=plays, holds_back=play != "full")]
    if play != "none":
        said.append(Verdict(text=codes.may_carry(carry), holds_back=carry != "yes"))
    if settling.is_injury_open(to_settle, decided):
        said.insert(0, Verdict(text=verdicts.ask_first(source.league), holds_back=True))
    return tuple(said)


def open_lines(source: GameSource, to_settle: Settling) -> tuple[OpenLine, ...]:
    """What to settle before signing; nothing before the weigh-in, when all of it is to do.

    What is to be settled about a player who has a line stands beside it (`settling.beside_line`).
    """
    state = to_settle.state
    if state.is_before_weigh_in:
        return ()
    missing = [one for one in state.open if one.open_for == "missing" and not one.struck_at]
    together = missing if len(missing) > MOST_ROWS else []
    lines = []
    for one in state.players:
        if one.open_for and one not in together:
            item = next(item for item in to_settle.items if item.decided is one)
            lines.append(_item_line(source, to_settle, item))
        elif not one.lines:
            items = settling.items_of(to_settle, one)
            lines += [_item_line(source, to_settle, item) for item in items]
        if one in state.strangers and not one.lines:
            lines.append(_line(source, one, lists.stranger(one)))
    if together:
        words = verdicts.still_open(
            together[0], state, source.league, source.clock, on_paper=True, is_many=True
        )
        lines.append(_shared_line(together, words, is_to_add=together[0].may_still_weigh))
    for doubt in to_settle.doubts:
        lines += _doubt_lines(source, doubt)
    return tuple(lines)


def also_open(to_settle: Settling, *, is_alone: bool) -> str:
    """Which players have something to settle beside their lines; nothing before the weigh-in."""
    if to_settle.state.is_before_weigh_in:
        return ""
    listed = [one for one in to_settle.state.players if one.lines]
    return settling.also(
        [jersey(one.row["number"]) for one in listed if settling.items_of(to_settle, one)],
        is_alone=is_alone,
    )


def beside(source: GameSource, to_settle: Settling, decided: Decided) -> tuple[str, ...]:
    """What stands beside a player's line: what is to be settled, who has the same number."""
    said = list(settling.beside_line(to_settle, decided, source.league))
    if decided in to_settle.state.strangers:
        said.append(" ".join(lists.stranger(decided)))
    number = decided.row["number"]
    others = [one for one in to_settle.state.players if one is not decided]
    said += [lists.twin(one) for one in others if None is not number == one.row["number"]]
    return tuple(said)


def late_lines(source: GameSource, state: ListState) -> tuple[LateLine, ...]:
    """Those who were weighed late, by time."""
    late = [one.presented for one in state.players if one.is_late and one.presented]
    number_of = {one.row["player"]: one.row["number"] for one in state.players}
    return tuple(
        LateLine(
            number=jersey(number_of[str(one.player)]),
            name=source.names.beside(str(one.player), number_of[str(one.player)]),
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
            signed_at=source.date_and_clock(one.happened),
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
    return lists.off_lines(said, len(weighed), len(listed))


def _item_line(source: GameSource, to_settle: Settling, item: ToSettle) -> OpenLine:
    one = item.decided
    words = settling.open_words(to_settle, item, source.league, source.clock, on_paper=True)
    is_to_add = one.open_for == "over" or (one.open_for == "missing" and one.may_still_weigh)
    return _line(source, one, words, is_to_add=is_to_add)


def _doubt_lines(source: GameSource, doubt: Doubt) -> list[OpenLine]:
    words = lists.doubt(doubt, source.league)
    if len(doubt.players) > MOST_ROWS:
        return [_shared_line(doubt.players, words)]
    return [_line(source, one, words) for one in doubt.players]


def _shared_line(
    players: Sequence[Decided], words: tuple[str, str], *, is_to_add: bool = False
) -> OpenLine:
    numbers = ", ".join(jersey(one.row["number"]) for one in players)
    return OpenLine(
        number="",
        name=count_of(len(players), "player"),
        what=f"{words[0]} No. {numbers}",
        todo=words[1],
        is_to_add=is_to_add,
    )


def _line(
    source: GameSource, one: Decided, words: tuple[str, str], *, is_to_add: bool = False
) -> OpenLine:
    return OpenLine(
        number=jersey(one.row["number"]),
        name=source.names.beside(one.row["player"], one.row["number"]),
        what=words[0],
        todo=words[1],
        is_to_add=is_to_add,
    )
