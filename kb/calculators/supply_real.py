"""A supply solved in time at nominal, low and high mains, with the bands its parts allow.

Used when the winding's resistance is known; the results take the place of the simple ones, which stay
beside them for comparison.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.reading import Given
from kb.calculators.supply_advice import OVERLOADED
from kb.calculators.supply_formulas import DIODES, HIGH_MAINS, INRUSH, LOW_MAINS, PULSES
from kb.calculators.supply_solution import Circuit, Waveform, steady_state
from kb.calculators.tolerances import PartTolerance
from kb.calculators.working import Band, shown

SQRT2 = 2**0.5
PARTS = ("secondary", "capacitor", "load", "source_resistance")
LEVELS = ("nominal", "low", "high")


@dataclass(frozen=True)
class Solved:
    """The waveforms at each mains level, and those at every corner of the parts' tolerances."""

    nominal: Waveform
    low: Waveform
    high: Waveform
    corners: Mapping[str, tuple[Waveform, ...]]
    inrush_a: float

    def at(self, level: str) -> Waveform:
        """The waveform with every part at its value."""
        return {"nominal": self.nominal, "low": self.low, "high": self.high}[level]

    def band(self, level: str, of: Callable[[Waveform], float]) -> Band:
        """The least and greatest of something over all corners."""
        found = [of(waveform) for waveform in self.corners[level]]
        return min(found), max(found)


def solve(given: Given) -> Solved:
    """Solve the supply at every mains level; CalculationError when the winding can't give the load."""
    values = {key: given.value(key) for key in PARTS}
    at = {level: _waveform(given, values, level) for level in LEVELS}
    spread = {key: given.tolerance(key) for key in PARTS}
    corners = {
        level: tuple(_waveform(given, corner, level) for corner in _corners(values, spread))
        for level in LEVELS
    }
    high_v = HIGH_MAINS.evaluate({"V_s": values["secondary"], "d_h": given.value("mains_high")})
    inrush = INRUSH.evaluate({"V_h": high_v, "R_s": values["source_resistance"]})
    return Solved(at["nominal"], at["low"], at["high"], corners, inrush)


def _corners(values: Mapping[str, float], spread: Mapping[str, PartTolerance]) -> list[dict[str, float]]:
    names = [name for name, (minus, plus) in spread.items() if minus or plus]
    ends = [(values[name] * (1 - spread[name][0]), values[name] * (1 + spread[name][1])) for name in names]
    return [{**values, **dict(zip(names, corner, strict=True))} for corner in itertools.product(*ends)]


def _waveform(given: Given, values: Mapping[str, float], level: str) -> Waveform:
    secondary_v = values["secondary"]
    if level == "low":
        secondary_v = LOW_MAINS.evaluate({"V_s": secondary_v, "d_l": given.value("mains_low")})
    elif level == "high":
        secondary_v = HIGH_MAINS.evaluate({"V_s": secondary_v, "d_h": given.value("mains_high")})
    rectifier = given.word("rectifier")
    found = steady_state(
        Circuit(
            source_peak_v=SQRT2 * secondary_v,
            frequency_hz=given.value("mains_frequency"),
            source_ohm=values["source_resistance"],
            diodes=DIODES[rectifier],
            is_full_wave=PULSES[rectifier] == 2,
            farad=values["capacitor"],
            load_a=values["load"],
        )
    )
    if found is None:
        what = OVERLOADED.format(ohm=shown(values["source_resistance"], "resistance"))
        raise CalculationError(InputProblem("load", what, "check the load, the capacitor and the winding"))
    return found
