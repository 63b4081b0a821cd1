"""The values of both packets' template, as in `context`.

"" means none. A player is a text: the number, and the name if the question is about the player.
"""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.sheets.context import PaperHead, SignatureLine
from ledger.papers.sheets.packet_front_context import DecisionShown, ExhibitShown, FrontShown


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A statement of the timeline.

    `day` is set at the first of a day, `recorded` too if the ledger recorded all of that day at one
    moment. `later` comes after a long pause. `times` say when it was written down and recorded,
    `struck` what withdrew it.
    """

    day: str
    recorded: str
    later: str
    when: str
    times: str
    what: str
    who: str
    id: str
    said: str
    struck: str
    is_own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewerLine:
    """A reviewer in the league's order, with all that the role said, passed on or ruled."""

    rank: int
    role: str
    standing: str
    is_next: bool
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedLine:
    player: str
    is_asked: bool
    then: str
    recorded: str
    now: str
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedTable:
    """`recorded` heads an extra column if that differs. `clock` is a sentence about the ledger's
    own clock, `rest` one about the players who are not shown."""

    title: str
    then: str
    recorded: str
    now: str
    lines: tuple[ComparedLine, ...]
    clock: str
    rest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListEntry:
    """A line of a list. `struck` is what crossed it off before the list was signed; `later` is
    what was entered after that, such as "crossed off …; weighed late"."""

    player: str
    is_asked: bool
    reason: str
    listed: str
    struck: str
    later: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListShown:
    """A list as it was first signed, at `signed_at`; a list that nobody signed, as it is.

    `lines` have what came later beside them, `added` are the lines that came later. `unsigned` are
    the teams that did not sign. `since` are the changes after signatures, `recorded` when most of
    them were recorded; the others say it themselves.
    """

    title: str
    is_signed: bool
    signed_at: str
    lines: tuple[ListEntry, ...]
    added: tuple[ListEntry, ...]
    signatures: tuple[SignatureLine, ...]
    unsigned: tuple[str, ...]
    since: tuple[str, ...]
    recorded: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    """A game of a player's history; `remarks` are short and stand out."""

    when: str
    weighed: str
    mark: str
    held: str
    is_asked: bool
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryTable:
    player: str
    lines: tuple[HistoryLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadLine:
    """What was looked up, and the players it leads to in three places, each a text."""

    looked_up: str
    at_kickoff: tuple[str, ...]
    entered: tuple[str, ...]
    now: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherCaseShown:
    """Another case: what both are about, its question, its state, and its rulings."""

    case_id: str
    shares: str
    question: str
    stands: str
    rulings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NumbersRow:
    """A game or a roster change, a cell for each column; `is_asked` marks the game in question."""

    when: str
    cells: tuple[str, ...]
    is_move: bool
    is_asked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NumbersTable:
    """A history of numbers; `columns` are headings."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[NumbersRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingShown:
    whom: str
    purpose: str
    detail: str
    look: str
    events: tuple[str, ...]
    more: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StateShown:
    """A signed state of the ledger; `signers` are who, when, and the key's id."""

    size: str
    chain: str
    signers: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidLine:
    when: str
    who: str
    what: str
    said: str
    id: str
    struck: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidBy:
    """What one side said, maybe nothing."""

    side: str
    lines: tuple[SaidLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedLine:
    ruling: str
    eligible: str
    due: str
    others: str
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedTable:
    title: str
    now: TriedLine
    lines: tuple[TriedLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProtestShown:
    """`agreed` and `open` are what the ledger shows, a sentence each."""

    sides: tuple[SaidBy, ...]
    agreed: tuple[str, ...]
    open: tuple[str, ...]
    tried: tuple[TriedTable, ...]
    tried_note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PacketPaper:
    """`review_packet` and `protest_packet`; only the second has `protest`.

    `decision` is None for a question that was withdrawn. `sections` of the full record are pairs
    of id and title, in order. `recorded` says when all of it was recorded, if at one moment.
    `statements_name` and `proof_name` are attached files; `no_proof` says why there is no proof.
    """

    head: PaperHead
    title: str
    case_id: str
    front: FrontShown
    decision: DecisionShown | None
    exhibits: tuple[ExhibitShown, ...]
    sections: tuple[tuple[str, str], ...]
    moments: tuple[Moment, ...]
    recorded: str
    reviewers: tuple[ReviewerLine, ...]
    outside: tuple[str, ...]
    compared: tuple[ComparedTable, ...]
    lists: tuple[ListShown, ...]
    history: tuple[HistoryTable, ...]
    history_note: str
    leads: tuple[LeadLine, ...]
    leads_notes: tuple[str, ...]
    numbers: tuple[NumbersTable, ...]
    numbers_note: str
    others: tuple[OtherCaseShown, ...]
    findings: tuple[FindingShown, ...]
    states: tuple[StateShown, ...]
    statements_name: str
    proof_name: str
    proof_says: str
    no_proof: str
    protest: ProtestShown | None = None
