"""The formulas of the three kinds of oscillator, each solved for its timing resistor too."""

from __future__ import annotations

from dataclasses import dataclass

from kb.formulas import Expression


@dataclass(frozen=True)
class Form:
    """One circuit: times in a period, and the resistor that makes a wanted frequency `f`.

    `solves` names the resistor that the last formula yields.
    """

    high: Expression
    low: Expression
    period: Expression
    frequency: Expression
    duty: Expression
    resistor: Expression
    solves: str


TIMER_FORM = Form(
    high=Expression("ln(2) * (R_A + R_B) * C"),
    low=Expression("ln(2) * R_B * C"),
    period=Expression("ln(2) * (R_A + 2 * R_B) * C"),
    frequency=Expression("1 / (ln(2) * (R_A + 2 * R_B) * C)"),
    duty=Expression("(R_A + R_B) / (R_A + 2 * R_B)"),
    resistor=Expression("(1 / (ln(2) * f * C) - R_A) / 2"),
    solves="R_B",
)
"""The 555: charged through both resistors and discharged through one, between a third and two thirds."""

SCHMITT_FORM = Form(
    high=Expression("R * C * k_H"),
    low=Expression("R * C * k_L"),
    period=Expression("R * C * k"),
    frequency=Expression("1 / (R * C * k)"),
    duty=Expression("k_H / k"),
    resistor=Expression("1 / (f * C * k)"),
    solves="R",
)
"""A Schmitt inverter: the factors come from its thresholds and its output levels."""

FACTOR_HIGH = Expression("ln((V_H - V_N) / (V_H - V_P))")
FACTOR_LOW = Expression("ln((V_P - V_L) / (V_N - V_L))")
FACTOR = Expression("k_H + k_L")

OPAMP_FORM = Form(
    high=Expression("R * C * ln((1 + b) / (1 - b))"),
    low=Expression("R * C * ln((1 + b) / (1 - b))"),
    period=Expression("2 * R * C * ln((1 + b) / (1 - b))"),
    frequency=Expression("1 / (2 * R * C * ln((1 + b) / (1 - b)))"),
    duty=Expression("1 / 2"),
    resistor=Expression("1 / (2 * f * C * ln((1 + b) / (1 - b)))"),
    solves="R",
)
"""An op-amp with a part `b` of its output fed back to the other input, between symmetric levels."""

RELAX = Expression("V_E - (V_E - V_0) * exp(-t / tau)")
"""The capacitor's voltage on its way from V_0 to V_E."""

DIMENSIONS = {
    "R": "resistance", "R_A": "resistance", "R_B": "resistance", "C": "capacitance", "f": "frequency",
    "k": "number", "k_H": "number", "k_L": "number", "b": "ratio", "V_H": "voltage", "V_L": "voltage",
    "V_P": "voltage", "V_N": "voltage", "V_E": "voltage", "V_0": "voltage", "t": "time", "tau": "time",
}  # fmt: skip
"""The dimension of every name the formulas use."""
