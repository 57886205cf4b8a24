"""Check values for dividers and tolerance stacks (topic 11) and for series resistors (topic 13)."""

from __future__ import annotations

from tests.reference.checks import Check

_TENS = {"input": "10 V", "upper": "10k", "lower": "10k", "tolerance": "5 %"}

DIVIDERS = (
    Check(
        "T11-div-wc-min", _TENS, "worst_low", 4.75, 1e-09,
        "worst case (extreme value), two 5 % resistors, computed by corner enumeration",
    ),
    Check(
        "T11-div-wc-max", _TENS, "worst_high", 5.25, 1e-09,
        "worst case (extreme value), two 5 % resistors, computed by corner enumeration",
    ),
    Check(
        "T11-div-rss", _TENS, "statistical", 0.1767766952966369, 1e-09,
        "RSS: sensitivity V*R1/(R1+R2)^2*dR each, computed",
    ),
    Check(
        "T11-atten-wc", {"input": "12 V", "upper": "100k", "lower": "47k", "tolerance": "1 %"}, "worst_high",
        3.889124052707039, 1e-09, "1 % attenuator, computed by corner enumeration",
    ),
)  # fmt: skip

SERIES_RESISTORS = (
    Check(
        "T13-led-p", {"supply": "12 V", "drop": "2.0 V", "current": "10 mA"}, "power", 0.1, 1e-09,
        "I^2 R, computed",
    ),
)  # fmt: skip

STACK = ("T11-stack-exact", (0.01, 0.05, 0.20), 0.2726, 1e-09, "exact product of 1 %, 5 % and 20 %, computed")
"""Id, tolerances, how far their product may lie above its nominal value, tolerance, source."""
