"""Check values for memory backup (topic 13)."""

from __future__ import annotations

from tests.reference.checks import Check

YEAR_S = 8766 * 3600

BACKUPS = (
    Check(
        "T13-batt-ret50", {"capacity": "225 mAh", "current": "50 uA"}, "life", 0.5133470225872689 * YEAR_S,
        1e-09, "older NMOS/CMOS RAM 50 uA, computed; a year is 8766 hours",
    ),
)  # fmt: skip

SPREAD_YEARS = (
    (
        "S13-typical",
        "capacity_life",
        342.0,
        5e-3,
        "0.1 uA typical, 300 mAh: years by capacity, published spread",
    ),
    ("S13-maximum", "life_at_max", 11.4, 5e-3, "3 uA maximum, 300 mAh: years, published spread"),
)
"""Id, result, years, tolerance, source."""
