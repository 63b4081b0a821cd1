"""The empty form of a case."""

from __future__ import annotations

from pathlib import Path

from ledger.papers.press.heads import Heads
from ledger.papers.sheets.case_forms import blank_case_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import printed_sheet, squeeze


def test_question_in_front_and_decision_behind(signed: SqliteStore, tmp_path: Path) -> None:
    """Decided and signed as 21 CFR 11.50(a) has it: name, date and time, meaning; a model."""
    front, back = printed_sheet(blank_case_sheet(Heads(signed)), tmp_path / "case.pdf")
    for said in (
        "A note or a question stops nobody from playing.",
        "Case, a short word for it",
        "About roster weigh-in plays safety protest other",
        "What is asked for: what should the reviewer decide",
        "Received by, role Date and time Protest deadline Decision due",
        "File a protest within 48 hours of the end of the game.",
        "A case is decided or closed within 7 days of its opening.",
        "3. What people say and hand in",
        "Children’s names.",
    ):
        assert squeeze(said) in squeeze(front)
    for said in (
        "A roster the association president, then the division president",
        "Anything else the site official, then the head official, then the division president",
        "Next reviewer, role Passed on by, role Date and time Answer until",
        "The question upheld denied decided otherwise",
        "Upheld: what the question says is right. Denied: what was done stands.",
        "Decided otherwise: neither; write what under “Because”.",
        "If you disagree, ask: next reviewer, role Until: date and time",
        "May play whole game second half does not play nothing said",
        "May carry yes no nothing said",
        "Reviewer I decide this as written here.",
        "Printed name, role or team Date and time",
        "Weighmasters disqualify nobody.",
    ):
        assert squeeze(said) in squeeze(back)
