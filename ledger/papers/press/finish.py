"""The last pass over a PDF: add what PDF/UA-1 and PDF/A-3 require and the typesetter omits.

(1) Header cells get their Scope (ISO 14289-1, 7.5). (2) Element ids get their tree
(ISO 32000-1, table 322). (3) Running heads and feet become artifacts: they are tagged, but in no
structure (ISO 14289-1, 7.1). (4) Links get a description (7.18.5). (5) The XMP says PDF/UA-1, with
the extension schema that PDF/A wants (ISO 19005-3, 6.6.2.3). (6) Glyphs that are part of a letter
(a dot, say) mean U+2060; without that, readers show the glyph's number as a letter (ISO 14289-1,
7.21.7). (7) Files are attached with type, relationship and date (ISO 19005-3, 6.8). Clauses are
numbered as in the veraPDF profiles.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence

import pikepdf
from pikepdf import (
    Array,
    ContentStreamInlineImage,
    ContentStreamInstruction,
    Dictionary,
    Name,
    Object,
    Operator,
    String,
)

from ledger.papers.press.attachment import Attachment
from ledger.record.times import moment_of

Step = ContentStreamInstruction | ContentStreamInlineImage

PDF_UA = b"""
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part></rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file keeps</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>
"""


def finish(pdf: bytes, stamp: str, attachments: Sequence[Attachment] = ()) -> bytes:
    """Return the finished PDF; the same input gives the same bytes."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        elements = list(_elements(document.Root.StructTreeRoot))
        _scope_headers(elements)
        _plant_ids(document, elements)
        _free_margins(document, elements)
        _describe_links(document)
        _mark_pdf_ua(document)
        _name_glyphs(document)
        _attach(document, attachments, stamp)
        out = io.BytesIO()
        generate = pikepdf.ObjectStreamMode.generate
        document.save(out, deterministic_id=True, object_stream_mode=generate)
    return out.getvalue()


def _kids(element: Object) -> Iterator[Object]:
    kids = element.get(Name.K)
    for kid in kids if isinstance(kids, Array) else [kids]:
        if isinstance(kid, Dictionary) and kid.get(Name.Type) != Name.OBJR:
            yield kid


def _elements(root: Object) -> Iterator[Object]:
    """Every structure element below the root, parents first."""
    waiting = list(_kids(root))
    while waiting:
        element = waiting.pop()
        yield element
        waiting.extend(reversed(list(_kids(element))))


def _scope_headers(elements: Sequence[Object]) -> None:
    for element in elements:
        if element.S == Name.TH:
            section = element.P.P.S
            element.A.Scope = Name.Column if section == Name.THead else Name.Row


def _plant_ids(document: pikepdf.Pdf, elements: Sequence[Object]) -> None:
    named = sorted((bytes(element.ID), element) for element in elements if Name.ID in element)
    if named:
        names = Array()
        for name, element in named:
            names.extend([String(name), element])
        limits = Array([String(named[0][0]), String(named[-1][0])])
        leaf = document.make_indirect(Dictionary(Limits=limits, Names=names))
        document.Root.StructTreeRoot.IDTree = Dictionary(Kids=Array([leaf]))


def _free_margins(document: pikepdf.Pdf, elements: Sequence[Object]) -> None:
    tagged = {element.objgen for element in elements}
    numbers = document.Root.StructTreeRoot.ParentTree.Nums
    parents = {int(numbers[i]): numbers[i + 1] for i in range(0, len(numbers), 2)}
    for page in document.pages:
        owners = parents[int(page.StructParents)]
        loose = {i for i, owner in enumerate(owners) if owner.objgen not in tagged}
        if not loose:
            continue
        for i in loose:
            owners[i] = None
        content = [_freed(step, loose) for step in pikepdf.parse_content_stream(page)]
        page.Contents = document.make_stream(pikepdf.unparse_content_stream(content))


def _freed(step: Step, loose: set[int]) -> Step:
    if str(step.operator) == "BDC" and int(step.operands[1].get(Name.MCID, -1)) in loose:
        pagination = Dictionary(Type=Name.Pagination)
        return ContentStreamInstruction([Name.Artifact, pagination], Operator("BDC"))
    return step


def _describe_links(document: pikepdf.Pdf) -> None:
    for page in document.pages:
        for annotation in page.get(Name.Annots, []):
            if annotation.Subtype == Name.Link and Name.Contents not in annotation:
                annotation.Contents = String("Go to this part of the paper")


def _mark_pdf_ua(document: pikepdf.Pdf) -> None:
    packet = document.Root.Metadata.read_bytes()
    document.Root.Metadata.write(packet.replace(b"</rdf:RDF>", PDF_UA + b"</rdf:RDF>"))


def _name_glyphs(document: pikepdf.Pdf) -> None:
    for item in document.objects:
        if isinstance(item, Dictionary) and Name.ToUnicode in item:
            cmap = item.ToUnicode.read_bytes()
            item.ToUnicode.write(re.sub(rb"(<\w{4}>) <>", rb"\1 <2060>", cmap))


def _attach(document: pikepdf.Pdf, attachments: Sequence[Attachment], stamp: str) -> None:
    date = moment_of(stamp).strftime("D:%Y%m%d%H%M%SZ")
    files = Array()
    for attachment in attachments:
        document.attachments[attachment.name] = pikepdf.AttachedFileSpec(
            document,
            attachment.content,
            description=attachment.description,
            filename=attachment.name,
            mime_type=attachment.media_type,
            creation_date=date,
            mod_date=date,
            relationship=Name("/" + attachment.relationship),
        )
        files.append(document.attachments[attachment.name].obj)
    if attachments:
        document.Root.AF = files
