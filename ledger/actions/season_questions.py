"""What a new season still needs to know, raised as an error one question at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from ledger.actions.asking import AskError
from ledger.record.roster_layout import Column
from ledger.say.begin_words import option, question

Key = tuple[str, str]
"""A question's code and what it is about ("" for the season)."""


@dataclass(frozen=True)
class Wanted:
    """What a person has said so far.

    `answers` are by question. `divisions` and `teams` (with their divisions) are those named
    beside the spreadsheets.
    """

    answers: Mapping[Key, str] = field(default_factory=dict)
    divisions: tuple[str, ...] = ()
    teams: tuple[tuple[str, str], ...] = ()


class AskForSeasonError(AskError):
    """A question about the new season.

    `default` is None if there must be an answer. `problem` says why the answer so far will not
    do. `columns` are those to choose from.
    """

    def __init__(
        self,
        what: str,
        about: str = "",
        *,
        choices: Sequence[str] = (),
        columns: Sequence[Column] = (),
        default: str | None = None,
        problem: str = "",
    ) -> None:
        self.what, self.about = what, about
        self.columns, self.default, self.problem = tuple(columns), default, problem
        words = question(what, about, choices, is_optional=default == "")
        skip = " To leave the sheet out, add --skip SHEET." if columns else ""
        super().__init__(words, hint=f"Add {option(what, about)}.{skip}")


def need(
    wanted: Wanted,
    what: str,
    about: str = "",
    *,
    check: Callable[[str], str] = str,
    choices: Sequence[str] = (),
    default: str | None = None,
) -> str:
    """The answer, as `check` has it; AskForSeasonError if there is none or `check` refuses it."""
    answer = wanted.answers.get((what, about))
    problem = ""
    if answer is not None:
        try:
            if answer or default == "":
                return check(answer)
            problem = "an answer is needed"
        except ValueError as error:
            problem = f"found '{answer}'; expected {error}"
    raise AskForSeasonError(what, about, choices=choices, default=default, problem=problem)
