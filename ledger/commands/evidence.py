"""weighbook evidence pack CASE, weighbook evidence check FILE.zip"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.prove import read_receipts, receipt_option
from ledger.commands.shared import opened, store_option, text_or_json_option, wrong
from ledger.errors import count_of

if TYPE_CHECKING:
    from ledger.review.evidence.check import CheckedBundle
    from ledger.review.evidence.pack import Packed


@click.group(short_help="A case's evidence, for an opponent who trusts nobody.")
def evidence() -> None:
    """A case's evidence as one zip that anyone can check without this program: its
    packet, statements with their proof, signed states, keys, exhibits, answers.

    Example: weighbook evidence pack late-plays --to late-plays.zip
    """


@evidence.command("pack", short_help="Make the bundle of a case.")
@click.argument("case")
@click.option(
    "--to",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="The zip file to write.",
)
@click.option(
    "--packet",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Take this packet, already handed out, instead of a new one.",
)
@click.option("--no-packet", is_flag=True, help="Leave the packet out.")
@click.option(
    "--disclose",
    default="",
    metavar="WHAT",
    help="Show also: name, note, reason, official, scan, game (comma between).",
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
    """Make the bundle of CASE: its packet, its statements, those of its game, their
    proof, and all that is needed to check it. data/README.txt in it says how.

    The packet is the protest packet of a protest, else the review packet, as
    weighbook print makes it: it names the children the case is about and shows
    the remarks about them.

    Beside the packet no name and no remark is shown unless you choose so: name,
    note and reason, of the case and the children it is about, and with game of
    the whole game; official, the names of who stated it; scan, the lists signed
    in ink.

    Example: weighbook evidence pack late-plays --disclose note --to late.zip
    """
    from ledger.actions.evidence import check_packet, pack_evidence
    from ledger.outputs import Kind, check_place, is_standard_output, write_output
    from ledger.review.evidence.scope import WORDS
    from ledger.witness.disclosing import parse_words

    if packet and no_packet:
        raise wrong("--packet and --no-packet", "Choose one of them, or none.")
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


@evidence.command("check", short_help="Check a bundle that somebody gave you; needs no ledger.")
@click.argument("bundle", type=click.Path(path_type=Path, exists=True))
@click.option(
    "--receipt",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="A receipt that you took home: hold it against the bundle.",
)
@text_or_json_option
@click.pass_context
def check(ctx: click.Context, bundle: Path, receipt: Path | None, form: str) -> None:
    """Check a bundle (the zip, or the folder it was unpacked to) without the
    ledger. Exit status 1 when anything in it is not as it was recorded.

    Example: weighbook evidence check late-plays.zip
    """
    from ledger.commands.verdict import as_json, hold_receipt, show_sections
    from ledger.review.evidence.check import check_bundle
    from ledger.review.evidence.reading import read_bundle
    from ledger.say.bundles import bundle_texts
    from ledger.say.proofs import sections, sentence

    checked = check_bundle(read_bundle(bundle), bundle_texts)
    if form == "json":
        about = {"case": checked.case, "packet": checked.packet, "exhibits": checked.exhibits,
                 "not_compared": checked.not_compared}  # fmt: skip
        click.echo(json.dumps(as_json(checked.checked) | about, ensure_ascii=False, indent=1))
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
    told, entries = len(checked.texts), count_of(len(checked.events), "entry", "entries")
    texts = f"{count_of(told, 'text')} disclosed" if told else "no names, no remarks"
    lines = [f"Wrote {to}: {entries} proved, {len(packed.data):,} bytes."]
    if packet:
        lines.append("Its packet names the children the case is about, and shows the remarks.")
    lines.append(f"{'Beside it' if packet else 'Shown'}: {texts}.")
    lines += [f"Exhibit {digest[:16]}… is in it." for digest in packed.exhibits]
    lines += [
        f"Exhibit {digest[:16]}… is not kept in this ledger; hand it over by itself."
        for digest in packed.absent
    ]
    lines += [f"Exhibit {digest[:16]}… was withdrawn: left out." for digest in packed.withdrawn]
    return lines


def _about(checked: CheckedBundle) -> str:
    count = len(checked.exhibits)
    exhibits = count_of(count, "exhibit") if count else "no exhibits"
    packet = "a packet" if checked.packet else "no packet"
    return f"Case {checked.case or '?'}, with {exhibits} and {packet}."
