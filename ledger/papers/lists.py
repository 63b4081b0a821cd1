"""The ineligible list of a team in a game, and its empty form: from the ledger to the paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from itertools import groupby
from typing import Any

from ledger.derive.scope import next_game
from ledger.derive.signatures import SignedList
from ledger.derive.signed_list import list_content, list_number
from ledger.papers import signature_words, told_words, words
from ledger.papers.context import (
    BlankPaper,
    Listing,
    ListLine,
    ListPaper,
    RosterLine,
    SignatureLine,
)
from ledger.papers.desk import Desk, LeagueDesk, Sheet, open_desk
from ledger.papers.heads import Heads
from ledger.papers.vouched_words import key_words
from ledger.store.store import Store

HAND_ROWS = 2


def list_sheet(
    store: Store,
    game: str,
    team: str,
    *,
    as_of: str | None = None,
    known_at: str | None = None,
    heads: Heads | None = None,
) -> Sheet:
    """The ineligible list of `team` in `game`; InputError when there is no such side."""
    desk = open_desk(store, game, as_of=as_of, known_at=known_at, heads=heads)
    return lay_list(desk, team, as_of=as_of, known_at=known_at)


def lay_list(
    desk: Desk, team: str, *, as_of: str | None = None, known_at: str | None = None
) -> Sheet:
    """The ineligible list of one side of the desk's game, as of the desk's moment."""
    opponents = desk.opponents_of(team)
    rows = desk.engine.answer("ineligible_list", game=desk.game, team=team).dicts()
    content = list_content(desk.engine, desk.game, team)
    signed = desk.signatures.of(desk.game, team, content)
    signatures = _given(desk, team, opponents, signed, list_number(content))
    paper = ListPaper(
        head=desk.head(as_of=as_of, known_at=known_at),
        team=desk.team_name(team),
        opponent=desk.team_name(opponents),
        lines=tuple(_line(desk, list(g)) for _, g in groupby(rows, key=lambda row: row["player"])),
        signatures=signatures,
        digest=list_number(content),
        since=(
            *signature_words.taken_back(
                desk.signatures.taken_back(desk.game, team), desk.zone, desk.names.of
            ),
            *signature_words.since(signed, desk.zone, desk.names.of),
        ),
        typed_in=_typed_in(desk, rows),
        # What both sides have signed is not added to by hand.
        hand_rows=0 if all(line.how for line in signatures) else HAND_ROWS,
    )
    return desk.sheet(
        "ineligible_list",
        paper,
        list_number=paper.digest,
        game=desk.game,
        team=team,
        as_of=as_of,
        known_at=known_at,
    )


def blank_sheet(
    store: Store, team: str, game: str | None = None, *, heads: Heads | None = None
) -> Sheet:
    """The empty form of `team` for a game; without one, for its next game not yet weighed."""
    heads = heads or Heads(store)
    return lay_blank(open_desk(store, game or next_game(heads.store, team), heads=heads), team)


def lay_blank(desk: Desk, team: str) -> Sheet:
    """The empty form of one side of the desk's game."""
    opponents = desk.opponents_of(team)
    weigh_in = desk.league["weigh_in"]
    tolerance = desk.engine.answer("check_weight").dicts()[0]["tolerance_clb"]
    paper = BlankPaper(
        head=desk.head(),
        team=desk.team_name(team),
        opponent=desk.team_name(opponents),
        roster=roster_of(desk, team),
        signatures=(_room(desk, team, team), _room(desk, team, opponents)),
        check_weight=words.pounds(weigh_in["check_weight_clb"]),
        passes=passing_range(weigh_in["check_weight_clb"], tolerance),
        limit=words.pounds(limit_of(desk)),
        opens=desk.before_kickoff(weigh_in["opens_before_kickoff_min"]),
        first_to_weigh=weigh_in["first_to_weigh"],
        attempts=weigh_in["attempts"],
        late_players=weigh_in["late_players"],
    )
    return desk.sheet("blank_list", paper, game=desk.game, team=team)


