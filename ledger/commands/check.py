"""weighbook check FILE"""

from __future__ import annotations

import json
from pathlib import Path

import click

from ledger.commands.shared import store_option, text_or_json_option, wrong
from ledger.say.lines import paragraph

_PDF = b"%PDF-"


@click.command(short_help="Check a proof or a paper that somebody gave you.")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option(
    "--receipt",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="A receipt that you took home: hold it against the proof.",
)
@click.option("--all", "everything", is_flag=True, help="Show what every entry says.")
@store_option
@text_or_json_option
@click.pass_context
def check(
    ctx: click.Context, file: Path, receipt: Path | None, everything: bool, store: Path, form: str
) -> None:
    """Check a file that somebody gave you.

    A proof: what it proves, who signed and when, which names it shows, and what it
    cannot prove. No ledger is needed.

    A paper (PDF): whether this ledger prints exactly that file. It needs the
    ledger: the paper is made again from it and compared, byte for byte. A scan or
    a printed sheet cannot be compared.

    Exit status 1 when anything in it is not as it was recorded; for a paper, when
    it is not the same, or could not be compared.

    Examples:

        weighbook check two.proof --receipt my-receipt.txt

        weighbook check list.pdf --store season.weighbook
    """
    with file.open("rb") as opened:
        is_paper = opened.read(len(_PDF)) == _PDF
    if is_paper:
        from ledger.commands.check_paper import check_paper

        if receipt or everything:
            option = "--receipt" if receipt else "--all"
            raise wrong(f"{option} with a paper", "It goes with a proof; a paper needs --store.")
        ctx.exit(check_paper(file, store, form))
    from ledger.commands.verdict import as_json, hold_receipt, show_sections
    from ledger.say.proofs import entry_line, sections, sentence
    from ledger.witness.check import check_proof
    from ledger.witness.proof_file import MOST_FILE_BYTES, unpack_proof

    with file.open("rb") as opened:
        checked = check_proof(unpack_proof(opened.read(MOST_FILE_BYTES + 1)))
    if form == "json":
        click.echo(json.dumps(as_json(checked), ensure_ascii=False, indent=1))
    else:
        show_sections(sections(checked))
        for event in checked.events if everything and checked.ok else ():
            click.echo(paragraph(entry_line(event), hang=2))
    if receipt and checked.ok:
        hold_receipt(checked, receipt)
    if form != "json":
        click.echo(sentence(checked))
    ctx.exit(0 if checked.ok else 1)
