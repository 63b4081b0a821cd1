"""Signatures in words: whether a list has changed since it was signed, and how."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.signatures import Changed, SignedList, State
from ledger.derive.statements import Statement
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say import codes, stated
from ledger.say.clock import local_time
from ledger.say.corrected_rows import corrected, correction_content
from ledger.say.stated import NameOf
from ledger.say.words import join, upper_first
from ledger.store.store import Store
from ledger.witness.vouching import role_behind, vouched

PRESENTS = "Handed over by our team."
RECEIVES = "Read and received as it stands."
NO_KEY = "No key made this signature: run weighbook audit"
_NOT_KEPT = "the ledger has no copy of what was signed"
_WORST_FIRST: tuple[State, ...] = ("other", "changed", "late_arrivals", "stands")


@dataclass(frozen=True, slots=True)
class Since:
    """A change after signatures about one player: a sentence, and each statement."""

    text: str
    statements: tuple[str, ...]


def state(signed: SignedList, most: int | None = None) -> str:
    """A signature's state: "Changed after signing: No. 5; arrived late: No. 31".

    With `most`, each of the two names that many players and counts the others.
    """
    late = _named([one for one in signed.changes if one.is_late_arrival], most)
    changed = _named([one for one in signed.changes if not one.is_late_arrival], most)
    said = upper_first(codes.SIGNATURES[signed.state])
    if signed.state != "changed":
        return f"{said}: {late}" if late else said
    return f"{said}: {changed}" + (f"; arrived late: {late}" if late else "")


def _named(changes: Sequence[Changed], most: int | None) -> str:
    named = [who(one) for one in changes]
    if most is None or len(named) <= most:
        return join(named)
    return join([*named[:most], f"{len(named) - most} more"])


def who(changed: Changed) -> str:
    """ "No. 5", or the id without a number."""
    return changed.player if changed.number is None else f"No. {changed.number}"


def since(
    signatures: Iterable[SignedList],
    zone: str,
    name_of: NameOf,
    *,
    player: str | None = None,
    recorded: str = "",
) -> tuple[Since, ...]:
    """The changes after signatures to a list, each once; only those of `player` if given.

    A signature that keeps what was signed goes before one that does not. `recorded` is the local
    time of recording that is told elsewhere, so no statement repeats it.
    """
    found: dict[tuple[object, ...], Changed] = {}
    for signed in signatures:
        for one in signed.changes:
            key = (one.player, *(statement.event for statement in one.statements))
            if key not in found or not found[key].is_kept:
                found[key] = one
    return tuple(
        _since(one, zone, name_of, recorded)
        for one in found.values()
        if player is None or one.player == player
    )


def taken_back(
    pairs: Iterable[tuple[Statement, Statement]], zone: str, name_of: NameOf
) -> tuple[Since, ...]:
    """Withdrawn signatures, each with the statement that withdrew it."""
    return tuple(
        Since(
            f"A signature was withdrawn: {name_of(signed.by)}, "
            f"{local_time(signed.happened, zone)} ({signed.event}).",
            (_stated(withdrawal, False, zone, name_of, ""),),
        )
        for signed, withdrawal in pairs
    )


def mostly_recorded(signatures: Iterable[SignedList], zone: str) -> str:
    """The local time when most changes after these signatures were recorded; "" if no two agree."""
    changes = {
        statement.event: local_time(statement.recorded, zone)
        for signed in signatures
        for one in signed.changes
        for statement in one.statements
    }
    times = Counter(changes.values()).most_common(1)
    return times[0][0] if times and times[0][1] > 1 else ""


def _since(changed: Changed, zone: str, name_of: NameOf, recorded: str) -> Since:
    late = changed.is_late_arrival
    stated = tuple(
        _stated(statement, late, zone, name_of, recorded) for statement in changed.statements
    )
    if late:
        return Since(f"{who(changed)}: late arrival.", stated)
    then = f"signed as: {_row(changed.before)}" if changed.is_kept else _NOT_KEPT
    text = f"{who(changed)}: {then}. Now: {_row(changed.after)}."
    stated += tuple(
        corrected(correction_content(one, name_of), zone) for one in changed.corrections
    )
    return Since(text, stated or ("No statement explains it: run weighbook audit.",))


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


def _row(row: Mapping[str, Any] | None) -> str:
    return "not on this list" if row is None else codes.row(row)


def _stated(
    statement: Statement, is_late_arrival: bool, zone: str, name_of: NameOf, told: str
) -> str:
    said = f"{stated.what(statement, zone)}, by {name_of(statement.by)}"
    if is_late_arrival and not statement.is_late:
        return f"{said}, {local_time(statement.happened, zone)}."
    written, recorded = (local_time(one, zone) for one in (statement.entered, statement.recorded))
    return f"{said}. Written down {written}{f'; recorded {recorded}' * (recorded != told)}."


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