def roster_of(desk: Desk, team: str) -> tuple[RosterLine, ...]:
    """The team's roster at kickoff, by number."""
    rows = [
        row
        for row in desk.engine.answer("roster").dicts()
        if (row["game"], row["team"]) == (desk.game, team)
    ]
    rows.sort(key=lambda row: (row["number"] is None, row["number"], row["player"]))
    return tuple(
        RosterLine(number=row["number"], name=desk.names.child(row["player"], row["number"]))
        for row in rows
    )


def limit_of(desk: Desk) -> int:
    """The limit due in the desk's game, in hundredths of a pound."""
    rows = desk.engine.answer("limit_due").dicts()
    return int(next(row["limit_clb"] for row in rows if row["game"] == desk.game))


def passing_range(check_clb: int, tolerance_clb: int) -> str:
    """What the scale may read under the check weight: "9.5 to 10.5 lb"."""
    lowest, highest = check_clb - tolerance_clb, check_clb + tolerance_clb
    return f"{words.pounds(lowest).removesuffix(' lb')} to {words.pounds(highest)}"


def meaning_of(team: str, side: str) -> str:
    """What the signature of a side to a team's list means."""
    return words.PRESENTS if side == team else words.RECEIVES


def _line(desk: Desk, listings: list[dict[str, Any]]) -> ListLine:
    first = listings[0]
    return ListLine(
        number=first["number"],
        name=desk.names.child(first["player"], first["number"]),
        listings=tuple(
            Listing(
                reason=row["reason"],
                at=desk.clock(row["listed_at"]),
                by=desk.names.of(row["listed_by"]),
                struck_at=desk.clock(row["struck_at"]),
                struck_by=desk.names.of(row["struck_by"]) if row["struck_by"] else "",
                late=_lateness(desk, row),
            )
            for row in listings
        ),
        may_play=first["may_play"],
        may_carry=first["may_carry"],
        basis=first["basis"],
    )


def _lateness(desk: Desk, row: Mapping[str, Any]) -> str:
    told = (desk.signatures.told(row[key]) for key in ("event_id", "strike_id") if row[key])
    return "; ".join(dict.fromkeys(filter(None, map(told_words.lateness, map(asdict, told)))))


def _typed_in(desk: Desk, rows: Sequence[Mapping[str, Any]]) -> str:
    told = [desk.signatures.told(row["event_id"]) for row in rows]
    return told_words.recorded_together([asdict(one) for one in told], desk.zone)


def signature_line(desk: LeagueDesk, signed: SignedList, number: str) -> SignatureLine:
    """A signature that is in the ledger; `number` is that of the list as it stands."""
    row = signed.row
    is_forged = row["how"] == "key" and not desk.is_key_signature(signed.event_id)
    return SignatureLine(
        side=desk.team_name(row["side"]),
        meaning=meaning_of(row["team"], row["side"]),
        name=desk.names.of(row["official"]),
        signed_at=words.local_time(row["signed_at"], desk.zone),
        how=row["how"],
        id=row["event_id"],
        state=signature_words.NO_KEY if is_forged else signature_words.state(signed),
        is_whole=signed.stands and not is_forged,
        number="" if row["list_number"] in ("", number) else row["list_number"],
        key=key_words(desk.store, row["event_id"], desk.names.of),
    )


def _given(
    desk: Desk, team: str, opponents: str, signatures: Sequence[SignedList], number: str
) -> tuple[SignatureLine, ...]:
    """The signatures that the ledger has, own side first, and room for a side that has none."""
    lines = []
    for side in (team, opponents):
        own = [signed for signed in signatures if signed.row["side"] == side]
        lines += [signature_line(desk, signed, number) for signed in own] or [
            _room(desk, team, side)
        ]
    return tuple(lines)


def _room(desk: Desk, team: str, side: str) -> SignatureLine:
    return SignatureLine(side=desk.team_name(side), meaning=meaning_of(team, side))
