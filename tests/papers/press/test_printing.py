"""The press opens nothing but our fonts, and sees nothing of the machine."""

from __future__ import annotations

import os
from pathlib import Path

import pikepdf
import pytest

from ledger.papers.press import printing
from ledger.papers.press.compose import compose
from ledger.papers.press.instances import font_of_weight
from ledger.papers.press.letters import font_folder
from ledger.papers.press.printing import FONT, ClosedFetcher, print_html
from tests.papers.samples import STAMP, line, list_paper

FACE = '@font-face { font-family: "Only"; src: url("font:NotoSans[wght].ttf") }'
PAGE = '<html lang="en-US"><title>t</title><style>' + FACE + "%s</style><body>%s</body></html>"


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/hostname",
        "http://127.0.0.1:9/a.png",
        "https://localhost/a.css",
        "ftp://127.0.0.1/a",
        "data:text/css,p{}",
        "data:image/png;base64,AAAA",
        "font:../METADATA",
        "font:/etc/hostname",
        "font:%2e%2e/METADATA",
        "",
    ],
)
def test_no_other_address_is_opened(address: str) -> None:
    with pytest.raises(ValueError, match=r"no font file|may not open an address"):
        ClosedFetcher().fetch(address)


@pytest.mark.parametrize(
    "body",
    [
        '<img alt="x" src="http://127.0.0.1:9/a.png">',
        '<img alt="x" src="file:///etc/hostname">',
        '<p style="background: url(http://127.0.0.1:9/a.png)">x</p>',
        '<link rel="stylesheet" href="file:///etc/x.css">',
    ],
)
def test_a_page_that_asks_for_another_address_stops(body: str) -> None:
    with pytest.raises(ValueError, match="may not open an address"):
        print_html(PAGE % ("", body), STAMP)


def test_the_fonts_are_opened() -> None:
    name = "NotoSans[wght].ttf"
    with (font_folder() / name).open("rb") as file:
        assert ClosedFetcher().fetch(f"font:{name}").read() == file.read()
    bold = ClosedFetcher().fetch(f"font:{name}#700").read()
    assert bold == font_of_weight(name, 700) != font_of_weight(name, 400)


def test_the_machines_fonts_are_out_of_sight(tmp_path: Path) -> None:
    """Every family of the page is unknown but ours: only ours can be in the file."""
    css = 'body { font-family: "DejaVu Sans", "Liberation Sans", sans-serif, "Only" }'
    (tmp_path / "a.pdf").write_bytes(print_html(PAGE % (css, "<p>abc \u2610 \u4e2d</p>"), STAMP))
    with pikepdf.open(tmp_path / "a.pdf") as pdf:
        fonts = {
            str(item.BaseFont).split("+")[-1]
            for item in pdf.objects
            if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/Font"
        }
    assert fonts == {"Only"}


def test_a_page_without_our_fonts_is_refused() -> None:
    with pytest.raises(ValueError, match="must declare its fonts"):
        print_html("<html lang='en-US'><title>t</title><p>x</p></html>", STAMP)


def test_the_environment_is_as_before(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    monkeypatch.delenv("FONTCONFIG_FILE", raising=False)
    print_html(PAGE % ("", "<p>x</p>"), STAMP)
    assert os.environ["SOURCE_DATE_EPOCH"] == "1"
    assert "FONTCONFIG_FILE" not in os.environ


def test_fonts_that_no_letter_needs_are_not_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    real = ClosedFetcher.fetch

    def fetch(self: ClosedFetcher, url: str, headers: None = None) -> object:
        opened.append(url)
        return real(self, url, headers)

    monkeypatch.setattr(ClosedFetcher, "fetch", fetch)
    latin, both = (compose_list(name) for name in ("Zoë Łukasz", "Zoë נעלם"))
    paper = print_html(latin, STAMP)
    assert opened
    assert all(url.startswith(f"{FONT}NotoSans[") or "-Italic[" in url for url in opened)
    print_html(both, STAMP)
    assert any("Hebrew" in url for url in opened)
    monkeypatch.setattr(printing, "in_first_font", lambda text: False)
    assert print_html(latin, STAMP) == paper


def compose_list(name: str) -> str:
    paper = list_paper((line(7, name),))
    return compose("ineligible_list", {"paper": paper}, stamp=STAMP)
