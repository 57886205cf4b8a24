"""The simple form of a supply as a plan: peak, ripple, valley, and what the regulator makes of them.

It flatters the valley, and its notes say so; no note here may call a supply safe to work on.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.plan import Band, Comparison, Condition, Plan, Refusal, Shown, Step
from kb.calculators.plan_parts import tolerance, variable
from kb.calculators.reading import Given
from kb.calculators.supply_advice import (
    ASSUMED,
    CAUTIONS,
    EMPTIED,
    FAILS,
    FAILS_LOW,
    HOT,
    HOT_HIGH,
    LARGE_LOAD,
    LARGE_RIPPLE,
    MARGINAL,
    NO_PART,
    NO_SIGN,
    ON_PAPER,
    OVER_RATING,
    OVER_REGULATOR,
    SIMPLE_FLATTERS,
    TOO_LOW,
)
from kb.calculators.supply_formulas import (
    DIODES,
    HIGH_MAINS,
    LOW_MAINS,
    PULSES,
    REJECTED,
    REVERSE,
    REVERSE_PEAK,
    RIPPLE,
    peak,
)
from kb.calculators.supply_regulators import NONE, REGULATORS, Regulator
from kb.calculators.tolerances import PartTolerance
from kb.formulas import Expression

Over = dict[str, PartTolerance]
"""The tolerances by formula name."""

NAMES = {
    "secondary": "V_s", "capacitor": "C", "load": "I", "mains_frequency": "f", "diode_drop": "V_D",
    "mains_low": "d_l", "mains_high": "d_h", "capacitor_rating": "V_C", "least_input": "V_n",
    "regulated": "V_g", "source_resistance": "R_s",
}  # fmt: skip
SIMPLE_INPUTS = tuple(key for key in NAMES if key != "source_resistance")
SPREADING = ("secondary", "capacitor", "load", "diode_drop")
"""The inputs whose tolerance counts."""


# What the valley of the worst simulated supply lost against the simple form.
MOST_LOSS_V = 3.3
# A TO-220 case rises about 65 K for each watt without a heatsink (from memory).
BARE_CASE_W = 1.0
REGULATOR_MOST_V = 35.0
REGULATOR_MOST_A = 1.0


@dataclass(frozen=True)
class Demand:
    """What hangs on the reservoir: the regulator's figures, or what was written instead."""

    regulator: Regulator | None
    constants: dict[str, float]
    needs_input: bool
    has_output: bool


def demand(given: Given) -> Demand:
    """The regulator's figures unless others were written."""
    name = given.word("regulator") if given.has("regulator") else NONE
    regulator = REGULATORS.get(name)
    constants = {}
    if regulator is not None:
        if not given.has("least_input"):
            constants["V_n"] = regulator.least_input_v
        if not given.has("regulated"):
            constants["V_g"] = regulator.output_v
        if regulator.rejection_db is not None:
            constants["A_r"] = regulator.rejection_db
    known = set(constants) | {NAMES[key] for key in ("least_input", "regulated") if given.has(key)}
    return Demand(regulator, constants, "V_n" in known, "V_g" in known)


def plan_of(given: Given, wants: Demand) -> Plan:
    """The simple form as data."""
    rectifier = given.word("rectifier")
    over = {NAMES[key]: tolerance(given, key) for key in SPREADING}
    constants = {"n": DIODES[rectifier], "m": PULSES[rectifier], "k": REVERSE[rectifier], **wants.constants}
    return Plan(
        tuple(variable(given, key, NAMES[key]) for key in SIMPLE_INPUTS if given.has(key)),
        (*_reservoir(over), *_regulated(wants, over)),
        {name: float(value) for name, value in constants.items()},
        conditions(given, wants) + _simple_conditions(wants),
        _mains_refusals(),
        assumed=frozenset({"capacitor"} if given.is_assumed("capacitor") else ()),
    )


def _mains_refusals() -> tuple[Refusal, ...]:
    """The mains may be off by some part, written without a sign."""
    return tuple(
        Refusal(
            (Comparison.read(f"{NAMES[key]} {bound}"),), key, NO_PART, NO_SIGN,
            {"part": Shown(NAMES[key], "ratio", 6)},
        )
        for key in ("mains_low", "mains_high")
        for bound in ("< 0", ">= 1")
    )  # fmt: skip


