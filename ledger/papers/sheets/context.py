"""The values of the papers' templates: plain, frozen, already decided.

Times are texts in the league's time zone (`ledger.say.clock`); "" means none. Codes (reason,
may_play, may_carry, basis) are those of the answers; templates turn them into words. A name is
the text as recorded, or the word "erased".
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHead:
    """The league, the game and the state of the ledger that a paper shows.

    A game's fields are "" if the paper is not about one; `division` may come without a game.
    `head_id` is the id of the last event (`office:57`), `head_hash` its 64 hex digits. `as_of` and
    `known_at` are set if the paper is as of a moment, `held_later` if the ledger got some of its
    statements after that. `keep_until` is the league's date for personal data, in words.
    `off` says who called the game off, and when, if it `is_off`.
    `printed_at` is the time of printing by the device's clock, `rules` the version of the rules. A
    bundle's packet has no print time: there it is the time of the last event.
    `checkpoint` is the whole signed note, printed as a QR code; "" if this ledger has no key.
    """

    league: str
    season: str
    zone: str
    head_id: str
    head_hash: str
    printed_at: str
    rules: str
    division: str = ""
    game: str = ""
    kickoff: str = ""
    site: str = ""
    home: str = ""
    visitor: str = ""
    is_off: bool = False
    off: str = ""
    as_of: str = ""
    known_at: str = ""
    held_later: str = ""
    has_print_time: bool = True
    keep_until: str = ""
    checkpoint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignatureLine:
    """One signature from the ledger, or room for one in ink.

    A signature shows printed name, date and time, and meaning: 21 CFR 11.50(a), a model that does
    not bind a league. For ink, `name`, `signed_at` and `how` are "";
    `state` may say that nobody signed. `how` is key, device, ink or
    sheet; `id` is the event's. `state` says if the list is still as signed, and `is_whole` is true
    if only late arrivals were added. `number` is the signed list's if it is another list's; `key`
    says who set the signer's key if that matters.
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
