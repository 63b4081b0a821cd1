"""Eligibility and the book, a function for each rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.reference.state import THE_END, Game, Season
from tests.reference.statements import (
    WEIGHED,
    Statement,
    by_at,
    first,
    latest_entered,
    nulls_last,
)

SCALE_VALUES = ("ok", "over")
LATE_PLAYERS = {"second_half": "second_half", "whole_game": "full", "none": "none"}
STRUCK_WITHOUT_REASON = ("absent", "equipment")

Heard = Callable[[Statement], bool]


def everyone(season: Season, game: Game) -> list[tuple[str, str]]:
    """ "Rows: everyone on either team's roster at kickoff, and anybody else with a weigh,
    late_weigh, list or plays for that team in the game." As (team, player) in row order: "team,
    number (null last), player".
    """
    rows = {
        (team, player) for team in game.teams for player in season.roster_at_kickoff(game, team)
    }
    for said in season.in_game(game, *WEIGHED, "list", "plays"):
        if said.team is not None and said.player is not None:
            rows.add((said.team, said.player))
    return sorted(rows, key=lambda row: (row[0], nulls_last(number(season, game, *row)), row[1]))


def number(season: Season, game: Game, team: str, player: str) -> int | None:
    """ "On the roster: the roster's at kickoff; else the number stated first; else null." """
    roster = season.roster_at_kickoff(game, team)
    if player in roster:
        return roster[player]
    return season.number_stated_first(game, team, player)


def presentation(season: Season, game: Game, team: str, player: str) -> Statement | None:
    """ "P, the presentation: the player's first weigh or late_weigh of any value." """
    return first(season.about(game, team, player, *WEIGHED))


def scale_weighs(season: Season, game: Game, team: str, player: str) -> list[Statement]:
    """ "Scale weigh": a weigh or late_weigh with value ok or over. In order of (at, ledger)."""
    weighed = season.about(game, team, player, *WEIGHED)
    return sorted((said for said in weighed if said.value in SCALE_VALUES), key=by_at)


def weigh_that_counts(season: Season, game: Game, team: str, player: str) -> Statement | None:
    """ "W, the weigh that counts: of the player's first `attempts` scale weighs (value ok or over)
    the first that is ok, else the first; without a scale weigh, P."
    """
    attempts = scale_weighs(season, game, team, player)[: season.weigh_in["attempts"]]
    for said in attempts:
        if said.value == "ok":
            return said
    return attempts[0] if attempts else presentation(season, game, team, player)


def half_end(season: Season, game: Game, half: int) -> Statement | None:
    """ "That half has ended (1 or 2; the first such statement counts)." """
    return first(said for said in season.in_game(game, "half") if said.data["half"] == half)


def half_one_ended_before(
    season: Season, game: Game, presented: Statement | None
) -> Statement | None:
    """The half-1 statement where half 1 ended before P ("before": by `at` alone), else None."""
    end = half_end(season, game, 1)
    if end is None or presented is None:
        return None
    return end if end.at < presented.at else None


def standing_listings(season: Season, game: Game, team: str, player: str) -> list[Statement]:
    """ "A listing stands unless a strike_off of its reason came since"; a strike_off "without a
    reason: absent and equipment".
    """
    strikes = season.about(game, team, player, "strike_off")

    def is_struck(listing: Statement) -> bool:
        for strike in strikes:
            reasons = STRUCK_WITHOUT_REASON if strike.reason is None else (strike.reason,)
            if listing.reason in reasons and by_at(strike) > by_at(listing):
                return True
        return False

    return [said for said in season.about(game, team, player, "list") if not is_struck(said)]


def listed(season: Season, game: Game, team: str, player: str) -> list[str]:
    """ "The reasons that stand, each once, sorted." """
    return sorted({str(said.reason) for said in standing_listings(season, game, team, player)})


def initials_in_division(season: Season, division: str, player: str) -> list[Statement]:
    """Every initial of the player in games of the division, "for whichever team"; "initials made
    in [a game that is off] stay in the book".
    """
    of_division = {game.id for game in season.games.values() if game.division == division}
    return [
        said
        for said in season.of_kind("initial")
        if said.player == player and said.game in of_division
    ]


def book_mark_before(season: Season, game: Game, player: str) -> Statement | None:
    """ "The book mark of a player before a game: the first `initial` among those of games of the
    same division with an earlier kickoff, for whichever team; later ones never replace it."
    """
    return first(
        said
        for said in initials_in_division(season, game.division, player)
        if said.game is not None and season.games[said.game].kickoff < game.kickoff
    )


def rules_one_to_three(season: Season, game: Game, team: str, player: str) -> tuple[str, str, str]:
    """May_play, may_carry and basis by rules 1 to 3."""
    presented = presentation(season, game, team, player)
    counts = weigh_that_counts(season, game, team, player)
    if presented is None or counts is None:
        return rule_one(season, game, team, player)
    may_carry, basis = rule_three(season, game, player, counts)
    return rule_two(season, game, presented), may_carry, basis


def rule_one(season: Season, game: Game, team: str, player: str) -> tuple[str, str, str]:
    """ "No P: may_play none, may_carry no, basis none. (With declared_over_may_skip_scale and a
    standing list `over`: full, no, `declared`.)"
    """
    may_skip = season.weigh_in["declared_over_may_skip_scale"]
    if may_skip and "over" in listed(season, game, team, player):
        return "full", "no", "declared"
    return "none", "no", "none"


def rule_two(season: Season, game: Game, presented: Statement) -> str:
    """ "P is a weigh: may_play full. P is a late_weigh: by `late_players`: second_half; full; or
    none. But where P is a late_weigh and half 1 ended before it: none."
    """
    if presented.kind == "weigh":
        return "full"
    if half_one_ended_before(season, game, presented) is not None:
        return "none"
    return LATE_PLAYERS[season.weigh_in["late_players"]]


def rule_three(season: Season, game: Game, player: str, counts: Statement) -> tuple[str, str]:
    """ "may_carry: W ok: yes. over: no. no_scale: by the book mark, ok: yes, over: no, no mark:
    undecided. basis: `book` for no_scale (also when undecided), else `scale` for a weigh,
    `late_scale` for a late_weigh."
    """
    carry_by_value = {"ok": "yes", "over": "no"}
    if counts.value == "no_scale":
        mark = book_mark_before(season, game, player)
        return ("undecided" if mark is None else carry_by_value[mark.value]), "book"
    return carry_by_value[counts.value], ("scale" if counts.kind == "weigh" else "late_scale")


def has_authority(season: Season, ruling: Statement) -> bool:
    """ "If `by` holds, by officials.csv or an appoint with authority, a role of the league's
    reviewers for the reason of its case_open (`roster`, else `other`)"; a role given for a game
    "where its case_open names that game, whatever the ruling names"; "a ruling whose case_open does
    not count has no authority".
    """
    openings = [one for one in season.of_kind("case_open") if one.chain == ruling.chain]
    opened = first(one for one in openings if one.data["case"] == ruling.data["case"])
    if opened is None:
        return False
    reviewers = season.league["reviews"]["roster" if opened.reason == "roster" else "other"]
    return season.roles.holds_with_authority(ruling.by, reviewers, opened.game)


def case_open(season: Season, case: str) -> Statement | None:
    return first(said for said in season.of_kind("case_open") if said.data["case"] == case)


def deciding_ruling(
    season: Season, game: Game, team: str, player: str, field: str, heard: Heard
) -> Statement | None:
    """ "Rulings (with authority) for this game, team and player: the latest entered that names
    may_play decides it, the latest entered that names may_carry decides that."
    """
    return latest_entered(
        ruling
        for ruling in season.about(game, team, player, "ruling")
        if field in ruling.data and heard(ruling) and has_authority(season, ruling)
    )


def may_play_and_carry(
    season: Season,
    game: Game,
    team: str,
    player: str,
    heard: Heard = lambda ruling: True,
) -> tuple[str, str, str]:
    """May_play, may_carry and basis by all five rules, heeding only the rulings heard.

    "basis `ruling`." "5. Last: may_play none makes may_carry no."
    """
    may_play, may_carry, basis = rules_one_to_three(season, game, team, player)
    on_play = deciding_ruling(season, game, team, player, "may_play", heard)
    on_carry = deciding_ruling(season, game, team, player, "may_carry", heard)
    if on_play is not None:
        may_play, basis = on_play.data["may_play"], "ruling"
    if on_carry is not None:
        may_carry, basis = on_carry.data["may_carry"], "ruling"
    if may_play == "none":
        may_carry = "no"
    return may_play, may_carry, basis


def shown_events(season: Season, game: Game, team: str, player: str) -> list[str]:
    """ "P, W, the book mark where W is no_scale, the half-1 statement where half 1 ended before P,
    the deciding rulings, the standing listings; each once, in ledger order, whether or not
    something else overrides them."
    """
    shown: list[Statement | None] = []
    presented = presentation(season, game, team, player)
    counts = weigh_that_counts(season, game, team, player)
    shown += [presented, counts]
    if counts is not None and counts.value == "no_scale":
        shown.append(book_mark_before(season, game, player))
    shown.append(half_one_ended_before(season, game, presented))
    for field in ("may_play", "may_carry"):
        shown.append(deciding_ruling(season, game, team, player, field, lambda ruling: True))
    shown += standing_listings(season, game, team, player)
    each_once = {said.position: said.id for said in shown if said is not None}
    return [each_once[position] for position in sorted(each_once)]


def eligibility_of_game(season: Season, game: Game) -> list[dict[str, Any]]:
    """The rows of one game that is not off."""
    rows = []
    for team, player in everyone(season, game):
        may_play, may_carry, basis = may_play_and_carry(season, game, team, player)
        rows.append(
            {
                "game": game.id,
                "team": team,
                "player": player,
                "number": number(season, game, team, player),
                "may_play": may_play,
                "may_carry": may_carry,
                "basis": basis,
                "listed": listed(season, game, team, player),
                "events": shown_events(season, game, team, player),
            }
        )
    return rows


def book_of_team(season: Season, team: str) -> list[dict[str, Any]]:
    """ "One row for each player on the team's roster after all its statements ... of the player's
    first `initial` in a game of this team's division, for whichever team; nulls where there is
    none." Ordered by team, number (null last), player.
    """
    rows: list[dict[str, Any]] = []
    if team not in season.division_of_team:
        return rows
    for player, given in season.roster(team, THE_END).items():
        mark = first(initials_in_division(season, season.division_of_team[team], player))
        rows.append(
            {
                "team": team,
                "player": player,
                "number": given,
                "game": None if mark is None else mark.game,
                "mark": None if mark is None else mark.value,
                "initials": None if mark is None else mark.data["initials"],
                "by": None if mark is None else mark.by,
                "at": None if mark is None else mark.at,
            }
        )
    return sorted(rows, key=lambda row: (nulls_last(row["number"]), row["player"]))
