"""weighbook evidence pack CASE, weighbook evidence check FILE.zip"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.prove import read_receipts, receipt_option
from ledger.commands.shared import (
    FILE,
    NEW_FILE,
    opened,
    show_json,
    store_option,
    text_or_json_option,
)
from ledger.errors import InputError, count_of

if TYPE_CHECKING:
    from ledger.review.evidence.check import CheckedBundle
    from ledger.review.evidence.pack import Packed


@click.group(short_help="Make or check a case's evidence bundle.")
def evidence() -> None:
    """Make or check a case's evidence bundle: one zip that anyone can check, even
    without this program. It contains the packet, entries with their proof, signed
    states, keys, exhibits and answers.

    Example: weighbook evidence pack late-plays --to late-plays.zip
    """


@evidence.command("pack", short_help="Make the bundle of a case.")
@click.argument("case")
@click.option("--to", required=True, type=NEW_FILE, help="The zip file to write.")
@click.option("--packet", type=FILE, help="Use this packet, already handed out, not a new one.")
@click.option("--no-packet", is_flag=True, help="Leave the packet out.")
@click.option(
    "--disclose",
    default="",
    metavar="WHAT",
    help="Also show: name, note, reason, official, scan, game (separate with commas).",
)
@receipt_option
@store_option
def pack(
    case: str,
    to: Path,
    packet: Path | None,
    no_packet: bool,
    disclose: str,
    receipts: tuple[Path, ...],
    store: Path,
) -> None:
    """Make the bundle of CASE: its packet, its entries and those of its game, their
    proof, and everything needed to check it. data/README.txt inside says how.

    The packet is the one that weighbook print makes: a protest packet for a
    protest, otherwise a review packet. It names the children that the case is
    about and shows the remarks about them.

    Outside the packet, the bundle shows no names or remarks unless you ask for
    them. name, note and reason: for the case and its children. game: those of the
    whole game too. official: names of officials. scan: lists signed in ink.

    Example: weighbook evidence pack late-plays --disclose note --to late.zip
    """
    from ledger.actions.evidence import check_packet, pack_evidence
    from ledger.outputs import Kind, check_place, is_standard_output, write_output
    from ledger.review.evidence.scope import WORDS
    from ledger.witness.disclosing import parse_words

    if packet and no_packet:
        hint = "Choose one of them, or neither."
        raise InputError("--packet and --no-packet do not go together", hint=hint)
    words = parse_words(disclose, WORDS)
    # A local header has 30 bytes before the name (APPNOTE.TXT 4.3.7); documents are zips too.
    kind = Kind("a bundle", re.compile(rb"PK\x03\x04.{26}evidence-", re.DOTALL))
    check_place(to, kind)
    content = packet.read_bytes() if packet else None
    if content is not None:
        check_packet(content, str(packet), case)
    held = read_receipts(receipts)
    with opened(store) as ledger:
        packed = pack_evidence(
            ledger, case,
            words=words, packet=content, with_packet=not no_packet, receipts=held,
        )  # fmt: skip
    write_output(packed.data, to, kind)
    for line in _packed(packed, to, packet=not no_packet):
        click.echo(line, err=is_standard_output(to))


@evidence.command("check", short_help="Check a bundle that someone gave you; needs no ledger.")
@click.argument("bundle", type=click.Path(path_type=Path, exists=True))
@click.option("--receipt", type=FILE, help="Compare the bundle with a receipt you took home.")
@text_or_json_option
@click.pass_context
def check(ctx: click.Context, bundle: Path, receipt: Path | None, form: str) -> None:
    """Check a bundle (the zip, or the folder you unpacked it to) without the
    ledger. The exit status is 1 if anything differs from what was recorded.

    Example: weighbook evidence check late-plays.zip
    """
    from ledger.commands.verdict import as_json, hold_receipt, show_sections
    from ledger.review.evidence.archive import read_bundle
    from ledger.review.evidence.check import check_bundle
    from ledger.say.bundles import bundle_texts
    from ledger.say.proofs import sections, sentence

    checked = check_bundle(read_bundle(bundle), bundle_texts)
    if form == "json":
        about = {"case": checked.case, "packet": checked.packet, "exhibits": checked.exhibits,
                 "not_compared": checked.not_compared}  # fmt: skip
        show_json(as_json(checked.checked) | about)
    else:
        show_sections(sections(checked.checked))
    if receipt and checked.ok:
        hold_receipt(checked.checked, receipt)
    if form != "json":
        click.echo(_about(checked))
        if checked.not_compared:
            click.echo(checked.not_compared)
        click.echo(sentence(checked.checked))
    ctx.exit(0 if checked.ok else 1)


def _packed(packed: Packed, to: Path, *, packet: bool) -> list[str]:
    checked = packed.checked
    shown, entries = len(checked.texts), count_of(len(checked.events), "entry", "entries")
    texts = f"{count_of(shown, 'text')} disclosed" if shown else "no names, no remarks"
    lines = [f"Wrote {to}: {entries} proved, {len(packed.data):,} bytes."]
    if packet:
        lines.append("The packet names the children that the case is about, and shows remarks.")
    lines.append(f"{'Outside the packet' if packet else 'Shown'}: {texts}.")
    lines += [f"Exhibit {digest[:16]}… is in the bundle." for digest in packed.exhibits]
    lines += [
        f"Exhibit {digest[:16]}… is not in this ledger; hand it over separately."
        for digest in packed.absent
    ]
    lines += [
        f"Exhibit {digest[:16]}… was withdrawn, so it is left out." for digest in packed.withdrawn
    ]
    return lines


def _about(checked: CheckedBundle) -> str:
    count = len(checked.exhibits)
    exhibits = count_of(count, "exhibit") if count else "no exhibits"
    packet = "a packet" if checked.packet else "no packet"
    return f"Case {checked.case or '?'}, with {exhibits} and {packet}."
