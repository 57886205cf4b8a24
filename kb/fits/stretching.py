"""A pulse that is too short: another part at the sender's own one-shot, or a one-shot put between.

The part is looked for among preferred values until even the shortest pulse its tolerances allow is long
enough with something to spare.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kb.calculators import Calculation
from kb.calculators.one_shot_names import device, resolve
from kb.fits.pulses import SPARE_PART
from kb.fits.socket import Socket, written
from kb.fits.stages import Stage, Step, bears, best_supply, from_cmos, into_cmos, part, run, triggering
from kb.quantities import Span

ADDED_DEVICE = "CD4538"
ADDED_CAPACITORS = ("10 nF ±5 %", "0.1 uF ±5 %", "1 uF ±5 %")
ADDED_OHM = (10e3, 1e6)
RESISTOR_TOLERANCE = "5 %"
MOST_TRIES = 12
GROWTH = 1.1


def own_one_shot(output: Socket, needed: Socket) -> Stage | None:
    """Another resistor at the one-shot that makes the pulse; another capacitor where no resistor does."""
    shot, need_s = output.one_shot, needed.least_duration_s
    if shot is None or need_s is None or resolve(shot.device) is None:
        return None
    ohms = device(resolve(shot.device) or "").resistor_ohm
    found = _long_enough({"device": shot.device, "capacitor": shot.capacitor}, need_s)
    what, fitted = shot.where, shot.resistor
    if found is None or not (ohms.low or 0) <= _ohm(found[1]) <= (ohms.high or float("inf")):
        found = _long_enough({"device": shot.device, "resistor": shot.resistor}, need_s)
        what, fitted = "the timing capacitor", shot.capacitor
    if found is None:
        return None
    step, calculation = found
    do = f"in the sender, change {what} from {fitted} to {part(calculation)} (at the {shot.device})"
    return Stage(do, (step,), replace(output, duration=_duration(calculation), one_shot=None))


def added_one_shot(output: Socket, needed: Socket) -> Stage | None:
    """A one-shot of its own between the two."""
    need_s = needed.least_duration_s
    supply_v = best_supply(output, needed, triggering(output))
    if need_s is None or supply_v is None:
        return None
    for capacitor in ADDED_CAPACITORS:
        given = {"device": ADDED_DEVICE, "capacitor": capacitor, "supply": written(supply_v, "voltage")}
        found = _long_enough(given, need_s)
        if found is not None and ADDED_OHM[0] <= _ohm(found[1]) <= ADDED_OHM[1]:
            step, calculation = found
            do = (
                f"put a one-shot between, a {ADDED_DEVICE} on {written(supply_v, 'voltage')} with "
                f"{part(calculation)} and {capacitor.partition(' ±')[0]}{bears(needed, supply_v)}"
            )
            after = replace(from_cmos(output, supply_v), duration=_duration(calculation))
            return Stage(do, (into_cmos(output, supply_v), step), after)
    return None


def _long_enough(given: dict[str, str], need_s: float) -> tuple[Step, Calculation] | None:
    """The first wanted pulse whose preferred part gives the needed one at its worst, with some to spare."""
    for wanted_s in _wanted(need_s):
        inputs = {**given, "pulse": written(wanted_s, "time"), "resistor_tolerance": RESISTOR_TOLERANCE}
        if "resistor" in given:
            del inputs["resistor_tolerance"]
        step = Step("monostable", inputs, "the pulse that is long enough with any parts")
        calculation = run(step)
        if calculation is None:
            return None
        if (calculation.result("pulse_with_preferred").low or 0.0) >= need_s * (1 + SPARE_PART):
            return step, calculation
    return None


def _wanted(need_s: float) -> Iterator[float]:
    """Wanted pulses to two digits, longer by and by."""
    for times in range(1, MOST_TRIES + 1):
        yield float(f"{need_s * (1 + SPARE_PART) * GROWTH**times:.2g}")


def _ohm(calculation: Calculation) -> float:
    return float(calculation.result("preferred").value)


def _duration(calculation: Calculation) -> Span:
    pulse = calculation.result("pulse_with_preferred")
    return Span(pulse.low, pulse.high, "time")
