"""Find words that look like a body weight or a birth date, to ask before keeping them.

weighbook keeps neither. A program cannot be sure what a text means, so this refuses nothing:
`private_words` only names words to check, including doubtful ones.

>>> private_words("About 95 lbs, born March 5, 2014", about_child=True, year=2026)
('95 lbs', 'born', 'March 5, 2014')
>>> private_words("Check weight read 10.5 lb; limit 95 lb", about_child=False, year=2026)
()
>>> private_words("moved to 2026-09-12", about_child=True, year=2026)
()
"""

from __future__ import annotations

import re
import unicodedata

YOUNGEST = 4
"""Years: no player is younger, so a later date is not a birth date (common practice, no source)."""
LIGHTEST = 20.0
"""Pounds or kilos: in a text not about a child, anything less is not a child's weight."""
_LEAST_BARE = 30
"""Without a unit, anything less is a time of day, a count, or a player's number."""

_TENS = r"(?:twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred)"
_WORD = (
    rf"(?:{_TENS}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen"
    r"|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen)"
)
_DIGITS = r"(?<![\d.,])\d{1,4}(?:[.,]\d{1,3})?(?: \d{1,2}[/⁄]\d{1,2})?"
_SPELLED = rf"\b{_WORD}(?:[ -](?:and )?{_WORD}){{0,4}}"
_UNIT = r"(?:lbs?|pounds?|pounders?|kgs?|kilos?|kilogram(?:me)?s?|stones?)(?![a-z])"
_WEIGHT = re.compile(
    rf"(?P<number>{_DIGITS}|{_SPELLED})[ -]{{0,3}}{_UNIT}"
    r"|(?P<hash>(?<![\d.,])\d{2,3}(?:\.\d{1,2})?) ?#(?![\w#])"
    r"|\b(?:lbs?|kgs?)\.?[ :=]{1,3}(?P<after>\d{2,3}(?:\.\d{1,2})?)(?![\d:])"
    r"|(?P<stone>(?<!\d)\d{1,2} st\.? \d{1,2})(?!\d)"
    r"|(?<!check )(?<!test )\b(?:weigh(?:s|ing)|weighed(?: in)? at|weighed in|weight)"
    r"(?: (?:in|at|is|was|of|about|only|now)){0,2}[ :=]{1,3}"
    r"(?P<bare>\d{2,3}(?:\.\d{1,2})?)(?![\d:])(?! ?[ap]\.?m\b)",
    re.IGNORECASE,
)
_OF_CHILD = re.compile(
    r"\bover by(?: about| almost| only)? "
    rf"(?:\d{{1,2}}(?:\.\d{{1,2}})?(?![\d:])|{_SPELLED})(?! ?[ap]\.?m\b)"
    rf"|\b(?:half )?an? {_UNIT}"
    r"|\b(?:came in at|scales? (?:said|says|reads?|showed|shows)):? "
    r"(?P<bare>\d{2,3}(?:\.\d{1,2})?)(?![\d:])(?! ?[ap]\.?m\b)",
    re.IGNORECASE,
)
"""A weight without its unit or number. About the scale alone, it is not private."""
_OF_THE_SCALE = r"(?:limit|check[ -]?weights?|test[ -]?weights?|allowance)"
_JOINED = r"(?:is|was|of|set|set to|set at|now|reads?|reading|showed|shows|still|only|a|the)"
_SCALE_BEFORE = re.compile(rf"\b{_OF_THE_SCALE}:?(?: {_JOINED}){{0,3}}[ :=]{{0,3}}$", re.IGNORECASE)
_SCALE_AFTER = re.compile(
    rf"[ -](?:(?:weight|division|carrier|ball[ -]carrier) )?(?:{_OF_THE_SCALE}|division)\b",
    re.IGNORECASE,
)
_PAST_IT = re.compile(r"\b(?:over|under|above|below|past|beyond|exceed\w*)\b", re.IGNORECASE)
_NEAR = 48

