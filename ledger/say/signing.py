"""Signatures in words: whether a list has changed since it was signed, and how."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict

from ledger.derive.signatures import Changed, SignedList, State
from ledger.derive.statements import Statement
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say import codes, stated
from ledger.say.clock import local_time
from ledger.say.stated import NameOf
from ledger.say.words import join, upper_first
from ledger.store.store import Store
from ledger.witness.vouching import role_behind, vouched

PRESENTS = "Handed over by our team."
HANDED_OVER = "Handed over by {team}."
"""The same on a receipt, which either side may hold."""
NOT_THE_OTHER = "Other side: no signature entered."
RECEIVES = "Read and received as it stands."
NO_KEY = "No key made this signature: run weighbook audit"
_WORST_FIRST: tuple[State, ...] = ("other", "changed", "late_arrivals", "stands")


def state(signed: SignedList, most: int | None = None) -> str:
    """A signature's state: "Changed after signing: No. 5; arrived late: No. 31".

    A change that rulings alone made is told apart: "Ruled on after signing: No. 8". With `most`,
    each sort names that many players and counts the others.
    """
    said = upper_first(codes.SIGNATURES[signed.state])
    if signed.state == "late_arrivals":
        return f"{said}: {_named(signed.changes, most)}"
    if signed.state != "changed":
        return said
    sorts: dict[str, list[Changed]] = {"changed": [], "ruled on": [], "arrived late": []}
    for one in signed.changes:
        sort = "ruled on" if is_ruled(one) else "changed"
        sorts["arrived late" if one.is_late_arrival else sort].append(one)
    (first, told), *others = [(sort, found) for sort, found in sorts.items() if found]
    parts = [f"{upper_first(first)} after signing: {_named(told, most)}"]
    parts += [f"{sort}: {_named(found, most)}" for sort, found in others]
    return "; ".join(parts)


def is_settled(signed: SignedList) -> bool:
    """Whether only late arrivals and rulings came after the signature."""
    changes = [one for one in signed.changes if not one.is_late_arrival]
    return signed.state != "other" and all(map(is_ruled, changes))


def is_ruled(changed: Changed) -> bool:
    """Whether rulings, and late work if any, are all that changed a player's part of the list."""
    kinds = {one.kind for one in changed.statements}
    is_rulings = kinds == {"ruling"} or ("ruling" in kinds and changed.is_late_but_rulings)
    return is_rulings and not changed.corrections


def _named(changes: Sequence[Changed], most: int | None) -> str:
    named = [who(one) for one in changes]
    if most is None or len(named) <= most:
        return join(named)
    return join([*named[:most], f"{len(named) - most} more"])


def who(changed: Changed) -> str:
    """ "No. 5", or the id without a number."""
    return changed.player if changed.number is None else f"No. {changed.number}"


def worst_of(signatures: Sequence[SignedList]) -> State:
    """The state of a list's signatures that most needs a look."""
    return min((one.state for one in signatures), key=_WORST_FIRST.index)


def states_of_game(signed: Mapping[tuple[str, str], Sequence[SignedList]]) -> str:
    """ "4 signatures, no changes since"; "4 signatures; newts changed after signing"."""
    worst = {team: worst_of(signatures) for (_, team), signatures in signed.items()}
    wrong = [f"{team} {codes.SIGNATURES[state]}" for team, state in worst.items()
             if state != "stands"]  # fmt: skip
    signatures = count_of(sum(map(len, signed.values())), "signature")
    return f"{signatures}; {'; '.join(wrong)}" if wrong else f"{signatures}, no changes since"


def for_player(signed: SignedList, player: str, zone: str, name_of: NameOf) -> str:
    """A signature in a sentence, and whether anything changed for this player since."""
    row = signed.row
    by = f"{name_of(row['official'])}, for {row['side']}: {codes.HOW_SIGNED[row['how']]}"
    at = f"{local_time(row['signed_at'], zone)} ({signed.event_id})"
    mine = [one for one in signed.changes if one.player == player]
    if signed.state == "other":
        since = upper_first(codes.SIGNATURES["other"])
    elif not mine:
        since = "No change for this player since"
    else:
        late = all(one.is_late_arrival for one in mine)
        since = "This player came late, after it" if late else "Changed for this player since"
    return f"{by}, {at}. {since}."


def recorded_later(statement: Statement, zone: str) -> str:
    """When the ledger got a signature that it recorded late, by the rule of lists; else ""."""
    if not statement.is_late:
        return ""
    is_typed_in = stated.recorded_together([asdict(statement)], zone)
    how = "Typed in from paper: recorded" if is_typed_in else "Recorded late:"
    return f"{how} {local_time(statement.recorded, zone)}."


def key_words(store: Store, event_id: str, name_of: NameOf) -> str:
    """Where a signer's key comes from: "key set by the registrar"; "" if it is the signer's own.

    A key for one game always names the official who vouched for it. A key that replaces an earlier
    one names the official who set it, unless the holder did with the earlier key.
    """
    signed = store.event(event_id)
    behind = vouched(store, signed)
    if behind is None:
        return ""
    if behind.key.game is not None:
        return f"vouched for by {name_of(behind.by)}, for this game only"
    if not behind.is_set_by_another:
        return ""
    role = role_name(role_behind(store, behind.by))
    what = "phone's key confirmed" if behind.key.is_on_phone else "key set"
    return f"{what} by {f'the {role}' if role else name_of(behind.by)}"
