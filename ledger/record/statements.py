"""Every kind of statement, one frozen model each; the docstring is what it says.

A model's fields are the columns its kind uses; a field with a default may be left out. The season
folder and `weighbook record` follow from a class here and its row in `ledger.record.kinds`.

Where a kind is about a player, give `player`, or `number`, or `name` with `number`; the id is
resolved when the statement is accepted (`ledger.record.accept`).
"""

from __future__ import annotations

from typing import ClassVar, Literal, Self, TypeVar

from pydantic import BaseModel, ConfigDict, model_validator

from ledger.record.fields import (
    ROLES_WITH_TEAM,
    Count,
    Hundredths,
    Id,
    PlayerId,
    PlayerNumber,
    Role,
    Sha256,
    Target,
    Text,
    Utc,
    misfit,
)

Model = TypeVar("Model", bound="Statement")
Weighed = Literal["ok", "over", "no_scale"]
Mark = Literal["ok", "over"]
Reason = Literal["over", "absent", "injured", "equipment", "other"]


class Statement(BaseModel):
    """What every statement has: when it happened, when it was entered, and who entered it."""

    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", defer_build=True)
    kind: ClassVar[str] = ""
    personal: ClassVar[frozenset[str]] = frozenset({"name", "note"})
    looks_up_number: ClassVar[bool] = False

    at: Utc
    entered: Utc
    by: Id
    ref: Id | None = None
    note: Text | None = None


class InGame(Statement):
    """About a game."""

    game: Id


class OfTeam(InGame):
    """About one of the game's two teams."""

    team: Id


class OfPlayer(OfTeam):
    """About a player of a team in a game."""

    looks_up_number: ClassVar[bool] = True
    player: PlayerId | None = None
    number: PlayerNumber | None = None
    name: Text | None = None

    @model_validator(mode="after")
    def _one_way_to_name_a_player(self) -> Self:
        if self.player is None and self.number is None:
            raise misfit("player", "a player id, a number, or a number with a name")
        return _not_both(self, self.player, self.name)


class MayConcern(Statement):
    """May be about a game, a team, a player."""

    looks_up_number: ClassVar[bool] = True
    game: Id | None = None
    team: Id | None = None
    player: PlayerId | None = None
    number: PlayerNumber | None = None
    name: Text | None = None

    @model_validator(mode="after")
    def _number_needs_its_roster(self) -> Self:
        if self.name is not None and self.number is None:
            raise misfit("name", "a number along with the name, or a player id instead")
        if self.number is not None and (self.game is None or self.team is None):
            raise misfit("number", "game and team along with the number, to look it up")
        return _not_both(self, self.player, self.name)


class OfRoster(Statement):
    """About a team's roster from a moment on."""

    team: Id
    player: PlayerId


class RosterAdd(OfRoster):
    """The player joins this team's roster."""

    kind = "roster_add"
    number: PlayerNumber | None = None


class RosterDrop(OfRoster):
    """The player leaves this team's roster."""

    kind = "roster_drop"
    number: PlayerNumber | None = None


class NumberChange(OfRoster):
    """The player wears this new number for the team from then on."""

    kind = "number_change"
    number: PlayerNumber


class EnterPlayer(Statement):
    """A child who is not in players.csv. With team and number, the child joins that roster."""

    kind = "enter_player"
    player: Id
    name: Text
    team: Id | None = None
    number: PlayerNumber | None = None

    @model_validator(mode="after")
    def _team_and_number(self) -> Self:
        if (self.team is None) != (self.number is None):
            raise misfit("number", "both team and number, or neither")
        return self


class Trained(Statement):
    """The official `value` was trained as a weighmaster."""

    kind = "trained"
    value: Id


class Assign(OfTeam):
    """The official `value` will stand at the scale for this team in this game."""

    kind = "assign"
    value: Id


class Appoint(Statement):
    """The official `value` gets the role `to`, for the season or for one game."""

    kind = "appoint"
    to: Role
    value: Id
    team: Id | None = None
    name: Text | None = None
    game: Id | None = None

    @model_validator(mode="after")
    def _role_with_team(self) -> Self:
        if self.to in ROLES_WITH_TEAM and self.team is None:
            raise misfit("team", "a team: weighmasters and coaches need one")
        return self


class GameChange(InGame):
    """The game is moved, to another kickoff or another site."""

    kind = "game_change"
    personal = Statement.personal | {"reason"}
    reason: Text
    kickoff: Utc | None = None
    site: Text | None = None