_BIRTH = re.compile(
    r"\b(?:born|birth[ -]?da(?:y|te)s?|dates? of birth|birth[ -]?years?|years? of birth|b-?day"
    r"|d\. ?o\. ?b\b\.?|dob)\b",
    re.IGNORECASE,
)
_MONTH = (
    r"\b(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_YEAR = r"(?:(?:19|20)\d\d|['’]\d\d)(?!\d)"
_DATE = re.compile(
    r"(?<![\d./-])(?:"
    r"(?P<y1>(?:19|20)\d\d)[-/.](?P<a1>\d{1,2})[-/.](?P<b1>\d{1,2})(?!\d)"
    r"|(?P<a2>\d{1,2})[-/.](?P<b2>\d{1,2})[-/.](?P<y2>(?:19|20)\d\d|\d\d)(?!\d)"
    r"|(?P<y3>(?:19|20)\d\d)(?P<a3>0[1-9]|1[0-2])(?P<b3>0[1-9]|[12]\d|3[01])(?!\d)"
    rf"|\d{{1,2}}(?:st|nd|rd|th)?(?: of)?[ -]?{_MONTH},?[ -]?(?P<y4>{_YEAR})"
    rf"|{_MONTH}[ -]?\d{{1,2}}(?:st|nd|rd|th)?,?[ -]?(?P<y5>{_YEAR})"
    rf"|{_MONTH},? ?(?P<y6>{_YEAR}))",
    re.IGNORECASE,
)


def private_words(text: str, *, about_child: bool, year: int) -> tuple[str, ...]:
    """The words of the text that seem to be a body weight or a birth date, each once, in order.

    `about_child`: whether the text is about a player: then a date without "born" counts too, and
    so does a small weight. `year` is that of the statement. Any text is read; none is an error.
    """
    plain = _plain(text)
    births = [(found.start(), found[0]) for found in _BIRTH.finditer(plain)]
    dates = [
        (found.start(), found[0])
        for found in _DATE.finditer(plain)
        if births or (about_child and _may_be_birth(found, year))
    ]
    weights = [
        (found.start(), found[0])
        for found in _WEIGHT.finditer(plain)
        if _may_be_body(found, plain, about_child=about_child)
    ]
    if about_child:
        weights += [
            (found.start(), found[0])
            for found in _OF_CHILD.finditer(plain)
            if found["bare"] is None or float(found["bare"]) >= _LEAST_BARE
        ]
    return tuple(dict.fromkeys(words for _, words in sorted([*weights, *births, *dates])))


def _plain(text: str) -> str:
    """One space between words, digits and letters in their plain form, nothing invisible."""
    parted = re.sub(r"(?<=\d)(?=[¼-¾⅐-⅞])", " ", text)  # or 95½ becomes 951/2
    plain = unicodedata.normalize("NFKC", parted)
    seen = "".join(letter for letter in plain if unicodedata.category(letter) != "Cf")
    return " ".join(seen.split())


def _may_be_body(found: re.Match[str], plain: str, *, about_child: bool) -> bool:
    if number := found["hash"] or found["after"] or found["bare"]:
        return float(number) >= _LEAST_BARE and not _is_of_the_scale(found, plain)
    if not about_child and found["number"] and _is_small(found["number"], found[0]):
        return False
    return not _is_of_the_scale(found, plain)


def _is_small(number: str, whole: str) -> bool:
    if "stone" in whole.casefold():
        return False
    if number[0].isdecimal():
        return float(number.split()[0].replace(",", ".")) < LIGHTEST
    return not re.search(_TENS, number, re.IGNORECASE)


def _is_of_the_scale(found: re.Match[str], plain: str) -> bool:
    """Whether the number is a limit or a check weight ("limit 95 lb", "10 lb check weight")."""
    before = plain[max(0, found.start() - _NEAR) : found.start()]
    # "over the limit: 97 lb" is a child's weight, "over; limit 95 lb" is not.
    clause = re.split(r"[;.!?] ", before)[-1]
    if _SCALE_BEFORE.search(clause) and not _PAST_IT.search(clause):
        return True
    return bool(_SCALE_AFTER.match(plain, found.end()))


def _may_be_birth(found: re.Match[str], year: int) -> bool:
    parts = found.groupdict()
    written = next(parts[key] for key in parts if key[0] == "y" and parts[key])
    numbers = [int(parts[key]) for key in parts if key[0] in "ab" and parts[key]]
    if numbers and not (1 <= min(numbers) <= 12 and max(numbers) <= 31):
        return False
    born = int(written.lstrip("'’"))
    if born < 100:
        born += 2000 if born <= year % 100 else 1900
    return born <= year - YOUNGEST
