"""One one-shot as it stands in the circuit: the device, and whose formula is used for it."""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.one_shot_devices import Device, Sheet
from kb.calculators.one_shot_names import device, maker_by_letters
from kb.calculators.one_shot_timing import CAPACITOR, PULSE, RESISTOR, Timing
from kb.calculators.reading import Given
from kb.problems import did_you_mean

NAME = {RESISTOR: "R", CAPACITOR: "C", PULSE: "t"}
"""What the three are called in the formulas."""

DIMENSION = {RESISTOR: "resistance", CAPACITOR: "capacitance", PULSE: "time"}
SERIES_FOR = {RESISTOR: "E24", CAPACITOR: "E6"}


@dataclass(frozen=True)
class Circuit:
    """The device, the sheet and the formula that were chosen."""

    given: Given
    device: Device
    sheet: Sheet
    timing: Timing
    has_diode: bool

    @property
    def solved(self) -> str:
        """Which of resistor, capacitor and pulse is solved for."""
        return self.given.solved_for or PULSE

    @property
    def part(self) -> str:
        """Which part is taken from a series."""
        return CAPACITOR if self.solved == CAPACITOR else RESISTOR

    @property
    def series(self) -> str:
        """The series it is taken from."""
        return self.given.word("series") if self.given.has("series") else SERIES_FOR[self.part]

    def of(self, sheet: Sheet) -> Timing:
        """The formula of another sheet for this circuit."""
        return sheet.with_diode if self.has_diode and sheet.with_diode else sheet.timing


def choose(given: Given) -> Circuit:
    """The device, data sheet and formula that `given` asks for; CalculationError for an unknown maker."""
    chosen = device(given.word("device"))
    sheet = _sheet(given, chosen)
    has_diode = given.word("diode") == "yes"
    timing = sheet.with_diode if has_diode and sheet.with_diode else sheet.timing
    return Circuit(given, chosen, sheet, timing, has_diode)


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
