"""Where a question goes first, and why; and which question a finding asks.

The order of the reviewers is the league's (`[reviews]` of league.toml). Who else is told, and
why it goes that way, is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.statements import numbers_of
from ledger.errors import InputError

SHOWN_FINDINGS = 12

REASON_OF_RULE: Mapping[str, str] = {
    "not_on_roster": "roster",
    "number_twice": "roster",
    "on_two_rosters": "roster",
    "counts_differ": "plays",
    "played_first_half": "plays",
    "played_not_eligible": "plays",
    "plays_not_counted": "plays",
    "plays_short": "plays",
    "injured_but_weighed": "safety",
    "book_initialed_again": "weigh",
    "book_mark_differs": "weigh",
    "book_not_initialed": "weigh",
    "carrier_striped": "weigh",
    "carrier_undecided": "weigh",
    "check_weight_off": "weigh",
    "coach_near_scale": "weigh",
    "half_not_stated": "weigh",
    "initialed_by_own_side": "weigh",
    "late_after_half": "weigh",
    "limit_moved": "weigh",
    "limit_wrong": "weigh",
    "list_changed_after_sign": "weigh",
    "list_not_countersigned": "weigh",
    "listed_over_weighed_ok": "weigh",
    "no_weighmaster": "weigh",
    "noncarrier_not_listed": "weigh",
    "noncarrier_not_striped": "weigh",
    "not_struck_off": "weigh",
    "scale_not_proved": "weigh",
    "scale_out_missing": "weigh",
    "scale_used_after_out": "weigh",
    "stated_behind_signature": "weigh",
    "strike_off_without_weigh": "weigh",
    "too_many_at_scale": "weigh",
    "unaccounted": "weigh",
    "weighed_after_close": "weigh",
    "weighed_by_own_side": "weigh",
    "weighed_out_of_turn": "weigh",
    "weighed_too_early": "weigh",
    "weighed_too_often": "weigh",
    "weighmaster_is_coach": "weigh",
    "weighmaster_not_trained": "weigh",
    "appointed_without_authority": "other",
    "case_overdue": "other",
    "entered_late": "other",
    "protest_late": "other",
    "ruling_without_authority": "other",
    "stated_after_close": "other",
    "withdrawn_by_other": "other",
}
"""The reason of a case that a finding of the rule would open; a rule not here: other."""


@dataclass(frozen=True)
class Route:
    """Roles to tell at once, the reviewers in order, and why it goes this way."""

    tell: tuple[str, ...]
    reviewers: tuple[str, ...]
    why: str


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
    order = tuple(reviewers)
    if reason == "roster":
        why = "A roster is an office's paper: it is read away from the scale and from the child."
        return Route((), order, why)
    if reason == "safety":
        why = "Who can make the field safe hears it first: head coaches and officials."
        return Route(("coach", "site_official", "head_official"), order, why)
    why = "Who was there answers first, and passes on what is too big for a field."
    return Route((), order, why)


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
        reason=REASON_OF_RULE.get(rule, "other"),
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
