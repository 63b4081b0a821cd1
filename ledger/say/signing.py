"""Signatures in words: whether a list is still what was signed, and what was entered since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

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
RECEIVES = "Read and received as it stands."
NO_KEY = "No key made this signature: run weighbook audit"
_NOT_KEPT = "what was signed is not kept."
_WORST_FIRST: tuple[State, ...] = ("other", "changed", "late_arrivals", "stands")


@dataclass(frozen=True, slots=True)
class Since:
    """What was stated after signatures about one player: a sentence, and each statement."""

    text: str
    statements: tuple[str, ...]


def state(signed: SignedList) -> str:
    """ "Changed after signing: No. 5; late arrival: No. 31"."""
    late = [who(one) for one in signed.changes if one.is_late_arrival]
    changed = [who(one) for one in signed.changes if not one.is_late_arrival]
    said = upper_first(codes.SIGNATURES[signed.state])
    if signed.state != "changed":
        return said + (f": {join(late)}" if late else "")
    more = f"; late arrival{'s' if len(late) > 1 else ''}: {join(late)}" if late else ""
    return f"{said}: {join(changed)}{more}"


def who(changed: Changed) -> str:
    """ "No. 5"; by id where there is no number."""
    return changed.player if changed.number is None else f"No. {changed.number}"


def since(
    signatures: Iterable[SignedList], zone: str, name_of: NameOf, *, player: str | None = None
) -> tuple[Since, ...]:
    """What was stated after signatures to a list, each once; of that player only, if one is given.

    Where one signature keeps what was signed and another does not, the first says it.
    """
    found: dict[tuple[object, ...], Changed] = {}
    for signed in signatures:
        for one in signed.changes:
            key = (one.player, *(statement.event for statement in one.statements))
            if key not in found or not found[key].is_kept:
                found[key] = one
    return tuple(
        _since(one, zone, name_of)
        for one in found.values()
        if player is None or one.player == player
    )


def taken_back(
    pairs: Iterable[tuple[Statement, Statement]], zone: str, name_of: NameOf
) -> tuple[Since, ...]:
    """Signatures that were withdrawn: whose, and by which statement."""
    return tuple(
        Since(
            f"A signature was withdrawn: {name_of(signed.by)}, "
            f"{local_time(signed.happened, zone)} ({signed.event}).",
            (_stated(withdrawal, False, zone, name_of),),
        )
        for signed, withdrawal in pairs
    )


def _since(changed: Changed, zone: str, name_of: NameOf) -> Since:
    stated = tuple(
        _stated(statement, changed.is_late_arrival, zone, name_of)
        for statement in changed.statements
    )
    if changed.is_late_arrival:
        return Since(f"{who(changed)}: late arrival.", stated)
    then = f"signed as: {_row(changed.before)}." if changed.is_kept else _NOT_KEPT
    text = f"{who(changed)}: {then} Now: {_row(changed.after)}."
    return Since(text, stated or ("No statement explains it: run weighbook audit.",))


def worst_of(signatures: Sequence[SignedList]) -> State:
    """Of the states of a list's signatures, the one that most wants a look."""
    states = {one.state for one in signatures}
    return next(state for state in _WORST_FIRST if state in states)


def states_of_game(signed: Mapping[tuple[str, str], Sequence[SignedList]]) -> str:
    """ "4 signatures, as they stand"; "4 signatures; newts changed after signing"."""
    count = sum(map(len, signed.values()))
    worst = {team: worst_of(signatures) for (_, team), signatures in signed.items()}
    told = [f"{team} {codes.SIGNATURES[worst[team]]}" for team in worst if worst[team] != "stands"]
    signatures = count_of(count, "signature")
    return f"{signatures}; {'; '.join(told)}" if told else f"{signatures}, as they stand"


def for_player(signed: SignedList, player: str, zone: str, name_of: NameOf) -> str:
    """A signature in a sentence, and whether it stands for this player."""
    row = signed.row
    by = f"{name_of(row['official'])}, for {row['side']}: {codes.HOW_SIGNED[row['how']]}"
    at = f"{local_time(row['signed_at'], zone)} ({signed.event_id})"
    mine = [one for one in signed.changes if one.player == player]
    if signed.state == "other":
        told = upper_first(codes.SIGNATURES["other"])
    elif not mine:
        told = "As it stands for this player"
    else:
        late = all(one.is_late_arrival for one in mine)
        told = "This player came late, after it" if late else "Changed since for this player"
    return f"{by}, {at}. {told}."


def _row(row: Mapping[str, Any] | None) -> str:
    if row is None:
        return "not among the players of this list"
    play, carry = row["may_play"], row["may_carry"]
    rights = codes.both(play, carry, codes.plays(play), codes.carries(carry))
    return "; ".join(filter(None, [rights, codes.listed(row["listed"])]))


def _stated(statement: Statement, is_late_arrival: bool, zone: str, name_of: NameOf) -> str:
    said = f"{stated.what(statement, zone)}, by {name_of(statement.by)}"
    if is_late_arrival and not statement.is_late:
        return f"{said}, {local_time(statement.happened, zone)}."
    written, recorded = (local_time(one, zone) for one in (statement.entered, statement.recorded))
    return f"{said}. Written down {written}; recorded {recorded}."


def key_words(store: Store, event_id: str, name_of: NameOf) -> str:
    """ "key set by the registrar", or "" where there is nothing to say of the key.

    A key for one game always says who vouched for it; a key in place of an earlier one says who
    set it, unless its holder did, with the earlier one.
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
    return f"key set by {f'the {role}' if role else name_of(behind.by)}"
