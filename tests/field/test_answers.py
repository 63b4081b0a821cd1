"""Every error of the ledger has its place among the answers."""

from __future__ import annotations

import orjson
import pytest

from ledger.actions.asking import AskAboutTextsError, AskDespiteError, AskPassphraseError
from ledger.errors import (
    Fault,
    FolderError,
    InputError,
    IntegrityError,
    LedgerError,
    ReportError,
    RuleError,
    StoreError,
)
from ledger.field.answers import refusal_of, refused
from ledger.record.questions import Question
from ledger.record.reading import Place

QUESTION = Question(Place(), "note", ("95 lb",))


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (InputError("no", hint="do"), 422, "refused"),
        (FolderError([Fault("entry 2", 0, "value", "'x'", "ok")]), 422, "refused"),
        (RuleError("no"), 422, "refused"),
        (ReportError("no"), 422, "refused"),
        (StoreError("locked"), 503, "busy"),
        (IntegrityError("bytes"), 500, "damaged"),
        (AskAboutTextsError([QUESTION]), 422, "ask_texts"),
        (AskDespiteError("Open:", ["unaccounted"], lambda names: ("12 is open",)), 422,
         "ask_despite"),
        (AskPassphraseError("wa"), 422, "ask_passphrase"),
    ],
)  # fmt: skip
def test_an_error_becomes_an_answer(error: LedgerError, status: int, code: str) -> None:
    answer = refused(refusal_of(error))
    told = orjson.loads(answer.body)["error"]
    assert (answer.status_code, told["code"]) == (status, code)
    assert told["message"]
    assert "same command" not in answer.body.decode()


def test_an_answer_has_what_the_page_needs() -> None:
    asked = refusal_of(AskAboutTextsError([QUESTION]))
    assert asked.more == {"questions": [{"column": "note", "words": ("95 lb",)}]}
    despite = AskDespiteError("Open:", ["unaccounted"], lambda names: ("12 is open",))
    assert refusal_of(despite).more == {"codes": ("unaccounted",), "lines": ("12 is open",)}
    fault = FolderError([Fault("entry 2", 0, "value", "'x'", "ok")])
    assert refusal_of(fault).message == "value: found 'x'; expected ok"
