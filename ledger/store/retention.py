"""What the league's written retention rule makes due.

A model for such a rule is 16 CFR 312.10 (keep a child's data only as long as its purpose needs,
then delete it); what binds a league is its own rule and local law.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from ledger.chain.event import Event
from ledger.errors import InputError, count_of
from ledger.record.times import local_date, now_utc
from ledger.store.league import league_data, league_zone
from ledger.store.store import Store


@dataclass(frozen=True)
class Due:
    """Events whose personal text is due to be erased on `on`; empty before the date."""

    keep_until: str
    on: str
    texts: int
    events: Sequence[Event]

    @property
    def sentence(self) -> str:
        if not self.keep_until:
            return "The league set no date (keep_personal_until), so nothing is due."
        if not self.events and self.on <= self.keep_until:
            held = f"{count_of(self.texts, 'text')} {'is' if self.texts == 1 else 'are'} held"
            return f"Names and notes are kept until {self.keep_until}: {held}."
        if not self.events:
            return f"Names and notes were kept until {self.keep_until}; none are left."
        due = count_of(self.texts, "name or note", "names and notes")
        were = "was" if self.texts == 1 else "were"
        return f"{due} {were} to be kept until {self.keep_until}: due now."

    @property
    def is_past(self) -> bool:
        """Whether the rule has a date, and it has gone by."""
        return bool(self.keep_until) and self.on > self.keep_until


def today(store: Store) -> str:
    """The league's local date, by the machine's clock."""
    return local_date(now_utc(), league_zone(store))


def due_texts(store: Store, on: str) -> Due:
    """What is due on a local date (YYYY-MM-DD); InputError for another form."""
    check_date(on)
    keep_until: str = league_data(store)["privacy"]["keep_personal_until"]
    held = [row.event_id for row in store.disclosures()]
    due = Due(keep_until, on, len(held), ())
    if not due.is_past:
        return due
    there = set(held)
    events = [stored.event for stored in store.events() if stored.event.id in there]
    return replace(due, events=events)


def check_date(on: str) -> None:
    """InputError unless this is a date as YYYY-MM-DD: dates are compared as texts."""
    try:
        is_date = date.fromisoformat(on).isoformat() == on  # it reads 20270701, 2027-W26-4 too
    except ValueError:
        is_date = False
    if not is_date:
        raise InputError(
            f"--on: found '{on}'",
            hint="Enter a date as YYYY-MM-DD, such as 2027-07-01.",
        )
