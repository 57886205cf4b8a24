"""One pair of sockets to the comparison that its kind asks for."""

from __future__ import annotations

from kb.fits import levels, pitch, pulses
from kb.fits.socket import Socket
from kb.fits.verdict import Fit

NO_DATA = "what a data line says is not on record: connector and protocol decide"


def fit(output: Socket, needed: Socket) -> Fit:
    """The verdict on an output and an input; ValueError where a socket faces the wrong way."""
    if output.direction != "out" or needed.direction != "in":
        raise ValueError(f"{output.reference} into {needed.reference}: an output goes into an input")
    if output.kind != needed.kind:
        return Fit(output, needed)
    if output.kind == "data":
        return Fit(output, needed, missing=(NO_DATA,))
    if output.kind == "pitch":
        return pitch.compare(output, needed)
    if output.kind == "pulses" or "switch" in (output.style, needed.style):
        return pulses.compare(output, needed)
    return levels.compare(output, needed)
