"""Oscilloscope captures: read without a switch for the format, measured with their uncertainty, drawn.

Importing this package imports numpy, so those who may not need it import it late.
"""

from __future__ import annotations

from kb.captures.capture import Capture, Channel, TimeBase, Understood
from kb.captures.measurement import Estimate, Measurement
from kb.captures.measuring import measure
from kb.captures.picture import picture
from kb.captures.reader import read_capture

__all__ = [
    "Capture", "Channel", "Estimate", "Measurement", "TimeBase", "Understood", "measure",
    "picture", "read_capture",
]  # fmt: skip
