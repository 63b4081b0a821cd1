"""Turn a document's name and values into a PDF file.

    stamp = "2026-09-05T13:41:22.000Z"
    render_sheet(Sheet("ineligible_list", {"paper": ListPaper(...)}, stamp), path)

A document is a folder of `report_templates/` with a `page.html`. Templates format and never
decide. Everything is escaped, nothing that people typed is markup, and an unknown value is an
error. The same values and stamp give the same bytes with the same versions of the libraries.
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
from ledger.papers.press.event_ids import small_ids
from ledger.papers.press.finish import finish
from ledger.papers.press.letters import printable
from ledger.papers.press.pictures import picture_address
from ledger.papers.press.qr import draw_qr
from ledger.papers.press.sheet import Sheet
from ledger.record.times import is_utc_text
from ledger.resources import folder
from ledger.say import codes, words

FILTERS = (
    codes.reason,
    codes.how_signed,
    words.jersey,
    words.pounds,
    words.short_hash,
    words.grouped,
    small_ids,
)


def documents() -> list[str]:
    """The names of all documents."""
    return sorted(page.parent.name for page in folder("report_templates").glob("*/page.html"))


def compose(document: str, context: Mapping[str, Any], *, stamp: str) -> str:
    """The HTML of a document. Raises ReportError; see `typeset_sheet`."""
    if document not in documents():
        hint = f"Papers are: {', '.join(documents())}."
        raise ReportError(f"unknown paper {document!r}", hint=hint)
    if not is_utc_text(stamp):
        hint = "Write it like 2026-09-05T13:41:22.000Z."
        raise ReportError(f"{stamp!r} is not a time in UTC", hint=hint)
    given = {**context, "stamp": stamp[:19] + "Z"}
    try:
        page = _templates().get_template(f"{document}/page.html")
        html, replaced = printable(page.render(given, unprintable=False))
        if replaced:
            html, _ = printable(page.render(given, unprintable=True))
    except jinja2.TemplateError as error:
        raise ReportError(
            f"the paper {document!r} cannot be made: {error}",
            hint="Pass every value that the paper's template uses (ledger/papers/sheets).",
        ) from error
    return html


def render_sheet(sheet: Sheet, to: Path) -> None:
    """Write a sheet to the file `to`. Raises the errors of `typeset_sheet` and `write_output`."""
    write_output(typeset_sheet(sheet), to, PDF)


def typeset_sheet(sheet: Sheet) -> bytes:
    """Return the sheet as PDF/A-3b, tagged for PDF/UA-1.

    Its stamp, the fixed-width UTC time of the last event, is the only date in the file. Raises
    ReportError for an unknown paper, a missing or unknown value, and missing libraries or fonts.
    """
    html = compose(sheet.document, sheet.context, stamp=sheet.stamp)
    try:
        from ledger.papers.press.printing import print_html
    except OSError as error:
        raise ReportError(
            "papers need the Pango library, which is not installed",
            hint="Install Pango 1.44 or later (Debian: libpango-1.0-0 and libpangoft2-1.0-0).",
        ) from error
    try:
        pdf = print_html(html, sheet.stamp)
    except ValueError as error:
        raise ReportError(
            f"the paper {sheet.document!r} cannot be made: {error}",
            hint="A drawing must be a whole SVG document without outside references.",
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
    environment.filters["picture_address"] = picture_address
    environment.globals["draw_qr"] = draw_qr
    return environment


def _no_none(value: object) -> object:
    if value is None:
        raise jinja2.UndefinedError("a value to print is None")
    return value


def _svg_address(svg: str) -> str:
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
