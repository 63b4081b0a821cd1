"""The empty form of a team's list, for a morning without the device."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from ledger.derive.scope import next_game
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead, SignatureLine
from ledger.papers.sheets.list_signatures import room_to_sign
from ledger.papers.sheets.lists import limit_of, passing_range
from ledger.papers.sheets.source import GameSource
from ledger.say import procedure, words
from ledger.say.limits import beside_limit

ONE_LINE, FULL_SIDE = 21, 26


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterLine:
    """One player of the roster at kickoff."""

    number: int | None
    name: str

    @property
    def is_wrapped(self) -> bool:
        """With more letters than a line of the column has."""
        return len(self.name) > ONE_LINE


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankPaper:
    """`blank_list`: the empty form of one team in one game, for a morning without the device.

    `check_weight`, `passes` and `limit` are texts with their unit ("10 lb", "9.5 to 10.5 lb",
    "105 lb"); `limit_since` says since when, if the limit has changed. `opens` is the local time
    when the weigh-in opens, `day` the local day of kickoff. `ask` is who decides at a field,
    `roster_reviewers` who decides about a roster, in a sentence.
    """

    head: PaperHead
    team: str
    opponent: str
    roster: tuple[RosterLine, ...]
    signatures: tuple[SignatureLine, ...]
    check_weight: str
    passes: str
    limit: str
    limit_since: str
    day: str
    opens: str
    first_to_weigh: str
    attempts: str
    late_players: str
    not_weighed: str
    declines: str
    ask: str
    roster_reviewers: str
    scale_rows: int = 2

    @property
    def number_twice(self) -> tuple[str, ...]:
        """A sentence for each number that more than one player has."""
        worn = Counter(line.number for line in self.roster if line.number is not None)
        return tuple(words.same_number(number, n) for number, n in worn.items() if n > 1)

    @property
    def is_full(self) -> bool:
        """Whether the first side has room for low cells only below its rows."""
        return len(self.roster) >= FULL_SIDE and bool(self.number_twice)

    @property
    def spare_rows(self) -> int:
        """Rows for players not on the roster: a few, or a whole team's without a roster."""
        return 4 if self.roster else 22


def blank_sheet(heads: Heads, team: str, game: str | None = None) -> Sheet:
    """The empty form of `team` for a game; by default its next game that is not weighed yet."""
    return lay_blank(GameSource(heads, game or next_game(heads.store, team)), team)


def lay_blank(source: GameSource, team: str) -> Sheet:
    """The empty form of one side of the source's game."""
    opponents = source.opponents_of(team)
    weigh_in = source.league["weigh_in"]
    limit = limit_of(source)
    paper = BlankPaper(
        head=source.head(),
        team=source.team_name(team),
        opponent=source.team_name(opponents),
        roster=roster_of(source, team),
        signatures=(room_to_sign(source, team, team), room_to_sign(source, team, opponents)),
        check_weight=words.pounds(weigh_in["check_weight_clb"]),
        passes=passing_range(weigh_in["check_weight_clb"], source.engine),
        limit=words.pounds(limit),
        limit_since=beside_limit(limit, source.league, source.local_date),
        day=source.day,
        opens=source.before_kickoff(weigh_in["opens_before_kickoff_min"]),
        first_to_weigh=procedure.short(procedure.first_to_weigh(source.league)),
        attempts=procedure.attempts(source.league),
        late_players=procedure.late_by_hand(source.league),
        not_weighed=procedure.not_weighed_by_hand(source.league),
        declines=procedure.declines_by_hand(source.league),
        ask=procedure.first_to_ask(source.league),
        roster_reviewers=procedure.roster_reviewers(source.league),
    )
    return source.sheet("blank_list", paper, game=source.game, team=team)


def roster_of(source: GameSource, team: str) -> tuple[RosterLine, ...]:
    """The team's roster at kickoff, by number."""
    here = (source.game, team)
    every = source.engine.answer("roster").dicts()
    rows = [row for row in every if (row["game"], row["team"]) == here]
    rows.sort(key=lambda row: (row["number"] is None, row["number"], row["player"]))
    return tuple(
        RosterLine(
            number=row["number"],
            name=source.names.beside(row["player"], row["number"], is_form=True),
        )
        for row in rows
    )
