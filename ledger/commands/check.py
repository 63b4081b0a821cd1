"""weighbook check FILE"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import FILE, opened, show_json, store_option, text_or_json_option
from ledger.errors import InputError
from ledger.say.lines import paragraph

_PDF = b"%PDF-"


@click.command(short_help="Check a proof or a paper that someone gave you.")
@click.argument("file", type=FILE)
@click.option("--receipt", type=FILE, help="Compare the proof with a receipt you took home.")
@click.option("--all", "everything", is_flag=True, help="Show every entry in full.")
@store_option
@text_or_json_option
@click.pass_context
def check(
    ctx: click.Context, file: Path, receipt: Path | None, everything: bool, store: Path, form: str
) -> None:
    """Check a file that someone gave you.

    For a proof, see what it proves, who signed and when, which names it shows, and
    what it cannot prove. You need no ledger.

    For a paper (PDF), see whether this ledger prints exactly that file. You need
    the ledger: it makes the paper again and compares every byte. A scan or a
    printed sheet cannot be compared.

    The exit status is 1 if a proof differs from what was recorded, or if a paper
    differs or cannot be compared.

    Examples:

        weighbook check two.proof --receipt my-receipt.txt

        weighbook check list.pdf --store season.weighbook
    """
    with file.open("rb") as given:
        is_paper = given.read(len(_PDF)) == _PDF
    if is_paper:
        if receipt or everything:
            option = "--receipt" if receipt else "--all"
            hint = f"Leave out {option}: it is for proofs."
            raise InputError(f"{option} does not work with a paper", hint=hint)
        ctx.exit(_check_paper(file, store, form))
    from ledger.commands.verdict import as_json, hold_receipt, show_sections
    from ledger.say.proofs import entry_line, sections, sentence
    from ledger.witness.check import check_proof
    from ledger.witness.proof import MOST_BYTES, unpack_proof

    with file.open("rb") as given:
        checked = check_proof(unpack_proof(given.read(MOST_BYTES + 1)))
    if form == "json":
        show_json(as_json(checked))
    else:
        show_sections(sections(checked))
        for event in checked.events if everything and checked.ok else ():
            click.echo(paragraph(entry_line(event), hang=2))
    if receipt and checked.ok:
        hold_receipt(checked, receipt)
    if form != "json":
        click.echo(sentence(checked))
    ctx.exit(0 if checked.ok else 1)


def _check_paper(file: Path, store: Path, form: str) -> int:
    """Say whether the ledger prints this paper, and return the exit status.

    0 only if it is the same, with or without one signature appended. 1 for every other verdict,
    also if versions differ: equal values say nothing about what is on the page.
    """
    from ledger.papers.sheets.documents import name_of
    from ledger.papers.sheets.hold import MOST_FILE_BYTES, hold_paper
    from ledger.say.held import about, as_json, other_versions, sentence, verdict
    from ledger.say.words import printable
    from ledger.store.league import league_zone

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
        for line in about(held, zone, name_of(held.paper.document)):
            click.echo(paragraph(printable(line)))
        for line in other_versions(held):
            click.echo(paragraph(printable(f"- {line}"), indent=2, hang=4))
        click.echo(verdict(held))
        click.echo(paragraph(printable(sentence(held))))
    return 0 if held.ok else 1
