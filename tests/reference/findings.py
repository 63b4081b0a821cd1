"""Findings: all 49 rules, gathered and ordered."""

from __future__ import annotations

from typing import Any

from tests.reference import (
    rules_papers,
    rules_record,
    rules_scale,
    rules_signature,
    rules_weighing,
)
from tests.reference.scene import Finding, Scene
from tests.reference.state import Game, Season
from tests.reference.statements import nulls_last

GAME_RULES = (
    *rules_scale.RULES,
    *rules_weighing.RULES,
    *rules_papers.RULES,
    *rules_signature.RULES,
)
SEASON_RULES = rules_record.RULES
RULE_NAMES = tuple(sorted(rule.__name__ for rule in (*GAME_RULES, *SEASON_RULES)))


def findings_of_season(season: Season, only: Game | None) -> list[Finding]:
    """ "A game that is off has no rows and no findings"; "what the ledger did not yet hold ... has
    no rows". Ordered "by kickoff, game, rule, team,
    player, official, side, case, at, first event", nulls last.
    """
    answer: list[Finding] = []
    if not season.is_begun:
        return answer
    for game in season.games_in_order() if only is None else [only]:
        if not game.is_off:
            scene = Scene(season, game)
            for game_rule in GAME_RULES:
                answer += [{"rule": game_rule.__name__} | one for one in game_rule(scene)]
    for season_rule in SEASON_RULES:
        for one in season_rule(season):
            of_game = None if one["game"] is None else season.games.get(one["game"])
            is_asked = only is None or of_game == only
            is_shown = one["game"] is None or (of_game is not None and not of_game.is_off)
            if is_asked and is_shown:
                answer.append({"rule": season_rule.__name__} | one)
    return sorted(answer, key=lambda finding: _order(season, finding))


def _order(season: Season, finding: Finding) -> tuple[Any, ...]:
    game = finding["game"]
    kickoff = None if game is None else season.games[game].kickoff
    keys = ("game", "rule", "team", "player", "official", "side", "case", "at")
    first_event = season.by_id[finding["events"][0]].position if "events" in finding else None
    return (
        nulls_last(kickoff),
        *(nulls_last(finding[key]) for key in keys),
        nulls_last(first_event),
    )
