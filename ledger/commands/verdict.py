"""Show the verdict on a proof: sections of plain text, or JSON."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.say.proofs import Section
    from ledger.witness.checked import CheckedProof, SignedState


def show_sections(sections: Iterable[Section]) -> None:
    """Print each heading with its paragraphs below it."""
    for section in sections:
        click.echo(section.heading)
        for line in section.lines:
            # A key is one long word: it gets a line of its own, to be copied.
            whole = " " in line
            click.echo(paragraph(f"- {line}", indent=2, hang=4) if whole else f"    {line}")
        click.echo()


def as_json(checked: CheckedProof) -> dict[str, Any]:
    """Return the verdict as JSON; times of cosignatures are seconds since 1970, UTC."""
    return {
        "ok": checked.ok,
        "differences": list(checked.differences),
        "chains": [
            {
                "chain": chain.chain,
                "signed": [_signed(state) for state in (*chain.earlier, chain.state) if state],
                "events": [event.id for event in chain.events],
            }
            for chain in checked.chains
        ],
        "lists": [
            {
                "event": one.event.id,
                "game": one.event.game,
                "team": one.event.team,
                "by": one.event.by,
                "list": one.event.data.get("list"),
                "not_here": list(one.not_here),
                "after": [event.id for event in one.after],
            }
            for one in checked.lists
        ],
        "disclosed": [
            {"event": one.event.id, "field": one.field, "value": one.value} for one in checked.texts
        ],
    }


def hold_receipt(checked: CheckedProof, receipt: Path) -> None:
    """Check a receipt against the proof and say that the proof continues it; raise if not."""
    from ledger.chain.note import parse_note
    from ledger.witness.check import check_receipt

    state = check_receipt(checked, parse_note(receipt.read_bytes()))
    click.echo(
        f"It continues your receipt, which covers {state.checkpoint.size:,} entries.", err=True
    )


def _signed(state: SignedState) -> dict[str, Any]:
    return {
        "origin": state.checkpoint.origin,
        "size": state.checkpoint.size,
        "root": state.checkpoint.root.hex(),
        "cosigned": [{"by": one.key.name, "time": one.time} for one in state.cosignatures],
    }
