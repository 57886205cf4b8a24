"""One one-shot as it stands in the circuit: the chosen data sheet's formula, solved with its bands."""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.one_shot_devices import Device, Sheet, Spread
from kb.calculators.one_shot_names import device, maker_by_letters
from kb.calculators.one_shot_timing import CAPACITOR, PULSE, RESISTOR, Timing
from kb.calculators.reading import Given
from kb.calculators.working import Band, corners
from kb.problems import did_you_mean


@dataclass(frozen=True)
class Parts:
    """The resistor, capacitor and pulse of one working point, in SI."""

    resistor: float
    capacitor: float
    pulse: float

    def values(self) -> dict[str, float]:
        """What they are called in a formula."""
        return {"R": self.resistor, "C": self.capacitor, "t": self.pulse}

    def of(self, what: str) -> float:
        """One of the three by its key."""
        return {RESISTOR: self.resistor, CAPACITOR: self.capacitor, PULSE: self.pulse}[what]


@dataclass(frozen=True)
class Circuit:
    """The device, the sheet and the formula that were chosen, at a supply."""

    given: Given
    device: Device
    sheet: Sheet
    timing: Timing
    supply_v: float
    has_diode: bool

    @property
    def spread(self) -> Spread | None:
        """The published spread of the circuit at the supply nearest to ours."""
        return min(self.device.spreads, key=lambda item: abs(item.supply_v - self.supply_v), default=None)

    def solve(self, what: str, values: dict[str, float]) -> float:
        """The pulse, resistor or capacitor from the other two."""
        return self.timing.form.solved_for(what).evaluate({**values, **self.timing.constants(self.supply_v)})

    def pulse_band(self, parts: Parts) -> Band:
        """The shortest and longest pulse with parts and circuit anywhere in their tolerance."""
        bands = {
            "R": self.given.band(RESISTOR, parts.resistor),
            "C": self.given.band(CAPACITOR, parts.capacitor),
        }
        values = {**parts.values(), **self.timing.constants(self.supply_v)}
        low, high = corners(self.timing.form.pulse, values, bands)
        spread = self.spread
        return (low * spread.low, high * spread.high) if spread else (low, high)

    def part_band(self, what: str, parts: Parts) -> Band:
        """A given part's own tolerance; for one that is solved for, how far it may have to be trimmed."""
        if self.given.solved_for != what:
            return self.given.band(what, parts.of(what))
        other, letter = (CAPACITOR, "C") if what == RESISTOR else (RESISTOR, "R")
        spread = self.spread or Spread(1.0, 1.0, "")
        bands = {letter: self.given.band(other), "t": (parts.pulse / spread.high, parts.pulse / spread.low)}
        values = {**parts.values(), **self.timing.constants(self.supply_v)}
        return corners(self.timing.form.solved_for(what), values, bands)


def choose(given: Given) -> Circuit:
    """The device, data sheet and formula that `given` asks for; CalculationError for an unknown maker."""
    chosen = device(given.word("device"))
    sheet = _sheet(given, chosen)
    has_diode = given.word("diode") == "yes"
    timing = sheet.with_diode if has_diode and sheet.with_diode else sheet.timing
    return Circuit(given, chosen, sheet, timing, given.value("supply"), has_diode)


def _sheet(given: Given, chosen: Device) -> Sheet:
    makers = {sheet.maker.lower(): sheet for sheet in chosen.sheets}
    if not given.has("maker"):
        letters = maker_by_letters(given.texts["device"]) or ""
        return makers.get(letters.lower(), chosen.sheets[0])
    wanted = given.word("maker")
    if wanted.lower() not in makers:
        known = [sheet.maker for sheet in chosen.sheets]
        what = f'there is no sheet by "{wanted}" for a {chosen.name}'
        raise CalculationError(InputProblem("maker", what, did_you_mean(wanted, known)))
    return makers[wanted.lower()]
