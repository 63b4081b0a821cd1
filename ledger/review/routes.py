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


@dataclass(frozen=True)
class Route:
    """The reason of a question, the roles to tell at once, and the reviewers in order."""

    reason: str
    tell: tuple[str, ...]
    reviewers: tuple[str, ...]


@dataclass(frozen=True)
class Question:
    """What a finding would open a case with; what its rows do not share is None."""

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
    """The question that the findings of this rule ask, narrowed to game, team and player.

    Raises InputError for an unknown rule, where there is no such finding, and where there are
    some of several games or players: a case asks about one child, and names no other.
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
            hint=f"weighbook findings{within} lists those there are.",
        )
    if len({(row["game"], row["player"]) for row in rows}) > 1:
        raise _too_many(rule, rows, numbers)
    return Question(
        reason=rule_header(rule).reason,
        game=_shared(rows, "game"),
        team=_shared(rows, "team"),
        player=_shared(rows, "player"),
        note=_note(rule, rows, numbers),
    )


def _too_many(
    rule: str, rows: Sequence[Mapping[str, Any]], numbers: Mapping[tuple[Any, ...], int | None]
) -> InputError:
    """Which findings there are, so that one can be named."""
    whom = []
    for row in rows:
        number = numbers.get((row["game"], row["team"], row["player"]))
        who = row["player"] if number is None else str(number)
        whom.append(" ".join(part for part in (row["game"], row["team"], who) if part))
    whom = list(dict.fromkeys(whom))
    more = [f"and {len(whom) - SHOWN_FINDINGS} more"] if len(whom) > SHOWN_FINDINGS else []
    return InputError(
        f"{len(rows)} findings {rule}: {', '.join(whom[:SHOWN_FINDINGS] + more)}",
        hint="Say which one the case asks about: add --game, --team, and --number or --player.",
    )


def _shared(rows: Sequence[Mapping[str, Any]], key: str) -> str | None:
    values = {row[key] for row in rows}
    return values.pop() if len(values) == 1 else None


def _note(
    rule: str, rows: Sequence[Mapping[str, Any]], numbers: Mapping[tuple[Any, ...], int | None]
) -> str:
    """Which finding, without a name: `Finding plays_short (marmots 58): … [office:57]`."""
    said = []
    for row in rows[:SHOWN_FINDINGS]:
        number = numbers.get((row["game"], row["team"], row["player"]))
        who = row["player"] if number is None else str(number)
        about = " ".join(part for part in (row["team"], who, row["official"], row["case"]) if part)
        seen = ", ".join(row["events"][:4]) + (" …" if len(row["events"]) > 4 else "")
        whom = f" ({about})" if about else ""
        said.append(f"Finding {rule}{whom}: {row['detail']} [{seen}]")
    more = len(rows) - len(said)
    return " ".join(said) + (f" And {more} more." if more else "")
