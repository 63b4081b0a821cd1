"""Which entries the answers of a bundle rest on."""

from __future__ import annotations

from ledger.review.evidence.answers import CaseAnswers


def test_answers_rest_on_every_event_that_a_row_names() -> None:
    rows = {
        "ineligible_list": [{"event_id": "office:1", "strike_id": "office:2"}],
        "case_timeline": [{"event_id": "office:3", "withdrawn_by": "office:4"}],
        "findings": [{"events": ["office:5"]}, {"events": None}],
        "eligibility": [{"event_id": None}],
    }
    named = CaseAnswers((), rows, {}).rests_on
    assert named == {f"office:{number}" for number in range(1, 6)}
