"""The ineligible list of a team in a game, and its empty form: from the ledger to the paper."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.scope import next_game, read_game
from ledger.papers import words
from ledger.papers.context import (
    BlankPaper,
    Listing,
    ListLine,
    ListPaper,
    RosterLine,
    SignatureLine,
)
from ledger.papers.desk import Desk, Sheet
from ledger.store.store import Store

MEANING = "I have read this list and sign it as it stands"


def list_sheet(
    store: Store, game: str, team: str, *, as_of: str | None = None, known_at: str | None = None
) -> Sheet:
    """The ineligible list of `team` in `game`; InputError when there is no such side."""
    stored = read_game(store, game)
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    desk = Desk(store, engine, game, stored)
    opponents = desk.opponents_of(team)
    rows = engine.answer("ineligible_list", game=game, team=team).dicts()
    paper = ListPaper(
        head=desk.head(as_of=as_of, known_at=known_at),
        team=desk.team_name(team),
        opponent=desk.team_name(opponents),
        lines=tuple(_line(desk, list(g)) for _, g in groupby(rows, key=lambda row: row["player"])),
        signatures=_signatures(desk, team, opponents),
    )
    return Sheet("ineligible_list", {"paper": paper}, desk.stamp)


def blank_sheet(store: Store, team: str, game: str | None = None) -> Sheet:
    """The empty form of `team` for a game; without one, for its next game not yet weighed."""
    game = game or next_game(store, team)
    stored = read_game(store, game)
    engine = Engine(stored)
    desk = Desk(store, engine, game, stored)
    opponents = desk.opponents_of(team)
    roster = [row for row in engine.answer("roster").dicts() if row["team"] == team]
    roster.sort(key=lambda row: (row["number"] is None, row["number"], row["player"]))
    check = engine.answer("check_weight").dicts()[0]
    limit = next(row for row in engine.answer("limit_due").dicts() if row["game"] == game)
    weigh_in = desk.league["weigh_in"]
    paper = BlankPaper(
        head=desk.head(),
        team=desk.team_name(team),
        opponent=desk.team_name(opponents),
        roster=tuple(
            RosterLine(number=row["number"], name=desk.names.of(row["player"])) for row in roster
        ),
        signatures=_signatures(desk, team, opponents),
        check_weight=words.pounds(weigh_in["check_weight_clb"]),
        passes=_range(weigh_in["check_weight_clb"], check["tolerance_clb"]),
        limit=words.pounds(limit["limit_clb"]),
        opens=desk.before_kickoff(weigh_in["opens_before_kickoff_min"]),
        first_to_weigh=weigh_in["first_to_weigh"],
        attempts=weigh_in["attempts"],
        late_players=weigh_in["late_players"],
    )
    return Sheet("blank_list", {"paper": paper}, desk.stamp)


def _line(desk: Desk, listings: list[dict[str, Any]]) -> ListLine:
    first = listings[0]
    return ListLine(
        number=first["number"],
        name=desk.names.of(first["player"]),
        listings=tuple(
            Listing(
                reason=row["reason"],
                at=desk.clock(row["listed_at"]),
                by=desk.names.of(row["listed_by"]),
                struck_at=desk.clock(row["struck_at"]),
                struck_by=desk.names.of(row["struck_by"]) if row["struck_by"] else "",
            )
            for row in listings
        ),
        may_play=first["may_play"],
        may_carry=first["may_carry"],
        basis=first["basis"],
    )


def _signatures(desk: Desk, team: str, opponents: str) -> tuple[SignatureLine, ...]:
    return tuple(
        SignatureLine(side=desk.team_name(side), meaning=MEANING) for side in (team, opponents)
    )


def _range(check_clb: int, tolerance_clb: int) -> str:
    lowest, highest = check_clb - tolerance_clb, check_clb + tolerance_clb
    return f"{words.pounds(lowest)} to {words.pounds(highest)}"
