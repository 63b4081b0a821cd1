"""A statement (or a row of the set-up) as it will be appended: the body of an event.

`data` uses the column names of FORMAT.md; pounds become whole hundredths (`reading_clb`).
`personal` is the text that stays outside the hashed bytes (`ledger.chain.disclosure`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from ledger.record.kinds import SUBJECTS

if TYPE_CHECKING:  # pydantic is slow to import, and reading a ledger does not need it
    from ledger.record.statements import Statement

TOP = ("at", "entered", "by", "game", "team", "player")
Order = tuple[str, str, int]
"""A place in ledger order (sql/README.md, section 2): the latest `recorded` of the chain up to the
event, the chain's name, the event's number in it."""
_RENAMED = {"reading": "reading_clb", "limit": "limit_clb"}


class Stated(Protocol):
    """What an accepted statement and an event of the ledger have in common."""

    @property
    def kind(self) -> str: ...
    @property
    def data(self) -> Mapping[str, Any]: ...
    @property
    def at(self) -> str | None: ...
    @property
    def entered(self) -> str | None: ...
    @property
    def game(self) -> str | None: ...
    @property
    def team(self) -> str | None: ...
    @property
    def player(self) -> str | None: ...


@dataclass(frozen=True, slots=True)
class Accepted:
    """The body of an event to come."""

    kind: str
    data: dict[str, Any]
    personal: dict[str, str] = field(default_factory=dict)
    at: str | None = None
    entered: str | None = None
    by: str | None = None
    game: str | None = None
    team: str | None = None
    player: str | None = None

    @property
    def body(self) -> dict[str, Any]:
        """The event's own keys, None where not given; those of the chain come at the append."""
        return {
            "kind": self.kind,
            "data": self.data,
            "at": self.at,
            "entered": self.entered,
            "by": self.by,
            "game": self.game,
            "team": self.team,
            "player": self.player,
        }


def subject_of(kind: str, data: Mapping[str, Any]) -> str | None:
    """What an event is looked up by beside game, team and player, such as its case."""
    key = SUBJECTS.get(kind)
    return str(data[key]) if key else None


def accept_fields(statement: Statement) -> Accepted:
    """The statement's fields as an event's body; the player's id is not yet resolved."""
    given = statement.model_dump(exclude_none=True)
    top = {key: given.pop(key) for key in TOP if key in given}
    personal = {key: given.pop(key) for key in sorted(statement.personal) if key in given}
    data = {_RENAMED.get(key, key): value for key, value in given.items()}
    return Accepted(kind=statement.kind, data=data, personal=personal, **top)
