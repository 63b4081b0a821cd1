"""What comes first in both packets: the front page, the decision form, the exhibits."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.press.pictures import Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A short answer under its label; `strong` ones stand out."""

    label: str
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryLine:
    when: str
    what: str
    who: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRow:
    """An answer, and what it makes of each player."""

    answer: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswersShown:
    """What each answer would change. The first row is what holds now; `notes` are sentences."""

    players: tuple[str, ...]
    rows: tuple[AnswerRow, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontShown:
    """The first page, for a reader with fifteen minutes.

    `question` is one sentence, `asked` who asked and when, `said` what they wrote. `meanings` are
    pairs: a word to tick, and what it means here. `is_answered` if a ruling counts already.
    """

    is_answered: bool
    question: str
    asked: str
    said: str
    facts: tuple[Fact, ...]
    story: tuple[StoryLine, ...]
    answers: AnswersShown
    meanings: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Words to tick, each with whether it is ticked already."""

    label: str
    words: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayerChoice:
    """Who may play and carry: `player` is "" if the form leaves room for one."""

    player: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToSign:
    """Room for a signature and its date; `name` is filled in if it is known."""

    side: str
    meaning: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionShown:
    """The form to decide on, filled in with what is known.

    `decides` says who fills it in, `because` what a ruling said ("" leaves room to write),
    `ruled` who gave it and when ("" for none).
    `lines` are to write on. `pass_on` names the next reviewer. `to_enter` and `command`
    say how the decision is entered.
    """

    decides: str
    known: tuple[Fact, ...]
    verdict: Choice
    players: tuple[PlayerChoice, ...]
    because: str
    ruled: str
    lines: int
    pass_on: str
    signatures: tuple[ToSign, ...]
    to_enter: str
    command: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExhibitShown:
    """A file that was handed in; `kept` says where it is. At most one of `picture` and `text`."""

    id: str
    letter: str
    name: str
    handed_in: str
    said: str
    size: str
    kept: str
    digest: str
    copy: str
    picture: Picture | None
    text: str

    @property
    def is_shown(self) -> bool:
        return bool(self.picture or self.text)
