"""Check values for preferred values (topic 1)."""

from __future__ import annotations

from tests.reference.checks import Check

IEC = "IEC 60063:2015 (as tabulated by public E-series tables)"

LENGTHS = (("T1-len-E24", 24, 24, IEC),)

DEVIATIONS = (
    ("T1-e24-dev", 24, "26>27,29>30,32>33,35>36,38>39,42>43,46>47,83>82", IEC),
    ("T1-e48-dev", 48, "none", IEC),
    ("S1-e12-dev", 12, "26>27,32>33,38>39,46>47,83>82", IEC),
    ("S1-e6-dev", 6, "32>33,46>47", IEC),
    ("S1-e96-dev", 96, "none", IEC),
    ("S1-e192-dev", 192, "919>920", IEC),
)

OVERLAPS = (
    ("T1-overlap-E48", 48, "10,11,75", IEC),
    ("T1-overlap-E96", 96, "10,11,13,15,20,75", IEC),
    ("T1-overlap-E192", 192, "10,11,12,13,15,16,18,20,24,47,75", IEC),
)

PREFERRED = (
    Check("T1-ge-e96-184", {"value": "184 ohm", "series": "E96"}, "above", 187.0, 0, "eseries documentation"),
    Check(
        "T1-near-e96-16834.2", {"value": "16834.2 ohm", "series": "E96"}, "nearest", 16900.0, 1e-9,
        "16.8342k gives 16.9k in a public help text as well",
    ),
    Check("T1-near-e192-9200", {"value": "9.2k", "series": "E192"}, "nearest", 9200.0, 1e-9, "eseries 1.2.1"),
    Check(
        "T1-rule-log-12.4", {"value": "12.4 ohm", "series": "E6", "rule": "ratio"}, "nearest", 15.0, 1e-9,
        "the rules disagree here, computed",
    ),
    Check(
        "S1-rule-arithmetic-12.4", {"value": "12.4 ohm", "series": "E6"}, "nearest", 10.0, 1e-9,
        "the rules disagree here, computed",
    ),
    Check(
        "S1-tie-11", {"value": "11 ohm", "series": "E12"}, "nearest", 12.0, 1e-9,
        "an exact arithmetic tie; the ratio rule gives 12",
    ),
    Check("S1-wrap-9.9", {"value": "9.9 ohm", "series": "E24"}, "nearest", 10.0, 1e-9, "the series wraps"),
)  # fmt: skip
