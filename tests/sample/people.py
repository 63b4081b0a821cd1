"""Teams, children and officials of the invented league, as tables and as things to ask.

Ids of children are shuffled numbers: nothing of a name, a team or a shirt is in them, since they
stay in the ledger when a name is erased.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from tests.sample.rosters import BLOCKS, ENTERED_LATER, WITHOUT_A_TEAM
from tests.sample.sheet import Dice


class Team(NamedTuple):
    id: str
    association: str
    division: str
    name: str
    place: str


class Division(NamedTuple):
    id: str
    name: str
    carrier_limit_lb: int


@dataclass(frozen=True)
class Child:
    """`scale`: `.` ok, `*` over, `+` over until the allowance. `name` may be empty."""

    id: str
    name: str
    scale: str


class Role(NamedTuple):
    official: str
    name: str
    role: str
    team: str


DIVISIONS = (Division("acorn", "Acorn", 95), Division("oak", "Oak", 125))
TEAMS = {
    team.id: team
    for team in (
        Team("newts", "glimmerfen", "acorn", "Glimmerfen Newts", "Glimmerfen"),
        Team("marmots", "glimmerfen", "acorn", "Mossbottom Marmots", "Mossbottom"),
        Team("quokkas", "quillowick", "acorn", "Quillowick Quokkas", "Quillowick"),
        Team("dormice", "quillowick", "acorn", "Nettlehop Dormice", "Nettlehop"),
        Team("pangolins", "glimmerfen", "oak", "Glimmerfen Pangolins", "Glimmerfen"),
        Team("snapdragons", "glimmerfen", "oak", "Mossbottom Snapdragons", "Mossbottom"),
        Team("wombats", "quillowick", "oak", "Quillowick Wombats", "Quillowick"),
        Team("capybaras", "quillowick", "oak", "Nettlehop Capybaras", "Nettlehop"),
    )
}
SITES = {
    "Glimmerfen": "Glimmerfen Meadow",
    "Mossbottom": "Mossbottom Hollow",
    "Quillowick": "Quillowick Green",
    "Nettlehop": "Nettlehop Common",
}


def _children() -> tuple[dict[str, dict[int, Child]], dict[str, Child]]:
    """The rosters of the first day by team and number, and the children on none, by name."""
    rows = [
        (team, *(*line.split(" ", 2), "")[:3])
        for team, block in BLOCKS.items()
        for line in block.strip().splitlines()
    ]
    rows += [("", "", ".", name) for name in (*WITHOUT_A_TEAM, ENTERED_LATER)]
    pool = list(range(101, 101 + 4 * len(rows)))
    dice = Dice("ids")
    rosters: dict[str, dict[int, Child]] = {team: {} for team in TEAMS}
    loose: dict[str, Child] = {}
    for team, number, scale, name in rows:
        child = Child(f"k{pool.pop(dice.between(0, len(pool) - 1))}", name, scale)
        if team:
            rosters[team][int(number)] = child
        else:
            loose[name] = child
    return rosters, loose


ROSTERS, LOOSE = _children()

# fmt: off
_GIVEN = (
    "Hazel", "Lionel", "Ottoline", "Ramón", "Birgit", "Desmond", "Farida", "Ignatius", "Wilhelmina",
    "Tobias", "Euphemia", "Anton", "Cordelia", "Bashir", "Maud", "Fergal", "Yvonne", "Leopold",
    "Nanami", "Horatio", "Sigrid", "Cuthbert", "Imelda", "Zbigniew", "Philippa", "Oleander",
    "Gwendolyn", "Ruben", "Theodora", "Amadou", "Lavender", "Edmund", "Paloma", "Rutger",
    "Henrietta", "Dashiell", "Marigold", "Kenji", "Ursula", "Barnabas", "Clotilde", "Ewan",
    "Rosamund", "Piotr", "Agatha", "Montague", "Selma", "Virgil", "Ines-Marie", "Hubert", "Bronwen",
    "Casper", "Juniper-Ann", "Alfonso", "Minerva", "Oswald", "Tabitha", "Jorge", "Elspeth",
    "Godfrey", "Xanthe", "Ludwig", "Persephone", "Magnus-Olaf", "Dorothy", "Ravindra", "Pernilla",
    "Thaddeus",
)
# fmt: on
_THREE_WEIGHMASTERS = ("newts", "marmots", "wombats", "snapdragons")
_LEAGUE = (
    *((f"site-{place.lower()}", "site_official") for place in SITES),
    ("head-1", "head_official"),
    ("head-2", "head_official"),
    ("head-3", "head_official"),
    ("registrar", "registrar"),
    ("glimmerfen-president", "association_president"),
    ("quillowick-president", "association_president"),
    ("acorn-president", "division_president"),
    ("oak-president", "division_president"),
    ("board-1", "board_member"),
    ("board-2", "board_member"),
)


def _officials() -> list[Role]:
    """One line a role; parents share surnames with children of their team."""
    given = iter(_GIVEN)
    roles: list[Role] = []
    for team, roster in ROSTERS.items():
        names = [child.name for child in roster.values() if child.name.isascii()]
        surnames = [name.split()[-1] for name in names if name]
        posts = [("wm", "weighmaster", 3 if team in _THREE_WEIGHMASTERS else 2)]
        posts += [("coach", "coach", 2), ("pc", "play_counter", 2)]
        for short, role, count in posts:
            for index in range(1, count + 1):
                name = f"{next(given)} {surnames[len(roles) % len(surnames)]}"
                roles.append(Role(f"{team}-{short}{index}", name, role, team))
    for index, (official, role) in enumerate(_LEAGUE):
        surname = list(ROSTERS["capybaras"].values())[index].name.split()[-1]
        roles.append(Role(official, f"{next(given)} {surname}", role, ""))
    by_id = {role.official: role for role in roles}
    second = [("marmots-wm3", "board_member", ""), ("dormice-coach2", "weighmaster", "dormice")]
    roles += [Role(who, by_id[who].name, role, team) for who, role, team in second]
    return roles


OFFICIALS = _officials()
NAMES = {role.official: role.name for role in OFFICIALS}


def initials(official: str) -> str:
    words = NAMES[official].split()
    return f"{words[0][0]}{words[-1][0]}"


def weighmasters(team: str) -> list[str]:
    """Those who stand at the scale in turn; a coach who is on the list too is kept away."""
    return [
        role.official
        for role in OFFICIALS
        if (role.role, role.team) == ("weighmaster", team) and "-wm" in role.official
    ]
