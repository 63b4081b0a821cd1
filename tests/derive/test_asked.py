"""A game or team that is not there is refused before anything is derived."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from ledger.derive.asked import refuse_unknown
from ledger.errors import InputError
from ledger.store.store import Store
from tests.tiny import tiny_store, write_folder


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    folder = tmp_path_factory.mktemp("asked") / "season"
    teams = "team,association,division,name\nash,,d1,Ash Trees\nelm,,d1,Elm Trees\noak,,d1,Oaks\n"
    with tiny_store(write_folder(folder, teams=teams)) as store:
        yield store


@pytest.mark.parametrize(
    "asked", [{}, {"game": "g1"}, {"team": "oak"}, {"game": "g1", "team": "ash"}]
)
def test_what_is_there(store: Store, asked: dict[str, str]) -> None:
    refuse_unknown(store, **asked)


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"game": "g9"}, "no game g9 in this ledger"),
        ({"team": "oka"}, "no team oka in this ledger"),
        ({"game": "g9", "team": "ash"}, "no game g9 in this ledger"),
        ({"game": "g1", "team": "oka"}, "no team oka in this ledger"),
        ({"game": "g1", "team": "oak"}, "oak"),
    ],
)
def test_what_is_not(store: Store, asked: dict[str, str], message: str) -> None:
    with pytest.raises(InputError, match=message):
        refuse_unknown(store, **asked)


def test_a_team_that_is_called_by_its_name_is_told_by_its_id(store: Store) -> None:
    with pytest.raises(InputError) as refused:
        refuse_unknown(store, team="Elm Tree")
    assert refused.value.hint is not None
    assert "Elm Trees is elm" in refused.value.hint
    assert "Oaks" not in refused.value.hint
