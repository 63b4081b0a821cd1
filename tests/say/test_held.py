"""How a paper describes itself, from its paper.json."""

from __future__ import annotations

from ledger.review.held import Held, PaperFile
from ledger.say.held import about, as_json


def paper(**arguments: str | bool) -> Held:
    file = PaperFile(
        document="book",
        arguments=arguments,
        printed_at="2026-09-05T13:41:22.000Z",
        chain="office",
        chains={"tent": {"size": 4, "root": ""}, "office": {"size": 12, "root": ""}},
        keys=(),
        values="",
        files={},
        made_by={},
    )
    return Held(verdict="same", paper=file)


PRINTED = "Printed Sat, Sep 5, 2026, 8:41 AM CDT (by that device's clock) from the ledger up to "


def test_what_it_was_asked_for() -> None:
    lines = about(paper(team="newts", blank=True), "America/Chicago", "book of marks")
    assert lines == ["Book of marks: blank, team newts.", f"{PRINTED}office:12, tent:4."]


def test_nothing_was_asked() -> None:
    assert about(paper(), "America/Chicago", "book")[0] == "Book."


def test_a_moment_is_said_in_words() -> None:
    given = about(paper(known_at="2026-09-05T14:00:00.000Z"), "America/Chicago", "book")[0]
    assert given == "Book: known at 2026-09-05T14:00:00.000Z."


def test_the_verdict_for_programs() -> None:
    told = as_json(paper(team="newts"))
    assert list(told) == [
        *("ok", "verdict", "document", "arguments", "printed_at", "chains"),
        *("signed_by_ledger", "signed_by", "difference", "page", "line"),
        *("on_paper", "in_ledger", "reason", "versions", "values_agree"),
    ]
    assert (told["verdict"], told["document"]) == ("same", "book")
    assert told["arguments"] == {"team": "newts"}
    assert told["chains"]["tent"] == {"size": 4, "root": ""}
