"""A document's name and its values become a PDF file.

    stamp = "2026-09-05T13:41:22.000Z"
    render_sheet(Sheet("ineligible_list", {"paper": ListPaper(...)}, stamp), path)

A document is a folder of `report_templates/` with a `page.html`. Templates format and never
decide: everything is escaped, an unknown value is an error, nothing is passed as raw markup.
The same values and the same stamp give the same bytes on the same stack of libraries.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import jinja2

from ledger.errors import ReportError
from ledger.outputs import PDF, write_output
from ledger.papers.press.finish import finish
from ledger.papers.press.letters import printable
from ledger.papers.press.qr import draw_qr
from ledger.papers.press.sheet import Sheet
from ledger.record.times import is_utc_text
from ledger.resources import folder
from ledger.say import codes, words

FILTERS = (
    codes.reason,
    codes.may_play,
    codes.may_carry,
    codes.basis,
    codes.how_signed,
    words.jersey,
    words.pounds,
    words.short_hash,
    words.grouped,
)


def documents() -> list[str]:
    """The names that `render` knows."""
    return sorted(page.parent.name for page in folder("report_templates").glob("*/page.html"))


def compose(document: str, context: Mapping[str, Any], *, stamp: str) -> str:
    """The HTML of a document. Raises ReportError; see `render`."""
    if document not in documents():
        raise ReportError(
            f"there is no paper {document!r}", hint=f"Papers are: {', '.join(documents())}."
        )
    if not is_utc_text(stamp):
        raise ReportError(
            f"{stamp!r} is no time in UTC", hint="Write it like 2026-09-05T13:41:22.000Z."
        )
    given = {**context, "stamp": stamp[:19] + "Z"}
    try:
        page = _templates().get_template(f"{document}/page.html")
        html, replaced = printable(page.render(given, unprintable=False))
        if replaced:
            html, _ = printable(page.render(given, unprintable=True))
    except jinja2.TemplateError as error:
        raise ReportError(
            f"the paper {document!r} cannot be made: {error}",
            hint="Give every value that the paper's template names (ledger/papers/sheets).",
        ) from error
    return html


def render_sheet(sheet: Sheet, to: Path) -> None:
    """Write a sheet to the file `to`; raises what `typeset_sheet` and `write_output` raise."""
    write_output(typeset_sheet(sheet), to, PDF)


def typeset_sheet(sheet: Sheet) -> bytes:
    """The sheet as PDF/A-3b, tagged for PDF/UA-1.

    Its stamp is the fixed-width UTC time of the last event, and the only date in the file. Raises
    ReportError: no such paper, a value missing or unknown, the libraries or the fonts not
    installed.
    """
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    try:
        from ledger.papers.press.printing import print_html
    except OSError as error:
        raise ReportError(
            "papers cannot be set: the Pango library is missing",
            hint="Install Pango 1.44 or later (Debian: libpango-1.0-0 and libpangoft2-1.0-0).",
        ) from error
    try:
        pdf = print_html(html, sheet.stamp)
    except ValueError as error:
        raise ReportError(
            f"the paper {sheet.document!r} cannot be made: {error}",
            hint="A drawing is a whole SVG document that points at nothing outside itself.",
        ) from error
    return finish(pdf, sheet.stamp, sheet.attachments)


@cache
def _templates() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(folder("report_templates")),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_no_none,
    )
    environment.filters.update({words_of.__name__: words_of for words_of in FILTERS})
    environment.filters["svg_address"] = _svg_address
    environment.globals["draw_qr"] = draw_qr
    return environment


def _no_none(value: object) -> object:
    if value is None:
        raise jinja2.UndefinedError("a value that is to be printed is None")
    return value


def _svg_address(svg: str) -> str:
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