class GameOff(InGame):
    """The game is not played."""

    kind = "game_off"
    personal = Statement.personal | {"reason"}
    reason: Text


class SeasonClose(Statement):
    """The registrar closes the season."""

    kind = "season_close"


class AtScale(OfTeam):
    """This official stands at the scale for this team."""

    kind = "at_scale"


class Station(InGame):
    """Level and zeroed, the scale read `reading` lb with the check weight. Set to `limit` lb."""

    kind = "station"
    reading: Hundredths
    limit: Hundredths


class ScaleOut(InGame):
    """The scale is out of use from then on."""

    kind = "scale_out"
    personal = Statement.personal | {"reason"}
    reason: Text


class Listing(OfPlayer):
    """The player goes on this team's ineligible list."""

    kind = "list"
    reason: Reason


class Weigh(OfPlayer):
    """Weighed on time. no_scale: the player came, but there was no usable scale."""

    kind = "weigh"
    value: Weighed


class LateWeigh(OfPlayer):
    """Weighed after this team's weigh-in closed."""

    kind = "late_weigh"
    value: Weighed


class Initial(OfPlayer):
    """The mark in the book, with the weighmaster's initials."""

    kind = "initial"
    value: Mark
    initials: Text


class StrikeOff(OfPlayer):
    """Crossed off the list for this reason. Without a reason: for absent and equipment."""

    kind = "strike_off"
    reason: Reason | None = None


class Stripe(OfPlayer):
    """The helmet carries the stripe, front and back."""

    kind = "stripe"


class Close(OfTeam):
    """This team's weigh-in is closed."""

    kind = "close"


class Countersign(OfTeam):
    """This official signs this team's ineligible list as it is now."""

    kind = "countersign"


class Half(InGame):
    """A half has ended."""

    kind = "half"
    half: Literal[1, 2]


class Plays(OfPlayer):
    """Plays by this player in this half so far (half 3 is overtime)."""

    kind = "plays"
    half: Literal[1, 2, 3]
    count: Count


class Snaps(InGame):
    """Plays run in this half so far (half 3 is overtime)."""

    kind = "snaps"
    half: Literal[1, 2, 3]
    count: Count


class Excuse(OfPlayer):
    """The player is excused from the minimum of plays."""

    kind = "excuse"
    reason: Literal["injured", "discipline", "left", "other"]


class Concern(MayConcern):
    """A concern, noted and passed on. It disqualifies nobody."""

    kind = "concern"
    game: Id
    reason: Literal["mouth_guard", "chin_strap", "helmet", "cleats", "equipment",
                    "coach_near_scale", "conduct", "other"]  # fmt: skip


class OfCase(Statement):
    """About a case, a question for review."""

    case: Id


class CaseOpen(OfCase, MayConcern):
    """A question for review."""

    kind = "case_open"
    reason: Literal["roster", "weigh", "plays", "safety", "protest", "other"]


class CaseRefer(OfCase):
    """The case is passed to this role."""

    kind = "case_refer"
    to: Role


class CaseStatement(OfCase):
    """What someone says about the case, in `note`."""

    kind = "case_statement"


class CaseExhibit(OfCase):
    """A file handed in; `value` is its SHA-256."""

    kind = "case_exhibit"
    value: Sha256


class Ruling(OfCase, MayConcern):
    """A decision; with game, team and player it can say whether the player may play and carry."""

    kind = "ruling"
    value: Literal["upheld", "denied", "decided"]
    may_play: Literal["full", "second_half", "none"] | None = None
    may_carry: Literal["yes", "no"] | None = None

    @model_validator(mode="after")
    def _whom_it_overrides(self) -> Self:
        says = "may_play" if self.may_play is not None else "may_carry"
        if self.may_play is None and self.may_carry is None:
            return self
        if self.game is None or self.team is None or (self.player is None and self.number is None):
            raise misfit(says, "game, team, and player along with it")
        return self


class CaseClose(OfCase):
    """The case is closed. You can still add to it."""

    kind = "case_close"


class Withdraw(Statement):
    """Takes back an earlier entry. It stays in the ledger but no longer counts."""

    kind = "withdraw"
    personal = Statement.personal | {"reason"}
    target: Target
    reason: Text


def _not_both(model: Model, player: str | None, name: str | None) -> Model:
    if player is not None and name is not None:
        raise misfit("name", "player or name, not both")
    return model


KINDS: dict[str, type[Statement]] = {
    model.kind: model
    for model in list(globals().values())
    if isinstance(model, type) and issubclass(model, Statement) and model.kind
}
"""Every kind's model, in the order of this file."""
