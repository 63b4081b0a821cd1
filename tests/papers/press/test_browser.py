"""Papers as pages that a browser prints: the PDF's words, no inline style, no typesetter."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.papers.press.browser import font_file, page_of, style_of
from ledger.papers.press.compose import compose
from ledger.papers.press.sheet import Sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.samples import STAMP, list_paper
from tests.papers.sheets.held_papers import SHEETS
from tests.signed_season import season

PRINTED = ("list", "blank list", "play count", "receipt", "receipt of a sheet", "card of a game")
_TAG = re.compile(r"<(?:style>.*?</style|title>.*?</title|[^>]*)>", re.DOTALL)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder: Path = tmp_path_factory.mktemp("browser")
    return folder / "season.weighbook"


@pytest.fixture(scope="module")
def store(path: Path) -> Iterator[SqliteStore]:
    with season(path) as opened:
        yield opened


def words(html: str, *without: str) -> list[str]:
    for part in without:
        html = re.sub(part, "", html, flags=re.DOTALL)
    return _TAG.sub(" ", html).split()


@pytest.mark.parametrize("name", PRINTED)
def test_a_page_says_what_the_pdf_says(store: SqliteStore, name: str) -> None:
    sheet = SHEETS[name](store)
    page, paper = page_of(sheet), compose(sheet.document, sheet.context, stamp=sheet.stamp)
    aside = (r'<div class="(?:foot|running)">.*?</div>', r"<nav.*?</nav>")
    assert words(page, *aside) == words(paper, *aside)
    assert sheet.context["paper"].head.printed_at in page


@pytest.mark.parametrize("name", PRINTED)
def test_a_page_obeys_the_content_policy(store: SqliteStore, name: str) -> None:
    page = page_of(SHEETS[name](store))
    assert not re.search(r"\sstyle=|<style|\son\w+=|javascript:|<script>", page)
    asked = re.findall(r'(?:src|href)="([^"]*)"', page)
    assert asked
    assert all(address == "data:," or address.startswith("/") for address in asked)


def test_a_style_asks_only_for_fonts_of_the_package() -> None:
    style = style_of("ineligible_list")
    assert style is not None
    fonts = re.findall(r"url\(\"([^\"]*)\"\)", style)
    assert len(fonts) > 20
    for address in fonts:
        name = address.removeprefix("/fonts/").replace("%5B", "[").replace("%5D", "]")
        found = font_file(name)
        assert found is not None
        assert found.is_file()
    assert "running(" not in style
    assert ".list col.jersey" in style


def test_an_unknown_style_or_font_is_none() -> None:
    assert style_of("base") is None
    assert style_of("../base") is None
    assert font_file("../__init__.py") is None
    assert font_file("__init__.py") is None


def test_what_was_typed_is_no_markup() -> None:
    typed = "<script>alert(1)</script>"
    page = page_of(Sheet("ineligible_list", {"paper": replace(list_paper(), team=typed)}, STAMP))
    assert typed not in page
    assert "&lt;script&gt;" in page


_WITHOUT = """
import sys
class Missing:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {missing!r}:
            raise {error}
sys.meta_path.insert(0, Missing())
from ledger.papers.press.browser import page_of
from ledger.papers.press.render import typeset_sheet
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.documents import DOCUMENTS
from ledger.store.opening import open_store
store = open_store(sys.argv[1])
row = next(one for one in DOCUMENTS if one.command == "list")
sheet = row.make(Heads(store), {{"game": "acorn-1a", "team": "newts"}})
assert "Ineligible list" in page_of(sheet)
try:
    typeset_sheet(sheet)
except Exception as error:
    print(type(error).__name__, error.message, error.hint, sep="\\n")
"""


@pytest.mark.parametrize(
    ("missing", "error", "said"),
    [
        (
            ("weasyprint",),
            "OSError('cannot load library libpango')",
            "PDFs need the Pango library, which is not installed",
        ),
        (
            ("weasyprint", "pydyf", "pikepdf"),
            "ModuleNotFoundError('no module', name=name)",
            "PDFs need the package weasyprint, which is missing or broken",
        ),
        (
            ("pikepdf",),
            "ImportError('DLL load failed')",
            "PDFs need the package pikepdf, which is missing or broken",
        ),
    ],
)
def test_without_the_typesetter_a_page_is_made_and_a_pdf_says_what_to_install(
    store: SqliteStore, path: Path, missing: tuple[str, ...], error: str, said: str
) -> None:
    code = _WITHOUT.format(missing=missing, error=error)
    ran = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    kind, message, hint = ran.stdout.splitlines()
    assert (kind, message) == ("ReportError", said)
    assert hint.startswith("Install ")
    assert hint.endswith("Or print from the browser: weighbook serve.")
