"""What stands behind a paper's own bytes: nothing, one signature that shows nothing, or more.

A PDF may be continued behind its end (ISO 32000-1, 7.5.6), and what is added may hide or replace
all that was printed. Only one kind is told apart from a change: a single revision that adds one
PAdES signature over the whole file, genuine by its own certificate, in a field that is not seen,
and in which pyHanko's difference analysis finds nothing else. Whose certificate it is, nobody
checks here: no authority is known to a league's device.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

_SUBFILTER = "/ETSI.CAdES.detached"  # PAdES: ETSI EN 319 142-1


@dataclass(frozen=True)
class Behind:
    """`signer` is the name in the certificate of the one signature; else `problem` says why not."""

    signer: str = ""
    problem: str = ""


def look_behind(paper: bytes, printed: bytes) -> Behind:
    """What the paper, which begins with the `printed` bytes, has behind them."""
    count = f"{len(paper) - len(printed):,} bytes stand behind what was printed"
    try:
        import pyhanko.sign.validation  # noqa: F401
    except ImportError:
        return Behind(
            problem=f"{count}; if they are a signature, it could not be looked at: pyHanko is not "
            "installed (pip install 'weighbook[pades]')"
        )
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.sign.diff_analysis import SuspiciousModification
    from pyhanko.sign.validation.errors import SignatureValidationError

    try:
        with _quiet():
            return _one_signature(paper, count)
    except SuspiciousModification as error:
        return Behind(problem=f"{count}, and more than a signature: {error}")
    except (PdfError, SignatureValidationError) as error:
        return Behind(problem=f"{count}, and no signature that can be read: {error}")
    except (ValueError, KeyError, TypeError, IndexError, AttributeError, NotImplementedError,
            RecursionError, AssertionError):  # fmt: skip
        # What pyHanko lets out of a file that was made to be broken.
        return Behind(problem=f"{count}, and no signature that can be read")


def _one_signature(paper: bytes, count: str) -> Behind:
    from pyhanko.pdf_utils.generic import ArrayObject, DictionaryObject, NameObject, NumberObject
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.diff_analysis import DEFAULT_DIFF_POLICY, ModificationLevel
    from pyhanko.sign.fields import MDPPerm
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.status import SignatureCoverageLevel
    from pyhanko_certvalidator import ValidationContext

    reader = PdfFileReader(io.BytesIO(paper))
    signatures = reader.embedded_signatures
    if len(signatures) != 1 or reader.total_revisions != 2:
        said = f"{len(signatures)} signatures in {reader.total_revisions - 1} additions"
        return Behind(problem=f"{count}: {said}, and not one signature alone")
    (embedded,) = signatures
    if embedded.sig_object.get("/SubFilter") != _SUBFILTER:
        return Behind(problem=f"{count}: a signature of another kind than PAdES")
    before, after = reader.get_historical_resolver(0), reader.get_historical_resolver(1)
    if "/AcroForm" not in before.root:
        # The analysis begins at a form. A paper has none, which is as much as an empty one.
        before.root[NameObject("/AcroForm")] = DictionaryObject(  # type: ignore[no-untyped-call]
            {
                NameObject("/Fields"): ArrayObject(),
                NameObject("/SigFlags"): NumberObject(3),  # type: ignore[no-untyped-call]
            }
        )
    changed = DEFAULT_DIFF_POLICY.apply(before, after, doc_mdp=MDPPerm.FILL_FORMS)
    left, bottom, right, top = map(float, embedded.sig_field["/Rect"])
    is_seen = "/AP" in embedded.sig_field or left != right or bottom != top
    if is_seen or changed.modification_level > ModificationLevel.FORM_FILLING:
        return Behind(problem=f"{count}: a signature that is seen on the page")
    nobody = ValidationContext(trust_roots=[], allow_fetching=False)
    status = validate_pdf_signature(embedded, nobody)
    whole = status.coverage == SignatureCoverageLevel.ENTIRE_FILE
    if not (status.intact and status.valid and whole):
        return Behind(problem=f"{count}: a signature that does not hold for all of the file")
    subject = status.signing_cert.subject.native
    name = subject.get("common_name") or status.signing_cert.subject.human_friendly
    return Behind(signer=str(name) or f"number {status.signing_cert.serial_number:x}")


@contextmanager
def _quiet() -> Iterator[None]:
    """pyHanko logs what it finds; we say it ourselves."""
    loggers = [logging.getLogger(name) for name in ("pyhanko", "pyhanko_certvalidator")]
    before = [one.level for one in loggers]
    try:
        for one in loggers:
            one.setLevel(logging.CRITICAL + 1)
        yield
    finally:
        for one, level in zip(loggers, before, strict=True):
            one.setLevel(level)