def _reservoir(over: Over) -> tuple[Step, ...]:
    low, high = f"({LOW_MAINS.text})", f"({HIGH_MAINS.text})"
    ripple = f"{RIPPLE.text}"
    too_low = Refusal(
        (Comparison.read("V_p <= 0"),), "secondary", TOO_LOW, "give the r.m.s. voltage of the winding"
    )
    emptied = Refusal(
        (Comparison.read("V_v <= 0"),), "capacitor", EMPTIED, "give a larger capacitor or a smaller load",
        {"ripple": Shown("V_r", "voltage")},
    )  # fmt: skip

    def banded(name: str, text: str, key: str, full: str, *refusals: Refusal) -> Step:
        return Step(name, Expression(text), "voltage", key, Band(Expression(full), over), refusals=refusals)

    nominal, at_low = peak("V_s").text, peak(low).text
    return (
        banded("V_p", nominal, "peak", nominal, too_low),
        banded("V_r", ripple, "ripple", ripple),
        banded("V_v", "V_p - V_r", "valley", f"{nominal} - {ripple}", emptied),
        banded("V_vl", f"{at_low} - V_r", "valley_at_low_mains", f"{at_low} - {ripple}"),
        banded("V_o", f"sqrt(2) * {high}", "peak_at_high_mains", f"sqrt(2) * {high}"),
        banded("V_i", REVERSE_PEAK.text, "peak_inverse", REVERSE_PEAK.text),
        banded("V_ih", "V_i * (1 + d_h)", "peak_inverse_at_high_mains", f"{REVERSE_PEAK.text} * (1 + d_h)"),
    )


def _regulated(wants: Demand, over: Over) -> tuple[Step, ...]:
    """Headroom and heat, as far as the regulator is known."""
    nominal, at_low, at_high = (
        peak(volts).text for volts in ("V_s", f"({LOW_MAINS.text})", f"({HIGH_MAINS.text})")
    )
    steps: list[Step] = []

    def banded(name: str, text: str, dimension: str, key: str, full: str) -> None:
        steps.append(Step(name, Expression(text), dimension, key, Band(Expression(full), over)))

    if wants.needs_input:
        banded("h", "V_v - V_n", "voltage", "headroom", f"{nominal} - {RIPPLE.text} - V_n")
        full = f"{at_low} - {RIPPLE.text} - V_n"
        banded("h_l", "V_vl - V_n", "voltage", "headroom_at_low_mains", full)
        worst = Expression(full)
        steps.append(Step("h_w", worst, "voltage", band=Band(worst, over), corner="least"))
    if wants.has_output:
        heat = "max(0 * V_g, {peak} - {ripple} / 2 - V_g) * I"
        full = heat.format(peak=nominal, ripple=RIPPLE.text)
        banded("P", heat.format(peak="V_p", ripple="V_r"), "power", "dissipation", full)
        full = heat.format(peak=at_high, ripple=RIPPLE.text)
        text = heat.format(peak=at_high, ripple="V_r")
        banded("P_h", text, "power", "dissipation_at_high_mains", full)
    if "A_r" in wants.constants:
        banded("V_ro", REJECTED.text, "voltage", "output_ripple", f"{RIPPLE.text} / 10 ** (A_r / 20)")
    return tuple(steps)


def conditions(given: Given, wants: Demand) -> tuple[Condition, ...]:
    """The cautions that always stand here, and the notes on ratings."""
    found = [Condition.whenever("warning", text) for text in CAUTIONS]
    if wants.needs_input:
        found += [
            Condition.whenever("warning", FAILS, Comparison.read("h < 0")),
            Condition.whenever("warning", FAILS_LOW, Comparison.read("h_l < 0"), Comparison.read("h >= 0")),
            Condition.whenever("warning", MARGINAL, Comparison.read("h_w < 0"), Comparison.read("h_l >= 0")),
        ]
    if wants.has_output:
        hot, hot_high = Comparison.read(f"P > {BARE_CASE_W}"), Comparison.read(f"P_h > {BARE_CASE_W}")
        found += [
            Condition.whenever("warning", HOT, hot),
            Condition.whenever("warning", HOT_HIGH, hot_high, Comparison.read(f"P <= {BARE_CASE_W}")),
        ]
    if wants.regulator is not None:
        found += [
            Condition.whenever("warning", OVER_REGULATOR, Comparison.read(f"V_o > {REGULATOR_MOST_V}")),
            Condition.whenever("warning", LARGE_LOAD, Comparison.read(f"I > {REGULATOR_MOST_A}")),
        ]
    if given.has("capacitor_rating"):
        found.append(Condition.whenever("warning", OVER_RATING, Comparison.read("V_o > V_C")))
    return (*found, Condition.whenever("note", ASSUMED, assumed="capacitor"))


def _simple_conditions(wants: Demand) -> tuple[Condition, ...]:
    found = [Condition.whenever("note", LARGE_RIPPLE, Comparison.read("V_r > V_p / 5"))]
    if wants.needs_input:
        bounds = (Comparison.read("h_l >= 0"), Comparison.read(f"h_l < {MOST_LOSS_V}"))
        found.append(Condition.whenever("warning", ON_PAPER, *bounds))
    return (*found, Condition.whenever("note", SIMPLE_FLATTERS))
