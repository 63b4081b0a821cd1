"""What the papers' templates are given: plain frozen values, already decided and already local.

Times are texts in the league's time zone (`ledger.say.clock` makes them); "" means none.
Codes (reason, may_play, may_carry, basis) are those of the answers; the templates turn them into
words. A name is a text as recorded, or the word "erased".
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHead:
    """Which league, which game, and which state of the ledger a paper shows.

    What is of a game stays "" in papers that are not about one; `division` may stand alone.
    `head_id` is the id of the last event (`office:57`) and `head_hash` its 64 hex digits.
    `as_of` and `known_at` are given where the paper was asked for as of a moment, `held_later`
    where the ledger came to hold statements in it only after that moment.
    `keep_until` is the league's date for personal data, in words. `checkpoint` is the whole signed
    note, printed as a QR code; without it the paper says that there is no code.
    """

    league: str
    season: str
    zone: str
    head_id: str
    head_hash: str
    division: str = ""
    game: str = ""
    kickoff: str = ""
    site: str = ""
    home: str = ""
    visitor: str = ""
    is_off: bool = False
    as_of: str = ""
    known_at: str = ""
    held_later: str = ""
    keep_until: str = ""
    checkpoint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureLine:
    """Room for one signature, or one that is in the ledger.

    What a signature shows, printed name, date and time, meaning, is 21 CFR 11.50(a): a model,
    which does not bind a league. `name`, `signed_at` and `how` are "" where ink is to fill them.
    `how` is key, device, ink or sheet and `id` the event's; `state` says in words whether the list
    is still what was signed, and `is_whole` whether it is, late arrivals aside. `number` is that of
    the list signed, where it is not this one's. `key` says who set the signer's key, where that is
    worth saying.
    """

    side: str
    meaning: str
    name: str = ""
    signed_at: str = ""
    how: str = ""
    id: str = ""
    state: str = ""
    is_whole: bool = True
    number: str = ""
    key: str = ""
