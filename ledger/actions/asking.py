"""Questions that an action asks before it writes anything, raised as errors.

A front end catches `AskError`, asks the person in its own way, adds the answer to its `Acting`,
and calls the action again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ledger.errors import InputError, RuleError, count_of
from ledger.record.questions import Question
from ledger.store.league import league_data
from ledger.store.store import Store

if TYPE_CHECKING:
    from ledger.derive.settling import Settling
    from ledger.witness.cosigning import KeySigner

OFFICE = "office"
"""The chain for entries, unless another is named."""


@dataclass(frozen=True)
class Acting:
    """The chain to write to (None: the action's own default), and the answers so far.

    `fine` are texts that the person confirmed contain no body weight or birth date, `despite` the
    codes of what is open and does not stop them. `late`: whether a weigh after the close is a late
    weigh; None if not asked yet. `passphrase` belongs to the official who acts, `new_passphrase`
    to a key to be made.
    """

    chain: str | None = None
    fine: frozenset[Question] = frozenset()
    despite: frozenset[str] = frozenset()
    late: bool | None = None
    passphrase: str | None = field(default=None, repr=False)
    new_passphrase: str | None = field(default=None, repr=False)

    @property
    def writes_to(self) -> str:
        """The chain, by default the office's."""
        return OFFICE if self.chain is None else self.chain


ACTING = Acting()


@dataclass(frozen=True)
class Act:
    """An act that needs a role: its event, the official, and whether their key signed it."""

    event_id: str
    by: str
    is_signed: bool


class AskError(InputError):
    """The action needs an answer; nothing was written."""


class AskAboutTextsError(AskError):
    """Do these texts contain a body weight or a birth date? `questions` names the words."""

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


class AskDespiteError(AskError):
    """Go on although this is open? `codes` are what the answer names; `lines` say it."""

    def __init__(
        self,
        heading: str,
        codes: Iterable[str],
        say: Callable[[Callable[[str], str] | None], tuple[str, ...]],
    ) -> None:
        self.heading, self.codes, self.lines = heading, tuple(codes), say
        super().__init__("\n".join([heading, *(f"  {line}" for line in say(None))]))


class AskLateError(AskError):
    """The team's weigh-in closed at `closed_at`, before this weigh: was the player late?"""

    def __init__(self, team: str, game: str, closed_at: str, at: str) -> None:
        self.team, self.game, self.closed_at = team, game, closed_at
        closed = f"The weigh-in of {team} in {game} closed at {closed_at}"
        super().__init__(
            f"{closed}, and this weigh was at {at}.",
            hint="Record late_weigh for a player who came after the close.",
        )


class AskPassphraseError(AskError):
    """The passphrase of `official`: for the key in force or, if `is_new`, for a new key."""

    def __init__(self, official: str, *, is_new: bool = False) -> None:
        self.official, self.is_new = official, is_new
        super().__init__(f"{'a new' if is_new else 'the'} passphrase of {official} is needed")


def ask_about(questions: Iterable[Question], acting: Acting) -> None:
    """Raise AskAboutTextsError unless the person confirmed that each of these texts is fine."""
    if still := [one for one in questions if one not in acting.fine]:
        raise AskAboutTextsError(still)


def ask_despite(settling: Settling, store: Store, acting: Acting) -> None:
    """Raise AskDespiteError unless the person goes on despite each of these findings."""
    if {*settling.codes} <= acting.despite:
        return
    from ledger.say.settling import heading, settle_lines

    league = league_data(store)
    zone = str(league["time_zone"])
    raise AskDespiteError(
        heading(settling),
        settling.codes,
        lambda name_of: settle_lines(settling, league, zone, name_of),
    )


def signer_of(store: Store, by: str, acting: Acting) -> KeySigner | None:
    """Unlock the key of the official who acts; None if no key is in force.

    AskPassphraseError if the passphrase is missing, RuleError if it is wrong, or if a phone holds
    the key: it signs lists, not acts.
    """
    from ledger.witness.cosigning import KeySigner  # late: most entries need no key
    from ledger.witness.officials import key_of, unlock

    if (key := key_of(store, by)) is None:
        return None
    if key.is_on_phone:
        hint = f"Make a key with a passphrase: weighbook enroll {by} --replace --by {by}."
        raise RuleError(f"{by} signs this with a passphrase, and has a phone's key", hint=hint)
    if acting.passphrase is None:
        raise AskPassphraseError(by)
    return KeySigner(*unlock(store, by, acting.passphrase))


def act_of(store: Store, event_id: str) -> Act:
    """Read a recorded act."""
    event = store.event(event_id)
    return Act(event_id, event.by or "", event.data.get("how") == "key")
