"""How far a Schmitt oscillator may lie while its thresholds keep every limit of the data sheet.

The two thresholds are not free of each other: the hysteresis has limits too. The least and greatest factor
lie at a corner of the allowed region or on its slanted edges; all of those are tried, none is guessed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from kb.calculators.astable_devices import Level, Oscillator, SchmittSheet, Thresholds
from kb.calculators.astable_formulas import FACTOR, FACTOR_HIGH, FACTOR_LOW, SCHMITT_FORM
from kb.calculators.working import Band

# A corner that misses a limit by a rounding error keeps it.
_SAME_V = 1e-9


@dataclass(frozen=True)
class Gate:
    """A Schmitt inverter at a supply: its thresholds there and the levels of its output."""

    thresholds: Thresholds
    high_v: float
    low_v: float

    @property
    def typical(self) -> dict[str, float] | None:
        """The levels a formula needs, None where the sheet gives limits alone."""
        rising, falling = self.thresholds.rising.typical, self.thresholds.falling.typical
        return None if rising is None or falling is None else self._levels(rising, falling)

    def spread(self) -> dict[str, Band]:
        """The least and greatest of each factor, and of the duty under `D`."""
        found = [self._factors(*point) for point in self._points()]
        return {name: (min(f[name] for f in found), max(f[name] for f in found)) for name in found[0]}

    def _levels(self, rising: float, falling: float) -> dict[str, float]:
        return {"V_H": self.high_v, "V_L": self.low_v, "V_P": rising, "V_N": falling}

    def _factors(self, rising: float, falling: float) -> dict[str, float]:
        levels = self._levels(rising, falling)
        found = {"k_H": FACTOR_HIGH.evaluate(levels), "k_L": FACTOR_LOW.evaluate(levels)}
        found["k"] = FACTOR.evaluate(found)
        return {**found, "D": SCHMITT_FORM.duty.evaluate(found)}

    def _points(self) -> Iterator[tuple[float, float]]:
        """Every place where a factor can be least or greatest, as rising and falling threshold.

        Both factors grow as the thresholds move apart and the duty grows as either rises, so the corners
        are enough; along an edge of fixed hysteresis the period is least in the middle of the swing.
        """
        limits = self.thresholds
        for rising in (limits.rising.least, limits.rising.greatest):
            for falling in (limits.falling.least, limits.falling.greatest):
                if self._keeps(rising - falling):
                    yield rising, falling
        for wide in (limits.least_hysteresis_v, limits.greatest_hysteresis_v):
            if wide is not None:
                yield from self._edge(wide)

    def _keeps(self, hysteresis_v: float) -> bool:
        most = self.thresholds.greatest_hysteresis_v
        is_wide_enough = hysteresis_v >= self.thresholds.least_hysteresis_v - _SAME_V
        return is_wide_enough and (most is None or hysteresis_v <= most + _SAME_V)

    def _edge(self, wide: float) -> Iterator[tuple[float, float]]:
        limits = self.thresholds
        low = max(limits.falling.least, limits.rising.least - wide)
        high = min(limits.falling.greatest, limits.rising.greatest - wide)
        if low <= high:
            middle = min(max((self.high_v + self.low_v - wide) / 2, low), high)
            yield from ((falling + wide, falling) for falling in (low, middle, high))


def gate(device: Oscillator, sheet: SchmittSheet, supply_v: float) -> Gate:
    """The sheet's thresholds at the published supply nearest to ours; for CMOS in proportion to ours."""
    found = published(sheet, supply_v)
    if device.output_v:
        return Gate(found, *device.output_v)
    return Gate(_scaled(found, supply_v / found.supply_v), supply_v, 0.0)


def published(sheet: SchmittSheet, supply_v: float) -> Thresholds:
    """The row of the sheet whose supply is nearest."""
    return min(sheet.thresholds, key=lambda row: abs(row.supply_v - supply_v))


def _scaled(limits: Thresholds, factor: float) -> Thresholds:
    most = limits.greatest_hysteresis_v
    return replace(
        limits,
        rising=_level(limits.rising, factor), falling=_level(limits.falling, factor),
        least_hysteresis_v=limits.least_hysteresis_v * factor,
        greatest_hysteresis_v=None if most is None else most * factor,
    )  # fmt: skip


def _level(level: Level, factor: float) -> Level:
    typical = None if level.typical is None else level.typical * factor
    return Level(level.least * factor, typical, level.greatest * factor)
