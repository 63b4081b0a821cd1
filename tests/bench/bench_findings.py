"""The whole season's findings by the queries of sql/, beside pandas and SQLite alone.

    python -m tests.bench.bench_findings [FOLDER] [EVENTS]

All rules are timed once, from the store to the rows. Three rules of different build (a ratio
of statements to roles, a count a player, everybody who should have been seen) are then written
again in pandas and in SQLite; all three ways must give the same rows.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any

import pandas as pd

from ledger.derive.engine import Engine
from ledger.derive.findings import find, rules
from ledger.derive.scope import read_season
from ledger.store.opening import open_store
from tests.bench.big_season import MILLION, big_store

Rows = set[tuple[Any, ...]]
RULES = ("initialed_by_own_side", "weighed_too_often", "unaccounted")


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    begin = perf_counter()
    result = work()
    return perf_counter() - begin, result


def by_pandas(path: Path) -> dict[str, Rows]:
    """The three rules with data frames made from the store's rows."""
    connection = sqlite3.connect(path)
    rows = [json.loads(body) for (body,) in connection.execute("select body from event")]
    events = pd.DataFrame(rows)
    data = pd.DataFrame(list(events.pop("data")))
    told = events.join(data[["value", "reason", "number", "official", "role", "home", "visitor",
                             "kickoff", "to", "target"]])  # fmt: skip
    told["id"] = told["chain"] + ":" + told["seq"].astype(str)
    withdrawn = told[told["kind"] == "withdraw"]
    gone = set(withdrawn.loc[~withdrawn["id"].isin(set(withdrawn["target"])), "target"])
    told = told[~told["id"].isin(gone)]
    off = set(told.loc[told["kind"] == "game_off", "game"])
    played = told[~told["game"].isin(off)]
    weighs = played[played["kind"].isin(["weigh", "late_weigh"])]
    on_scale = weighs[weighs["value"].isin(["ok", "over"])]
    counts = on_scale.groupby(["game", "team", "player"]).size()
    often = {tuple(key) for key in counts[counts > 1].index}
    return {
        "initialed_by_own_side": _own_side_pandas(told, played),
        "weighed_too_often": often,
        "unaccounted": _unaccounted_pandas(told, played, weighs),
    }


def _games_pandas(told: pd.DataFrame) -> pd.DataFrame:
    games = told[told["kind"] == "game"][["game", "home", "visitor", "kickoff"]]
    moved = told[(told["kind"] == "game_change") & told["kickoff"].notna()]
    latest = moved.sort_values(["entered", "seq"]).groupby("game")["kickoff"].last()
    return games.assign(kickoff=games["game"].map(latest).fillna(games["kickoff"]))


def _own_side_pandas(told: pd.DataFrame, played: pd.DataFrame) -> Rows:
    lines = told[told["kind"] == "official"]
    appointed = told[told["kind"] == "appoint"].assign(
        official=lambda frame: frame["value"], role=lambda frame: frame["to"]
    )
    roles = pd.concat([lines, appointed])
    roles = roles[roles["role"] == "weighmaster"][["official", "team"]].drop_duplicates()
    held = set(roles.itertuples(index=False, name=None))
    games = _games_pandas(told).set_index("game")[["home", "visitor"]]
    marks = played[played["kind"] == "initial"].drop(columns=["home", "visitor"])
    marks = marks.join(games, on="game")
    others = marks["visitor"].where(marks["team"] == marks["home"], marks["home"])
    own = [pair in held for pair in zip(marks["by"], marks["team"], strict=True)]
    opposing = [pair in held for pair in zip(marks["by"], others, strict=True)]
    chosen = marks[pd.Series(own, marks.index) & ~pd.Series(opposing, marks.index)]
    return set(chosen[["game", "team", "player"]].itertuples(index=False, name=None))


def _unaccounted_pandas(told: pd.DataFrame, played: pd.DataFrame, weighs: pd.DataFrame) -> Rows:
    kinds = ["player", "roster_add", "roster_drop", "enter_player"]
    moves = told[told["kind"].isin(kinds) & told["team"].notna()][["team", "player", "kind", "at",
                                                                   "seq"]]  # fmt: skip
    moves = moves.assign(at=moves["at"].fillna(""))
    games = _games_pandas(told).merge(played[["game"]].drop_duplicates(), on="game")
    sides = games.melt(["game", "kickoff"], ["home", "visitor"], value_name="team")
    sides = sides.merge(weighs[["game", "team"]].drop_duplicates(), on=["game", "team"])
    at_kickoff = sides.merge(moves, on="team")
    at_kickoff = at_kickoff[at_kickoff["at"] <= at_kickoff["kickoff"]]
    last = at_kickoff.sort_values(["at", "seq"]).groupby(["game", "team", "player"])["kind"].last()
    roster = set(last[last != "roster_drop"].index)
    seen = set(weighs[["game", "team", "player"]].itertuples(index=False, name=None))
    lists = played[played["kind"] == "list"]
    strikes = played[played["kind"] == "strike_off"]
    strikes = strikes.assign(reason=strikes["reason"].fillna("absent equipment").str.split())
    strikes = strikes.explode("reason")[["game", "team", "player", "reason", "at", "seq"]]
    both = lists.merge(strikes, on=["game", "team", "player", "reason"], suffixes=("", "_struck"))
    later = (both["at_struck"] > both["at"]) | (
        (both["at_struck"] == both["at"]) & (both["seq_struck"] > both["seq"])
    )
    standing = lists[~lists["id"].isin(set(both[later]["id"]))]
    listed = set(standing[["game", "team", "player"]].itertuples(index=False, name=None))
    return roster - seen - listed


