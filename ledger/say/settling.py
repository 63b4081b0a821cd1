"""What to settle before a list is closed, printed or signed, in sentences; children by number."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from ledger.derive.settling import LINES, Settling, ToSettle
from ledger.say import codes, verdicts
from ledger.say.words import join, lower_first

League = Mapping[str, Any]
NameOf = Callable[[str], str]

_LINES = {
    "listed_over_weighed_ok": ("Listed as over, but weighed ok.", "Strike off the line."),
    "not_struck_off": (
        "Listed as absent or for incomplete gear, but weighed.",
        "Strike off the line.",
    ),
    "injured_but_weighed": (
        "Listed as injured, but weighed.",
        "Ask the coach, and strike off the line if the player may play by your rules.",
    ),
    "noncarrier_not_striped": ("Does not carry, and no stripe is entered.", "Tape the helmet."),
    "carrier_striped": ("Weighed ok, and the helmet is striped.", "Take the stripe off."),
}

_SAYS_STRIPE = "noncarrier_not_listed"
"""What to do about it names the helmet too."""


def heading(settling: Settling) -> str:
    """The line above what is to be settled."""
    return f"To settle first, for {settling.team} in {settling.game}:"


def settle_lines(
    settling: Settling, league: League, zone: str, name_of: NameOf | None = None
) -> tuple[str, ...]:
    """A sentence for each thing to settle, with the players it is about.

    `name_of` adds names, for a screen of the league's own people.
    """
    state = settling.state
    if state.is_before_weigh_in and settling.items:
        return (f"Nobody is weighed yet: 0 of {state.roster}.",)
    groups: dict[tuple[str, str], list[str]] = {}
    taped = {one.decided.row["player"] for one in settling.items if one.code == _SAYS_STRIPE}
    for item in settling.items:
        if item.code == "noncarrier_not_striped" and item.decided.row["player"] in taped:
            continue
        groups.setdefault(_words(item, league, zone), []).append(_who(item, name_of))
    return tuple(
        f"{join(players)}: {lower_first(what)} {todo}" for (what, todo), players in groups.items()
    )


def beside_line(settling: Settling, player: str) -> tuple[str, ...]:
    """What to settle about a line that the weigh contradicts; beside it: "To settle: weighed ok.
    Strike off the line."
    """
    codes_of = [one.code for one in settling.items if one.decided.row["player"] == player]
    told = [_LINES[code] for code in codes_of if code in LINES]
    return tuple(f"To settle: {what.partition(', but ')[2]} {todo}" for what, todo in told)


def despite(data: Mapping[str, Any]) -> str:
    """What was open when a list was signed or the season closed, by the event's data; or "".

    A code that is not known here is left out: the event of a stranger's ledger may hold anything.
    """
    kept = data.get("despite")
    named = [one for one in kept if isinstance(one, str)] if isinstance(kept, list) else []
    return _join_open(named)


def _join_open(named: Iterable[str]) -> str:
    words = {**codes.OPEN, **codes.OPEN_SEASON}
    return join([words[one] for one in named if one in words])


def _words(item: ToSettle, league: League, zone: str) -> tuple[str, str]:
    return _LINES.get(item.code) or verdicts.still_open(item.decided, league, zone)


def _who(item: ToSettle, name_of: NameOf | None) -> str:
    player, number = item.decided.row["player"], item.decided.row["number"]
    called = player if number is None else f"No. {number}"
    name = name_of(player) if name_of else player
    return called if name == player else f"{called} {name}"
