"""Check values for comparators with hysteresis (topic 7)."""

from __future__ import annotations

from tests.reference.checks import Check

THREE_RESISTORS = {
    "upper": "100k", "lower": "100k", "feedback": "576k", "supply": "5 V", "output_high": "5 V",
    "output_low": "0 V",
}  # fmt: skip
OPEN_COLLECTOR = {
    "upper": "10k", "lower": "10k", "feedback": "100k", "supply": "12 V", "output_high": "12 V",
    "output_low": "0.2 V", "pullup": "2k2",
}  # fmt: skip
NON_INVERTING = {
    "topology": "non_inverting", "reference": "2.5 V", "input_resistor": "10k", "feedback": "100k",
    "output_high": "5 V",
}  # fmt: skip

COMPARATORS = (
    Check(
        "T7-inv-low", THREE_RESISTORS, "lower", 2.300607, 0.0005,
        "TI LMV331/LM339LV data sheets (three-resistor inverting hysteresis), simulated in ngspice",
    ),
    Check(
        "T7-inv-nominal", THREE_RESISTORS, "upper", 2.7, 0.001, "TI design example target 2.7 V, from memory",
    ),
    Check(
        "T7-inv-oc-high", OPEN_COLLECTOR, "upper", 6.280068, 0.0005,
        "open collector: pull-up adds to R3 when high (TI LM339LV 7.x), simulated in ngspice",
    ),
    Check("T7-inv-oc-low", OPEN_COLLECTOR, "lower", 5.723988, 0.0005, "same"),
    Check("T7-non-fall", NON_INVERTING, "lower", 2.2495, 0.0005, "simulated in ngspice"),
    Check(
        "T7-non-oc-rise",
        {
            "topology": "non_inverting", "reference": "6 V", "input_resistor": "10k", "feedback": "220k",
            "supply": "12 V", "pullup": "4k7", "output_low": "0 V",
        },
        "upper", 6.272879, 0.0005, "open collector low, simulated in ngspice",
    ),
    Check(
        "S7-hysteresis-eq8", {**NON_INVERTING, "reference": "1.25 V"}, "hysteresis", 0.5, 1e-12,
        "TI SNOS018G Eq 8: VCC R1/R2 with an ideal swing, seen in source",
    ),
)  # fmt: skip

NAMING = (
    "T7-naming", THREE_RESISTORS,
    "TI TLV3202 SBOS561C labels VA1 'lower', TLV9021 SNOSDA3F calls it high-to-low trip; seen in source",
)  # fmt: skip
