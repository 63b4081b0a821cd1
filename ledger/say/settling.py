"""What to settle before a list is closed, printed or signed, in sentences; children by number."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any

from ledger.derive.list_state import Decided
from ledger.derive.settling import LINES, STRIPES, Settling, ToSettle
from ledger.say import codes, procedure, verdicts
from ledger.say.clock import local_clock
from ledger.say.words import join, lower_first, upper_first

League = Mapping[str, Any]
Clock = Callable[[str], str]
NameOf = Callable[[str], str]

_SETTLE = {
    "listed_over_weighed_ok": ("listed as over, but weighed ok", "Strike off the line."),
    "not_struck_off": (
        "listed as absent or for incomplete gear, but weighed",
        "Strike off the line.",
    ),
    "injured_but_weighed": (
        "listed as injured, but weighed",
        "Ask {reviewer}. If the player may play, strike off the line.",
    ),
    "noncarrier_not_striped": ("does not carry, and no stripe is entered", "Tape the helmet."),
    "carrier_striped": ("weighed ok, and the helmet is striped", "Take the stripe off."),
}
_BESIDE = {
    "not_struck_off": "weighed",
    "noncarrier_not_striped": "no stripe entered",
    "carrier_striped": "weighed ok, helmet striped",
}
"""What is said beside the line itself, which says already what it is for."""
_SAYS_STRIPE = {
    "noncarrier_not_listed": "noncarrier_not_striped",
    "listed_over_weighed_ok": "carrier_striped",
}
"""What to do about the first names the stripe too."""


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
    clock = partial(local_clock, zone_name=zone)
    for item in settling.items:
        if not _is_said_elsewhere(settling, item):
            words = open_words(settling, item, league, clock)
            groups.setdefault(words, []).append(_who(item, name_of))
    return tuple(
        f"{join(players)}: {lower_first(what)} {todo}" for (what, todo), players in groups.items()
    )


def open_words(
    settling: Settling, item: ToSettle, league: League, clock: Clock, *, on_paper: bool = False
) -> tuple[str, str]:
    """What is to be settled, and what to do about it."""
    if item.code in _SETTLE:
        return f"{upper_first(_SETTLE[item.code][0])}.", _todo(settling, item, league)
    tape = "noncarrier_not_striped" in settling.codes_of(item.decided.row["player"])
    return verdicts.still_open(
        item.decided, settling.state, league, clock, tape=tape, on_paper=on_paper
    )


def beside_line(settling: Settling, decided: Decided, league: League) -> tuple[str, ...]:
    """What to settle about a player who has a line, beside it: "To settle: weighed ok. Strike off
    this line."
    """
    told = []
    for item in items_of(settling, decided):
        if item.code == "injured_but_weighed":
            value = decided.counts.says["value"] if decided.counts else ""
            what = f"listed injured, weighed {codes.weigh_mark(value)}"
        else:
            what = _BESIDE.get(item.code) or _SETTLE[item.code][0].partition(", but ")[2]
        todo = _todo(settling, item, league).replace("the line", "this line")
        told.append(f"To settle: {what}. {todo}")
    return tuple(told)


def also(numbers: Sequence[str], *, is_alone: bool = False) -> str:
    """Which players have something to settle beside their lines; `is_alone`: nothing else is."""
    if not numbers:
        return ""
    named = join([f"No. {number}" for number in numbers])
    where = "its line" if len(numbers) == 1 else "their lines"
    return f"{'To' if is_alone else 'Also to'} settle: {named}, see {where}."


def items_of(settling: Settling, decided: Decided) -> tuple[ToSettle, ...]:
    """What is to be settled about a player's lines and stripe, each thing once."""
    return tuple(
        one
        for one in settling.items
        if one.decided is decided
        and one.code in (*LINES, *STRIPES)
        and not _is_said_elsewhere(settling, one)
    )


def is_injury_open(settling: Settling, decided: Decided) -> bool:
    """Whether a player listed as injured was weighed, and nobody has ruled on playing."""
    codes_of = settling.codes_of(decided.row["player"])
    return "injured_but_weighed" in codes_of and decided.play_ruling is None


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


def _is_said_elsewhere(settling: Settling, item: ToSettle) -> bool:
    """Whether another code of the player says what to do about the stripe."""
    says = [_SAYS_STRIPE.get(one) for one in settling.codes_of(item.decided.row["player"])]
    return item.code in says


def _todo(settling: Settling, item: ToSettle, league: League) -> str:
    todo = _SETTLE[item.code][1].format(reviewer=procedure.first_to_ask(league))
    both = _SAYS_STRIPE.get(item.code)
    if both in settling.codes_of(item.decided.row["player"]):
        return f"{todo.removesuffix('.')} and take the stripe off."
    return todo


def _who(item: ToSettle, name_of: NameOf | None) -> str:
    player, number = item.decided.row["player"], item.decided.row["number"]
    called = player if number is None else f"No. {number}"
    name = name_of(player) if name_of else player
    return called if name == player else f"{called} {name}"
