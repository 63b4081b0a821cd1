"""Which letters the papers can show."""

from __future__ import annotations

import re

import pytest
from fontTools.ttLib import TTFont

from ledger.papers.press.letters import font_folder, printable, printable_name
from ledger.resources import folder
from tests.papers.samples import EMOJI, HOSTILE, NO_FONT, OTHER_SCRIPTS, RIGHT_TO_LEFT


def test_every_font_of_the_package_is_declared_and_no_other() -> None:
    css = (folder("report_templates") / "base" / "fonts.css").read_text("utf-8")
    declared = re.findall(r'url\("font:([^"#]+)(?:#\d+)?"\)', css)
    assert sorted(set(declared)) == sorted(path.name for path in font_folder().glob("*.ttf"))
    families = set(re.findall(r'@font-face { font-family: "(\w+)"', css))
    assert families == set(re.findall(r'^        "(\w+)"[,;]$', css, re.MULTILINE))


def test_every_font_may_be_embedded_and_has_an_open_licence() -> None:
    for path in font_folder().glob("*.ttf"):
        with TTFont(path, lazy=True) as font:
            assert "SIL Open Font License" in font["name"].getDebugName(13)
            assert font["OS/2"].fsType == 0  # OpenType: 0 is installable embedding; from memory


@pytest.mark.parametrize("name", [*RIGHT_TO_LEFT, *OTHER_SCRIPTS, EMOJI, HOSTILE[6]])
def test_names_in_these_scripts_stay_as_they_are(name: str) -> None:
    assert printable(name) == (name, False)


def test_letters_without_a_font_are_left_out_and_told() -> None:
    assert printable(NO_FONT) == ("[…]", True)
    assert printable(f"Kim {NO_FONT}-Ash, 見") == ("Kim […]-Ash, […]", True)
    assert printable("\N{REPLACEMENT CHARACTER}") == ("\N{REPLACEMENT CHARACTER}", False)


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Ana (Annie) Thistle/wood", "Ana (Annie) Thistle/wood"),
        (EMOJI[4:], EMOJI[4:]),
        (NO_FONT, ""),
        (f"{NO_FONT} (Kim Placeholder)", "Kim Placeholder"),
        (f"{NO_FONT}（Kim Placeholder）", "Kim Placeholder"),
        (f"Kim Placeholder / {NO_FONT}", "Kim Placeholder"),
        (f"Kim {NO_FONT}", f"Kim {NO_FONT}"),
        (f"Kim {NO_FONT} ({NO_FONT})", ""),
        (f"{NO_FONT} (2)", ""),
    ],
)
def test_a_name_is_shown_by_the_spelling_that_can_be_shown(name: str, shown: str) -> None:
    assert printable_name(name) == shown


def test_marks_that_turn_a_line_are_left_out() -> None:
    assert printable("a\u202eb\u202cc\u2066d\u2069e\u200ff\x00g\ufeffh\U000e0041i") == (
        "abcdefghi",
        False,
    )
    assert printable("a\u2028b\u2029c\u0085d") == ("a b c d", False)
    assert printable("می\u200cخواهم") == ("می\u200cخواهم", False)


def test_a_broken_half_of_a_letter_is_left_out() -> None:
    assert printable("a\ud800b") == ("ab", False)
