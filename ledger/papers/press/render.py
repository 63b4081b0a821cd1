"""Turn a document's name and values into a PDF file.

    stamp = "2026-09-05T13:41:22.000Z"
    render_sheet(Sheet("ineligible_list", {"paper": ListPaper(...)}, stamp), path)

The same values and stamp give the same bytes with the same versions of the libraries.
"""

from __future__ import annotations

from pathlib import Path

from ledger.errors import ReportError
from ledger.outputs import PDF, write_output
from ledger.papers.press.compose import compose
from ledger.papers.press.sheet import Sheet

_INSTEAD = "Or print from the browser: weighbook serve."


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
            "PDFs need the Pango library, which is not installed",
            hint="Install Pango 1.44 or later (Debian: libpango-1.0-0 and libpangoft2-1.0-0; "
            f"macOS: brew install pango; Windows: pango from MSYS2). {_INSTEAD}",
        ) from error
    except ImportError as error:
        raise _missing("weasyprint") from error
    try:
        from ledger.papers.press.finish import finish
    except (ImportError, OSError) as error:
        raise _missing("pikepdf") from error
    try:
        pdf = print_html(html, sheet.stamp)
    except ValueError as error:
        raise ReportError(
            f"the paper {sheet.document!r} cannot be made: {error}",
            hint="A drawing must be a whole SVG document without outside references.",
        ) from error
    return finish(pdf, sheet.stamp, sheet.attachments)


def _missing(package: str) -> ReportError:
    return ReportError(
        f"PDFs need the package {package}, which is missing or broken",
        hint=f"Install it: pip install {package}. {_INSTEAD}",
    )
