"""Every paper: its command, its arguments and its maker.

`weighbook print` and `weighbook check` follow from a row here. A paper also needs a template, a
module and a name for people (`DOCUMENTS` of say/codes.py). Makers are named, not imported: a list
does not wait for imports that only packets need.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import TYPE_CHECKING, cast

from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.papers.press.heads import Heads
    from ledger.papers.press.sheet import Sheet

Arguments = Mapping[str, str | bool]
_MOMENTS = ("as_of", "known_at")


@dataclass(frozen=True, kw_only=True)
class Document:
    """A paper: `weighbook print COMMAND` with `needs`, then `may`, in order.

    `template` is its folder of report_templates/. `maker` is "module.function" of this folder. It
    takes a ledger's `Heads` and, by name, all of `needs` and any of `may`, of `options` (name to
    help) and, if it `has_moments`, of as_of and known_at. `says` are fixed arguments in its
    paper.json. `print --help` shows `label` and `help`.
    """

    command: str
    template: str
    maker: str
    label: str
    help: str
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    options: Mapping[str, str] = field(default_factory=dict)
    has_moments: bool = False
    says: Mapping[str, bool] = field(default_factory=dict)

    @property
    def optional(self) -> set[str]:
        """The optional arguments."""
        return {*self.may, *self.options, *(_MOMENTS if self.has_moments else ())}

    def make(self, heads: Heads, arguments: Arguments) -> Sheet:
        """The paper at the moment of `heads`; InputError if the ledger has no such paper."""
        module, _, function = self.maker.partition(".")
        maker = getattr(import_module(f"ledger.papers.sheets.{module}"), function)
        return cast("Sheet", maker(heads, **arguments))

    def takes(self, arguments: Arguments) -> bool:
        """Whether a paper.json with these arguments belongs to this document."""
        given = arguments.keys() - self.says
        said = self.says.items() <= arguments.items()
        return said and set(self.needs) <= given <= {*self.needs, *self.optional}


def make_again(heads: Heads, template: str, arguments: Arguments) -> Sheet:
    """The paper of a paper.json, at the moment of `heads`.

    Raises InputError for an unknown document, and for arguments unknown here or to this ledger.
    """
    rows = [one for one in DOCUMENTS if one.template == template]
    if not rows:
        known = ", ".join(sorted({one.template for one in DOCUMENTS}))
        raise InputError(f"unknown paper {template!r}", hint=f"Papers are: {known}.")
    for one in rows:
        if one.takes(arguments):
            return one.make(heads, {k: v for k, v in arguments.items() if k not in one.says})
    needed = " or ".join(", ".join(one.needs) or "nothing" for one in rows)
    optional = ", ".join(sorted(set().union(*(one.optional for one in rows)))) or "nothing"
    hint = f"It needs: {needed}. Optional: {optional}."
    raise InputError(f"the paper {template!r} does not take these arguments", hint=hint)


DOCUMENTS = (
    Document(
        command="list",
        template="ineligible_list",
        maker="lists.list_sheet",
        needs=("game", "team"),
        has_moments=True,
        label="A team's ineligible list for a game, to sign.",
        help="""The ineligible list of TEAM in GAME, for both sides to sign. weighbook status
        lists games and teams.

        Example: weighbook print list acorn-1a newts --to list.pdf
        """,
    ),
    Document(
        command="blank-list",
        template="blank_list",
        maker="blank_lists.blank_sheet",
        needs=("team",),
        options={"game": "For this game. Default: the next one not weighed yet."},
        label="The empty form, for a morning without the device.",
        help="""The empty weigh-in form with TEAM's roster on it, for a morning
        without the device. weighbook status lists games and teams.

        Example: weighbook print blank-list newts --to blank.pdf
        """,
    ),
    Document(
        command="play-count",
        template="play_count",
        maker="play_counts.play_count_sheet",
        needs=("team",),
        options={"game": "For this game. Default: the next one not weighed yet."},
        label="A tally sheet of one team's plays, for a clipboard.",
        help="""The tally sheet for counting TEAM's plays with a pencil: each player by half,
        with the league's minimum. weighbook status lists games and teams.

        Example: weighbook print play-count newts --to plays.pdf
        """,
    ),
    Document(
        command="book",
        template="book",
        maker="books.book_sheet",
        needs=("team",),
        has_moments=True,
        label="A team's book of first-game marks.",
        help="""TEAM's book: each player's first mark, ok or over, with its date and who
        made it. With no usable scale, the book says who may carry the ball. A note
        says if the player's own side made a mark, if that day's weigh differs, or
        if a reviewer ruled since.

        Example: weighbook print book newts --to book.pdf
        """,
    ),
    Document(
        command="blank-book",
        template="book",
        maker="books.blank_book_sheet",
        may=("team",),
        says={"blank": True},
        label="The book's empty form, to mark by hand.",
        help="""The empty form of the book with TEAM's roster on it. Without TEAM, you
        write it all by hand.

        Example: weighbook print blank-book newts --to blank-book.pdf
        """,
    ),
    Document(
        command="card",
        template="card",
        maker="cards.card_sheet",
        may=("game",),
        label="The weigh-in step by step, by the league's rules.",
        help="""The card for weighmasters: six steps in front; details, the league's own words
        and who to call behind. Write in the phone numbers: the ledger has none. With
        GAME it shows that game's limit and times. It names no child.

        Example: weighbook print card acorn-1a --to card.pdf
        """,
    ),
    Document(
        command="board-page",
        template="board_page",
        maker="notices.board_sheet",
        label="For the board: what is kept, who sees it, how to stop.",
        help="""One page for the board: what is kept, who sees it, until when, what to do if
        a phone is lost, who to call, how to stop. It names no child.

        Example: weighbook print board-page --to board.pdf
        """,
    ),
    Document(
        command="parent-notice",
        template="parent_notice",
        maker="notices.parent_sheet",
        label="For parents: how the weigh-in goes, what is kept.",
        help="""One page for parents, by the league's rules: how the weigh-in goes, what is
        written down, who sees it, and what a parent can ask for. It names no child.

        Example: weighbook print parent-notice --to parents.pdf
        """,
    ),
    Document(
        command="pilot-plan",
        template="pilot_plan",
        maker="notices.pilot_sheet",
        label="A plan to try weighbook on two Saturdays.",
        help="""One page to plan a first try: one site, two Saturdays, paper stays the
        original. What to do when, what to count, when to stop, what to decide.

        Example: weighbook print pilot-plan --to pilot.pdf
        """,
    ),
    Document(
        command="receipt",
        template="receipt",
        maker="receipts.receipt_sheet",
        needs=("event",),
        label="Proof of a signature, for each side to take home.",
        help="""The receipt of the countersignature EVENT (CHAIN:SEQ, shown on the list and
        by the sign command), twice on a sheet, to cut apart. It names no child.

        Example, acorn-1a: weighbook print receipt office:406 --to receipt.pdf
        """,
    ),
    Document(
        command="blank-case",
        template="blank_case",
        maker="case_forms.blank_case_sheet",
        label="An empty form for a question or protest.",
        help="""The empty form of a case: the question or protest and who received it when
        on the front, the decision on the back, with the league's reviewers and time
        limits.

        Example, to note what happened in acorn-1a by hand:

            weighbook print blank-case --to blank-case.pdf
        """,
    ),
    Document(
        command="review-packet",
        template="review_packet",
        maker="packets.review_packet",
        needs=("case",),
        has_moments=True,
        label="A case, for those who review it.",
        help="""CASE as its reviewers need it: the question, who has had it, eligibility when
        the list was signed and now, every statement with its times, the lists as
        signed, findings, exhibits, room to decide and sign, and how to check it all.

        It names only the players in question and shows every remark about the case.
        Its statements are attached, with their proof.

        Example: weighbook print review-packet mixed-numbers --to mixed-numbers.pdf
        """,
    ),
    Document(
        command="protest-packet",
        template="protest_packet",
        maker="packets.protest_packet",
        needs=("case",),
        has_moments=True,
        label="A case with both sides and what rulings change.",
        help="""The review packet of CASE, plus what a protest needs: what each side says,
        what they agree on and what they don't, and what each ruling would change.
        Rulings are tried out in memory; nothing is written to the ledger.

        Example: weighbook print protest-packet late-plays --to late-plays.pdf
        """,
    ),
    Document(
        command="monday",
        template="monday",
        maker="mondays.monday_sheet",
        may=("association",),
        options={"week": "The season's N-th day with games. Default: the last one."},
        has_moments=True,
        label="A Saturday looked back on, for an association.",
        help="""The Monday page for ASSOCIATION (without it, for the league): what went well,
        what to settle, who looks first and until when. It shows players by number.

        Example: weighbook print monday quillowick --week 2 --to monday.pdf
        """,
    ),
    Document(
        command="season-summary",
        template="season_summary",
        maker="season.season_sheet",
        has_moments=True,
        label="How the procedure went; names no child.",
        help="""How the season's weigh-ins went, for the league, each association and
        each team. It names no child, and hides small numbers of children.

        Example: weighbook print season-summary --to summary.pdf
        """,
    ),
)
