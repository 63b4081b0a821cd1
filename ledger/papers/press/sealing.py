"""Add paper.json and a checkpoint that names it to a finished paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from typing import Any

from ledger.papers.press.attachment import Attachment
from ledger.papers.press.heads import Heads, attached, attached_beside
from ledger.papers.press.paper_file import NAME, digest_values, extension_lines, format_paper
from ledger.papers.press.sheet import Sheet
from ledger.papers.press.versions import versions
from ledger.review.held import PaperFile


def seal(
    heads: Heads,
    chain: str,
    document: str,
    paper: Any,
    files: Sequence[Attachment],
    arguments: Mapping[str, str | bool],
    list_number: str,
) -> Sheet:
    """The sheet of this context, which has a head, with all its files.

    `arguments` are its maker's; `list_number` is "" unless it is a list. A paper that shows a note
    cosigned by an official gets its own as a second file.
    """
    cosigned: str = paper.head.checkpoint
    shown = attached(cosigned, paper.head.head_id)
    content = format_paper(
        PaperFile(
            document=document,
            arguments=arguments,
            printed_at=heads.printed_at,
            chain=chain,
            chains=heads.states(),
            keys=heads.keys(),
            values=digest_values({"paper": paper}),
            files={file.name: sha256(file.content).hexdigest() for file in (*files, *shown)},
            made_by=versions(),
        )
    )
    extensions = extension_lines(content, list_number)
    own = heads.sign(chain, extensions)
    notes = (*shown, *attached_beside(own)) if cosigned else attached(own, paper.head.head_id)
    made_from = Attachment(
        name=NAME,
        content=content,
        media_type="application/json",
        description="What this paper was made from, and with what, for weighbook check",
    )
    context = {"paper": replace(paper, head=replace(paper.head, checkpoint=cosigned or own))}
    return Sheet(document, context, heads.stamp, (*files, *notes, made_from), extensions)
