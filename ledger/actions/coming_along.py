"""What an official entered along with a weigh, and what would stay if the weigh alone went."""

from __future__ import annotations

from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.record.kinds import PER_CHILD, WEIGHS
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

ALONG = tuple(kind for kind in PER_CHILD if kind not in (*WEIGHS, "plays"))


def left_behind(store: Store, target: str, by: str) -> tuple[Event, ...]:
    """The official's later entries about the same child that rest on this weigh, by time.

    They are its mark in the book, a listing as over, a crossing-off and a stripe. None if the
    target is no standing weigh of this official, or if another weigh of the child stands.
    """
    try:
        (weigh,) = (stored.event for stored in store.events_by_id([target]))
    except InputError:  # a ref, or nothing: acceptance says so
        return ()
    if weigh.kind not in WEIGHS or weigh.by != by or not (weigh.game and weigh.player):
        return ()
    about = {"game": [weigh.game], "team": [str(weigh.team)], "player": [weigh.player]}
    events = [one.event for one in store.events(kind=[*WEIGHS, *ALONG], **about)]
    every = with_withdrawals(store, events)
    gone = withdrawn((one.id, one.data["target"]) for one in every if one.kind == "withdraw")
    standing = [one for one in events if one.id not in gone]
    if [one.id for one in standing if one.kind in WEIGHS] != [target]:
        return ()
    return tuple(one for one in standing if one.id != target and _rests_on(one, weigh))


def _rests_on(one: Event, weigh: Event) -> bool:
    is_own = one.by == weigh.by and str(one.at) >= str(weigh.at)
    return is_own and (one.kind != "list" or one.data["reason"] == "over")
