"""A team's ineligible list beside its roster: what decided for each player, and what is open.

"Open" is what both sides settle before they sign: a player whom the answer holds back and whom no
line of the list explains.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.derive.statements import Statement
from ledger.derive.why_facts import CarryBy, Facts, PlayBy, Tables

OpenFor = Literal["missing", "over", "undecided", "ruled", "not_playing"]


@dataclass(frozen=True)
class Decided:
    """A row of eligibility and what decided it, as `weighbook why` has it.

    `lines` counts the player's lines on the list, struck off or not; `struck_at` is the time of the
    latest strike-off, "" for none. `may_still_weigh` is true for a player who was not weighed while
    the first half, as far as anyone entered, is not over.
    """

    row: Mapping[str, Any]
    play_by: PlayBy
    carry_by: CarryBy
    presented: Statement | None
    counts: Statement | None
    half_ended: Statement | None
    play_ruling: Statement | None
    carry_ruling: Statement | None
    lines: int
    struck_at: str
    is_on_roster: bool
    may_still_weigh: bool

    @property
    def open_for(self) -> OpenFor | None:
        """Why this player is to be settled before signing; None if there is nothing to settle."""
        play, carry, listed = (self.row[key] for key in ("may_play", "may_carry", "listed"))
        if play == "none":
            if self.presented is None and self.play_ruling is None:
                return None if listed else "missing"
            return None if self.lines else "ruled" if self.play_ruling else "not_playing"
        if carry == "undecided":
            return "undecided"
        if carry == "yes" or "over" in listed:
            return None
        return "ruled" if self.carry_ruling else "over"

    @property
    def is_late(self) -> bool:
        return self.presented is not None and self.presented.kind == "late_weigh"


@dataclass(frozen=True)
class ListState:
    """A team in a game that is played.

    `players` are its rows of eligibility, in their order. `weighed` counts players of the roster,
    `came` those of the roster who only came, to a scale out of use, and `listed_only` those of the
    roster with a standing line who did neither. `over` counts all, by the scale or the book.
    `stations` are rows of `station`, `scale_outs` of `scale_out`; `unannounced` are the teams
    and times of players who came to a scale out of use before anyone entered that it was out.
    `weighed_by` has the officials who weighed this team, in the order of their first weigh.
    """

    players: tuple[Decided, ...]
    roster: int
    weighed: int
    came: int
    listed_only: int
    over: int
    weighed_by: tuple[str, ...]
    stations: tuple[Mapping[str, Any], ...]
    scale_outs: tuple[Mapping[str, Any], ...]
    unannounced: tuple[tuple[str, str], ...]
    is_other_side_weighed: bool
    is_closed: bool
    is_first_half_over: bool
    is_over: bool

    @property
    def open(self) -> tuple[Decided, ...]:
        return tuple(one for one in self.players if one.open_for)

    @property
    def strangers(self) -> tuple[Decided, ...]:
        """Players who came to the scale and are not on this roster."""
        return tuple(one for one in self.players if one.presented and not one.is_on_roster)

    @property
    def is_scale_out(self) -> bool:
        """Whether the scale went out of use, and no check has passed since."""
        last = max((int(row["happened_rank"]) for row in self.scale_outs), default=None)
        return last is not None and not any(
            row["is_passing"] and int(row["happened_rank"]) > last for row in self.stations
        )

    @property
    def is_before_weigh_in(self) -> bool:
        """Whether nobody of the team was weighed and somebody still is to be."""
        missing = any(one.open_for == "missing" for one in self.players)
        is_weighed = self.weighed or self.strangers or self.came
        return not is_weighed and (missing or not self.is_other_side_weighed)


def read_list_state(engine: Engine, game: str, team: str) -> ListState:
    """The state of this team's list."""
    tables = Tables(engine)

    def of_game(name: str) -> list[dict[str, Any]]:
        return [row for row in tables.rows(name) if row["game"] == game]

    def own(name: str) -> list[dict[str, Any]]:
        return [row for row in of_game(name) if row["team"] == team]

    rows = [r for r in engine.answer("eligibility", game=game).dicts() if r["team"] == team]
    is_first_half_over = bool(of_game("half_end")) or any(r["half"] > 1 for r in own("play_count"))
    rights = own("entitlement")
    on_roster = {row["player"] for row in rights if row["is_on_roster"]}
    came = {row["player"] for row in own("weighed") if row["counts_value"] == "no_scale"}
    weighed = {row["player"] for row in own("weighed")} - came
    lines = own("ineligible_list")
    standing = {row["player"] for row in own("listing") if row["is_standing"]}
    weighs = sorted(own("weighing"), key=lambda row: int(row["happened_rank"]))
    return ListState(
        players=tuple(_decided(tables, row, lines, is_first_half_over) for row in rows),
        roster=len(on_roster),
        weighed=len(weighed & on_roster),
        came=len(came & on_roster),
        listed_only=len((standing & on_roster) - weighed - came),
        over=sum(row["counts_value"] == "over" for row in own("weighed"))
        + sum((row["basis"], row["may_carry"]) == ("book", "no") for row in rights),
        weighed_by=tuple(dict.fromkeys(row["stated_by"] for row in weighs)),
        stations=tuple(of_game("station")),
        scale_outs=tuple(of_game("scale_out")),
        unannounced=_unannounced(of_game("weighing"), of_game("scale_out")),
        is_other_side_weighed=any(row["team"] != team for row in of_game("team_weighed")),
        is_closed=any(
            (one.kind, one.game, one.team) == ("close", game, team) and one.stands
            for one in tables.statements
        ),
        is_first_half_over=is_first_half_over,
        is_over=any(row["half"] == 2 for row in of_game("half_end")),
    )


def _unannounced(
    weighs: Sequence[Mapping[str, Any]], scale_outs: Sequence[Mapping[str, Any]]
) -> tuple[tuple[str, str], ...]:
    came = [(row["team"], row["happened_at"]) for row in weighs if row["value"] == "no_scale"]
    first = min((row["happened_at"] for row in scale_outs), default=None)
    return tuple(sorted((team, at) for team, at in came if first is None or at < first))


def _decided(
    tables: Tables,
    row: Mapping[str, Any],
    lines: Sequence[Mapping[str, Any]],
    is_first_half_over: bool,
) -> Decided:
    facts = Facts(tables, row)
    mine = [line for line in lines if line["player"] == row["player"]]
    is_waiting = facts.presented is None and row["basis"] == "none"
    return Decided(
        row=row,
        play_by=facts.play_by,
        carry_by=facts.carry_by,
        presented=facts.presented,
        counts=facts.counts,
        half_ended=facts.half_ended,
        play_ruling=facts.ruling("may_play"),
        carry_ruling=facts.ruling("may_carry"),
        lines=len(mine),
        struck_at=max((line["struck_at"] or "" for line in mine), default=""),
        is_on_roster=bool(facts.entitlement["is_on_roster"]),
        may_still_weigh=is_waiting and not is_first_half_over,
    )
