"""weighbook prove EVENT… --to FILE"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import opened, store_option, wrong
from ledger.counts import count_of

if TYPE_CHECKING:
    from ledger.chain.note import Note

receipt_option = click.option(
    "--receipt",
    "receipts",
    multiple=True,
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="A receipt that the reader holds: prove that it is continued.",
)


@click.command(short_help="Write a proof of single statements, for somebody else.")
@click.argument("events", nargs=-1, metavar="[EVENT]...")
@click.option("--game", help="All statements of this game.")
@click.option(
    "--to",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="The file to write.",
)
@click.option(
    "--disclose",
    default="",
    metavar="WHAT",
    help="Show also: name, official, note, reason (comma between).",
)
@receipt_option
@store_option
def prove(
    events: tuple[str, ...],
    game: str | None,
    to: Path,
    disclose: str,
    receipts: tuple[Path, ...],
    store: Path,
) -> None:
    """Write a proof that these statements are in the ledger, letter for letter.
    Whoever gets it can check it without the ledger: weighbook check FILE.

    It shows nothing of other statements, and no name or remark unless you
    choose so: name, of the children in these statements; official, of who
    stated them; note and reason, what was written in words.

    Example: weighbook prove office:57 office:61 --to two.proof
    """
    if bool(events) == bool(game):
        raise wrong("name events, or one game", "For example office:57, or --game acorn-1a.")
    from ledger.derive.asked import unknown_game
    from ledger.outputs import Kind, check_place, is_standard_output, write_output
    from ledger.witness.disclosing import choose, parse_words
    from ledger.witness.proof_file import HEADER, pack_proof
    from ledger.witness.prove import prove_statements

    words = parse_words(disclose)
    kind = Kind("a proof", re.compile(re.escape(HEADER)))
    check_place(to, kind)
    with opened(store) as ledger:
        asked = list(ledger.events(game=[game]) if game else ledger.events_by_id(events))
        if game and not asked:
            raise unknown_game(ledger, game)
        choice = choose(ledger, (stored.event for stored in asked), words)
        proof = prove_statements(ledger, choice.ids, choice.disclose, read_receipts(receipts))
    data = pack_proof(proof)
    write_output(data, to, kind)
    shown, count = len(proof.disclosures), sum(len(part.events) for part in proof.chains)
    entries = count_of(count, "entry", "entries")
    texts = f"{count_of(shown, 'text')} disclosed" if shown else "no names, no remarks"
    told = f"Wrote {to}: {entries} and the keys, {len(data):,} bytes, {texts}."
    click.echo(told, err=is_standard_output(to))


def read_receipts(files: tuple[Path, ...]) -> list[Note]:
    """The receipts in these files."""
    from ledger.chain.note import parse_note

    return [parse_note(file.read_bytes()) for file in files]
