"""Each page's foot says which form it is, when it was printed, and by which version of the rules.

Ineligible list, Hill Foxes, game g1, Sat, Sep 5 · Printed Sat, Sep 5, 2026, 8:42 AM CDT ·
Rules version 1
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import pytest

from ledger.derive.signed_list import RULES
from ledger.papers.press.compose import compose, documents
from ledger.papers.press.heads import Heads
from ledger.papers.press.render import typeset_sheet
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.books import blank_book_sheet
from ledger.papers.sheets.hold import hold_paper
from ledger.papers.sheets.receipts import receipt_sheet
from ledger.resources import folder
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import HEAD, STAMP, list_paper
from tests.signed_season import season

NINE, TEN = "2026-10-31T14:00:00.000Z", "2026-10-31T15:00:00.000Z"


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SqliteStore]:
    with season(tmp_path_factory.mktemp("foot") / "season.weighbook") as opened:
        yield opened


def foot(document: str, context: Mapping[str, object]) -> str:
    html = compose(document, context, stamp=STAMP)
    return html.partition('<div class="foot">')[2].partition("</div>")[0]


def test_form_print_time_and_version_of_the_rules_stand_side_by_side() -> None:
    said = foot("ineligible_list", {"paper": list_paper()})
    assert (
        "<strong>Ineligible list, Hill Foxes, game g1, Sat, Sep 5</strong>"
        " · Printed Sat, Sep 5, 2026, 8:42 AM CDT · Rules version 1"
    ) in without_spans(said)


def test_how_long_to_keep_it_is_a_line_of_its_own() -> None:
    said = foot("ineligible_list", {"paper": list_paper()})
    line = "Keep it with the game papers until Feb 1, 2027."
    assert f"<br>{line} Then return or destroy it, as your league says." in said
    without = foot("ineligible_list", {"paper": list_paper(head=replace(HEAD, keep_until=""))})
    assert "<br>Keep it with the game papers. Return or destroy it, as your league says." in without


def without_spans(html: str) -> str:
    return html.replace('<span class="whole">', "").replace("</span>", "")


def form(store: SqliteStore, printed_at: str) -> Sheet:
    return blank_book_sheet(Heads(store, printed_at=printed_at))


def test_the_print_time_is_the_clocks_that_made_the_paper(store: SqliteStore) -> None:
    for at, shown in ((NINE, "9:00 AM"), (TEN, "10:00 AM")):
        said = without_spans(foot("book", form(store, at).context))
        assert f"Printed Sat, Oct 31, 2026, {shown} CDT · Rules version {RULES}" in said


def test_a_bundles_packet_claims_no_print_time(store: SqliteStore) -> None:
    """The same ledger gives the same bundle, so its packet is dated by the last event."""
    said = foot("book", form(store, store.last().recorded).context)
    assert "Printed" not in said
    assert "From the ledger of" in said


def test_a_check_makes_it_again_with_its_own_print_time(store: SqliteStore) -> None:
    held = hold_paper(store, typeset_sheet(form(store, NINE)))
    assert (held.verdict, held.paper.printed_at) == ("same", NINE)


def test_each_half_of_a_receipt_says_it_too(store: SqliteStore) -> None:
    """A receipt is cut in two and has no foot."""
    signature = next(iter(store.events(kind=["countersign"]))).event.id
    sheet = receipt_sheet(Heads(store, printed_at=NINE), signature)
    html = compose("receipt", sheet.context, stamp=STAMP)
    _, *halves = html.split('<section class="half">')
    assert [half.count("Printed Sat, Oct 31, 2026, 9:00 AM CDT") for half in halves] == [1, 1]


@pytest.mark.parametrize("document", documents())
def test_every_paper_has_this_foot(document: str) -> None:
    text = (folder("report_templates") / document / "page.html").read_text()
    assert "base/paper.html" in text or "review_packet/page.html" in text
