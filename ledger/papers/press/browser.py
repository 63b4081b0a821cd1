"""A paper as a page that a browser prints, without the typesetter and its libraries.

It has the paper's own template, no inline style, and no PDF's attachments: `weighbook check` takes
PDFs only. The page asks its server for its style, the fonts and one script.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from ledger.papers.press.compose import compose, documents, templates
from ledger.papers.press.letters import font_folder
from ledger.papers.press.sheet import Sheet
from ledger.resources import folder

FONTS = "/fonts/"
SCRIPT = "/static/print.js"
_PAGE = "@page { margin-top: 13mm }"
"""What base/page.css has on top; the rest of it is for the typesetter."""
_FONT = re.compile(r'url\("font:([^"#]+)(?:#\d+)?"\)')
_ANY_WEIGHT = re.compile(r'(@font-face \{ font-family: "[^"]+"; font-style: \w+;)(?! font-weight)')


def page_of(sheet: Sheet, *, script: str = SCRIPT) -> str:
    """The HTML page of a paper; ReportError as for `compose`. `script` is its script's address."""
    context = {**sheet.context, "script": script}
    return compose(sheet.document, context, stamp=sheet.stamp, for_browser=True)


@cache
def style_of(document: str) -> str | None:
    """The style sheet of a paper's page; None for an unknown paper."""
    if document not in documents():
        return None
    base = folder("report_templates") / "base"
    page = templates().get_template(f"{document}/page.html")
    own = "".join(page.blocks["style"](page.new_context())) if "style" in page.blocks else ""
    fonts = _ANY_WEIGHT.sub(r"\1 font-weight: 400 700;", (base / "fonts.css").read_text("utf-8"))
    shared = ((base / name).read_text("utf-8") for name in ("variables.css", "parts.css"))
    for_browsers = (base / "browser.css").read_text("utf-8")
    return "\n".join([_FONT.sub(_address, fonts), _PAGE, *shared, own, for_browsers])


def font_file(name: str) -> Path | None:
    """The file of the font package with this name; None if there is none."""
    return next((path for path in font_folder().glob("*.ttf") if path.name == name), None)


def _address(font: re.Match[str]) -> str:
    return f'url("{FONTS}{font[1].replace("[", "%5B").replace("]", "%5D")}")'
