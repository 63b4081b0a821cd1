"""Countersignatures by key, by ink and on the sheet, and what is stated behind them."""

from __future__ import annotations

from typing import Any

from tests.random_seasons.builder import Builder
from tests.random_seasons.chain import DAY, HOUR, MINUTE
from tests.random_seasons.tables import GameRow

SIGNED_ABOUT = ("weigh", "late_weigh", "initial", "list", "strike_off", "stripe")


def countersign(b: Builder, game: GameRow, team: str, at: int, by: str) -> None:
    how = "sheet" if b.rng.random() >= b.made_here_chance else "key"
    if how == "sheet":
        b.say("countersign", at, by, game=game, team=team)
        return
    draft = b.say("countersign", at, by, game=game, team=team, **_made_here(b, game, team))
    draft["data"].pop("source", None)
    draft["data"]["others"] = _others(b, draft["chain"])
    if "form" not in draft["data"] and not draft["data"]["others"]:
        del draft["data"]["others"]  # the first form left an empty one out
    b.signed.append(draft)


def _made_here(b: Builder, game: GameRow, team: str) -> dict[str, Any]:
    """Form 2, or sometimes the form before it, which had no content."""
    rng = b.rng
    how = rng.choice(("key", "key", "key", "ink", "ink", "device"))
    data: dict[str, Any] = {"how": how, "list": rng.randbytes(32).hex()}
    if how == "ink":
        data["scan"] = rng.randbytes(32).hex()
    if how == "device" or rng.random() < 0.85:
        shown = {"game": game.id, "team": team, "rows": [], "lines": []}
        data |= {"form": 2, "rules": "1", "shown": shown}
    return data


def _others(b: Builder, own: str) -> dict[str, dict[str, Any]]:
    """The other chains as far as this one knew them: whole, an older length of them, or not."""
    rng, others = b.rng, {}
    for chain, length in b.clocks.lengths.items():
        size = rng.choice((length, length, length, rng.randint(1, length), length - 1, 0))
        if chain != own and size > 0:
            others[chain] = {"root": rng.randbytes(32).hex(), "size": size}
    return others


def behind(b: Builder) -> None:
    """Something about a list that was signed, written down about when it was signed."""
    rng = b.rng
    if not b.signed:
        return
    signature = rng.choice(b.signed[-4:])
    game = next(game for game in b.tables.games if game.id == signature["game"])
    team = signature["team"] if rng.random() < 0.85 else rng.choice(game.teams)
    entered = b.when(signature, "recorded") + rng.choice((-DAY, -HOUR, -1, 0, 0, 1, 1, HOUR))
    at = entered - rng.choice((0, 0, MINUTE))
    if rng.random() < 0.4:
        _withdraw(b, game, team, entered)
        return
    kind = rng.choice(SIGNED_ABOUT)
    data: dict[str, dict[str, Any]] = {
        "weigh": {"value": rng.choice(("ok", "over"))},
        "late_weigh": {"value": rng.choice(("ok", "over"))},
        "initial": {"value": rng.choice(("ok", "over")), "initials": "QX"},
        "list": {"reason": rng.choice(("over", "absent"))},
    }
    b.say(
        kind,
        at,
        b.who_weighs(game, team),
        game=game,
        team=team,
        player=b.anyone(game, team),
        entered=entered,
        **data.get(kind, {}),
    )


def _withdraw(b: Builder, game: GameRow, team: str, entered: int) -> None:
    """Withdraws something about the list, or a withdrawal of something."""
    of_list = [
        n
        for n, draft in enumerate(b.drafts)
        if draft["kind"] in SIGNED_ABOUT and (draft["game"], draft["team"]) == (game.id, team)
    ]
    withdrawals = [n for n, draft in enumerate(b.drafts) if draft["kind"] == "withdraw"]
    pool = withdrawals if withdrawals and b.rng.random() < 0.4 else of_list
    if pool:
        target = b.rng.choice(pool)
        by = b.drafts[target]["by"]
        b.say("withdraw", entered, by, entered=entered, target=target)
