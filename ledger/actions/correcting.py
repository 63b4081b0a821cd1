"""Correct tables that were loaded: show what changes, then record exactly what was shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.actions.asking import ACTING, Act, Acting, act_of, ask_about, signer_of
from ledger.derive.corrected import AnswersChanged, compare_answers
from ledger.derive.scope import read_season
from ledger.errors import RuleError
from ledger.record.authority import CORRECTORS
from ledger.record.folder import Folder
from ledger.record.questions import question_about, questions_of_folder
from ledger.store.acts import check_may
from ledger.store.correcting import (
    VERB,
    Correction,
    Corrections,
    append_corrections,
    find_corrections,
)
from ledger.store.store import Store, Stored, make_rows


@dataclass(frozen=True)
class ToCorrect:
    """What a correction would record, and which answers change by it."""

    folder: Folder
    by: str
    reason: str
    found: Corrections
    answers: AnswersChanged


@dataclass(frozen=True)
class Corrected:
    """The acts of a correction, one for each row."""

    acts: tuple[Act, ...]


def look_before_correcting(
    store: Store, folder: Folder, *, by: str, reason: str, acting: Acting = ACTING
) -> ToCorrect:
    """Find what the folder corrects and what follows from it. Show it before `correct_tables`.

    Raises RuleError if `by` may not correct a table, FolderError for changes that are no
    correction, InputError if nothing changed. Asks about the reason and the corrected texts.
    """
    check_may(store, by, VERB, CORRECTORS)
    found = find_corrections(store, folder)
    places = {one.place for one in found.rows}
    asked = [question for _, question in questions_of_folder(folder) if question.place in places]
    ask_about([*asked, *question_about("reason", reason)], acting)
    events = list(read_season(store))
    more = _as_recorded(store, found.rows, by=by, reason=reason, chain=acting.writes_to)
    answers = compare_answers(events, sorted([*events, *more]))
    return ToCorrect(folder, by, reason, found, answers)


def correct_tables(store: Store, shown: ToCorrect, acting: Acting = ACTING) -> Corrected:
    """Record what was shown; the earlier rows stay in the ledger.

    Asks for a passphrase. RuleError, and nothing is written, if the tables changed since.
    """
    signer = signer_of(store, shown.by, acting)
    with store.writing() as writing:
        if find_corrections(writing.store, shown.folder) != shown.found:
            hint = "Nothing was written. Run the same command again to see what changes."
            raise RuleError("the tables in the ledger have changed in the meantime", hint=hint)
        ids = append_corrections(
            writing, shown.found.rows, by=shown.by, reason=shown.reason, chain=acting.writes_to,
            signer=signer,
        )  # fmt: skip
    return Corrected(tuple(act_of(store, event_id) for event_id in ids))


def _as_recorded(
    store: Store, rows: Sequence[Correction], *, by: str, reason: str, chain: str
) -> list[Stored]:
    """The events that would be recorded now, as a reader would get them."""
    head, now = store.head(chain), store.clock()
    bodies = [one.as_event(by=by, reason=reason, entered=now) for one in rows]
    # Their places in the chain are only for this look: a new chain has no key yet.
    made, _ = make_rows(bodies, chain=chain, head=head, recorded=now)
    return [Stored(row.clock, row.chain, row.seq, row.body) for row in made]
