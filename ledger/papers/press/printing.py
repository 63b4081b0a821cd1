"""HTML becomes PDF bytes: WeasyPrint, our fonts and nothing of the machine's.

The page can open the font package's files (`font:NAME`) and drawings that it carries itself
(`data:image/svg+xml`); any other address stops the paper. The machine's own fonts are out of
sight, so a missing letter never becomes whatever the machine happens to have.
"""

from __future__ import annotations

import logging
import os
import threading
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from urllib.parse import unquote

from ledger.papers.press.letters import font_folder
from ledger.record.times import moment_of
from ledger.resources import folder

with warnings.catch_warnings():
    # On import it warns where the machine has no fonts: we use none of them.
    warnings.simplefilter("ignore", UserWarning)
    from weasyprint import HTML, URLFetcher  # type: ignore[import-untyped]
    from weasyprint.text.fonts import FontConfiguration  # type: ignore[import-untyped]
    from weasyprint.urls import (  # type: ignore[import-untyped]
        FatalURLFetchingError,
        URLFetcherResponse,
    )

FONT = "font:"
DRAWING = "data:image/svg+xml;base64,"

_environment = threading.Lock()


class ClosedFetcher(URLFetcher):  # type: ignore[misc]
    """Opens what a paper may open, and stops at anything else."""

    def __init__(self) -> None:
        super().__init__(fail_on_errors=True)

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        if url.startswith(FONT):
            name = unquote(url.removeprefix(FONT))
            if name not in {path.name for path in font_folder().iterdir()}:
                raise ValueError(f"no font file {name}")
            content = (font_folder() / name).read_bytes()
            return URLFetcherResponse(url, content, {"Content-Type": "font/ttf"})
        if url.startswith(DRAWING):
            return super().fetch(url, headers)
        raise ValueError(f"a paper opens no address: {url[:80]}")


@contextmanager
def _surroundings(stamp: str) -> Iterator[None]:
    """The two things the font libraries read from the environment, set for one paper.

    FONTCONFIG_FILE names a configuration without folders, so that the machine's fonts are out
    of sight. SOURCE_DATE_EPOCH is the date that fontTools writes into a subset font.
    """
    ours = {
        "FONTCONFIG_FILE": str(folder("report_templates") / "base" / "fonts.conf"),
        "SOURCE_DATE_EPOCH": str(int(moment_of(stamp).timestamp())),
    }
    with _environment:
        before = {name: os.environ.get(name) for name in ours}
        os.environ.update(ours)
        try:
            yield
        finally:
            for name, value in before.items():
                if value is None:
                    del os.environ[name]
                else:
                    os.environ[name] = value


@contextmanager
def _heard() -> Iterator[list[str]]:
    """What the typesetter logs as an error: it leaves a drawing out and goes on; we do not."""
    errors: list[str] = []
    handler = logging.Handler(logging.ERROR)
    handler.emit = lambda record: errors.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield errors
    finally:
        logger.removeHandler(handler)


def print_html(html: str, stamp: str) -> bytes:
    """The bytes of the PDF, tagged and marked as PDF/A-3b; dates come from `stamp` alone.

    Raises ValueError where the page asks for an address that it may not open, holds a drawing
    that cannot be drawn, or declares no font of ours (with no font in sight, Pango ends the
    process).
    """
    if FONT not in html:
        raise ValueError("a paper declares its fonts")
    with _surroundings(stamp), _heard() as errors, warnings.catch_warnings():
        # The typesetter leaves its colour profile open.
        warnings.simplefilter("ignore", ResourceWarning)
        try:
            page = HTML(string=html, url_fetcher=ClosedFetcher(), base_url=None)
            pdf: bytes = page.write_pdf(
                font_config=FontConfiguration(), pdf_variant="pdf/a-3b", pdf_tags=True
            )
        except FatalURLFetchingError as error:
            raise ValueError(str(error.__cause__ or error)) from error
    if errors:
        raise ValueError("a drawing cannot be drawn" if DRAWING in errors[0] else errors[0])
    return pdf
