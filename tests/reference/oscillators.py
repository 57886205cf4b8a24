"""Check values for oscillators (topic 4)."""

from __future__ import annotations

from tests.reference.checks import Check

_NATIONAL_5V = {
    "device": "CD40106",
    "maker": "National",
    "resistor": "100k",
    "capacitor": "10n",
    "supply": "5 V",
}

OSCILLATORS = (
    Check(
        "T4-555-f144",
        {"device": "NE555", "resistor_a": "1k", "resistor_b": "10k", "capacitor": "100n"},
        "frequency", 685.7142857142858, 0.0025, "1.44/((RA+2RB)C) rule, seen in source",
    ),
    Check(
        "T4-555-duty",
        {"device": "NE555", "resistor_a": "10k", "resistor_b": "47k", "capacitor": "10n"},
        "duty", 0.5480769230769231, 1e-09, "D=(RA+RB)/(RA+2RB), seen in source",
    ),
    Check(
        "T4-555-tL", {"device": "NE555", "resistor_a": "10k", "resistor_b": "47k", "capacitor": "10n"},
        "low", 0.00032569, 0.002, "TI SLFS022 (NE555), simulated in ngspice",
    ),
    Check(
        "T4-40106-nsc-10typ",
        {"device": "CD40106", "resistor": "100k", "capacitor": "10n", "supply": "10 V"},
        "period", 0.00150754, 0.001, "NSC CD40106B typ 10 V, simulated in ngspice",
    ),
    Check(
        "T4-ls14-typ", {"device": "74LS14", "resistor": "330 ohm", "capacitor": "100n"}, "period",
        4.1767e-05, 0.001, "Fairchild DM74LS14 typ; VOH 3.4, VOL 0.25, input current ignored, ngspice",
    ),
    Check(
        "T4-opamp", {"device": "opamp", "resistor": "47k", "capacitor": "10n", "ratio": "50 %"}, "period",
        0.00103327, 0.002, "T=2RC ln((1+b)/(1-b)), simulated in ngspice",
    ),
)  # fmt: skip

CEILINGS_555 = (
    ("T4-555-rmax5", "5 V", "3.4 M", "3.3M", "3.5M", "TI SLFS022 (Feb 1992) Note 2, seen in source"),
    ("T4-555-rmax15", "15 V", "10 M", "9.8M", "10.2M", "TI SLFS022 (Feb 1992) Note 2, seen in source"),
)
"""Id, supply, ceiling, a resistor below it, one above it, source."""

LIMITS = (
    (
        "T4-40106-nsc5-longest", _NATIONAL_5V, "CD40106B", "greatest", 3.630579933276498, 1e-06,
        "NSC CD40106B 25C limits (VH max 3.6 V), seen in source",
    ),
    (
        "T4-hc14-4v5-longest",
        {"device": "74HC14", "resistor": "100k", "capacitor": "10n", "supply": "4.5 V"},
        "MC74HC14A", "greatest", 2.2335922215070942, 1e-06,
        "ON MC74HC14A 4.5 V limits, VH<=2.25, seen in source",
    ),
)  # fmt: skip
"""Id, inputs (R C is one millisecond), part, column of the table, expected in R C, tolerance, source."""

SPAN = ("T4-40106-nsc5-span", _NATIONAL_5V, "CD40106B", 4.47705592993711, 1e-06, "longest/shortest, computed")
MAKERS = (
    "T4-40106-vendor-ratio", _NATIONAL_5V, "CD40106B", "HEF40106B", 2.9211937266827315, 1e-06,
    "NSC vs Philips typ at 5 V, computed",
)  # fmt: skip
