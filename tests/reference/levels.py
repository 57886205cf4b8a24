"""Check values for gates, triggers and logic levels (topic 12)."""

from __future__ import annotations

from tests.reference.checks import Check

TABLES = "NTE7413 (std TTL), Fairchild DM74LS14, NSC CD4001/4011BC, Harris-TI CD74HC123 tables"


def _both(family: str, supply: str) -> dict[str, str]:
    return {"output_family": family, "input_family": family, "supply": supply}


MARGINS = (
    Check("T12-ttl-nmh", _both("ttl", "5 V"), "level_margin", 0.4, 1e-06, TABLES),
    Check("T12-ttl-nml", _both("ttl", "5 V"), "low_margin", 0.4, 1e-06, TABLES),
    Check("T12-ls-nml", _both("ls", "5 V"), "low_margin", 0.3, 1e-06, TABLES),
    Check("T12-hc-nmh", _both("hc", "4.5 V"), "level_margin", 0.83, 1e-06, TABLES),
    Check("S12-hc-nml", _both("hc", "4.5 V"), "low_margin", 1.09, 1e-06, TABLES),
    Check("S12-ls-nmh", _both("ls", "5 V"), "level_margin", 0.7, 1e-06, TABLES),
    Check("S12-cmosb-nmh", _both("cmos4000", "5 V"), "level_margin", 1.45, 1e-06, "NSC CD4001/4011BC"),
)  # fmt: skip

VERDICTS = (
    Check(
        "T12-ls-to-cd4000-5V",
        {"output_high": "2.7 V", "output_low": "0.5 V", "input_high": "3.5 V", "input_low": "1.5 V"},
        "verdict", "high level fails", 0, "logic level comparison, computed from seen levels",
    ),
    Check(
        "T12-ls-to-cd4000-5V", {"output_family": "ls", "input_family": "cmos4000"}, "verdict",
        "high level fails", 0, "the same by families",
    ),
    Check(
        "T12-cd4000-5V-to-ls",
        {"output_high": "4.6 V", "output_low": "0.4 V", "input_high": "2 V", "input_low": "0.8 V"},
        "verdict", "fits", 0, "logic level comparison, computed from seen levels",
    ),
    Check(
        "T12-gate10-to-cd4000-15V",
        {"output_high": "9.5 V", "output_low": "0.2 V", "input_family": "cmos4000", "supply": "15 V"},
        "verdict", "high level fails", 0, "logic level comparison, computed from seen levels",
    ),
    Check(
        "S12-ls-to-hc", {"output_family": "ls", "input_family": "hc", "supply": "4.5 V"}, "verdict",
        "high level fails", 0, "LS into HC fails on the high level, computed from seen levels",
    ),
    Check(
        "S12-ls-to-hct", {"output_family": "ls", "input_family": "hct"}, "verdict", "fits", 0,
        "LS into HCT is right, computed from seen levels",
    ),
)  # fmt: skip

FAN_OUT = (
    Check(
        "T12-fanout-cd4011-ls", {"output_family": "cmos4000", "input_family": "ls"}, "fan_out", 1, 0,
        "NSC CD4011BC IOL 0.44 mA against LS IIL 0.36-0.4 mA, seen in source",
    ),
    Check(
        "T12-fanout-cd4011-ttl", {"output_family": "cmos4000", "input_family": "ttl"}, "fan_out", 0, 0,
        "NTE7413 IIL -1.6 mA, seen in source",
    ),
)  # fmt: skip

PARTS_OF_SUPPLY = (
    ("T12-cmosb-5-vil", "input_low_v", 5.0, 0.3, 1e-04, "NSC CD4001/4011BC VIL 1.5/3/4"),
    ("T12-cmosb-10-vil", "input_low_v", 10.0, 0.3, 1e-04, "NSC CD4001/4011BC VIL 1.5/3/4"),
    ("T12-cmosb-15-vih", "input_high_v", 15.0, 0.733333, 1e-04, "NSC CD4001/4011BC VIH 3.5/7/11"),
    ("T12-cmosb-15-vil", "input_low_v", 15.0, 0.266667, 1e-04, "NSC CD4001/4011BC VIL 1.5/3/4"),
)
"""Id, level of the 4000 series, supply, part of it, tolerance, source."""

FACTS = (
    ("T12-fact-ttl_VIH", "ttl", 5.0, "input_high_v", 2.0, "SN74AHCT123A, CD74HCT"),
    ("T12-fact-ttl_VIH", "ls", 5.0, "input_high_v", 2.0, "SN74AHCT123A, CD74HCT"),
    ("T12-fact-ttl_VIH", "hct", 5.0, "input_high_v", 2.0, "SN74AHCT123A, CD74HCT"),
    ("T12-fact-ttl_VOH", "ttl", 5.0, "output_high_v", 2.4, "NTE7413 VOH at -0.8 mA"),
    ("T12-fact-ttl_VOL", "ttl", 5.0, "output_low_v", 0.4, "NTE7413 VOL at 16 mA"),
    ("T12-fact-ls_VOH", "ls", 5.0, "output_high_v", 2.7, "Fairchild DM74LS14 VOH at -0.4 mA"),
    ("T12-fact-hc45_VOH", "hc", 4.5, "output_high_v", 3.98, "Harris CD74HC123 table, -4 mA"),
    ("T12-fact-hc45_VOL", "hc", 4.5, "output_low_v", 0.26, "Harris CD74HC123 table, 4 mA"),
)
"""Id, family, supply, which level, volts, source."""
