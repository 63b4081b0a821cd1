"""What an action asks before it writes: an error that says what, answered by calling it again.

A front end catches `AskError`, puts the question to the person in its own way, adds the answer to
its `Acting`, and calls the action again. An action asks before it writes anything.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ledger.errors import InputError, count_of
from ledger.record.questions import Question
from ledger.store.store import Store

if TYPE_CHECKING:
    from ledger.witness.cosigning import KeySigner

OFFICE = "office"
"""The chain that statements go to unless another is named."""


@dataclass(frozen=True)
class Acting:
    """The chain to write to (None: each action's own default), and what was answered so far.

    `fine` are texts that, the person says, hold no body weight and no birth date. `passphrase` is
    that of the official who acts, `new_passphrase` that of a key to be made.
    """

    chain: str | None = None
    fine: frozenset[Question] = frozenset()
    passphrase: str | None = field(default=None, repr=False)
    new_passphrase: str | None = field(default=None, repr=False)

    @property
    def writes_to(self) -> str:
        """The chain, by default the office's."""
        return OFFICE if self.chain is None else self.chain


ACTING = Acting()


@dataclass(frozen=True)
class Act:
    """Something that needs a role, done: its event, who did it, whether their key signed it."""

    event_id: str
    by: str
    is_signed: bool


class AskError(InputError):
    """The action needs an answer from the person; nothing was written."""


class AskAboutTextsError(AskError):
    """Whether these texts hold a body weight or a birth date. `questions` says which words do."""

    def __init__(self, questions: Iterable[Question]) -> None:
        self.questions = tuple(questions)
        count = len(self.questions)
        texts = f"{count_of(count, 'text')} {'seems' if count == 1 else 'seem'} to hold"
        first = f"{texts} a body weight or a birth date; nothing was written:"
        super().__init__(
            "\n".join([first, *(f"  {one}" for one in self.questions)]),
            hint="weighbook keeps no body weight and no birth date: ok or over is all the "
            "procedure needs.\nTake it out. If it is neither, say so.",
        )


class AskPassphraseError(AskError):
    """The passphrase of `official`: of the key in force, or (`is_new`) of the one to be made."""

    def __init__(self, official: str, *, is_new: bool = False) -> None:
        self.official, self.is_new = official, is_new
        super().__init__(f"{'a new' if is_new else 'the'} passphrase of {official} is needed")


def ask_about(questions: Iterable[Question], acting: Acting) -> None:
    """AskAboutTextsError unless the person has said that each of these texts is fine."""
    if still := [one for one in questions if one not in acting.fine]:
        raise AskAboutTextsError(still)


def signer_of(store: Store, by: str, acting: Acting) -> KeySigner | None:
    """The key of the official who acts, unlocked; None where there is no key in force.

    AskPassphraseError where the passphrase is missing, RuleError where it does not fit.
    """
    from ledger.witness.cosigning import KeySigner  # late: most of what is recorded needs no key
    from ledger.witness.officials import key_of, unlock

    if key_of(store, by) is None:
        return None
    if acting.passphrase is None:
        raise AskPassphraseError(by)
    return KeySigner(*unlock(store, by, acting.passphrase))


def act_of(store: Store, event_id: str) -> Act:
    """What the ledger says of an act that was recorded."""
    event = store.event(event_id)
    return Act(event_id, event.by or "", event.data.get("how") == "key")
