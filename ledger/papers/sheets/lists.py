"""The ineligible list of a team in a game."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import groupby
from typing import Any, Unpack

from ledger.derive.engine import Engine
from ledger.derive.list_state import Decided, ListState
from ledger.derive.settling import Settling, read_settling
from ledger.derive.signed_list import list_content, list_number
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead, SignatureLine
from ledger.papers.sheets.list_parts import (
    ControlStrip,
    LateLine,
    OpenLine,
    Verdict,
    also_open,
    beside,
    control_strip,
    is_usual,
    late_lines,
    off_lines,
    open_lines,
    uncounted_signatures,
    verdicts_of,
)
from ledger.papers.sheets.list_signatures import added_since, given_signatures, since_of
from ledger.papers.sheets.source import GameSource, Moments
from ledger.say import lists, since_signed, stated, verdicts, words
from ledger.say.since_signed import Since


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One reason that a player is listed; `struck_at` and `struck_by` if it was struck off.

    `late` says if the listing or the strike-off was recorded late or after a signature.
    """

    reason: str
    at: str
    by: str
    struck_at: str = ""
    struck_by: str = ""
    late: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """One player with at least one listing, also if it was struck off.

    `verdicts` say what the player may do, `because` what decided unless that is the usual,
    `to_settle` what to do where the line and the weigh do not agree.
    """

    number: int | None
    name: str
    listings: tuple[Listing, ...]
    verdicts: tuple[Verdict, ...]
    because: str
    to_settle: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPaper:
    """`ineligible_list`: one team in one game; `day` is the local day of kickoff.

    `waiting` are the large words before the weigh-in, `to_do` what to do then; `not_yet` says until
    when players are weighed who do not play yet. `open` is what to settle before signing,
    `also_open` whose lines say more, `off` why the game is off; `is_closed`: the weigh-in is
    closed; `is_signed`: both sides signed. `counted` says how many lines there are, and which came
    after a signature. `digest` is the number of the list as it is now (64 hex digits), as a
    countersignature holds it. `since` says what was entered after signatures, `recorded` when the
    ledger got most of it, unless `typed_in` says so: that all was entered from paper at once.
    `hand_rows` and `late_rows` are empty rows for the pen; `added_when` says when the first are
    filled in.
    """

    head: PaperHead
    team: str
    opponent: str
    day: str
    control: ControlStrip
    lines: tuple[ListLine, ...]
    signatures: tuple[SignatureLine, ...]
    digest: str
    counted: str
    waiting: str = ""
    to_do: tuple[str, ...] = ()
    not_yet: str = ""
    open: tuple[OpenLine, ...] = ()
    also_open: str = ""
    late: tuple[LateLine, ...] = ()
    off: tuple[str, ...] = ()
    since: tuple[Since, ...] = ()
    recorded: str = ""
    typed_in: str = ""
    is_closed: bool = True
    is_signed: bool = False
    added_when: str = "before signing"
    hand_rows: int = 2
    late_rows: int = 2


def list_sheet(heads: Heads, game: str, team: str, **moments: Unpack[Moments]) -> Sheet:
    """The ineligible list of `team` in `game`; InputError if there is no such side."""
    return lay_list(GameSource(heads, game, **moments), team)


