"""The exponential pair behind one volt per octave, and why its scale moves with temperature.

Formulas only; what they mean for a trimmer is said by the tracking calculator.
"""

from __future__ import annotations

from kb.formulas import Expression

KELVIN = 1.0
"""T_0 in the formulas: one kelvin, so that a coefficient per kelvin is a plain number."""

REFERENCE_K = 300.0
THERMAL_AT_REFERENCE_V = 1.380649e-23 * REFERENCE_K / 1.602176634e-19
"""k T / q at 300 K, from the exact constants of the SI (CODATA 2018)."""

THERMAL_VOLTAGE = Expression("V_r * T / T_r")
OCTAVE_VOLTAGE = Expression("V_T * ln(2)")
"""The base voltage that doubles the current: the 18 mV per octave of the workshop."""

CURRENT_RATIO = Expression("exp(V_b / V_T)")
IDEAL_COEFFICIENT = Expression("T_0 / T")
"""What a compensating resistor should rise by per kelvin at the temperature T."""

IDEAL_TEMPERATURE = Expression("T_0 / k")
"""Where a compensating resistor of coefficient `k` per kelvin is exactly right."""

DRIFT = Expression("1200 * ((1 + k * (T_2 - T_1) / T_0) * T_1 / T_2 - 1)")
"""How far the scale moves from T_1 to T_2, in cents per octave; `k` is the compensation per kelvin."""


def thermal_voltage(kelvin: float) -> float:
    """The thermal voltage k T / q in volt."""
    return THERMAL_VOLTAGE.evaluate({"V_r": THERMAL_AT_REFERENCE_V, "T_r": REFERENCE_K, "T": kelvin})
