"""What may still name a child whose texts are erased: what is found beside each statement.

Zelda Quibblefen plays for ash under the id z1, which enter_player gave her after the first week.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

import pytest

from ledger.record.accepted import Accepted
from ledger.store.erasure import erase, events_of_child, redact
from ledger.store.mentions import holds, names_one, sought
from ledger.store.not_erased import KeptFile, OutOfReach, out_of_reach
from ledger.store.sqlite.store import SqliteStore
from tests.tiny import LEAGUE, day, says, statements, tiny_store

SeasonFolder = Callable[..., Path]
NAME = "Zelda Quibblefen"
ENTERED = says("enter_player", player="z1", name=NAME, team="ash", number=98)
OPENED = says("case_open", case="c1", reason="protest", game="g1", team="ash", player="z1")


@contextmanager
def ledger_of(folder: SeasonFolder, *lines: dict[str, str]) -> Iterator[SqliteStore]:
    with tiny_store(folder(day=day(*lines))) as store:
        yield store


def left(store: SqliteStore, player: str = "z1") -> OutOfReach:
    return out_of_reach(store, player, events_of_child(store, player))


def line_of(store: SqliteStore, event_id: str) -> int:
    """The line of the test that the event is, counted from 0."""
    return [event.id for event in statements(store)].index(event_id)


# Texts


def test_reasons_of_withdrawals_of_withdrawals_are_erased_with_the_rest(
    folder: SeasonFolder,
) -> None:
    lines = [
        ENTERED,
        says("list", game="g1", team="ash", player="z1", reason="over", ref="r1"),
        says("withdraw", target="r1", reason="she did not say so", ref="r2"),
        says("withdraw", target="r2", reason="Zelda did", ref="r3"),
        says("withdraw", target="r3", reason="the other Zelda", ref="r4"),
        says("withdraw", target="r4", reason="no, ours"),
    ]
    with ledger_of(folder, *lines) as store:
        events = events_of_child(store, "z1")
        assert [line_of(store, event.id) for event in events] == [0, 1, 2, 3, 4, 5]
        assert erase(store, events, by="rg", chain="office", player="z1").texts == 5


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (says("weigh", game="g1", team="ash", number=98, name=NAME, value="ok"), "name"),
        (says("weigh", game="g1", team="ash", number=98, name="Z. QUIBBLEFEN", value="ok"), "name"),
        (says("half", game="g1", half=1, note="Zelda's shoe was lost."), "note"),
        (says("half", game="g1", half=1, note="zelda  quibblefen"), "note"),
        (says("game_off", game="g2", reason="Quíbblefen ill"), "reason"),
        (says("weigh", game="g1", team="ash", player="a1", value="ok", note="like Zelda"), "note"),
    ],
)
def test_a_text_elsewhere_that_holds_the_name_is_found_and_not_erased(
    folder: SeasonFolder, line: dict[str, str], field: str
) -> None:
    with ledger_of(folder, line, ENTERED) as store:
        rest = left(store)
        ((event, fields),) = rest.mentions.texts
        assert (line_of(store, event.id), fields) == (0, (field,))
        assert erase(store, events_of_child(store, "z1"), by="rg", chain="office").texts == 1
        assert len(list(store.disclosures([event.id]))) == 1


@pytest.mark.parametrize(
    "line",
    [
        says("half", game="g1", half=1, note="Eldaz and Quibble"),
        says("enter_player", player="z2", name="Zelda Marrowby"),
        says("appoint", to="play_counter", value="pz", name="Zelda Thistlewood"),
    ],
)
def test_what_names_somebody_else_is_not_found(folder: SeasonFolder, line: dict[str, str]) -> None:
    with ledger_of(folder, line, ENTERED) as store:
        assert left(store).mentions.texts == ()


def test_another_player_of_the_same_name_is_told_apart(folder: SeasonFolder) -> None:
    again = says("enter_player", player="z2", name="ZELDA  Quibblefen")
    with ledger_of(folder, ENTERED, again) as store:
        assert (left(store).mentions.namesakes, left(store).mentions.texts) == (("z2",), ())
        assert left(store, "z2").mentions.namesakes == ("z1",)


def test_of_its_cases_what_others_said_and_why_it_was_withdrawn(folder: SeasonFolder) -> None:
    lines = [
        ENTERED,
        OPENED,
        says("case_statement", case="c1", note="She waited.", ref="r1"),
        says("withdraw", target="r1", reason="she did not"),
    ]
    with ledger_of(folder, *lines) as store:
        assert [line_of(store, event_id) for event_id in left(store).notes] == [2, 3]


def test_when_the_name_is_erased_nothing_can_look_for_it(folder: SeasonFolder) -> None:
    lines = [says("half", game="g1", half=1, note="Zelda ran."), ENTERED]
    with ledger_of(folder, *lines) as store:
        assert left(store).is_named
        erase(store, events_of_child(store, "z1"), by="rg", chain="office")
        rest = left(store)
        assert (rest.is_named, rest.mentions.texts) == (False, ())


# What is never erased


@pytest.mark.parametrize(
    ("line", "found"),
    [
        (OPENED | {"case": "late-quibblefen"}, ("case", "late-quibblefen")),
        (OPENED | {"ref": "Zelda_1"}, ("ref", "Zelda_1")),
    ],
)
def test_an_id_that_holds_the_name(
    folder: SeasonFolder, line: dict[str, str], found: tuple[str, str]
) -> None:
    with ledger_of(folder, ENTERED, line) as store:
        event_id = statements(store)[1].id
        assert left(store).mentions.staying == ((*found, event_id),)


def test_initials_sites_and_names_of_the_tables_that_hold_the_name(folder: SeasonFolder) -> None:
    """Initials of six letters can be a name; Z. and Q. alone are many a weighmaster's."""
    mark = says("initial", game="g1", team="elm", player="e1", value="ok", initials="QZELDA")
    lines = [
        ENTERED,
        mark | {"initials": "ZELDA"},
        mark | {"initials": "ZQ"},
        says("game_change", game="g2", site="Zelda Meadow", reason="moles"),
        says("appoint", to="play_counter", value="mrs-quibblefen", name="Mrs Quibblefen"),
        says("half", game="g1", half=1, by="mrs-quibblefen"),
    ]
    tables = {
        "teams": "team,association,division,name\nash,zelda-grove,d1,Ash Zeldas\nelm,,d1,Elms\n",
        "divisions": "division,name,carrier_limit_lb\nd1,Zelda Cup,100\n",
        "league": LEAGUE.replace("Invented", "Quibblefen"),
    }
    with tiny_store(folder(days={"zelda.csv": day(*lines)}, **tables), chain="zelda-1") as store:
        found = left(store).mentions.staying
        assert [(one.what, one.text) for one in found] == [
            ("chain", "zelda-1"),
            ("chain's origin", "quibblefen-league/2026/zelda-1"),
            ("league's name", "Quibblefen League"),
            ("division's name", "Zelda Cup"),
            ("association", "zelda-grove"),
            ("team's name", "Ash Zeldas"),
            ("day file", "days/zelda.csv"),
            ("initials", "ZELDA"),
            ("site", "Zelda Meadow"),
            ("official", "mrs-quibblefen"),
        ]
        site = next(one for one in found if one.what == "site")
        assert site.event_id == statements(store)[3].id


