"""The tally sheet of one team's plays in a game, for whoever counts with a pencil."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from ledger.derive.list_state import read_list_state
from ledger.derive.scope import next_game
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import GameSource
from ledger.say import procedure, verdicts

ROWS = 27
"""Rows of one page; at least one of them is spare."""
MOST_SPARE = 6
EMPTY_ROWS = 24
CLOSED = {"full": (), "second_half": (1,), "none": (1, 2)}
"""The halves in which a player is not to play, by may_play."""
LONGEST_WORD = 15
ONE_LINE = 18


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayCountLine:
    """One player; `note` is what the ledger knows about playing in this game, "" for nothing.

    `closed` are the halves in which the player is not to play.
    """

    number: int | None
    name: str
    note: str = ""
    closed: tuple[int, ...] = ()

    @property
    def is_wrapped(self) -> bool:
        """With more letters than a line of the column has."""
        return len(self.name) > ONE_LINE

    @property
    def is_long(self) -> bool:
        """With a word that is wider than the column in the usual letters."""
        return any(len(word) > LONGEST_WORD for word in self.name.replace("-", " ").split())


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayCountPaper:
    """`play_count`: one team in one game. `minimum` is the league's rule, a sentence.

    `boxes` are the plays to cross off in each half; the total says how many more there were.
    """

    head: PaperHead
    team: str
    minimum: str
    lines: tuple[PlayCountLine, ...]
    boxes: int = 10

    @property
    def spare_rows(self) -> int:
        """Rows for players not listed here: what the page has room for, or a whole team's."""
        if not self.lines:
            return EMPTY_ROWS
        return max(1, min(MOST_SPARE, ROWS - len(self.lines)))

    @property
    def has_closed(self) -> bool:
        return any(line.closed for line in self.lines)


def play_count_sheet(heads: Heads, team: str, game: str | None = None) -> Sheet:
    """The tally sheet of `team`; by default for its next game that is not weighed yet."""
    return lay_play_count(GameSource(heads, game or next_game(heads.store, team)), team)


def lay_play_count(source: GameSource, team: str) -> Sheet:
    """The tally sheet of one side of the source's game."""
    source.opponents_of(team)  # refuses a team that does not play in the game
    state = read_list_state(source.engine, source.game, team)
    exposed = source.engine.answer("exposure", game=source.game).dicts()
    excused = {r["player"] for r in exposed if (r["team"], r["status"]) == (team, "excused")}
    worn = Counter(one.row["number"] for one in state.players if one.row["number"] is not None)
    lines = []
    for one in state.players:
        player, number = one.row["player"], one.row["number"]
        alike = worn[number]
        note = verdicts.on_tally(one, is_excused=player in excused, alike=alike)
        is_early = state.is_before_weigh_in
        lines.append(
            PlayCountLine(
                number=number,
                name=source.names.beside(player, number),
                note=verdicts.go_by_name(one, alike) if is_early else note,
                closed=() if is_early or verdicts.is_awaited(one) else CLOSED[one.row["may_play"]],
            )
        )
    paper = PlayCountPaper(
        head=source.head(),
        team=source.team_name(team),
        minimum=procedure.minimum_plays(source.league),
        lines=tuple(lines),
    )
    return source.sheet("play_count", paper, game=source.game, team=team)
