"""Pitch into pitch: the standard, the range that both have, and what a converter's steps cost in cents."""

from __future__ import annotations

import math
from functools import lru_cache

from kb.calculators import CalculationError, calculate
from kb.calculators.pitch import CENTS, HERTZ_PER_VOLT, OCTAVE_V, TARGET, VOLT_PER_OCTAVE
from kb.fits.socket import Socket, written
from kb.fits.verdict import Fit, Margin
from kb.quantities import show

# The limit that the calculator takes when none is written.
GOOD_CENTS = 5.0
# Half a semitone: beyond it another note is heard.
WRONG_NOTE_CENTS = 50.0
LEAST_OCTAVES = 1 / 12
OTHER_STANDARD = "other pitch standard"
NO_COMMON_RANGE = "no voltage that both have"
WRONG_NOTES = "steps too coarse for the notes"
STANDARDS = {VOLT_PER_OCTAVE: "volt per octave", HERTZ_PER_VOLT: "hertz per volt"}


def compare(output: Socket, needed: Socket) -> Fit:
    """The verdict on one pair of pitch sockets."""
    missing = tuple(_missing(output, needed))
    if missing:
        return Fit(output, needed, missing=missing)
    low_v, high_v = _common(output, needed)
    if octaves(output.standard or "", low_v, high_v) < LEAST_OCTAVES:
        return Fit(output, needed, faults=(NO_COMMON_RANGE,))
    if output.standard != needed.standard:
        off = Margin(f"Worst note over {written(low_v, 'voltage')} to {written(high_v, 'voltage')}",
                     GOOD_CENTS - misfit_cents(output.standard or "", low_v, high_v), "interval")  # fmt: skip
        return Fit(output, needed, (off,), (OTHER_STANDARD,))
    return _same_standard(output, needed, low_v, high_v)


def octaves(standard: str, low_v: float, high_v: float) -> float:
    """How many octaves lie between two voltages; nothing where there are none."""
    if high_v <= low_v or (standard == HERTZ_PER_VOLT and low_v <= 0):
        return 0.0
    return math.log2(high_v / low_v) if standard == HERTZ_PER_VOLT else (high_v - low_v) / OCTAVE_V


def misfit_cents(standard: str, low_v: float, high_v: float) -> float:
    """How far the worst semitone of one standard lies off when the other is heard, tuned at the lowest note.

    By hertz nothing lies at 0 V: there the comparison begins a semitone higher.
    """
    first = 0 if low_v > 0 else 1
    notes = range(first, math.floor(12 * octaves(standard, low_v, high_v) + 1e-6) + 1)
    volts = [TARGET[standard].evaluate({"V_L": low_v, "V_1": OCTAVE_V, "n": float(n)}) for n in notes]
    heard = [_heard(standard, volt, volts[0]) for volt in volts]
    return max(abs(cents - 100.0 * n) for n, cents in enumerate(heard))


def _heard(standard: str, volt: float, first_v: float) -> float:
    """The interval above the first note that an input of the *other* standard makes of a voltage."""
    if standard == VOLT_PER_OCTAVE:
        return CENTS.evaluate({"f_2": volt, "f_1": first_v})
    return 1200.0 * (volt - first_v) / OCTAVE_V


def step_inputs(output: Socket, low_v: float, high_v: float) -> dict[str, str] | None:
    """The inputs of `dac_pitch` for an output's converter over a range; None where it has none."""
    if output.converter is None or output.standard is None:
        return None
    return {
        "standard": output.standard,
        "bits": str(output.converter.bits),
        "full_scale": output.converter.full_scale,
        "lowest": written(low_v, "voltage"),
        "octaves": f"{octaves(output.standard, low_v, high_v):.9g}",
        "limit": f"{GOOD_CENTS:g} cents",
    }


@lru_cache(maxsize=4096)
def _step_results(inputs: tuple[tuple[str, str], ...]) -> tuple[float, int] | None:
    try:
        found = calculate("dac_pitch", dict(inputs))
    except CalculationError:
        return None
    return float(found.result("worst_error").value), int(found.result("bits_needed").value)


def steps(inputs: dict[str, str]) -> tuple[float, int] | None:
    """The worst error in cents and the bits that the limit takes; None where the converter can't do it."""
    return _step_results(tuple(inputs.items()))


def _same_standard(output: Socket, needed: Socket, low_v: float, high_v: float) -> Fit:
    margins, faults, cares = [], [], []
    inputs = step_inputs(output, low_v, high_v)
    found = steps(inputs) if inputs else None
    if found is not None:
        margins.append(Margin("Steps of the converter", GOOD_CENTS - found[0], "interval"))
        if found[0] > WRONG_NOTE_CENTS:
            faults.append(WRONG_NOTES)
        elif found[0] > GOOD_CENTS:
            cares.append(
                f"the converter's steps are heard: its worst note is {show(found[0], 'interval')} off"
            )
    cares += _out_of_range(output, needed)
    calculation = ("dac_pitch", inputs) if inputs and found else None
    shared = Margin("Range in common", high_v - low_v, "voltage")
    return Fit(output, needed, (shared, *margins), tuple(faults), tuple(cares), (), calculation)


def _out_of_range(output: Socket, needed: Socket) -> list[str]:
    found = []
    standard = output.standard or ""
    (low_v, most_v), (lowest_v, limit_v) = _ends(output), _ends(needed)
    # Less than a semitone beyond is what a trimmer leaves, and no note.
    if octaves(standard, limit_v, most_v) >= LEAST_OCTAVES:
        found.append(
            f"the output goes up to {show(most_v, 'voltage')}, the input's range ends at "
            f"{show(limit_v, 'voltage')}"
        )
    if octaves(standard, low_v, lowest_v) >= LEAST_OCTAVES:
        found.append(
            f"the output begins at {show(low_v, 'voltage')}, the input's range at {show(lowest_v, 'voltage')}"
        )
    return found


def _ends(socket: Socket) -> tuple[float, float]:
    return socket.least_high_v or 0.0, socket.most_high_v or 0.0


def _common(output: Socket, needed: Socket) -> tuple[float, float]:
    low_v = max(output.least_high_v or 0.0, needed.least_high_v or 0.0)
    return low_v, min(output.most_high_v or 0.0, needed.most_high_v or 0.0)


def _missing(output: Socket, needed: Socket) -> list[str]:
    found = []
    for end, whose in ((output, "of the output"), (needed, "of the input")):
        if end.standard is None:
            found.append(f"the pitch standard {whose}")
        if end.least_high_v is None or end.most_high_v is None:
            found.append(f"both ends of the range {whose}")
    return found
