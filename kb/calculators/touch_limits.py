"""Published limits for a voltage that may be touched, as data; for comparison, never as a permission.

Standards change and were read second-hand: every page that shows one of these says that the current
edition and the local code decide.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class TouchLimit:
    """One published limit; `certainty` says how the figure was confirmed."""

    limit_v: float
    what: str
    document: str
    certainty: str


LOWEST_DC_V = 42.4
"""The lowest published d.c. limit below; the calculators start from it."""

LIMITS = (
    TouchLimit(34.0, "peak, plug pins, 1 s after unplugging", "IEC 60335-1 22.5", "secondary source"),
    TouchLimit(35.0, "peak, not hazardous live", "IEC 60065", "seen in a TV service manual"),
    TouchLimit(42.4, "d.c., accessible part not live", "IEC 60335-1 8.1.4", "seen (quoted)"),
    TouchLimit(60.0, "d.c., not hazardous live", "IEC 60065", "seen in a TV service manual"),
    TouchLimit(60.0, "d.c., SELV", "IEC 60950-1 2.1.1.7, 2.2", "seen (quoted)"),
    TouchLimit(60.0, "d.c., ES1, after 2 s", "IEC 62368-1 5.5.2.2, Table 4", "2 s seen, value from memory"),
    TouchLimit(60.0, "d.c., normal, dry (edition 3)", "IEC 61010-1 6.3.1", "seen in meter manuals"),
    TouchLimit(60.0, "d.c., machines, within 5 s", "IEC 60204-1 6.2.4", "seen (translation)"),
)
