"""Who is somebody: appoints with and without authority, training, who stands at the scale."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import DAY, HOUR, random_text
from tests.random_seasons.tables import ROLES, TEAM_ROLES, GameRow

Step = tuple[int, Callable[[], object]]
GIVE_ANY = ["registrar", "association_president", "division_president"]
GIVE_HELPERS = ["site_official", "board_member"]
# weighmasters are wanted most; the roles that appoint in their turn make chains of appointments
GIVEN = ("weighmaster", "weighmaster", "weighmaster", "play_counter", *GIVE_ANY, *GIVE_HELPERS)


def appoint(b: Builder, at: int) -> None:
    """By somebody who may, by a helper who may give some roles, or by anybody; sometimes oneself;
    often by who was appointed last; sometimes for one game.
    """
    rng = b.rng
    role = rng.choice(GIVEN if rng.random() < 0.8 else ROLES)
    on_team = rng.choice(list(b.players))
    team = on_team if role in TEAM_ROLES or rng.random() < 0.2 else None
    game = _one_game(b) if rng.random() < 0.4 else None
    chance = rng.random()
    if chance < 0.3:
        by = b.holder(GIVE_ANY)
    elif chance < 0.5:
        by = b.holder(GIVE_HELPERS)
    elif chance < 0.75 and b.appointed:
        last = rng.choice(b.appointed[-3:])
        by, game = last["data"]["value"], (b.game_of(last) if rng.random() < 0.6 else game)
    else:
        by = b.anybody()
    official, digests = b.anybody(), None
    if rng.random() < 0.4:
        official, digests = f"n{b.said}", {"name": random_text(rng, 32)}
    elif rng.random() < 0.15:
        official = by
    _say_appoint(b, at, by, official, role, team, game, digests)


def appoint_who_ruled(b: Builder, at: int) -> None:
    """The role for a ruling is given after the ruling, for always or for a game."""
    rng = b.rng
    rulings = [draft for draft in b.drafts if draft["kind"] == "ruling"]
    roles = [
        role for of_kind in ("roster", "other") for role in b.tables.league["reviews"][of_kind]
    ]
    if not (rulings and roles):
        appoint(b, at)
        return
    ruled = rng.choice(rulings)
    opened = b.cases.get((ruled["chain"], ruled["data"]["case"]))
    games = [None, b.game_of(ruled), None if opened is None else b.game_of(opened)]
    by = b.holder(GIVE_ANY) if rng.random() < 0.8 else b.anybody()
    _say_appoint(b, at, by, ruled["by"], rng.choice(roles), None, rng.choice(games), None)


def _say_appoint(
    b: Builder,
    at: int,
    by: str,
    official: str,
    role: str,
    team: str | None,
    game: GameRow | None,
    digests: dict[str, str] | None,
) -> None:
    draft = b.say("appoint", at, by, game=game, team=team, value=official, to=role, digests=digests)
    b.appointed.append(draft)
    b.roles.add((official, role, team))
    b.officials = sorted({*b.officials, official})


def _one_game(b: Builder) -> GameRow:
    return b.focus if b.rng.random() < 0.6 else b.rng.choice(b.tables.games)


def trained(b: Builder) -> None:
    """Around both ends of what is valid for a game, sometimes said by the official themselves."""
    rng, game = b.rng, _one_game(b)
    days = b.tables.league["weigh_in"].get("training_valid_days", 0)
    edge = rng.choice((0, 0, -1, 1, HOUR, -HOUR))
    at = game.kickoff - rng.choice((0, days, days, rng.randint(0, days + 3))) * DAY + edge
    official = b.weighmaster(rng.choice(game.teams)) if rng.random() < 0.8 else b.anybody()
    by = official if rng.random() < 0.25 else b.anybody()
    entered = at + rng.choice((0, DAY, 40 * DAY))
    b.say("trained", at, by, entered=entered, value=official)


def all_trained(b: Builder) -> list[Step]:
    """Most weighmasters, a few days before the first game, where the league asks for training."""
    asks = b.tables.league["weigh_in"].get("training_valid_days", 0) > 0
    first = min(game.kickoff for game in b.tables.games)
    steps: list[Step] = []
    for official in sorted({o for o, role, _ in b.roles if role == "weighmaster"}):
        if asks and b.rng.random() < 0.7:
            at = first - b.rng.choice((1, 2, 9)) * DAY
            by = b.holder(GIVE_ANY)
            say = partial(b.say, "trained", at, by, entered=at + HOUR, value=official)
            steps.append((first - DAY, say))
    return steps


def assign(b: Builder, at: int) -> None:
    game = _one_game(b)
    team = b.rng.choice(game.teams)
    value = b.weighmaster(team) if b.rng.random() < 0.8 else b.anybody()
    b.say("assign", at, b.anybody(), game=game, team=team, value=value)
