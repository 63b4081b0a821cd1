"""Signatures in words: whether a list is still what was signed, and what was stated since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ledger.derive.signatures import Changed, SignedList
from ledger.derive.told import Told
from ledger.papers import told_words, words
from ledger.papers.rule_words import join
from ledger.papers.told_words import NameOf

STATES = {
    "stands": "Signed as it stands",
    "late_arrivals": "Signed; late arrivals added since",
    "changed": "Changed after signing",
    "other": "Signed another list, not this one",
}
_WORST_FIRST = ("other", "changed", "late_arrivals", "stands")
_NO_CONTENT = "what the list said then is not kept"


def state(signed: SignedList) -> str:
    """ "Changed after signing: No. 5, No. 12"."""
    numbers = join([who(one) for one in signed.changes])
    return STATES[signed.state] + (f": {numbers}" if numbers else "")


def who(changed: Changed) -> str:
    """ "No. 5"; by id where there is no number."""
    return changed.player if changed.number is None else f"No. {changed.number}"


def since(signatures: Iterable[SignedList], zone: str, name_of: NameOf) -> list[str]:
    """What was stated after signatures to a list, one sentence a player, each once."""
    found: dict[tuple[object, ...], Changed] = {}
    for signed in signatures:
        for one in signed.changes:
            found.setdefault((one.player, *(told.event for told in one.statements)), one)
    return [changed_line(one, zone, name_of) for one in found.values()]


def changed_line(changed: Changed, zone: str, name_of: NameOf) -> str:
    """A late arrival, or what was signed of this player, what is there now, and who stated it."""
    stated = [_stated(told, changed.is_late_arrival, zone, name_of) for told in changed.statements]
    by = ". ".join(stated) or "No statement explains it; weighbook audit looks closer"
    if changed.is_late_arrival:
        return f"{who(changed)}, late arrival. {by}."
    return f"{who(changed)}. Signed: {_row(changed.before)}. Now: {_row(changed.after)}. {by}."


def states_of_game(signed: Mapping[tuple[str, str], Sequence[SignedList]]) -> str:
    """ "4, as they stand"; "4, newts changed after signing"."""
    count = sum(map(len, signed.values()))
    worst = {
        team: next(state for state in _WORST_FIRST if state in {one.state for one in signatures})
        for (_, team), signatures in signed.items()
    }
    told = [f"{team} {STATES[worst[team]].lower()}" for team in worst if worst[team] != "stands"]
    return f"{count}: {'; '.join(told) or 'as they stand'}"


def for_player(signed: SignedList, player: str, zone: str, name_of: NameOf) -> str:
    """A signature in a sentence, and what has changed of this player since."""
    row = signed.row
    by = f"{name_of(row['official'])}, for {row['side']}: {words.how_signed(row['how']).lower()}"
    at = f"{words.local_time(row['signed_at'], zone)} ({signed.event_id})"
    if signed.state == "other":
        return f"{by}, {at}. {STATES['other']}."
    mine = [one for one in signed.changes if one.player == player]
    since = [changed_line(one, zone, name_of) for one in mine] or ["As it stands for this player."]
    return f"{by}, {at}. {' '.join(since)}"


def _row(row: object) -> str:
    if not isinstance(row, dict):
        return _NO_CONTENT
    plays = words.may_play(row["may_play"])
    carries = "" if row["may_play"] == "none" else words.may_carry(row["may_carry"])
    listed = join([words.reason(reason) for reason in row["listed"]])
    parts = [plays, carries, f"listed: {listed}" if listed else ""]
    return "; ".join(words.lower_first(part) for part in parts if part)


def _stated(told: Told, is_late_arrival: bool, zone: str, name_of: NameOf) -> str:
    said = f"{told_words.what(told, zone)}, by {name_of(told.by)}"
    if is_late_arrival and not told.is_late:
        return f"{said}, {words.local_time(told.happened, zone)}"
    written, recorded = (words.local_time(one, zone) for one in (told.entered, told.recorded))
    return f"{said}; written down {written}, recorded {recorded}"
