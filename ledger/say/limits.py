"""The limits of ball carriers in words, with the dates on which they change."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.say.clock import plain_date, short_date
from ledger.say.procedure import League
from ledger.say.words import kilograms, pounds


def carrier_limit(name: str, limit_clb: int, league: League, today: str = "") -> str:
    """The limit of a division, with the dates on which it changes.

    With `today`, a local date, the limit in force comes first, then the one before it.
    """
    past, later = _added(league, today)
    now = _both(limit_clb + past[-1][1])
    coming = "".join(
        f"; from {plain_date(date)}, {_both(limit_clb + more)}" for date, more in later
    )
    if len(past) == 1:
        return f"{name}: a ball carrier is not over {now}{coming}."
    return (
        f"{name}: since {plain_date(past[-1][0])}, a ball carrier is not over {now}{coming}."
        f" Before: {pounds(limit_clb + past[-2][1])}. Marks made then still stand."
    )


def limits_in_force(
    divisions: Sequence[tuple[str, int]], league: League, today: str
) -> tuple[tuple[tuple[str, str], ...], str]:
    """The limits in force on a local date, each with its division, and how they change."""
    past, later = _added(league, today)
    since, now = past[-1]
    said = []
    if since:
        before = past[-2][1]
        each = ", ".join(f"{name} {pounds(limit_clb + before)}" for name, limit_clb in divisions)
        said.append(f"Since {plain_date(since)}. Before: {each}.")
    for date, more in later:
        each = ", ".join(f"{name} {_both(limit_clb + more)}" for name, limit_clb in divisions)
        said.append(f"From {plain_date(date)}: {each}.")
    return tuple((name, _both(limit_clb + now)) for name, limit_clb in divisions), " ".join(said)


def since_when(limit_clb: int, league: League, day: str) -> str:
    """ "97 lb since Oct 1, 2026 (before: 95 lb)." of the limit on a day; "" if it never changed."""
    if not (changed := _changed(limit_clb, league, day)):
        return ""
    return f"{pounds(limit_clb)} since {plain_date(changed[0])} (before: {changed[1]})."


def beside_limit(limit_clb: int, league: League, day: str) -> str:
    """The same beside the limit: "since Oct 1; before: 95 lb"."""
    if not (changed := _changed(limit_clb, league, day)):
        return ""
    return f"since {short_date(changed[0])}; before: {changed[1]}"


def _changed(limit_clb: int, league: League, day: str) -> tuple[str, str] | None:
    """Since when the limit of this day holds, and the one before it."""
    past, _ = _added(league, day)
    (date, more), earlier = past[-1], past[-2:-1]
    return (date, pounds(limit_clb - more + earlier[0][1])) if earlier else None


def _added(league: League, today: str) -> tuple[list[tuple[str, int]], list[tuple[str, int]]]:
    """What is added to a limit, and from which date: up to `today`, nothing first, and later."""
    steps = sorted(
        (str(step["from"]), step["clb"]) for step in league["weigh_in"]["limit_allowance"]
    )
    past = [step for step in steps if step[0] <= today]
    return [("", 0), *past], steps[len(past) :]


def _both(clb: int) -> str:
    return f"{pounds(clb)} ({kilograms(clb)})"
