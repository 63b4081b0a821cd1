"""All rules of a league in order, each one sentence, with a mark on those left at the default."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.errors import ReportError
from ledger.record.corrections import rows_that_count
from ledger.record.league import read_league
from ledger.say import procedure as say
from ledger.say.limits import carrier_limit

DEFAULT_MARK = "common practice"


@dataclass(frozen=True)
class Rule:
    """One rule. `key` is its key in league.toml; None if the league has no choice.

    `is_default`: whether the league left the default; None if there is none.
    """

    section: str
    key: str | None
    sentence: str
    is_default: bool | None


_WEIGH_IN: dict[str, say.Sentence] = {
    "opens_before_kickoff_min": say.opens,
    "first_to_weigh": say.first_to_weigh,
    "attempts": say.attempts,
    "late_players": say.late_players,
    "declared_over_may_skip_scale": say.declared_over,
    "max_weighmasters_per_team": say.weighmasters,
    "entered_late_after_min": say.entered_late,
}
_REST: tuple[tuple[str, str, say.Sentence], ...] = (
    ("The limit", "weigh_in.limit_allowance", say.allowance),
    ("Plays", "plays", say.minimum_plays),
    ("Reviews", "reviews.roster", say.roster_reviewers),
    ("Reviews", "reviews.other", say.other_reviewers),
    ("Reviews", "reviews.protest_within_hours", say.protest),
    ("Reviews", "reviews.decide_within_days", say.decide),
    ("Names", "privacy.keep_personal_until", say.retention),
)
_SCALE = ("check_weight_clb", "scale_division_clb")


def league_rules(events: Sequence[Event], engine: Engine) -> tuple[str, list[Rule]]:
    """Return the league with its season, and its rules in order; ReportError without a league."""
    events = rows_that_count(events)
    league = next((event.data for event in events if event.kind == "league"), None)
    if league is None:
        raise ReportError("this ledger has no league", hint="Load one: weighbook load FOLDER.")
    defaults = _defaults()

    def is_default(key: str) -> bool:
        mine, usual = (reduce(lambda at, k: at[k], key.split("."), o) for o in (league, defaults))
        return bool(mine == usual)

    tolerance = engine.answer("check_weight").dicts()[0]["tolerance_clb"]
    weigh_in = [("The weigh-in", f"weigh_in.{key}", words) for key, words in _WEIGH_IN.items()]
    chosen = [
        Rule(section, key, words(league), is_default(key))
        for section, key, words in (*weigh_in, *_REST)
    ]
    fixed = [
        Rule(
            "The weigh-in",
            "weigh_in.check_weight_lb",
            say.check_of_scale(league, tolerance),
            all(is_default(f"weigh_in.{key}") for key in _SCALE),
        )
    ]
    for event in events:
        if event.kind == "division":
            limit = carrier_limit(event.data["name"], event.data["carrier_limit_clb"], league)
            fixed.append(Rule("The limit", "divisions.csv", limit, None))
    always = [Rule("Always so", None, sentence, None) for sentence in say.always(league)]
    rules = [*chosen[: len(weigh_in)], *fixed, *chosen[len(weigh_in) :], *always]
    return f"{league['name']}, season {league['season']}", rules


def _defaults() -> say.League:
    """The data of a league.toml that names only the league."""
    league, faults = read_league('[league]\nname = "-"\nseason = "-"\ntime_zone = "UTC"\n')
    assert league is not None, faults
    return league.data
