"""A game day as the procedure has it, with the slips people make: a list of (moment, step)."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import MINUTE
from tests.random_seasons.signing import countersign
from tests.random_seasons.tables import GameRow

Step = tuple[int, Callable[[], object]]
FATES = ("ok", "over", "declared", "absent", "injured", "no_scale", "forgotten")


def game_day(b: Builder, game: GameRow, keep: float) -> list[Step]:
    """`keep` is the chance of each line to be said at all."""
    steps: list[Step] = []
    opens = game.kickoff - b.tables.league["weigh_in"]["opens_before_kickoff_min"] * MINUTE
    first = game.visitor if b.tables.league["weigh_in"]["first_to_weigh"] != "home" else game.home
    has_scale_trouble = b.rng.random() < 0.25
    slips = b.rng.choice((0.0, 0.1, 0.3))
    initialed = b.rng.choice((0.5, 1.0, 1.0))

    def plan(at: int, kind: str, team: str | None, who: Callable[[], str], **data: Any) -> None:
        if b.rng.random() >= keep:
            return

        def step() -> None:
            b.say(kind, at, who(), game=game, team=team, **data)

        steps.append((at, step))

    def station(at: int) -> None:
        if b.rng.random() < keep:
            steps.append((at, partial(set_station, b, game, at)))

    def sign(at: int, team: str, side: str) -> None:
        if b.rng.random() < keep:
            steps.append((at, lambda: countersign(b, game, team, at, b.weighmaster(side))))

    def weigh(at: int, team: str, player: str, value: str, late: bool) -> None:
        who = partial(b.who_weighs, game, team)
        plan(at, "late_weigh" if late else "weigh", team, who, player=player, value=value)
        if value != "no_scale" and b.rng.random() < initialed:
            mark = value if b.rng.random() > slips / 2 else b.rng.choice(("ok", "over"))
            plan(at, "initial", team, who, player=player, value=mark, initials="QX")
        if value == "over" and b.rng.random() >= slips:
            own = partial(b.weighmaster, team)
            plan(at, "list", team, own, player=player, reason="over")
            plan(at, "stripe", team, own, player=player)

    def late(team: str, player: str) -> None:
        at = game.kickoff + b.rng.choice((-3, 20, 40, 44, 45, 45, 46, 50)) * MINUTE
        weigh(at, team, player, b.rng.choice(("ok", "ok", "over", "no_scale")), late=True)
        if b.rng.random() >= slips:
            plan(at, "strike_off", team, partial(b.weighmaster, game.opponent(team)), player=player)

    station(opens - 5 * MINUTE)
    for team in game.teams:
        for _ in range(b.rng.choice((1, 1, 2, 3, 4))):
            plan(opens, "at_scale", team, partial(b.weighmaster, team))
    if has_scale_trouble:
        plan(opens + 5 * MINUTE, "scale_out", None, b.anybody)
        if b.rng.random() < 0.6:
            station(opens + b.rng.choice((5, 9, 10)) * MINUTE)
    for team in game.teams:
        own = partial(b.weighmaster, team)
        turn = 0 if team == first else 10
        for player in b.players[team]:
            at = opens + (turn + b.rng.choice((0, 5, 5, 9))) * MINUTE
            weights = (60, 12, 3, 10, 5, 12 if has_scale_trouble else 1, 30 * slips)
            fate = b.rng.choices(FATES, weights)[0]
            if fate in ("ok", "over", "no_scale"):
                weigh(at, team, player, fate, late=False)
            elif fate == "declared":
                plan(opens, "list", team, own, player=player, reason="over")
                plan(opens, "stripe", team, own, player=player)
            elif fate == "absent" and b.rng.random() < 0.3:  # came after all
                at = opens + b.rng.choice((5, 10, 20)) * MINUTE
                listed_at = b.rng.choice((opens, at, at + 1))
                plan(listed_at, "list", team, own, player=player, reason=fate)
                weigh(at, team, player, "ok", late=False)
            elif fate in ("absent", "injured"):
                plan(opens, "list", team, own, player=player, reason=fate)
                if b.rng.random() < 0.6:
                    late(team, player)
        plan(game.kickoff - 5 * MINUTE, "close", team, partial(b.weighmaster, game.opponent(team)))
        for side in game.teams:
            sign(game.kickoff - 4 * MINUTE, team, side)
    for half in (1, 2):
        if b.rng.random() >= slips:
            plan(game.kickoff + 45 * half * MINUTE, "half", None, b.anybody, half=half)
    for team in game.teams:
        if b.rng.random() < 0.75:
            count_plays(b, game, team, plan)
    return steps


def count_plays(b: Builder, game: GameRow, team: str, plan: Callable[..., None]) -> None:
    counter = partial(b.holder, ["play_counter"])
    for half in (1, 2):
        at = game.kickoff + 45 * half * MINUTE
        for player in b.players[team]:
            count = b.rng.choice((0, 2, 5, 8, 10))
            plan(at, "plays", team, counter, player=player, half=half, count=count)
            if b.rng.random() < 0.1:
                other = b.rng.choice((count, count + 1))
                who = b.rng.choice((b.anybody, counter))
                plan(at, "plays", team, who, player=player, half=half, count=other)
        if b.rng.random() < 0.3:
            plan(at, "snaps", None, counter, half=half, count=30)
    if b.rng.random() < 0.3:
        reason = b.rng.choice(("injured", "discipline", "left", "other"))
        player = b.rng.choice(b.players[team])
        plan(game.kickoff, "excuse", team, b.anybody, player=player, reason=reason)


def set_station(b: Builder, game: GameRow, at: int) -> None:
    """Mostly a good reading and the right limit; else around every tolerance."""
    rules = b.tables.league["weigh_in"]
    reading, limit = rules["check_weight_clb"], b.tables.carrier_limit(game)
    if b.rng.random() < 0.4:
        off = b.rng.choice((0, 1, 2, 3, 5)) * rules["scale_division_clb"] + b.rng.choice((0, 0, 1))
        reading += b.rng.choice((-1, 1)) * off
    if b.rng.random() < 0.2:
        limit += b.rng.choice((-200, 50, 200, 300))
    b.say("station", at, b.anybody(), game=game, reading_clb=reading, limit_clb=limit)
