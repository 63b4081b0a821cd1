"""The ineligible list of a team in a game."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import Any, Unpack

from ledger.derive.engine import Engine
from ledger.derive.settling import Settling, read_settling
from ledger.derive.signatures import SignedList
from ledger.derive.signed_list import list_content, list_number
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead, SignatureLine
from ledger.papers.sheets.list_parts import (
    ControlStrip,
    LateLine,
    OpenLine,
    Verdict,
    control_strip,
    is_usual,
    late_lines,
    off_lines,
    open_lines,
    uncounted_signatures,
    verdicts_of,
)
from ledger.papers.sheets.source import GameSource, LeagueSource, Moments
from ledger.say import lists, settling, signing, stated, verdicts, words
from ledger.say.signing import Since
from ledger.witness.vouching import is_forged


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
    """`ineligible_list`: one team in one game.

    `waiting` are the large words before the weigh-in. `open` is what to settle before signing,
    `off` why the game is off; `is_signed` if both sides signed. `digest` is the number of the list
    as it is now (64 hex digits), as a countersignature holds it. `since` says what was entered
    after signatures, `recorded` when the ledger got most of it. `typed_in` says if all lines were
    entered from paper at once. `hand_rows` and `late_rows` are empty rows for the pen.
    """

    head: PaperHead
    team: str
    opponent: str
    control: ControlStrip
    lines: tuple[ListLine, ...]
    signatures: tuple[SignatureLine, ...]
    digest: str
    waiting: str = ""
    open: tuple[OpenLine, ...] = ()
    late: tuple[LateLine, ...] = ()
    off: tuple[str, ...] = ()
    since: tuple[Since, ...] = ()
    recorded: str = ""
    typed_in: str = ""
    is_signed: bool = False
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
    back = source.signatures.taken_back(source.game, team)
    zone, name_of = source.zone, source.names.of
    signatures = _given(source, team, opponents, signed, number)
    to_settle = read_settling(source.engine, source.game, team)
    state = to_settle.state
    recorded = signing.mostly_recorded(signed, zone)
    paper = ListPaper(
        head=source.head(),
        team=source.team_name(team),
        opponent=source.team_name(opponents),
        control=control_strip(source, state, limit_of(source)),
        lines=tuple(
            _line(source, to_settle, list(g))
            for _, g in groupby(rows, key=lambda row: row["player"])
        ),
        signatures=(*signatures, *uncounted_signatures(source, team)),
        digest=number,
        waiting=lists.not_weighed_yet(state),
        open=open_lines(source, state),
        late=late_lines(source, state),
        off=off_lines(source, team),
        since=(
            *signing.taken_back(back, zone, name_of),
            *signing.since(signed, zone, name_of, recorded=recorded),
        ),
        recorded=recorded,
        typed_in=stated.recorded_together(_statements(source, rows, "event_id"), zone),
        is_signed=all(line.how for line in signatures),
    )
    return source.sheet("ineligible_list", paper, list_number=number, game=source.game, team=team)


def limit_of(source: GameSource) -> int:
    """The limit in the source's game, in hundredths of a pound."""
    rows = source.engine.answer("limit_due").dicts()
    return int(next(row["limit_clb"] for row in rows if row["game"] == source.game))


def passing_range(check_clb: int, engine: Engine) -> str:
    """What the scale may read with the check weight on it: "9.5 to 10.5 lb"."""
    tolerance = engine.answer("check_weight").dicts()[0]["tolerance_clb"]
    lowest, highest = check_clb - tolerance, check_clb + tolerance
    return f"{words.pounds(lowest).removesuffix(' lb')} to {words.pounds(highest)}"


def meaning_of(team: str, side: str) -> str:
    """What a side's signature to a team's list means."""
    return signing.PRESENTS if side == team else signing.RECEIVES


def _line(source: GameSource, to_settle: Settling, listings: list[dict[str, Any]]) -> ListLine:
    first, state = listings[0], to_settle.state
    decided = next(one for one in state.players if one.row["player"] == first["player"])
    return ListLine(
        number=first["number"],
        name=source.names.child(first["player"], first["number"]),
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
        verdicts=verdicts_of(source, decided, state),
        because="" if is_usual(decided) else verdicts.reason(decided, source.zone),
        to_settle=settling.beside_line(to_settle, first["player"]),
    )


def _lateness(source: GameSource, row: Mapping[str, Any]) -> str:
    marks = map(stated.lateness, _statements(source, [row], "event_id", "strike_id"))
    return "; ".join(dict.fromkeys(filter(None, marks)))


def _statements(
    source: GameSource, rows: Sequence[Mapping[str, Any]], *keys: str
) -> list[dict[str, Any]]:
    ids = [row[key] for row in rows for key in keys if row[key]]
    return [asdict(source.signatures.statement(event_id)) for event_id in ids]


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
        is_whole=signed.stands and not is_false,
        number="" if row["list_number"] in ("", number) else row["list_number"],
        key=signing.key_words(source.store, row["event_id"], source.names.of),
    )


def _given(
    source: GameSource, team: str, opponents: str, signatures: Sequence[SignedList], number: str
) -> tuple[SignatureLine, ...]:
    """The ledger's signatures, own side first, and room to sign for a side without one."""
    lines = []
    for side in (team, opponents):
        own = [one for one in signatures if one.row["side"] == side]
        given = [signature_line(source, one, number) for one in own]
        lines += given or [room_to_sign(source, team, side)]
    return tuple(lines)


def room_to_sign(source: GameSource, team: str, side: str) -> SignatureLine:
    """Room in ink for a side's signature to a team's list."""
    return SignatureLine(side=source.team_name(side), meaning=meaning_of(team, side))
