"""The tables: what may be blank, what is refused (FORMAT.md, section 3), and what is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.chain.event import Event
from ledger.record.reading import name_in_id
from tests.tiny import TEXTS, disclosed, refused, tiny_store

Folder = Callable[..., Path]


def rows(path: Path, kind: str) -> list[Event]:
    with tiny_store(path) as store:
        return [stored.event for stored in store.events(kind=[kind])]


def test_the_tables_become_events(folder: Folder) -> None:
    with tiny_store(folder()) as store:
        events = [stored.event for stored in store.events()]
        names = [disclosed(store, event).get("name") for event in events]
    told = [(e.kind, e.team, e.player, e.game, dict(e.data)) for e in events]
    assert [kind for kind, *_ in told] == (
        ["chain_key", "league", "division"] + ["team"] * 2 + ["player"] * 5 + ["official"] * 8
    ) + ["game"] * 2
    assert told[2][4] == {"division": "d1", "name": "One", "carrier_limit_clb": 10000}
    team = {"division": "d1", "name": "Ash Trees", "association": "grove"}
    assert told[3] == ("team", "ash", None, None, team)
    assert told[5][:3] == ("player", "ash", "a1")
    assert told[5][4]["number"] == 1
    assert names[5] == "Pip Quillfeather"
    assert told[10][1] == "ash"
    assert told[10][4] | {"digests": ...} == {
        "official": "wa",
        "role": "weighmaster",
        "digests": ...,
    }
    assert told[18] == (
        "game",
        None,
        None,
        "g1",
        {
            "division": "d1",
            "kickoff": "2026-09-05T15:00:00.000Z",
            "site": "Green",
            "home": "ash",
            "visitor": "elm",
        },
    )


def test_what_may_be_blank_is_left_out(folder: Folder) -> None:
    path = folder()
    assert "association" not in rows(path, "team")[1].data
    assert "site" not in rows(path, "game")[1].data
    known = rows(path, "player")[4]
    assert (known.player, known.team, known.data.get("number")) == ("u1", None, None)
    assert rows(path, "official")[3].team is None


def test_a_child_without_a_name_goes_by_number(folder: Folder) -> None:
    players = "player,team,number,name\na1,ash,1,\na2,ash,2,Ottla Bramblewick\nu1,,,\n"
    nameless, named, on_no_roster = rows(folder(players=players), "player")
    assert (nameless.player, dict(nameless.data)) == ("a1", {"number": 1})
    assert named.data.keys() == {"number", "digests"}
    assert (on_no_roster.player, dict(on_no_roster.data)) == ("u1", {})


def test_columns_that_stay_empty_may_be_left_out(folder: Folder) -> None:
    path = folder(
        teams="name,team,division\nAsh,ash,d1\nElm,elm,d1\n",
        players="player,name\nu1,Wren Saltmarsh\n",
        officials="official,name,role\nrg,Kit Underbough,registrar\n",
        games="game,division,kickoff,home,visitor\ng1,d1,2026-09-05T10:00,ash,elm\n",
    )
    assert len(rows(path, "team")) == 2


def test_tables_may_be_empty(folder: Folder) -> None:
    empty = dict.fromkeys(("divisions", "teams", "players", "officials", "games"), "")
    assert len(rows(folder(**empty), "league")) == 1


@pytest.mark.parametrize("table", ["divisions", "teams", "players", "officials", "games"])
def test_a_missing_table_is_refused(folder: Folder, table: str) -> None:
    faults = refused(folder(**{table: None}))
    assert faults == [
        f"{table}.csv: found no such file; expected the table; it may hold just its header line"
    ]


def test_a_missing_league_is_refused(folder: Folder) -> None:
    faults = refused(folder(league=None))
    assert faults == ["league.toml: found no such file; expected the league's rules"]


def more(table: str, row: str) -> dict[str, str]:
    return {table: f"{TEXTS[table]}{row}\n"}


@pytest.mark.parametrize(
    ("table", "row", "where", "found", "right"),
    [
        # An id twice.
        (
            "divisions",
            "d1,Two,90",
            "line 3, division",
            "d1 a second time",
            "it is already on line 2",
        ),
        ("teams", "ash,,d1,Ash", "line 4, team", "ash a second time", "it is already on line 2"),
        ("players", "a1,,,Bo Yarrow", "line 7, player", "a1 a second time", "already on line 2"),
        ("games", "g1,d1,2026-09-05,,ash,elm", "line 4, kickoff", "'2026-09-05'", "a time such"),
        ("games", "g1,d1,2026-09-06T10:00,,ash,elm", "line 4, game", "g1 a second", "on line 2"),
        # The same role for the same team twice for an official.
        ("officials", "wa,A,weighmaster,ash", "line 10, official", "wa weighmaster ash", "once"),
        ("officials", "rg,K,registrar,", "line 10, official", "rg registrar a second", "once"),
        # An unknown team, division.
        ("teams", "oak,,d2,Oak", "line 4, division", "'d2'", "a division in divisions.csv"),
        ("players", "b1,oak,3,Bo Yarrow", "line 7, team", "'oak'", "a team in teams.csv"),
        ("officials", "wo,Bo Yarrow,coach,oak", "line 10, team", "'oak'", "a team in teams.csv"),
        ("games", "g3,d1,2026-09-05T10:00,,ash,oak", "line 4, visitor", "'oak'", "a team in teams"),
        ("games", "g3,d2,2026-09-05T10:00,,ash,elm", "line 4, division", "'d2'", "a division in"),
        # Teams that are the same, or of another division.
        ("games", "g3,d1,2026-09-05T10:00,,ash,ash", "line 4, visitor", "'ash'", "a team other"),
        # A number twice on a team.
        (
            "players",
            "b1,ash,2,Bo Yarrow",
            "line 7, number",
            "2, which a2 of ash already has",
            "once per tea",
        ),
        # Team and number both or neither.
        (
            "players",
            "b1,ash,,Bo Yarrow",
            "line 7, number",
            "nothing",
            "both team and number, or n",
        ),
        ("players", "b1,,3,Bo Yarrow", "line 7, number", "'3'", "both team and number, or neither"),
        # A team for a coach and a weighmaster.
        (
            "officials",
            "co,Bo Yarrow,coach,",
            "line 10, team",
            "nothing",
            "a team: weighmaster",
        ),
        (
            "officials",
            "co,Bo Yarrow,weighmaster,",
            "line 10, team",
            "nothing",
            "a team: weigh",
        ),
        # A word of the name in the id.
        (
            "players",
            "yarrow7,ash,3,Bo Yarrow",
            "line 7, player",
            "'yarrow7'",
            "without any part of",
        ),
        # Values.
        ("players", "unlisted-7,,,Bo Yarrow", "line 7, player", "'unlisted-7'", "does not begin"),
        ("players", "b1,ash,07,Bo Yarrow", "line 7, number", "'07'", "without leading zeros"),
        ("players", "b1,ash,100,Bo Yarrow", "line 7, number", "'100'", "from 0 to 99"),
        ("players", "b 1,ash,3,Bo Yarrow", "line 7, player", "'b 1'", "an id: 1 to 64"),
        ("players", ",ash,3,Bo Yarrow", "line 7, player", "nothing", "a value"),
        ("divisions", "d2,Two,0", "line 3, carrier_limit_lb", "'0'", "a number above 0"),
        ("divisions", "d2,Two,", "line 3, carrier_limit_lb", "nothing", "a value"),
        ("divisions", "d2,,90", "line 3, name", "nothing", "a value"),
        ("teams", "oak,,,Oak", "line 4, division", "nothing", "a value"),
        ("officials", "co,Bo Yarrow,umpire,", "line 10, role", "'umpire'", "one of weighmaster, c"),
        ("officials", "co,,registrar,", "line 10, name", "nothing", "a value"),
        ("games", "g3,d1,2026-03-08T02:30,,ash,elm", "line 4, kickoff", "'2026-03", "its offset"),
        (
            "games",
            "g3,d1,1999-09-05T10:00,,ash,elm",
            "line 4, kickoff",
            "'1999-",
            "a year from 2000",
        ),
        ("games", "g3,d1,,,ash,elm", "line 4, kickoff", "nothing", "a value"),
    ],
)
def test_a_row_is_refused(
    folder: Folder, table: str, row: str, where: str, found: str, right: str
) -> None:
    (fault,) = refused(folder(**more(table, row)))
    assert fault.startswith(f"{table}.csv, {where}: found {found}")
    assert right in fault.partition("; expected ")[2]


def test_a_game_of_two_divisions_is_refused(folder: Folder) -> None:
    two = more("divisions", "d2,Two,90") | more("teams", "oak,,d2,Oak Trees")
    faults = refused(folder(**two, **more("games", "g3,d1,2026-09-05T10:00,,ash,oak")))
    found = "games.csv, line 4, visitor: found 'oak' in division d2"
    assert faults == [f"{found}; expected a team in the game's division d1"]


def test_an_official_may_have_several_lines(folder: Folder) -> None:
    path = folder(
        **more("officials", "wa,Ana Thistlewood,weighmaster,elm\nwa,Ana T.,registrar,ash")
    )
    assert [e.team for e in rows(path, "official") if e.data["official"] == "wa"] == [
        "ash",
        "elm",
        "ash",
    ]


def test_the_nearest_team_is_named(folder: Folder) -> None:
    (fault,) = refused(folder(**more("players", "b1,ashh,3,Bo Yarrow")))
    assert fault.endswith("found 'ashh'; expected a team in teams.csv. Did you mean ash?")


def test_every_fault_of_every_table_is_told_at_once(folder: Folder) -> None:
    faults = refused(
        folder(
            **more("divisions", "d 2,Two,90"),
            **more("players", "b1,ash,x,Bo Yarrow\n,,,"),
            **more("games", "g3,d1,noon,,ash,elm"),
            league="[league]\nname = 1\n",
            day="at,kind\n2026-09-05T10:00,weight\n",
        )
    )
    assert [fault.partition(": found")[0] for fault in faults] == [
        "days/01.csv, line 2, kind",
        "divisions.csv, line 3, division",
        "games.csv, line 4, kickoff",
        "league.toml, line 1, league.season",
        "league.toml, line 1, league.time_zone",
        "league.toml, line 2, league.name",
        "players.csv, line 7, number",
    ]


@pytest.mark.parametrize(
    ("player", "name", "word"),
    [
        ("yarrow7", "Bo Yarrow", "yarrow"),
        ("7yarrow", "YARROW", "yarrow"),
        ("Yarrow.7", "bo yarrow", "yarrow"),
        ("hannah7", "Ann Lee", "ann"),  # contained: FORMAT.md, section 2
        ("brien7", "Sam O'Brien", "brien"),
        ("weiss7", "Kit Weiß", "weiss"),
        ("bo7", "Bo Yarrow", ""),  # fewer than three letters
        ("k7", "Bo Yarrow", ""),
        ("yar-row", "Bo Yarrow", ""),
        ("jose7", "José Marrowby", ""),
        ("x123", "Agent 123", ""),  # no letters
    ],
)
def test_a_word_of_the_name_in_an_id(player: str, name: str, word: str) -> None:
    assert name_in_id(player, name) == word
