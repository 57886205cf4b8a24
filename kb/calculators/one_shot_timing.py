"""The forms a one-shot's timing formula takes on data sheets, each solved for pulse, resistor, capacitor.

Only the forms are here; which device has which, with what factor, is in `one_shot_devices`.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.formulas import Expression

PULSE, RESISTOR, CAPACITOR = "pulse", "resistor", "capacitor"
SYMBOLS = {"R0": "R_0", "V_1": "V_1", "t": "t_w"}
LEFT = {PULSE: "t_w", RESISTOR: "R", CAPACITOR: "C"}


@dataclass(frozen=True)
class Form:
    """One shape of formula, written once for each of the three things it can be solved for."""

    pulse: Expression
    resistor: Expression
    capacitor: Expression

    def solved_for(self, what: str) -> Expression:
        """The formula that yields the pulse, the resistor or the capacitor."""
        return {PULSE: self.pulse, RESISTOR: self.resistor, CAPACITOR: self.capacitor}[what]


PLAIN = Form(Expression("K * R * C"), Expression("t / (K * C)"), Expression("t / (K * R)"))
"""The common form."""

OFFSET = Form(
    Expression("K * C * (R + R0)"), Expression("t / (K * C) - R0"), Expression("t / (K * (R + R0))")
)
"""TTL: printed as K R C (1 + 0.7/R) with R in kilohms, which is 700 ohms in series with R."""

SUPPLY_LOG = Form(
    Expression("K * R * C * ln(V / V_1)"),
    Expression("t / (K * C * ln(V / V_1))"),
    Expression("t / (K * R * ln(V / V_1))"),
)
"""Grows with the supply V in volts; V_1 is one volt."""

TWO_THIRDS = Form(Expression("R * C * ln(3)"), Expression("t / (C * ln(3))"), Expression("t / (R * ln(3))"))
"""Charging from nothing to two thirds of the supply."""

TRANSFER = Form(
    Expression("R * C * ln(2 * (2 - v) / (v * (1 - v)))"),
    Expression("t / (C * ln(2 * (2 - v) / (v * (1 - v))))"),
    Expression("t / (R * ln(2 * (2 - v) / (v * (1 - v))))"),
)
"""A gate's transfer voltage decides; v is that voltage as a part of the supply."""


@dataclass(frozen=True)
class Timing:
    """A form with its numbers; `factors` are K at the supplies it is published for, in volts.

    One factor at supply 0 means that the supply does not matter.
    """

    form: Form
    factors: tuple[tuple[float, float], ...] = ()
    offset_ohm: float = 0.0
    transfer: float = 0.0

    @property
    def follows_supply(self) -> bool:
        """Whether other supplies have other factors."""
        return len(self.factors) > 1


def fixed(factor: float, form: Form = PLAIN, offset_ohm: float = 0.0) -> Timing:
    """A timing whose factor holds at any supply."""
    return Timing(form, ((0.0, factor),), offset_ohm)


DIMENSIONS = {
    "K": "number", "R": "resistance", "R0": "resistance", "C": "capacitance", "t": "time", "V": "voltage",
    "V_1": "voltage", "v": "number",
}  # fmt: skip
"""The dimension of every name the forms use."""


@dataclass(frozen=True)
class Retrigger:
    """How many nanoseconds after a trigger another one counts, with R_k in kilohms and C_p in picofarads."""

    nanoseconds: Expression
    document: str


RETRIGGER_TTL = Retrigger(Expression("0.22 * C_p"), "TI SDLA006: retriggers only from 0.22 ns per pF on")
RETRIGGER_HC = Retrigger(
    Expression("30 + 0.19 * R_k * C_p ** 0.9 + 13 * R_k ** 1.05"), "74HC123 data sheet: retrigger time"
)

TURN_OFF = Expression("V * C / I")
"""The fastest fall of the supply that keeps the current I out of the timing pin's diode."""
