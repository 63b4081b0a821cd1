"""`check_pdf(path)`: does a paper of ours keep the rules of PDF/A-3b and PDF/UA-1?

The rules that matter, checked directly with pikepdf. veraPDF, the referee of both standards, is
a Java program that is not here; its rule numbers are named (validation profiles @6f2a87f).
What is not checked: colours against the profile, and what only a person can judge.
"""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pikepdf
from pikepdf import Name

from tests.papers.pdf_content import content_problems
from tests.papers.pdf_structure import structure_problems

XMP = {
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "pdfuaid": "http://www.aiim.org/pdfua/ns/id/",
    "pdfaSchema": "http://www.aiim.org/pdfa/ns/schema#",
}
RELATIONSHIPS = {"/Source", "/Data", "/Alternative", "/Supplement", "/Unspecified"}


def check_pdf(path: Path) -> None:
    """Fails with every rule that the file breaks."""
    found = pdf_problems(path)
    assert not found, "\n".join(found)


def pdf_problems(path: Path) -> list[str]:
    try:
        return _problems(path)
    except pikepdf.PdfError as error:
        return [f"qpdf: {error}"]


def _problems(path: Path) -> list[str]:
    with pikepdf.open(path) as pdf:
        found = [f"qpdf: {problem}" for problem in pdf.check_pdf_syntax()]
        found += _file_problems(path, pdf)
        found += _catalog_problems(pdf)
        found += _xmp_problems(pdf)
        found += _attachment_problems(pdf)
        if Name.StructTreeRoot in pdf.Root:
            found += structure_problems(pdf)
            found += content_problems(pdf)
    return found


def _require(*rules: tuple[bool, str]) -> list[str]:
    return [text for kept, text in rules if not kept]


def _file_problems(path: Path, pdf: pikepdf.Pdf) -> list[str]:
    data = path.read_bytes()
    return _require(
        (re.match(rb"%PDF-1\.[0-7]\n%[\x80-\xff]{4}", data) is not None, "6.1.2: the header"),
        (len(pdf.trailer.get(Name.ID, [])) == 2, "6.1.3: no file identifier"),
        (Name.Encrypt not in pdf.trailer, "6.1.3: encrypted"),
        (re.search(rb"%%EOF\r?\n?\Z", data) is not None, "6.1.3: data after the end"),
    )


def _catalog_problems(pdf: pikepdf.Pdf) -> list[str]:
    root = pdf.Root
    marks = root.get(Name.MarkInfo, {})
    preferences = root.get(Name.ViewerPreferences, {})
    intents = root.get(Name.OutputIntents, [])
    return _require(
        (marks.get(Name.Marked) is True, "UA 6.2: not marked as tagged"),
        (marks.get(Name.Suspects) is not True, "UA 7.1: suspects"),
        (Name.StructTreeRoot in root, "UA 7.1: no structure tree"),
        (str(root.get(Name.Lang, "")) == "en-US", "UA 7.2: the language is not said"),
        (preferences.get(Name.DisplayDocTitle) is True, "UA 7.1: the title is not shown"),
        (Name.Outlines in root, "no bookmarks"),
        (len(intents) == 1 and intents[0].S == Name.GTS_PDFA1, "A 6.2.3: the output intent"),
        (Name.AA not in root and Name.OpenAction not in root, "A 6.5.2: actions"),
        (Name.AcroForm not in root, "a paper has no form fields"),
    )


def _xmp_problems(pdf: pikepdf.Pdf) -> list[str]:
    packet = pdf.Root.Metadata.read_bytes()
    tree = ElementTree.fromstring(packet)
    info = pdf.docinfo

    def value(name: str) -> str:
        prefix, local = name.split(":")
        full = f"{{{XMP[prefix]}}}{local}"
        for description in tree.iter(f"{{{XMP['rdf']}}}Description"):
            if full in description.attrib:
                return description.attrib[full]
            for element in description.findall(full):
                return "".join(element.itertext()).strip()
        return ""

    def date(name: str) -> str:
        return "D:" + re.sub("[-:T]", "", value(name))

    title = str(info.get(Name.Title, ""))
    schemas = [element.text for element in tree.iter(f"{{{XMP['pdfaSchema']}}}namespaceURI")]
    return _require(
        (value("pdfaid:part") == "3", "A 6.6.4: the part is not 3"),
        (value("pdfaid:conformance") == "B", "A 6.6.4: the conformance is not B"),
        (value("pdfuaid:part") == "1", "UA 5: the part is not 1"),
        (XMP["pdfuaid"] in schemas, "A 6.6.2.3: pdfuaid has no extension schema"),
        (bool(title) and value("dc:title") == title, "UA 7.1: the title"),
        (date("xmp:CreateDate") == str(info.get(Name.CreationDate, "")), "two creation dates"),
        (date("xmp:ModifyDate") == str(info.get(Name.ModDate, "")), "two modification dates"),
        (value("pdf:Producer") == str(info.get(Name.Producer, "")), "two producers"),
        (value("xmp:CreatorTool") == str(info.get(Name.Creator, "")) == "weighbook", "creator"),
    )


def _attachment_problems(pdf: pikepdf.Pdf) -> list[str]:
    associated = {file.objgen for file in pdf.Root.get(Name.AF, [])}
    found = []
    for name, spec in pdf.attachments.items():
        file = spec.obj
        stream = file.EF.F
        found += _require(
            (str(file.F) == str(file.UF) == name, f"A 6.8: {name}: its names"),
            (str(file.get(Name.AFRelationship)) in RELATIONSHIPS, f"A 6.8: {name}: relationship"),
            (
                re.fullmatch(r"/[-\w+.]+/[-\w+.]+", str(stream.get(Name.Subtype, ""))) is not None,
                f"A 6.8: {name}: type",
            ),
            (file.objgen in associated, f"A 6.8: {name}: not associated with the paper"),
            (Name.ModDate in stream.Params, f"{name}: no date"),
            (bool(str(file.get(Name.Desc, ""))), f"{name}: no description"),
        )
    return found
