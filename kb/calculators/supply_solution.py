"""Rectifier, winding resistance and reservoir in time: what the simple ripple formula leaves out.

The steady state is the waveform that ends a ripple period where it began. Steps are counted, not timed, so
no input can make this run long. The diode is that of a published model of a 1 A silicon rectifier.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from kb.formulas import Expression

DIODE = Expression("i * R + n * N_D * V_T * ln(1 + i / I_0)")
"""The voltage that source and capacitor must differ by for the current `i`."""

CHARGE = Expression("(i - I) / C")
"""How fast the reservoir's voltage rises."""

SATURATION_A = 7.03e-9
EMISSION = 1.808
DIODE_OHM = 0.034
THERMAL_V = 0.025864186  # k T / q at 27 °C

_STEPS = 800
_TRIES = 80
_CLOSE = 1e-10


@dataclass(frozen=True)
class Circuit:
    """A rectifier with its reservoir; `source_peak_v` is that of one conducting path, without load."""

    source_peak_v: float
    frequency_hz: float
    source_ohm: float
    diodes: int
    is_full_wave: bool
    farad: float
    load_a: float

    @property
    def period_s(self) -> float:
        """From one peak of the rectified voltage to the next."""
        return 1 / (self.frequency_hz * (2 if self.is_full_wave else 1))

    @property
    def path_ohm(self) -> float:
        """Winding and diodes together."""
        return self.source_ohm + self.diodes * DIODE_OHM

    def source_v(self, part: float) -> float:
        """The rectified source's voltage at a part of the ripple period, from its peak."""
        angle = (math.pi if self.is_full_wave else 2 * math.pi) * part
        value = math.cos(angle)
        return self.source_peak_v * (abs(value) if self.is_full_wave else value)


@dataclass(frozen=True)
class Waveform:
    """One ripple period in the steady state, from peak to peak of the source."""

    times_s: tuple[float, ...]
    volts: tuple[float, ...]
    amperes: tuple[float, ...]
    load_a: float

    @property
    def peak_v(self) -> float:
        """The highest voltage of the reservoir."""
        return max(self.volts)

    @property
    def valley_v(self) -> float:
        """The lowest."""
        return min(self.volts)

    @property
    def ripple_v(self) -> float:
        """From the lowest to the highest."""
        return self.peak_v - self.valley_v

    @property
    def mean_v(self) -> float:
        """The average, which the regulator's heat follows."""
        return math.fsum(self.volts[1:]) / (len(self.volts) - 1)

    @property
    def peak_a(self) -> float:
        """The highest current through winding and diodes."""
        return max(self.amperes)

    @property
    def ripple_a(self) -> float:
        """The r.m.s. current of the reservoir itself."""
        squares = ((current - self.load_a) ** 2 for current in self.amperes[1:])
        return math.sqrt(math.fsum(squares) / (len(self.amperes) - 1))


def steady_state(circuit: Circuit) -> Waveform | None:
    """The waveform that repeats; None when the source can't give the load at all."""
    low, high = 0.0, circuit.source_peak_v

    def gain(start_v: float) -> float:
        return _period(circuit, start_v).volts[-1] - start_v

    if gain(low) <= 0:
        return None
    found = _period(circuit, _root(gain, low, high))
    return found if found.valley_v > 0 else None


def current(across_v: float, ohm: float, diodes: int) -> float:
    """The current through `diodes` in series with `ohm` at `across_v`; none in reverse.

    Newton's method on ln(1 + i / I_0) from above, where the curve is convex and every step goes down.
    """
    if across_v <= 0:
        return 0.0
    slope = diodes * EMISSION * THERMAL_V
    log = min(across_v / slope, math.log1p(across_v / (SATURATION_A * ohm)))
    for _ in range(60):
        grown = SATURATION_A * math.exp(log)
        change = ((grown - SATURATION_A) * ohm + slope * log - across_v) / (grown * ohm + slope)
        log -= change
        if change <= 1e-12 * (1 + log):
            break
    return SATURATION_A * math.expm1(log)


def _period(circuit: Circuit, start_v: float) -> Waveform:
    """One ripple period from `start_v`, by the trapezoidal rule or, where that would ring, by Euler's."""
    step_s = circuit.period_s / _STEPS
    by_volt = step_s / circuit.farad
    weight = 0.5 if circuit.path_ohm * circuit.farad > step_s else 1.0
    ohm = circuit.path_ohm + weight * by_volt
    volts, amperes = [start_v], [current(circuit.source_v(0.0) - start_v, circuit.path_ohm, circuit.diodes)]
    for place in range(1, _STEPS + 1):
        drained = volts[-1] + by_volt * ((1 - weight) * amperes[-1] - circuit.load_a)
        flowing = current(circuit.source_v(place / _STEPS) - drained, ohm, circuit.diodes)
        amperes.append(flowing)
        volts.append(drained + weight * by_volt * flowing)
    times = tuple(place * step_s for place in range(_STEPS + 1))
    return Waveform(times, tuple(volts), tuple(amperes), circuit.load_a)


def _root(of: Callable[[float], float], low: float, high: float) -> float:
    """Where `of` passes from above to below zero, by false position with halved ends (Illinois)."""
    at_low, at_high, side = of(low), of(high), 0
    middle = low
    for _ in range(_TRIES):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        at = of(middle)
        if abs(at) < _CLOSE * high or high - low < _CLOSE * high:
            break
        if at > 0:
            low, at_low = middle, at
            at_high = at_high / 2 if side == 1 else at_high
            side = 1
        else:
            high, at_high = middle, at
            at_low = at_low / 2 if side == -1 else at_low
            side = -1
    return middle