SQLITE = """
create temp table gone as
select subject as id from event where kind = 'withdraw' and chain || ':' || seq not in (
    select subject from event where kind = 'withdraw');
create temp table told as
select seq, chain || ':' || seq as id, kind, game, team, player, body ->> '$.by' as stated_by,
    coalesce(body ->> '$.at', '') as happened, entered, body ->> '$.data.value' as value,
    body ->> '$.data.reason' as reason, body ->> '$.data.home' as home,
    body ->> '$.data.visitor' as visitor, body ->> '$.data.kickoff' as kickoff,
    body ->> '$.data.official' as official, body ->> '$.data.role' as role,
    body ->> '$.data.to' as to_role
from event where chain || ':' || seq not in (select id from gone);
create temp table off as select distinct game from told where kind = 'game_off';
create temp table fixture as
select game, home, visitor, coalesce((
    select moved.kickoff from told as moved
    where moved.kind = 'game_change' and moved.game = told.game and moved.kickoff is not null
    order by moved.entered desc, moved.seq desc limit 1), kickoff) as kickoff
from told where kind = 'game' and game not in (select game from off);
create temp table side as
select game, home as team, visitor as opponents, kickoff from fixture
union all select game, visitor, home, kickoff from fixture;
create temp table weighmaster as
select official, team from told where kind = 'official' and role = 'weighmaster'
union select value, team from told where kind = 'appoint' and to_role = 'weighmaster';
create temp table weighing as
select * from told where kind in ('weigh', 'late_weigh') and game not in (select game from off);
create index weighing_player on weighing (game, team, player);
create temp table move as
select team, player, kind, happened, seq from told
where kind in ('player', 'roster_add', 'roster_drop', 'enter_player') and team is not null;
create index move_team on move (team, player, happened, seq);
create temp table listing as
select * from told where kind = 'list' and game not in (select game from off);
create index listing_player on listing (game, team, player);
create temp table strike as select * from told where kind = 'strike_off';
create index strike_player on strike (game, team, player);
"""

SQLITE_RULES = {
    "initialed_by_own_side": """
        select told.game, told.team, told.player from told join side using (game, team)
        where kind = 'initial'
        and (stated_by, told.team) in (select official, team from weighmaster)
        and (stated_by, opponents) not in (select official, team from weighmaster)""",
    "weighed_too_often": """
        select game, team, player from weighing where value in ('ok', 'over')
        group by game, team, player having count(*) > 1""",
    "unaccounted": """
        select side.game, side.team, who.player
        from side join (select distinct team, player from move) as who using (team)
        where exists (select 1 from weighing where game = side.game and team = side.team)
        and (select kind from move where team = side.team and player = who.player
            and happened <= side.kickoff order by happened desc, seq desc limit 1) != 'roster_drop'
        and not exists (select 1 from weighing
            where game = side.game and team = side.team and player = who.player)
        and not exists (select 1 from listing
            where game = side.game and team = side.team and player = who.player
            and not exists (select 1 from strike
                where game = listing.game and team = listing.team and player = listing.player
                and (reason = listing.reason
                    or reason is null and listing.reason in ('absent', 'equipment'))
                and (happened, seq) > (listing.happened, listing.seq)))""",
}


def by_sqlite(path: Path) -> dict[str, Rows]:
    """The three rules in SQLite's own SQL, on the store's file."""
    connection = sqlite3.connect(path)
    connection.executescript(SQLITE)
    return {rule: set(connection.execute(SQLITE_RULES[rule]).fetchall()) for rule in RULES}


def main(folder: Path, events: int) -> None:
    path = big_store(folder, events)

    def engine() -> Engine:
        store = open_store(path)
        made = Engine(read_season(store))
        store.close()
        return made

    def by_us(*rules: str) -> dict[str, Rows]:
        made = engine()
        found = {rule: find(made, rule=rule).dicts() for rule in rules}
        return {
            rule: {(row["game"], row["team"], row["player"]) for row in found[rule]}
            for rule in found
        }

    seconds, answer = timed(lambda: find(engine()))
    every = f"all {len(rules())} rules over {events:,} events"
    print(f"{every}: {seconds:.1f} s, {len(answer.rows):,} findings")
    ours, rows = timed(lambda: by_us(*RULES))
    print(f"three rules by sql/ in DuckDB: {ours:.1f} s")
    for name, way in (("pandas", by_pandas), ("SQLite alone", by_sqlite)):
        theirs, other = timed(lambda way=way: way(path))
        same = "the same rows" if other == rows else "OTHER ROWS"
        print(f"three rules by {name}: {theirs:.1f} s, {theirs / ours:.1f} times ours; {same}")
        if other != rows:
            sys.exit(1)


if __name__ == "__main__":
    size = int(sys.argv[2]) if len(sys.argv) > 2 else MILLION // 5
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]), size)
    else:
        with tempfile.TemporaryDirectory() as made_folder:
            main(Path(made_folder), size)
