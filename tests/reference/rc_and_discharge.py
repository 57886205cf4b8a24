"""Check values for resistor and capacitor (topics 4, 10, 11) and for stored charge (topic 9)."""

from __future__ import annotations

import math

from tests.reference.checks import Check

RC = (
    Check(
        "T4-555-tL", {"resistor": "47k", "capacitor": "10n", "threshold": "50 %"}, "time_to_threshold",
        0.00032569, 0.002, "TI SLFS022 (NE555), simulated in ngspice",
    ),
    Check(
        "T10-rc-rise", {"resistor": "10k", "capacitor": "10n"}, "rise_time", 0.0002197224, 1e-05,
        "10-90 % = ln9 R C, simulated in ngspice",
    ),
    Check(
        "T10-expwidth",
        {"resistor": "47k", "capacitor": "10n", "direction": "discharge", "threshold": "50 %"},
        "time_to_threshold", 0.0003257792, 1e-04, "decaying pulse at 50 % of its peak, simulated in ngspice",
    ),
    Check(
        "T10-exp-above2v0",
        {
            "resistor": "47k", "capacitor": "10n", "direction": "discharge", "threshold": "2 V",
            "supply": "12 V",
        },
        "time_to_threshold", 0.0008421273, 2e-04, "above 2.0 V (TTL VIH), simulated in ngspice",
    ),
    Check(
        "T11-fc", {"resistor": "10k", "capacitor": "100n"}, "corner", 159.1549, 1e-06,
        "1/(2 pi R C), computed",
    ),
)  # fmt: skip

BETWEEN_20_AND_80 = ("T10-rc-2080", 1.3862943611198908, 1e-06, "20-80 % = ln4 R C, computed with scipy")
LEAKAGE = ("T11-leak-timing", 5.0, 1e6, 1e-6, 4.0, 1e-9, "1 uA of leakage with a 1M timing resistor")
LETTER_Z = ("T11-elc-low", "100 uF -20/+80 %", 80e-6, 1e-9, "-20/+80 % (letter Z) part, seen in source")

DISCHARGE = (
    Check(
        "T9-rmax-tau1", {"capacitor": "100n", "voltage": f"{42.4 * math.e!r} V", "time": "1 s"}, "resistor",
        1e7, 1e-9, "IEC 60950-1 cl. 2.1.1.7: time constant at most 1 s (type A, C > 0.1 uF), seen (quoted)",
    ),
)  # fmt: skip

DECAY = (
    ("T9-xcap-1s", 325.27, 1e6, 2.2e-7, 1.0, 3.452752, 0.002, "X capacitor 0.22 uF with 1M, ngspice"),
    ("T9-37pct", 1.0, 1.0, 1.0, 1.0, 0.37, 0.01, "IEC 60950-1 2.1.1.7 note: 37 % after one time constant"),
)
"""Id, first voltage, resistor, capacitor, time, voltage left, tolerance, source."""

LIMITS_V = (
    ("T9-fact-60950_selv_dc", "IEC 60950-1", 60.0, "seen in source (quoted)"),
    ("T9-fact-60065_pk", "IEC 60065", 35.0, "IEC 60065 (TV service manual)"),
    ("T9-fact-60065_dc", "IEC 60065", 60.0, "IEC 60065 (TV service manual)"),
    ("T9-fact-61010_ed3_dc", "IEC 61010-1", 60.0, "from memory"),
    ("T9-fact-60204_s", "IEC 60204-1", 60.0, "IEC 60204-1 6.2.4, seen (translation)"),
    ("S9-60335_dc", "IEC 60335-1", 42.4, "IEC 60335-1 8.1.4, seen (quoted)"),
)
"""Id, document, limit, how it was confirmed."""
