"""Formulas of a rectifier with a reservoir in their simple form, and the ones that bound it.

The simple form takes the winding for ideal and the current for constant between two peaks; it flatters the
valley. `supply_solution` does it in time.
"""

from __future__ import annotations

from kb.formulas import Expression

BRIDGE, CENTRE_TAP, HALF_WAVE = "bridge", "centre_tap", "half_wave"
RECTIFIERS = (BRIDGE, CENTRE_TAP, HALF_WAVE)

DIODES = {BRIDGE: 2, CENTRE_TAP: 1, HALF_WAVE: 1}
"""Diodes that the current passes in series."""

PULSES = {BRIDGE: 2, CENTRE_TAP: 2, HALF_WAVE: 1}
"""Charging pulses in each period of the mains."""

REVERSE = {BRIDGE: 1, CENTRE_TAP: 2, HALF_WAVE: 2}
"""How many peaks of the winding a diode must block (textbook)."""

PEAK = "sqrt(2) * {volts} - n * V_D"
LOW_MAINS = Expression("V_s * (1 - d_l)")
HIGH_MAINS = Expression("V_s * (1 + d_h)")
RIPPLE = Expression("I / (m * f * C)")
REVERSE_PEAK = Expression("k * sqrt(2) * V_s")
REJECTED = Expression("V_r / 10 ** (A_r / 20)")
INRUSH = Expression("sqrt(2) * V_h / R_s")

RESERVOIR = Expression("I * arccos(-(V_p - V_r) / V_p) / (2 * pi * f * V_r)")
"""The reservoir for a ripple when the time of conduction is counted and the winding is ideal; full wave."""


def peak(volts: str) -> Expression:
    """The reservoir's peak on a winding of `volts`, a name or a formula."""
    return Expression(PEAK.format(volts=volts))
