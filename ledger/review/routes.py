"""Where a question goes first, and which question a finding asks.

The order of the reviewers is the league's (`[reviews]` of league.toml). The people to tell besides
are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.rule_header import rule_header
from ledger.derive.statements import numbers_of
from ledger.errors import InputError

SHOWN_FINDINGS = 12
Numbers = Mapping[tuple[str, str, str], int | None]


@dataclass(frozen=True)
class Route:
    """The reason of a question, the roles to tell at once, and the reviewers in order."""

    reason: str
    tell: tuple[str, ...]
    reviewers: tuple[str, ...]


@dataclass(frozen=True)
class Question:
    """The question that a finding asks; None for what its rows do not share."""

    reason: str
    game: str | None
    team: str | None
    player: str | None
    note: str


def propose_route(reason: str, reviewers: Sequence[str]) -> Route:
    """The route of a question of that reason; `reviewers` are the league's for it, in order."""
    tell = ("coach", "site_official", "head_official") if reason == "safety" else ()
    return Route(reason, tell, tuple(reviewers))


def question_of_finding(
    engine: Engine,
    rule: str,
    *,
    game: str | None = None,
    team: str | None = None,
    player: str | None = None,
    number: int | None = None,
) -> Question:
    """Return the question that this rule's findings ask, narrowed to game, team and player.

    Raises InputError for an unknown rule, if there is no such finding, and if the findings are of
    several games or players: a case asks about one child and names no other.
    """
    numbers = numbers_of(engine)
    rows = [
        row
        for row in find(engine, game=game, team=team, rule=rule).dicts()
        if player in (None, row["player"])
        and number in (None, numbers.get((row["game"], row["team"], row["player"])))
    ]
    if not rows:
        where = " ".join(str(part) for part in (game, team, player, number) if part is not None)
        within = f" --game {game}" if game else ""
        raise InputError(
            f"no finding {rule}" + (f" for {where}" if where else ""),
            hint=f"weighbook findings{within} lists them.",
        )
    if len({(row["game"], row["player"]) for row in rows}) > 1:
        raise _too_many(rule, rows, numbers)
    values = {key: {row[key] for row in rows} for key in ("game", "team", "player")}
    shared = {key: found.pop() if len(found) == 1 else None for key, found in values.items()}
    return Question(reason=rule_header(rule).reason, note=_note(rule, rows, numbers), **shared)


def _too_many(rule: str, rows: Sequence[Mapping[str, Any]], numbers: Numbers) -> InputError:
    """List the findings, so people can name one."""
    about = list(dict.fromkeys(f"{row['game'] or ''} {_who(row, numbers)}".strip() for row in rows))
    more = [f"and {len(about) - SHOWN_FINDINGS} more"] if len(about) > SHOWN_FINDINGS else []
    return InputError(
        f"{len(rows)} findings {rule}: {', '.join(about[:SHOWN_FINDINGS] + more)}",
        hint="A case asks about one of them: add --game, --team, and --number or --player.",
    )


def _who(row: Mapping[str, Any], numbers: Numbers) -> str:
    """The team, and the player by number, or by id without one; "" if the row names neither."""
    number = numbers.get((row["game"], row["team"], row["player"]))
    return " ".join(filter(None, (row["team"], row["player"] if number is None else str(number))))


def _note(rule: str, rows: Sequence[Mapping[str, Any]], numbers: Numbers) -> str:
    """Name the findings without a child's name: `Finding plays_short (newts 8): … [office:57]`."""
    said = []
    for row in rows[:SHOWN_FINDINGS]:
        about = " ".join(filter(None, (_who(row, numbers), row["official"], row["case"])))
        seen = ", ".join(row["events"][:4]) + (" …" if len(row["events"]) > 4 else "")
        subject = f" ({about})" if about else ""
        said.append(f"Finding {rule}{subject}: {row['detail']} [{seen}]")
    more = len(rows) - len(said)
    return " ".join(said) + (f" And {more} more." if more else "")
