"""What a converter makes of each note: the code, the voltage and the error, by enumeration.

The half-step bound is what a continuous voltage could suffer; the notes themselves are listed one by
one because they may do better or worse than a rule of thumb. No text for a page is made here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kb.calculators.pitch import ERROR_CENTS, HERTZ_PER_VOLT, OCTAVE_V, TARGET
from kb.formulas import Expression

REFERENCE = "reference"
TOP_CODE = "top_code"

STEP = {
    REFERENCE: Expression("V_F / 2 ** N"),
    TOP_CODE: Expression("V_F / (2 ** N - 1)"),
}
"""The voltage of one step: the full scale is one step above the top code, or it is the top code."""

OUTPUT = Expression("k * V_s")
HALF_STEP_OCTAVE = Expression("600 * V_s / V_1")
# Below a note the same half step is more cents than above it, so this is the larger of the two.
HALF_STEP_HERTZ = Expression("1200 * log2(V_L / (V_L - V_s / 2))")

STEPS_OCTAVE = Expression("600 * V_F / (e * V_1)")
STEPS_HERTZ = Expression("V_F / (2 * V_L * (1 - 2 ** (-e / 1200)))")
"""How many steps the full scale must have for half of one to cost no more than `e` cents."""

# Codes exactly between two steps round up; a rounding error of the machine must not turn them down.
_FUZZ = 1e-9


@dataclass(frozen=True)
class Converter:
    """A converter driving a pitch input; `lowest_v` is the voltage of the lowest note."""

    standard: str
    convention: str
    bits: int
    full_scale_v: float
    lowest_v: float

    @property
    def step_v(self) -> float:
        """The voltage of one step."""
        return STEP[self.convention].evaluate({"V_F": self.full_scale_v, "N": self.bits})

    @property
    def top_code(self) -> int:
        """The largest code."""
        return (1 << self.bits) - 1

    @property
    def half_step_cents(self) -> float:
        """What half a step costs at the lowest note; FormulaError when half a step swallows that note."""
        values = {"V_s": self.step_v, "V_L": self.lowest_v, "V_1": OCTAVE_V}
        return (HALF_STEP_HERTZ if self.standard == HERTZ_PER_VOLT else HALF_STEP_OCTAVE).evaluate(values)

    def bits_needed(self, limit_cents: float) -> int:
        """The fewest bits with which half a step costs no more than the limit."""
        values = {"V_F": self.full_scale_v, "e": limit_cents, "V_L": self.lowest_v, "V_1": OCTAVE_V}
        steps = (STEPS_HERTZ if self.standard == HERTZ_PER_VOLT else STEPS_OCTAVE).evaluate(values)
        codes = steps if self.convention == REFERENCE else steps + 1
        return max(1, math.ceil(math.log2(codes) - _FUZZ))

    def note(self, semitone: int) -> ConvertedNote:
        """The note `semitone` above the lowest one."""
        values = {"V_L": self.lowest_v, "V_1": OCTAVE_V, "n": semitone}
        target_v = TARGET[self.standard].evaluate(values)
        code = min(max(math.floor(target_v / self.step_v + 0.5 + _FUZZ), 0), self.top_code)
        output_v = OUTPUT.evaluate({"k": code, "V_s": self.step_v})
        error = ERROR_CENTS[self.standard].evaluate({"V_out": output_v, "V_n": target_v, "V_1": OCTAVE_V})
        off_steps = abs(output_v - target_v) / self.step_v
        return ConvertedNote(semitone, target_v, code, output_v, error, off_steps <= 0.5 + 2 * _FUZZ)


@dataclass(frozen=True)
class ConvertedNote:
    """One note; `is_in_reach` is False when it lies more than half a step beyond the end of the scale."""

    semitone: int
    target_v: float
    code: int
    output_v: float
    error_cents: float
    is_in_reach: bool


def worst(notes: list[ConvertedNote]) -> ConvertedNote:
    """The first of the notes with the largest error."""
    largest = max(abs(note.error_cents) for note in notes)
    return next(note for note in notes if abs(note.error_cents) >= largest - _FUZZ)
