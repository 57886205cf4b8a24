"""Check values for markings (topic 2)."""

from __future__ import annotations

_KUPHALDT = "T. Kuphaldt, Lessons in Electric Circuits, Vol. V, seen in source"

BANDS = (
    ("T2-k2", "GN RD GD SR", 5.2, 10.0, _KUPHALDT),
    ("T2-k3", "WH VT BK", 97.0, 20.0, _KUPHALDT),
    ("T2-k6", "BU BN GN SR BU", 6.15, 0.25, _KUPHALDT),
    ("T2-h2", "RD BN GN OG BN", 215000.0, 1.0, "Hobart & William Smith Colleges course page, seen in source"),
    ("T2-h3", "BN BK BK RD BN", 10000.0, 1.0, "public 5-band worked example, seen in source"),
    ("T2-pink", "BN BK BK PK BN", 0.1, 1.0, "IEC 60062:2016 foreword, seen in catalogue abstract"),
    ("T2-single-black", "BK", 0.0, 0.0, "single black band = 0-ohm link, seen in secondary source"),
)
"""Id, bands, ohms, percent (all exact), source."""

VALUES = (
    ("T2-rkm-470R", "470R", "resistor", 470.0, 1e-12, "IEC 60062 / RKM code article, seen in source"),
    ("T2-rkm-4K7", "4K7", "resistor", 4700.0, 1e-12, "IEC 60062 / RKM code article, seen in source"),
    ("T2-rkm-47K", "47K", "resistor", 47000.0, 1e-12, "IEC 60062 / RKM code article, seen in source"),
    ("T2-rkm-470K", "470K", "resistor", 470000.0, 1e-12, "IEC 60062 / RKM code article, seen in source"),
    ("T2-rkmc-2n2", "2n2", "capacitor", 2.2e-09, 1e-09, "IEC 60062 letters p n u m F (2n2 seen)"),
    ("T2-rkmc-100n", "100n", "capacitor", 1e-07, 1e-09, "IEC 60062 letters p n u m F, from memory"),
    ("T2-cap3-104", "104", "capacitor", 1e-07, 1e-09, "EIA-198 style 3-digit pF code, seen in source"),
    ("T2-cap3-103", "103", "capacitor", 1e-08, 1e-09, "EIA-198 style 3-digit pF code, seen in source"),
    ("T2-cap3-105", "105", "capacitor", 1e-06, 1e-09, "EIA-198 style 3-digit pF code, seen in source"),
    ("T2-cap3-473", "473", "capacitor", 4.7e-08, 1e-09, "EIA-198 style 3-digit pF code, computed"),
    ("T2-cap3-479", "479", "capacitor", 4.7e-12, 1e-09, "from memory (9 = x0.1)"),
    ("T2-eia96-24C", "24C", "smd", 17400.0, 1e-09, "EIA-96 marking, seen in source"),
    ("T2-eia96-12A", "12A", "smd", 130.0, 1e-09, "EIA-96 marking, seen in source"),
    ("T2-eia96-96A", "96A", "smd", 976.0, 1e-09, "EIA-96 marking, seen in source"),
    ("T2-eia96-68X", "68X", "smd", 49.9, 1e-09, "EIA-96 marking, seen in source (68->499)"),
    ("T2-eia96-42A", "42A", "smd", 267.0, 1e-09, "computed (one public table misprints 237)"),
    ("T2-eia96-25B", "25B", "smd", 1780.0, 1e-09, "EIA-96 marking, computed"),
    ("T2-eia96-01Z", "01Z", "smd", 0.1, 1e-09, "EIA-96 marking, computed"),
    ("T2-smd-561", "561", "smd", 560.0, 1e-09, "SMD code examples, seen in source"),
    ("T2-smd-223", "223", "smd", 22000.0, 1e-09, "SMD code examples, seen in source"),
    ("T2-smd-1R2", "1R2", "smd", 1.2, 1e-09, "SMD code examples, seen in source"),
    ("T2-smd-8663", "8663", "smd", 866000.0, 1e-09, "SMD code examples, seen in source"),
    ("T2-smd-0R47", "0R47", "smd", 0.47, 1e-09, "SMD code examples, seen in source"),
    (
        "T2-smd-12R0",
        "12R0",
        "smd",
        12.0,
        1e-09,
        "SMD code examples, instrument manual appendix, seen in source",
    ),
)
"""Id, code, kind, value in SI, tolerance, source."""

WITH_TOLERANCE = (
    ("T2-rkm-4M7J", "4M7J", 4700000.0, 5.0, "IEC 60062 letter J, seen in secondary tables"),
    ("T2-rkm-R33M", "R33M", 0.33, 20.0, "IEC 60062: last letter M is tolerance, not mega, from memory"),
)
"""Id, code, ohms, percent (all exact), source."""

LETTERS = (
    ("T2-ctol-G", "G", -2.0, 2.0, "tolerance letter tables (several agree), seen in source"),
    ("T2-ctol-J", "J", -5.0, 5.0, "tolerance letter tables (several agree), seen in source"),
    ("T2-ctol-K", "K", -10.0, 10.0, "tolerance letter tables (several agree), seen in source"),
    ("T2-ctol-P", "P", 0.0, 100.0, "tolerance letter tables (several agree), seen in source"),
)
"""Id, letter on a capacitor from 10 pF up, percent below and above, source."""

LETTERS_PF = (
    ("T2-ctolpf-B", "B", -0.1, 0.1, "tolerance letter tables (several agree), seen in source"),
    ("T2-ctolpf-C", "C", -0.25, 0.25, "tolerance letter tables (several agree), seen in source"),
)
"""Id, letter on a capacitor below 10 pF, picofarads below and above, source."""

DATES = (
    ("T2-date-A5", "A5", (1990, 2010), "May", "IEC 60062 20-year-cycle 2-character code, from memory"),
    ("T2-date-XD", "XD", (2009, 2029), "December", "IEC 60062 20-year-cycle 2-character code, from memory"),
)
"""Id, code, years, month, source."""