def lay_list(source: GameSource, team: str) -> Sheet:
    """The ineligible list of one side of the source's game, as of the source's moment."""
    opponents = source.opponents_of(team)
    rows = source.engine.answer("ineligible_list", game=source.game, team=team).dicts()
    content = list_content(source.engine, source.game, team)
    number = list_number(content)
    signed = source.signatures.of(source.game, team, content)
    to_settle = read_settling(source.engine, source.game, team)
    state = to_settle.state
    signatures = given_signatures(source, team, opponents, signed, number, is_over=state.is_over)
    open_now = open_lines(source, to_settle)
    comes = any(
        verdicts.can_come(one, state, source.league)
        for one in state.players
        if one.lines or one.open_for
    )
    given = [line for line in signatures if line.how]
    is_signed = len(given) == len(signatures)
    recorded = since_signed.mostly_recorded(signed, source.zone)
    typed_in = "" if source.as_of else _typed_in(source, rows)
    paper = ListPaper(
        head=replace(source.head(), held_later=""),  # its option of the command is for a screen
        team=source.team_name(team),
        opponent=source.team_name(opponents),
        day=source.day,
        control=control_strip(source, state, limit_of(source)),
        lines=tuple(
            _line(source, to_settle, list(g))
            for _, g in groupby(rows, key=lambda row: row["player"])
        ),
        signatures=(*signatures, *uncounted_signatures(source, team)),
        digest=number,
        waiting=lists.NOT_WEIGHED if state.is_before_weigh_in else "",
        to_do=lists.what_to_do_first(source.clock(opens_at(source))),
        not_yet=verdicts.not_yet(state, source.league) if comes else "",
        open=open_now,
        also_open=also_open(to_settle, is_alone=not open_now),
        late=late_lines(source, state),
        off=off_lines(source, team),
        since=since_of(source, team, signed, rows, recorded),
        recorded="" if recorded and recorded in typed_in else recorded,
        typed_in=typed_in,
        is_closed=state.is_closed,
        is_signed=is_signed,
        counted=lists.printed_lines(
            len({row["player"] for row in rows}), *added_since(rows, signed)
        ),
        added_when=lists.added_when(len(given), is_signed=is_signed),
        late_rows=0 if state.is_first_half_over else 2,
        hand_rows=0 if is_signed and not any(one.is_to_add for one in open_now) else 2,
    )
    return source.sheet("ineligible_list", paper, list_number=number, game=source.game, team=team)


def limit_of(source: GameSource) -> int:
    """The limit in the source's game, in hundredths of a pound."""
    rows = source.engine.answer("limit_due").dicts()
    return int(next(row["limit_clb"] for row in rows if row["game"] == source.game))


def opens_at(source: GameSource) -> str:
    """When the weigh-in of the source's game opens, in UTC."""
    return source.minutes_before_kickoff(source.league["weigh_in"]["opens_before_kickoff_min"])


def passing_range(check_clb: int, engine: Engine) -> str:
    """What the scale may read with the check weight on it: "9.5 to 10.5 lb"."""
    tolerance = engine.answer("check_weight").dicts()[0]["tolerance_clb"]
    lowest, highest = check_clb - tolerance, check_clb + tolerance
    return f"{words.pounds(lowest).removesuffix(' lb')} to {words.pounds(highest)}"


def _line(source: GameSource, to_settle: Settling, listings: list[dict[str, Any]]) -> ListLine:
    first, state = listings[0], to_settle.state
    decided = next(one for one in state.players if one.row["player"] == first["player"])
    doubt = next((lists.not_settled(o) for o in to_settle.doubts if decided in o.players), "")
    return ListLine(
        number=first["number"],
        name=source.names.beside(first["player"], first["number"]),
        listings=tuple(
            Listing(
                reason=row["reason"],
                at=source.clock(row["listed_at"]),
                by=source.names.of(row["listed_by"]),
                struck_at=source.clock(row["struck_at"]),
                struck_by=source.names.of(row["struck_by"]) if row["struck_by"] else "",
                late=_lateness(source, row),
            )
            for row in listings
        ),
        verdicts=verdicts_of(source, to_settle, decided),
        because="; ".join(filter(None, [_reason(source, decided, state), doubt])),
        to_settle=beside(source, to_settle, decided),
    )


def _reason(source: GameSource, decided: Decided, state: ListState) -> str:
    if is_usual(decided) or verdicts.can_come(decided, state, source.league):
        return ""
    return verdicts.reason(decided, source.clock)


def _lateness(source: GameSource, row: Mapping[str, Any]) -> str:
    marks = map(stated.lateness, _statements(source, [row], "event_id", "strike_id"))
    return "; ".join(dict.fromkeys(filter(None, marks)))


def _typed_in(source: GameSource, rows: Sequence[Mapping[str, Any]]) -> str:
    lines = _statements(source, rows, "event_id")
    return stated.recorded_together(lines, source.zone, "the entries")


def _statements(
    source: GameSource, rows: Sequence[Mapping[str, Any]], *keys: str
) -> list[dict[str, Any]]:
    ids = [row[key] for row in rows for key in keys if row[key]]
    return [asdict(source.signatures.statement(event_id)) for event_id in ids]
