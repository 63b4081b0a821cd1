"""What the papers' templates are given: plain frozen values, already decided and already local.

Times are texts in the league's time zone (`ledger.say.clock` makes them); "" means none.
Codes (reason, may_play, may_carry, basis) are those of the answers; the templates turn them into
words. A name is a text as recorded, or the word "erased".
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.say.signing import Since


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One reason a player is on the list; `struck_at` and `struck_by` where it was struck off.

    `late` says where it, or the strike-off, was recorded late or behind a signature.
    """

    reason: str
    at: str
    by: str
    struck_at: str = ""
    struck_by: str = ""
    late: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListLine:
    """One player with at least one listing, standing or struck off."""

    number: int | None
    name: str
    listings: tuple[Listing, ...]
    may_play: str
    may_carry: str
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPaper:
    """`ineligible_list`: one team in one game. `hand_rows` are left empty for the pen.

    `digest` is the number of the list as it stands (64 hex digits): what a countersignature holds.
    `since` says in sentences what was stated after signatures, `typed_in` that the lines came from
    paper all at once.
    """

    head: PaperHead
    team: str
    opponent: str
    lines: tuple[ListLine, ...]
    signatures: tuple[SignatureLine, ...]
    digest: str
    since: tuple[Since, ...] = ()
    typed_in: str = ""
    hand_rows: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterLine:
    """One player of the roster at kickoff."""

    number: int | None
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankPaper:
    """`blank_list`: the empty form for a morning without the device, one team in one game.

    `check_weight`, `passes` and `limit` are texts with their unit ("10 lb", "9.5 to 10.5 lb",
    "105 lb"); `opens` is the local time at which the weigh-in opens.
    """

    head: PaperHead
    team: str
    opponent: str
    roster: tuple[RosterLine, ...]
    signatures: tuple[SignatureLine, ...]
    check_weight: str
    passes: str
    limit: str
    opens: str
    first_to_weigh: str
    attempts: str
    late_players: str
    scale_rows: int = 2

    @property
    def spare_rows(self) -> int:
        """Rows for who is not on the roster: a few, or a team's where there is no roster."""
        return 4 if self.roster else 22


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One player in the book; `mark` is ok, over or "" where there is none yet.

    `by` is the printed name of who marked, `when` the local date, `game` the game's id.
    """

    number: int | None
    name: str
    mark: str = ""
    initials: str = ""
    by: str = ""
    when: str = ""
    game: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookPaper:
    """`book`: a team's first-game marks. A form to be filled by hand has `is_blank`.

    `team` may be "" in an empty form: it is then written in. `limit` is a sentence.
    """

    head: PaperHead
    team: str
    limit: str
    lines: tuple[BookLine, ...]
    spare_rows: int
    is_blank: bool = False

    @property
    def marked(self) -> int:
        return sum(1 for line in self.lines if line.mark)


@dataclass(frozen=True, slots=True, kw_only=True)
class CallLine:
    """Whom to ask, and about what; name and number are written in."""

    role: str
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPaper:
    """`card`: what weighmasters do, for one game, or for the league where `head.game` is "".

    `limits` are pairs of a division's name and its limit with its unit, one of them for a game.
    `check_weight` and `passes` are texts with their unit. The rest are the league's own rules,
    a sentence each. `calls` is in the order in which to ask.
    """

    head: PaperHead
    limits: tuple[tuple[str, str], ...]
    check_weight: str
    passes: str
    opens: str
    first_to_weigh: str
    attempts: str
    declared_over: str
    late_players: str
    weighmasters: str
    minimum_plays: str
    calls: tuple[CallLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CasePaper:
    """`blank_case`: a question and its determination, all by hand.

    `reviewers` are pairs of what is asked and who decides it, in order; the rest are the league's
    own rules, a sentence each.
    """

    head: PaperHead
    reviewers: tuple[tuple[str, str], ...]
    protest: str
    decide: str
    statement_rows: int = 3
    exhibit_rows: int = 2
    referral_rows: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptPaper:
    """`receipt`: one countersignature, twice on a sheet, so that each side takes one home.

    `head.checkpoint` is the note that the signer cosigned, or the ledger's present one where
    `is_cosigned` is false. `digest` is the list's (64 hex digits), "" where the event holds none;
    `scan` that of the signed paper. `meaning` belongs to the side signed for. `state` says in words
    whether the list is still what was signed, and `is_whole` whether it is, late arrivals aside.
    `key` says who set the signer's key, where that is worth saying.
    """

    head: PaperHead
    team: str
    side: str
    meaning: str
    name: str
    signed_at: str
    how: str
    id: str
    digest: str
    scan: str
    is_cosigned: bool
    state: str
    is_whole: bool
    key: str = ""
