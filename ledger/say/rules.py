"""All rules of a league in order, each one sentence, marked where it is the default."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.errors import ReportError
from ledger.record.league import read_league
from ledger.say import procedure as say

DEFAULT_MARK = "common practice"


@dataclass(frozen=True)
class Rule:
    """One rule. `key` is that of league.toml; None for what is no choice. `default`: as given."""

    section: str
    key: str | None
    sentence: str
    is_default: bool | None


_Choice = tuple[str, str, Callable[[say.League], str]]
_WEIGH_IN: tuple[_Choice, ...] = (
    ("The weigh-in", "weigh_in.opens_before_kickoff_min", say.opens),
    ("The weigh-in", "weigh_in.first_to_weigh", say.first_to_weigh),
    ("The weigh-in", "weigh_in.attempts", say.attempts),
    ("The weigh-in", "weigh_in.late_players", say.late_players),
    ("The weigh-in", "weigh_in.declared_over_may_skip_scale", say.declared_over),
    ("The weigh-in", "weigh_in.max_weighmasters_per_team", say.weighmasters),
    ("The weigh-in", "weigh_in.entered_late_after_min", say.entered_late),
)
_REST: tuple[_Choice, ...] = (
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
    """The league with its season, and its rules in order; ReportError without a league."""
    league = next((event.data for event in events if event.kind == "league"), None)
    if league is None:
        raise ReportError("this ledger has no league", hint="weighbook load FOLDER brings it.")
    usual = _defaults()
    rules = [
        *(_rule(choice, league, usual) for choice in _WEIGH_IN),
        _check_of_scale(league, usual, engine),
        *(_limit(event, league) for event in events if event.kind == "division"),
        *(_rule(choice, league, usual) for choice in _REST),
        *(Rule("Always so", None, sentence, None) for sentence in say.always(league)),
    ]
    return f"{league['name']}, season {league['season']}", rules


def _rule(choice: _Choice, league: say.League, usual: say.League) -> Rule:
    section, key, sentence = choice
    return Rule(section, key, sentence(league), _at(league, key) == _at(usual, key))


def _check_of_scale(league: say.League, usual: say.League, engine: Engine) -> Rule:
    tolerance = engine.answer("check_weight").dicts()[0]["tolerance_clb"]
    as_usual = all(league["weigh_in"][key] == usual["weigh_in"][key] for key in _SCALE)
    sentence = say.check_of_scale(league, tolerance)
    return Rule("The weigh-in", "weigh_in.check_weight_lb", sentence, as_usual)


def _limit(division: Event, league: say.League) -> Rule:
    name, limit_clb = division.data["name"], division.data["carrier_limit_clb"]
    return Rule("The limit", "divisions.csv", say.limit(name, limit_clb, league), None)


def _defaults() -> say.League:
    """What a league.toml says that names nothing but the league."""
    league, faults = read_league('[league]\nname = "-"\nseason = "-"\ntime_zone = "UTC"\n')
    assert league is not None, faults
    return league.data


def _at(league: say.League, key: str) -> object:
    value: object = league
    for part in key.split("."):
        assert isinstance(value, Mapping)
        value = value[part]
    return value
