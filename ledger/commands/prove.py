"""weighbook prove EVENT… --to FILE"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import FILE, NEW_FILE, opened, store_option
from ledger.commands.typed import GAME
from ledger.errors import count_of

if TYPE_CHECKING:
    from ledger.chain.note import Note

receipt_option = click.option(
    "--receipt",
    "receipts",
    multiple=True,
    type=FILE,
    help="Also prove that the ledger continues this receipt, which the reader has.",
)


@click.command(short_help="Write a proof of single entries, for someone else.")
@click.argument("events", nargs=-1, metavar="[EVENT]...")
@click.option("--game", type=GAME, help="All entries of this game.")
@click.option("--to", required=True, type=NEW_FILE, help="The file to write.")
@click.option(
    "--disclose",
    default="",
    metavar="WHAT",
    help="Also show: name, official, note, reason (separate with commas).",
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
    """Write a proof that these entries are in the ledger, letter for letter. Anyone
    can check it without the ledger: weighbook check FILE.

    It shows no other entries, and no names or remarks unless you ask for them.
    name: the children in these entries. official: the officials who made them.
    note and reason: what they wrote in words.

    Example: weighbook prove office:57 office:61 --to two.proof
    """
    from ledger.actions.proving import prove as make_proof
    from ledger.outputs import Kind, check_place, is_standard_output, write_output
    from ledger.witness.disclosing import parse_words
    from ledger.witness.proof import HEADER

    words = parse_words(disclose)
    kind = Kind("a proof", re.compile(re.escape(HEADER)))
    check_place(to, kind)
    held = read_receipts(receipts)
    with opened(store) as ledger:
        done = make_proof(ledger, events=events, game=game, words=words, receipts=held)
    write_output(done.data, to, kind)
    entries = count_of(done.entries, "entry", "entries")
    texts = f"{count_of(done.texts, 'text')} disclosed" if done.texts else "no names, no remarks"
    wrote = f"Wrote {to}: {entries} and the keys, {len(done.data):,} bytes, {texts}."
    click.echo(wrote, err=is_standard_output(to))


def read_receipts(files: tuple[Path, ...]) -> list[Note]:
    """Read the receipts in these files."""
    from ledger.chain.note import parse_note

    return [parse_note(file.read_bytes()) for file in files]
