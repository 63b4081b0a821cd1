"""Options whose words the record fixes: help shows them, and every wrong word is a fault."""

from __future__ import annotations

from pathlib import Path

import click
import pytest

from ledger.commands.choices import Words, words_of
from tests.commands.conftest import Run


@pytest.mark.parametrize(
    ("command", "shown"),
    [
        ("record weigh", "--value [ok|over|no_scale]"),
        ("record plays", "--half [1|2|3]"),
        ("record appoint", "One of: weighmaster, coach, play_counter,"),  # too long to stand there
        ("case open", "--reason [roster|weigh|plays|safety|protest|other]"),
        ("case rule", "--may-play [full|second_half|none]"),
    ],
)
def test_help_shows_the_words(run: Run, command: str, shown: str) -> None:
    assert shown in " ".join(run(*command.split(), "--help").out.split())


def test_a_shell_completes_them() -> None:
    context, option = click.Context(click.Command("rule")), click.Option(["--value"])
    completed = Words("ruling", "value").shell_complete(context, option, "d")
    assert [item.value for item in completed] == ["denied", "decided"]
    assert words_of("ruling", "note") == []


def test_a_wrong_word_is_told_with_every_other_fault(run: Run, sample_copy: Path) -> None:
    ran = run(
        *("case", "rule", "late-plays", "--by", "head-1", "--value", "perhaps"),
        *("--may-carry", "maybe", "--at", "noon", "--store", sample_copy),
    )
    assert (ran.status, ran.out) == (2, "")
    first, *faults, _ = ran.err.splitlines()
    assert first == "3 faults; nothing was written:"
    assert [fault.partition(":")[0] for fault in faults] == ["at", "may_carry", "value"]
