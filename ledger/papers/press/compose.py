"""Turn a document's name and values into HTML, for the typesetter or for a browser.

A document is a folder of `report_templates/` with a `page.html`. Templates format and never
decide. Everything is escaped, nothing that people typed is markup, and an unknown value is an
error. A page for a browser has base/browser.html in place of base/paper.html.
"""

from __future__ import annotations

import base64
from collections.abc import Mapping
from functools import cache
from typing import Any

import jinja2

from ledger.errors import ReportError
from ledger.papers.press.event_ids import small_ids, whole_words
from ledger.papers.press.letters import printable
from ledger.papers.press.pictures import picture_address
from ledger.papers.press.qr import draw_qr
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
    words.unbroken,
    small_ids,
    whole_words,
)


_BROWSER = '{% extends "base/browser.html" %}'


def documents() -> list[str]:
    """The names of all documents."""
    return sorted(page.parent.name for page in folder("report_templates").glob("*/page.html"))


def compose(
    document: str, context: Mapping[str, Any], *, stamp: str, for_browser: bool = False
) -> str:
    """The HTML of a document; `stamp` is a fixed-width UTC time.

    Raises ReportError for an unknown paper, a missing or unknown value, and missing fonts.
    """
    if document not in documents():
        hint = f"Papers are: {', '.join(documents())}."
        raise ReportError(f"unknown paper {document!r}", hint=hint)
    if not is_utc_text(stamp):
        hint = "Write it like 2026-09-05T13:41:22.000Z."
        raise ReportError(f"{stamp!r} is not a time in UTC", hint=hint)
    given = {**context, "stamp": stamp[:19] + "Z", "document": document}
    try:
        page = templates(for_browser=for_browser).get_template(f"{document}/page.html")
        html, replaced = printable(page.render(given, unprintable=False))
        if replaced:
            html, _ = printable(page.render(given, unprintable=True))
    except jinja2.TemplateError as error:
        raise ReportError(
            f"the paper {document!r} cannot be made: {error}",
            hint="Pass every value that the paper's template uses (ledger/papers/sheets).",
        ) from error
    return html


@cache
def templates(*, for_browser: bool = False) -> jinja2.Environment:
    """The environment of all papers' templates."""
    files = jinja2.FileSystemLoader(folder("report_templates"))
    browser = jinja2.FunctionLoader(lambda name: _BROWSER if name == "base/paper.html" else None)
    environment = jinja2.Environment(
        loader=jinja2.ChoiceLoader([browser, files]) if for_browser else files,
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
