"""What the template of the season summary is given: plain frozen values, already in words."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.context import Figure, PaperHead


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step of the procedure: done so often of so often; `rest` says what the rest is.
    `short` is the label where there is little room."""

    key: str
    label: str
    short: str
    done: int
    due: int
    rest: str
    bar: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """Something and how often, as text; a bar or a key to one where there is any."""

    label: str
    count: str
    more: str = ""
    bar: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekLine:
    """One day with games; `players` and its bar are "" and None in papers of less than a league."""

    name: str
    games: str
    signatures: str
    signatures_bar: Figure
    steps: str
    steps_bar: Figure
    players: str = ""
    players_bar: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """An association or a team, in short. `found` are the findings about its own steps; `rest`
    says what there is of whole games, and of questions; `children` are counts of children, the
    small ones kept back."""

    title: str
    under: str
    steps: tuple[StepLine, ...]
    children: tuple[CountLine, ...]
    found: tuple[CountLine, ...]
    rest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryPaper:
    """`season_summary`: of the league, of an association or of a team (`of`).

    `chains` are the ends of the chains that the head does not speak of.

    `glance` are the numbers on top; `signed` the ways in which lists were signed, `signed_bar`
    all of them; `step_rules` and `player_rules` the findings, in the order of who looks at them.
    """

    head: PaperHead
    of: str
    lead: str
    glance: tuple[CountLine, ...]
    well: tuple[str, ...]
    steps: tuple[StepLine, ...]
    signed: tuple[CountLine, ...]
    signed_bar: Figure
    children: tuple[CountLine, ...]
    next_season: tuple[str, ...]
    weeks: tuple[WeekLine, ...]
    step_rules: tuple[CountLine, ...]
    player_rules: tuple[CountLine, ...]
    player_findings: str
    never: tuple[str, ...]
    associations: tuple[Block, ...]
    teams: tuple[Block, ...]
    cases: tuple[CountLine, ...]
    case_times: str
    how_counted: tuple[str, ...]
    files: tuple[str, ...]
    chains: tuple[str, ...]
