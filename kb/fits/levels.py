"""Audio and control voltages: whether the most an output gives lies within what the input is made for."""

from __future__ import annotations

from kb.fits.socket import Socket
from kb.fits.verdict import Fit, Margin

TOO_LOUD = "level too high"
TOO_QUIET = "level too low"


def compare(output: Socket, needed: Socket) -> Fit:
    """The verdict on one pair of sockets that carry a level."""
    missing = tuple(_missing(output, needed))
    if missing:
        return Fit(output, needed, missing=missing)
    most_v, limit_v = output.most_high_v or 0.0, needed.most_high_v or 0.0
    margins = [Margin("Below the limit", limit_v - most_v, "voltage")]
    if needed.least_high_v is not None:
        margins.append(Margin("Above the least", most_v - needed.least_high_v, "voltage"))
    words = (TOO_LOUD, TOO_QUIET)
    faults = tuple(word for word, each in zip(words, margins, strict=False) if each.value < 0)
    return Fit(output, needed, tuple(margins), faults)


def _missing(output: Socket, needed: Socket) -> list[str]:
    ends = ((output, "of the output"), (needed, "of the input"))
    return [f"the highest level {whose}" for end, whose in ends if end.most_high_v is None]
