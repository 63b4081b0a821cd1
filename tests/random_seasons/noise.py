"""Statements at random: every kind, clustered around the moments that rules compare with."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.random_seasons.again import again
from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import DAY, HOUR, MINUTE, Draft, random_text, utc
from tests.random_seasons.game_day import set_station
from tests.random_seasons.offices import appoint, appoint_who_ruled, assign, trained
from tests.random_seasons.signing import behind, countersign
from tests.random_seasons.tables import ROLES, GameRow

# minutes from kickoff: around the opening, the close, both half ends, two days and a week later
MINUTES = (
    -60,
    -45,
    -31,
    -30,
    -30,
    -25,
    -20,
    -10,
    -5,
    -4,
    0,
    20,
    44,
    45,
    45,
    46,
    50,
    89,
    90,
    90,
    91,
    120,
    2880,
    10080,
)
LIST_REASONS = ("over", "over", "absent", "absent", "injured", "equipment", "other")
KINDS_TO_WITHDRAW = (
    "weigh",
    "late_weigh",
    "list",
    "strike_off",
    "half",
    "initial",
    "countersign",
    "game_off",
    "game_change",
    "roster_add",
    "roster_drop",
    "case_open",
    "ruling",
    "appoint",
    "enter_player",
    "trained",
    "season_close",
    "close",
    "plays",
    "scale_out",
)


def instant(b: Builder, game: GameRow) -> int:
    edge = b.rng.choice((0, 0, 0, 0, 0, 0, 1, -1))
    return game.kickoff + b.rng.choice(MINUTES) * MINUTE + edge


def some_game(b: Builder) -> GameRow:
    return b.focus if b.rng.random() < 0.4 else b.rng.choice(b.tables.games)


def about_player(kind: str, b: Builder) -> None:
    game = some_game(b)
    team = b.rng.choice(game.teams)
    player, at = b.anyone(game, team), instant(b, game)
    rng = b.rng
    by = b.who_weighs(game, team) if rng.random() < 0.7 else b.anybody()
    data: dict[str, Any] = {}
    if kind in ("weigh", "late_weigh"):
        data = {"value": rng.choice(("ok", "ok", "over", "no_scale"))}
        if kind == "weigh" and rng.random() < 0.8:
            at = game.kickoff - rng.choice((31, 30, 25, 20, 10, 5, 4)) * MINUTE
    elif kind == "initial":
        data = {"value": rng.choice(("ok", "over")), "initials": rng.choice(("QX", "ZV"))}
    elif kind == "list":
        data = {"reason": rng.choice(LIST_REASONS)}
    elif kind == "strike_off":
        data = {"reason": rng.choice((None, None, *LIST_REASONS))}
    elif kind == "plays":
        data = {"half": rng.choice((1, 1, 2, 2, 3)), "count": rng.choice((0, 1, 3, 10, 999))}
    elif kind == "excuse":
        data = {"reason": rng.choice(("injured", "discipline", "left", "other"))}
    b.say(kind, at, by, game=game, team=team, player=player, **data)


def about_team(kind: str, b: Builder) -> None:
    game = some_game(b)
    team = b.rng.choice(game.teams)
    side = b.rng.choice(game.teams)
    by = b.weighmaster(side) if b.rng.random() < 0.85 else b.anybody()
    if kind == "countersign":
        countersign(b, game, team, instant(b, game), by)
    else:
        b.say(kind, instant(b, game), by, game=game, team=team)


def about_game(kind: str, b: Builder) -> None:
    game = some_game(b)
    rng, at = b.rng, instant(b, game)
    if kind == "station":
        set_station(b, game, at)
    elif kind == "half":
        half = rng.choice((1, 1, 2))
        edge = rng.choice((0, 0, 1, -1)) * rng.choice((1, MINUTE))
        at = game.kickoff + 45 * half * MINUTE + edge
        entered = at + 2 * MINUTE if rng.random() < 0.4 else None
        b.say(kind, at, b.anybody(), game=game, half=half, entered=entered)
    elif kind == "snaps":
        b.say(kind, at, b.anybody(), game=game, half=rng.choice((1, 2, 3)), count=40)
    elif kind == "game_change":
        other = rng.choice(b.tables.games).kickoff + rng.choice((0, 0, 1, -HOUR, HOUR))
        moved = rng.choice((utc(other), utc(other), None))
        site = rng.choice(("Field 2", None)) if moved else "Field 3"
        b.say(kind, at, b.anybody(), game=game, kickoff=moved, site=site)
    else:
        b.say(kind, at, b.anybody(), game=game)


def concern(b: Builder) -> None:
    game = some_game(b)
    team = b.rng.choice((None, *game.teams))
    player = None if team is None or b.rng.random() < 0.5 else b.anyone(game, team)
    reason = b.rng.choice(("coach_near_scale", "coach_near_scale", "mouth_guard", "helmet"))
    b.say(
        "concern", instant(b, game), b.anybody(), game=game, team=team, player=player, reason=reason
    )


def roster(kind: str, b: Builder) -> None:
    game, rng = some_game(b), b.rng
    team = rng.choice(game.teams)
    at = game.kickoff + rng.choice((-DAY, -DAY, -HOUR, -1, 0, 0, 1, DAY))
    everyone = [player for players in b.players.values() for player in players]
    is_move = kind == "roster_add" and rng.random() < 0.6
    player = rng.choice(everyone + b.loose_players if is_move else b.players[team])
    number = rng.choice((0, 4, 7, 7, 12, 20, 99))
    if kind != "number_change" and rng.random() < 0.5:
        b.say(kind, at, b.anybody(), team=team, player=player)
    else:
        b.say(kind, at, b.anybody(), team=team, player=player, number=number)
    if kind == "roster_add" and player not in b.players[team]:
        b.players[team].append(player)


def papers(b: Builder) -> None:
    """The same child stated with a number, given another number, taken off the roster."""
    game, team, player = b.papers_of
    before = game.kickoff - b.rng.choice((0, 1, HOUR, DAY))
    kind = b.rng.choice(("plays", "concern", "number_change", "roster_drop"))
    if kind == "plays":
        b.say(
            kind,
            instant(b, game),
            b.anybody(),
            game=game,
            team=team,
            player=player,
            half=b.rng.choice((1, 2)),
            count=4,
        )
    elif kind == "concern":
        b.say(
            kind,
            instant(b, game),
            b.anybody(),
            game=game,
            team=team,
            player=player,
            reason="cleats",
        )
    elif kind == "number_change":
        b.say(kind, before, b.anybody(), team=team, player=player, number=b.rng.randint(20, 29))
    else:
        b.say(kind, before, b.anybody(), team=team, player=player)


def open_case(b: Builder) -> None:
    game, rng = some_game(b), b.rng
    reason = rng.choice(("roster", "weigh", "plays", "safety", "other", *["protest"] * 4))
    chain = rng.choice(b.chains)
    elsewhere = [c["data"]["case"] for c in b.cases.values() if c["chain"] != chain]
    case = rng.choice(elsewhere) if elsewhere and rng.random() < 0.2 else f"case-{b.said}"
    if (chain, case) in b.cases:
        return
    at = instant(b, game)
    entered = None
    within = b.tables.league["reviews"]["protest_within_hours"] * HOUR
    if reason == "protest" and rng.random() < 0.7:
        entered = game.kickoff + 90 * MINUTE + within + rng.choice((-HOUR, 0, 1, 1, HOUR))
        at = entered - rng.choice((0, 0, HOUR))
    on_game = game if rng.random() < 0.8 else None
    team = rng.choice(game.teams) if on_game and rng.random() < 0.6 else None
    player = b.anyone(game, team) if team and rng.random() < 0.7 else None
    b.cases[chain, case] = b.say(
        "case_open",
        at,
        b.anybody(),
        chain=chain,
        game=on_game,
        team=team,
        player=player,
        entered=entered,
        case=case,
        reason=reason,
    )


def case_step(b: Builder) -> None:
    if not b.cases or b.rng.random() < 0.35:
        open_case(b)
        return
    rng = b.rng
    opened = rng.choice(list(b.cases.values()))
    case = opened["data"]["case"]
    within = b.tables.league["reviews"]["decide_within_days"] * DAY
    limit = b.when(opened, "entered") + within
    kind = rng.choice(
        (
            "ruling",
            "ruling",
            "ruling",
            "ruling",
            "case_close",
            "case_close",
            "case_refer",
            "case_statement",
            "case_exhibit",
        )
    )
    if kind == "ruling":
        ruling(b, opened)
        return
    entered = limit + rng.choice((-HOUR, 0, 1, HOUR)) if rng.random() < 0.6 else None
    at = instant(b, some_game(b)) if entered is None else entered
    data: dict[str, dict[str, Any]] = {
        "case_refer": {"to": rng.choice(ROLES)},
        "case_statement": {"digests": {"note": random_text(rng, 32)}},
        "case_exhibit": {"value": "ab" * 32},
    }
    b.say(
        kind,
        at,
        b.anybody(),
        chain=opened["chain"],
        entered=entered,
        case=case,
        **data.get(kind, {}),
    )


def ruling(b: Builder, opened: Draft) -> None:
    rng, game = b.rng, some_game(b)
    kind = "roster" if opened["data"]["reason"] == "roster" else "other"
    reviewers = b.tables.league["reviews"][kind]
    by = b.holder(reviewers) if rng.random() < 0.75 else b.anybody()
    half_two = game.kickoff + 90 * MINUTE
    at = half_two + rng.choice((0, 1, 1, MINUTE, MINUTE, -MINUTE, DAY))
    within = b.tables.league["reviews"]["decide_within_days"] * DAY
    limit = b.when(opened, "entered") + within
    entered = limit + rng.choice((-HOUR, 0, 1)) if rng.random() < 0.3 else None
    team = rng.choice(game.teams)
    data: dict[str, Any] = {
        "case": opened["data"]["case"],
        "value": rng.choice(("upheld", "denied", "decided")),
    }
    names_player = rng.random() < 0.85
    if names_player:
        data["may_play"] = rng.choice(("full", "second_half", "none", None))
        data["may_carry"] = rng.choice(("yes", "no", None))
    b.say(
        "ruling",
        at,
        by,
        chain=opened["chain"],
        entered=entered,
        game=game if names_player or rng.random() < 0.5 else None,
        team=team if names_player else None,
        player=b.anyone(game, team) if names_player else None,
        **data,
    )


def withdraw(b: Builder) -> None:
    rng = b.rng
    places = [n for n, draft in enumerate(b.drafts) if "at" in draft]
    chance = rng.random()
    wanted: tuple[str, ...] = ("withdraw",) if chance < 0.3 else KINDS_TO_WITHDRAW
    pool = [n for n in places if b.drafts[n]["kind"] in wanted] if chance < 0.85 else places[-8:]
    if not (pool or places):
        return
    target = rng.choice(pool or places)
    stated = b.drafts[target]
    by = stated["by"] if rng.random() < 0.7 else b.anybody()
    at = b.when(stated, "at") + rng.choice((0, 0, MINUTE, HOUR, DAY))
    b.say("withdraw", at, by, target=target)


def season_close(b: Builder) -> None:
    game = b.rng.choice(b.tables.games)
    at = game.kickoff + b.rng.choice((0, 2, 3)) * HOUR
    b.say("season_close", at, b.holder(["registrar"]))


def of(step: Callable[[str, Builder], None], kind: str) -> Callable[[Builder], None]:
    return lambda b: step(kind, b)


# the weight of each, and how it is said
NOISE: dict[str, tuple[int, Callable[[Builder], None]]] = {
    "weigh": (10, of(about_player, "weigh")),
    "late_weigh": (12, of(about_player, "late_weigh")),
    "list": (10, of(about_player, "list")),
    "initial": (7, of(about_player, "initial")),
    "strike_off": (7, of(about_player, "strike_off")),
    "stripe": (4, of(about_player, "stripe")),
    "plays": (10, of(about_player, "plays")),
    "excuse": (2, of(about_player, "excuse")),
    "at_scale": (3, of(about_team, "at_scale")),
    "close": (2, of(about_team, "close")),
    "countersign": (3, of(about_team, "countersign")),
    "station": (4, of(about_game, "station")),
    "scale_out": (2, of(about_game, "scale_out")),
    "half": (5, of(about_game, "half")),
    "snaps": (1, of(about_game, "snaps")),
    "game_change": (2, of(about_game, "game_change")),
    "game_off": (1, of(about_game, "game_off")),
    "concern": (2, concern),
    "roster_add": (3, of(roster, "roster_add")),
    "roster_drop": (3, of(roster, "roster_drop")),
    "number_change": (2, of(roster, "number_change")),
    "papers": (6, papers),
    "enter_player": (2, lambda b: b.enter_player(instant(b, some_game(b)))),
    "appoint": (6, lambda b: appoint(b, instant(b, some_game(b)))),
    "appoint_who_ruled": (2, lambda b: appoint_who_ruled(b, instant(b, some_game(b)))),
    "trained": (4, trained),
    "assign": (1, lambda b: assign(b, instant(b, some_game(b)))),
    "behind": (9, behind),
    "again": (14, again),
    "case": (16, case_step),
    "withdraw": (10, withdraw),
}


def random_step(b: Builder) -> None:
    kinds = list(NOISE)
    NOISE[b.rng.choices(kinds, [NOISE[kind][0] for kind in kinds])[0]][1](b)
