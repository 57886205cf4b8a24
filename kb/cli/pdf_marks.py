"""What a PDF says of where it comes from: that a report was made here, and nothing of the machine.

Chromium writes its own name, the system's and the time of day into each PDF. Those are written over where
they stand, and the same entries with our name are added at the end (ISO 32000-1, 7.5.6).
"""

from __future__ import annotations

import datetime
import re

MARK = b"halfsplit handover"

_TRAILER = re.compile(
    rb"trailer\s*<<\s*/Size ([0-9]+)\s*/Root ([0-9]+ 0 R)\s*/Info ([0-9]+) 0 R\s*>>\s*"
    rb"startxref\s+([0-9]+)\s+%%EOF"
)
_CREATOR = re.compile(rb"(?<=/Creator \()(?:[^()\\]|\\.)*(?=\))", re.DOTALL)
_DATE = re.compile(rb"(?<=Date \()D:[0-9]{14}[^()\\]*(?=\))")
_OURS = re.compile(rb"/Creator \(" + MARK + rb"\)")


def marked(pdf: bytes, day: datetime.date) -> bytes | None:
    """The same PDF, marked as ours and dated with a day of the job; None if it is not built as expected."""
    trailer = _TRAILER.search(pdf)
    info = trailer and re.search(rb"(?:\A|\n)%b 0 obj\s*<<.*?>>\s*endobj" % trailer[3], pdf, re.DOTALL)
    if not trailer or not info or not _CREATOR.search(info[0]):
        return None
    dated = _dated(info[0], day)
    blank = _CREATOR.sub(lambda creator: b" " * len(creator[0]), dated)
    before = pdf[: info.start()] + blank + pdf[info.end() :]
    size, root, number, previous = trailer.groups()
    body = before.rstrip() + b"\n"
    added = _CREATOR.sub(MARK, dated).strip() + b"\n"
    table = b"xref\n%b 1\n%010d 00000 n \n" % (number, len(body))
    ending = b"trailer\n<</Size %b\n/Root %b\n/Info %b 0 R\n/Prev %b>>\n" % (size, root, number, previous)
    return body + added + table + ending + b"startxref\n%d\n%%%%EOF\n" % (len(body) + len(added))


def is_ours(pdf: bytes) -> bool:
    """Whether a PDF was made by `halfsplit handover`."""
    return pdf.startswith(b"%PDF-") and _OURS.search(pdf) is not None


def _dated(info: bytes, day: datetime.date) -> bytes:
    """The entries with midnight of that day in place of each time, as many letters as before."""
    stamp = f"D:{day:%Y%m%d}000000".encode()
    return _DATE.sub(lambda date: stamp + date[0][len(stamp) :], info)
