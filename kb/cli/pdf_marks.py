"""What a PDF says of where it comes from: that a report was made here, and nothing of the machine.

Chromium writes its own name, the system's and the time of day into each PDF. They are written over, letter
for letter, so that the same report is the same file and every other byte stays at its place.
"""

from __future__ import annotations

import datetime
import re

MARK = b"halfsplit handover"

_CREATOR = re.compile(rb"(?<=/Creator \()(?:[^()\\]|\\.)*(?=\))", re.DOTALL)
_DAY = re.compile(rb"(?<=Date \()D:[0-9]{14}[^()\\]*(?=\))")
_OURS = re.compile(rb"/Creator \(" + MARK + rb" *\)")


def marked(pdf: bytes, day: datetime.date) -> bytes | None:
    """The same PDF, marked as ours and dated with a day of the job; None if there is no room for the mark."""
    found = _CREATOR.search(pdf)
    if found is None or len(found[0]) < len(MARK):
        return None
    stamp = f"D:{day:%Y%m%d}000000".encode()
    whole = _CREATOR.sub(lambda creator: MARK.ljust(len(creator[0])), pdf, count=1)
    return _DAY.sub(lambda date: stamp + date[0][len(stamp) :], whole)


def is_ours(pdf: bytes) -> bool:
    """Whether a PDF was made by `halfsplit handover`."""
    return pdf.startswith(b"%PDF-") and _OURS.search(pdf) is not None
