"""What is said of officials: training, keys, and the words when there is none."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.chain.event import HELD
from ledger.say.clock import local_day


def trained_until(
    trained_at: str | None, valid_until: str | None, now: str, zone: str
) -> str | None:
    """The last day of the training: "Sep 26, 2027", "ran out Sep 26, 2026"; None without one.

    Training that stays valid has no last day: "trained".
    """
    if trained_at is None:
        return None
    if valid_until is None:
        return "trained"
    day = local_day(valid_until, zone)
    return day if now <= valid_until else f"ran out {day}"


def training(trained_at: str | None, valid_until: str | None, now: str, zone: str) -> str:
    """The official's training in one sentence."""
    if trained_at is None:
        return "No training recorded yet. Someone else has to record it."
    day = f"Trained on {local_day(trained_at, zone)}"
    if valid_until is None:
        return f"{day}. In this league, training stays valid."
    last = local_day(valid_until, zone)
    return f"{day}; valid until {last}." if now <= valid_until else f"{day}; it ran out on {last}."


def key(has_key: bool, games: Sequence[str], held: str | None) -> str | None:
    """What the official's keys are for, in a table: "season", "acorn-1a only"; None without.

    `held` by a phone: "season, on a phone".
    """
    parts = ["season"] if has_key else []
    parts += [f"{game} only" for game in games]
    parts += ["on a phone"] if held == HELD else []
    return ", ".join(parts) or None


def key_sentence(official: str, has_key: bool, games: Sequence[str], held: str | None) -> str:
    """The same in one sentence; without a key, the command that makes one."""
    where = ", on their own phone" if held == HELD else ""
    if has_key:
        return f"Has a key for the season{where}."
    if games:
        return f"Has a key for {', '.join(games)} only{where}."
    return f"No key yet. To make one: weighbook enroll {official} --by WHO"