# Kept files


def keep(store: SqliteStore, name: str, content: bytes, *said: Accepted) -> str:
    digest = sha256(content).hexdigest()
    with store.writing() as writing:
        writing.keep_exhibit(digest, name, content)
        writing.append(said, chain="office")
    return digest


def signed_in_ink(team: str, content: bytes) -> Accepted:
    scan = {"list": "0f" * 32, "how": "ink", "scan": sha256(content).hexdigest()}
    return Accepted("countersign", scan, by="we", game="g1", team=team)


def test_scans_of_its_teams_lists_are_in_reach_of_redact(folder: SeasonFolder) -> None:
    """The roster stands on a blank list: each scan of her team's may name her."""
    with ledger_of(folder, ENTERED) as store:
        ours, theirs = b"%PDF-ash", b"%PDF-elm"
        digest = keep(store, "ash.pdf", ours, signed_in_ink("ash", ours))
        keep(store, "elm.pdf", theirs, signed_in_ink("elm", theirs))
        assert left(store).exhibits == (KeptFile(digest, "ash.pdf", "scan of a list"),)
        redact(store, digest, b"%PDF-", "copy.pdf", by="rg", reason="asked", chain="office")
        ((copy, name, _),) = left(store).exhibits
        assert (copy, name) == (sha256(b"%PDF-").hexdigest(), "copy.pdf")


def test_a_kept_file_whose_name_holds_the_name(folder: SeasonFolder) -> None:
    with ledger_of(folder, ENTERED) as store:
        digest = keep(store, "IMG-quibblefen.jpg", b"\xff\xd8\xff")
        keep(store, "IMG-2.jpg", b"\xff\xd8\xff2")
        assert left(store).exhibits == (KeptFile(digest, "IMG-quibblefen.jpg", "file"),)


# How names are compared


@pytest.mark.parametrize(
    ("text", "name", "is_held"),
    [
        ("late-wolkenfanger", "Bruno Wolkenfänger", True),
        ("BRUNO", "Bruno Wolkenfa\u0308nger", True),
        ("li-wu", "Li Wu", True),
        ("Li wept", "Li Wu", False),  # two letters are a word of many languages
        ("zoe-late", "Zoë Oz", True),
        ("zoetrope", "Zoë Oz", False),  # three letters are a part of many words
        ("李明说", "李明", True),
        ("Ann-Marie", "Ann Marie Oz", True),
        ("", "Zelda", False),
        ("any text", "—", False),
        ("김민수가", "김민수", True),
        ("Zoledziak's father came", "Tomasz Żołędziak", True),
        ("ŻOŁĘDZIAK", "Tomasz Zoledziak", True),
        ("Oystein", "Øystein Æbelø", True),
        ("aebelo-late", "Øystein Æbelø", True),
        ("Dordevic", "Ana Đorđević", True),
        ("isikli", "Efe Işıklı", True),
        ("ISIKLI", "Efe IŞIKLI", True),
        ("Thorgudr", "Una Þorguðr", True),
        ("coeurbois", "Léa Cœurbois", True),
        ("Grossweiler", "Ida Großweiler", True),
        ("कुमार रोया", "आरव कुमार", True),
        ("मीरा रोई", "मीरा कुमार", True),  # two letters, and two vowels as signs
        ("小明说", "李 小明", True),
    ],
)
def test_how_a_name_is_looked_for(text: str, name: str, is_held: bool) -> None:
    assert holds(text, sought([name])) is is_held


def test_a_reason_names_a_child_only_by_whole_words() -> None:
    assert names_one("Mark's mother asked", ["Mark Oz"])
    assert not names_one("remarks about the child", ["Mark Oz"])
    assert names_one("Mrs Zoledziak asked", ["Tomasz Żołędziak"])
    assert names_one("श्री कुमार ने कहा", ["आरव कुमार"])
    assert not names_one("कुमारी ने कहा", ["आरव सिंह"])
