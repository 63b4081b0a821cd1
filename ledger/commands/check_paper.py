"""weighbook check FILE for a paper: compare it with the ledger."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import opened, show_json
from ledger.errors import InputError
from ledger.say.lines import paragraph
from ledger.store.league import league_zone


def check_paper(file: Path, store: Path, form: str) -> int:
    """Say whether the ledger prints this paper, and return the exit status.

    0 only if it is the same, with or without one signature appended. 1 for every other verdict,
    also if versions differ: equal values say nothing about what is on the page.
    """
    from ledger.papers.sheets.hold import MOST_FILE_BYTES, hold_paper
    from ledger.say.held import about, as_json, other_versions, sentence, verdict
    from ledger.say.words import printable

    if not store.exists():
        raise InputError(
            f"there is no ledger at {store} to compare the paper with",
            hint=f"Name the ledger: weighbook check {file} --store FILE. Proofs need none.",
        )
    with file.open("rb") as pdf:
        data = pdf.read(MOST_FILE_BYTES + 1)
    if len(data) > MOST_FILE_BYTES:
        raise InputError(f"{file}: papers have at most {MOST_FILE_BYTES:,} bytes")
    with opened(store) as ledger:
        held = hold_paper(ledger, data)
        zone = league_zone(ledger)
    if form == "json":
        show_json(as_json(held))
    else:
        for line in about(held, zone):
            click.echo(paragraph(printable(line)))
        for line in other_versions(held):
            click.echo(paragraph(printable(f"- {line}"), indent=2, hang=4))
        click.echo(verdict(held))
        click.echo(paragraph(printable(sentence(held))))
    return 0 if held.ok else 1
