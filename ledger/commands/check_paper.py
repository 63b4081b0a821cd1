"""weighbook check FILE, where the file is a paper: it is held against the ledger."""

from __future__ import annotations

import json
from pathlib import Path

import click

from ledger.commands.shared import opened
from ledger.errors import InputError
from ledger.say.lines import paragraph
from ledger.store.league import league_zone


def check_paper(file: Path, store: Path, form: str) -> int:
    """Say whether the ledger prints this paper; the exit status.

    0 only where it is the same, with or without one signature behind it. 1 for every other
    verdict, that of other versions too: equal values say nothing about what is on the page.
    """
    from ledger.papers.sheets.hold import MOST_FILE_BYTES, hold_paper
    from ledger.say.held import about, as_json, other_versions, sentence, verdict
    from ledger.say.words import printable

    if not store.exists():
        raise InputError(
            f"a paper is held against its ledger, and there is none at {store}",
            hint=f"Name it: weighbook check {file} --store FILE. A proof needs no ledger.",
        )
    with file.open("rb") as pdf:
        data = pdf.read(MOST_FILE_BYTES + 1)
    if len(data) > MOST_FILE_BYTES:
        raise InputError(f"{file}: a paper of more than {MOST_FILE_BYTES:,} bytes")
    with opened(store) as ledger:
        held = hold_paper(ledger, data)
        zone = league_zone(ledger)
    if form == "json":
        click.echo(json.dumps(as_json(held), ensure_ascii=False, indent=1))
    else:
        for line in about(held, zone):
            click.echo(paragraph(printable(line)))
        for line in other_versions(held):
            click.echo(paragraph(printable(f"- {line}"), indent=2, hang=4))
        click.echo(verdict(held))
        click.echo(paragraph(printable(sentence(held))))
    return 0 if held.ok else 1
