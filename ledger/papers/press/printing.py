"""Turn HTML into a PDF with WeasyPrint, with our fonts and none of the machine's.

A page can open the font package's files (`font:NAME`, or `font:NAME#700` for one weight), its own
drawings (`data:image/svg+xml`) and pictures drawn anew (`ledger.papers.press.pictures`); any other
address is an error. The machine's fonts are hidden, so a missing letter never comes from one of
them.
"""

from __future__ import annotations

import logging
import os
import re
import threading
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import lru_cache
from urllib.parse import unquote

from ledger.papers.press.instances import font_of_weight
from ledger.papers.press.letters import font_folder, in_first_font
from ledger.papers.press.pictures import PICTURE
from ledger.record.times import moment_of
from ledger.resources import folder

with warnings.catch_warnings():
    # On import it warns if the machine has no fonts; we use none of those.
    warnings.simplefilter("ignore", UserWarning)
    from weasyprint import CSS, HTML, URLFetcher  # type: ignore[import-untyped]
    from weasyprint.text.fonts import FontConfiguration  # type: ignore[import-untyped]
    from weasyprint.urls import (  # type: ignore[import-untyped]
        FatalURLFetchingError,
        URLFetcherResponse,
    )

FONT = "font:"
DRAWING = "data:image/svg+xml;base64,"

_STYLE = re.compile(r"<style>((?:(?!@font-face|</style>).)*)</style>", re.DOTALL)

_OTHER_FONTS = re.compile(r'@font-face { font-family: "(?!NotoSans")[^}]*}\n')

_environment = threading.Lock()


class ClosedFetcher(URLFetcher):  # type: ignore[misc]
    """Opens what a paper may open; anything else is an error."""

    def __init__(self) -> None:
        super().__init__(fail_on_errors=True)

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        if url.startswith(FONT):
            name, _, weight = unquote(url.removeprefix(FONT)).partition("#")
            if name not in {path.name for path in font_folder().iterdir()}:
                raise ValueError(f"no font file {name}")
            plain = font_folder() / name
            content = font_of_weight(name, int(weight)) if weight else plain.read_bytes()
            return URLFetcherResponse(url, content, {"Content-Type": "font/ttf"})
        if url.startswith((DRAWING, PICTURE)):
            return super().fetch(url, headers)
        raise ValueError(f"a paper may not open an address: {url[:80]}")


@contextmanager
def _surroundings(stamp: str) -> Iterator[None]:
    """Set what the font libraries read from the environment, for one paper.

    FONTCONFIG_FILE is a configuration without folders, which hides the machine's fonts.
    SOURCE_DATE_EPOCH is the date that fontTools writes into a subset font.
    """
    ours = {
        "FONTCONFIG_FILE": str(folder("report_templates") / "base" / "fonts.conf"),
        "SOURCE_DATE_EPOCH": str(int(moment_of(stamp).timestamp())),
    }
    with _environment:
        before = {name: os.environ[name] for name in ours if name in os.environ}
        os.environ.update(ours)
        try:
            yield
        finally:
            for name in ours:
                del os.environ[name]
            os.environ.update(before)


@contextmanager
def _heard() -> Iterator[list[str]]:
    """Collect the typesetter's logged errors: it leaves out a drawing and goes on; we stop."""
    errors: list[str] = []
    handler = logging.Handler(logging.ERROR)
    handler.emit = lambda record: errors.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield errors
    finally:
        logger.removeHandler(handler)


@lru_cache(maxsize=16)
def _parsed(style: str) -> CSS:
    """A style without fonts, which each paper declares anew."""
    return CSS(string=style, url_fetcher=ClosedFetcher())


def print_html(html: str, stamp: str) -> bytes:
    """Return the PDF, tagged and marked as PDF/A-3b; all dates come from `stamp`.

    Raises ValueError if the page opens an address that it may not, has a broken drawing, or
    declares none of our fonts (without a font, Pango ends the process).
    """
    if FONT not in html:
        raise ValueError("a paper must declare its fonts")
    if in_first_font(html):
        # The typesetter copies and reads every font that is declared, which takes as long as CSS.
        html = _OTHER_FONTS.sub("", html)
    with _surroundings(stamp), _heard() as errors, warnings.catch_warnings():
        # The typesetter leaves its color profile open.
        warnings.simplefilter("ignore", ResourceWarning)
        try:
            styles = [_parsed(style) for style in _STYLE.findall(html)]
            page = HTML(string=_STYLE.sub("", html), url_fetcher=ClosedFetcher(), base_url=None)
            pdf: bytes = page.write_pdf(
                stylesheets=styles,
                font_config=FontConfiguration(),
                pdf_variant="pdf/a-3b",
                pdf_tags=True,
            )
        except FatalURLFetchingError as error:
            raise ValueError(str(error.__cause__ or error)) from error
    if errors:
        raise ValueError("a drawing cannot be drawn" if DRAWING in errors[0] else errors[0])
    return pdf
