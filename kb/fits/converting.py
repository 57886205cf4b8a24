"""Pitch that comes by the other standard, or in steps too coarse: what a converter has to hold."""

from __future__ import annotations

import math
from dataclasses import replace

from kb.calculators.pitch import HERTZ_PER_VOLT
from kb.fits.pitch import STANDARDS, octaves, step_inputs, steps
from kb.fits.socket import Converter, Socket, written
from kb.fits.stages import Stage, Step
from kb.quantities import Span

USUAL_FULL_SCALE_V = 10.0
USUAL_BITS = 12
TRANSLATORS = {
    "hertz_per_volt": "an exponential converter (or one that reads the voltage and looks it up)",
    "volt_per_octave": "a logarithmic converter (or one that reads the voltage and looks it up)",
}


def translator(output: Socket, needed: Socket) -> Stage | None:
    """A converter from the one standard to the other, and how fine its steps must be."""
    if output.standard is None or needed.standard is None or output.standard == needed.standard:
        return None
    made = _translated(output, needed)
    found = None if made is None else _fine_enough(made, needed)
    if found is None:
        return None
    after, step = found
    do = (
        f"put {TRANSLATORS[needed.standard]} between: from {STANDARDS[output.standard]} to "
        f"{STANDARDS[needed.standard]}, and as good as {step.inputs['bits']} bits "
        f"of {step.inputs['full_scale']}"
    )
    return Stage(do, (step,), after)


def finer(output: Socket, needed: Socket) -> Stage | None:
    """A converter of more bits in the sender."""
    found = _fine_enough(output, needed) if output.converter and output.standard == needed.standard else None
    if found is None:
        return None
    after, step = found
    return Stage(f"a converter of {step.inputs['bits']} bits would hold the limit", (step,), after)


def _translated(output: Socket, needed: Socket) -> Socket | None:
    """The output in the input's standard, from the input's lowest voltage as far as both go."""
    low_v, most_v = needed.least_high_v or 0.0, needed.most_high_v or 0.0
    standard = needed.standard or ""
    reach = min(_octaves_of(output), octaves(standard, low_v, most_v))
    if reach <= 0:
        return None
    high_v = low_v * 2**reach if standard == HERTZ_PER_VOLT else low_v + reach
    full_scale = written(max(USUAL_FULL_SCALE_V, math.ceil(high_v)), "voltage")
    made = Converter(USUAL_BITS, full_scale)
    high = Span(low_v, min(high_v, most_v), "voltage")
    return replace(output, standard=standard, high=high, converter=made)


def _octaves_of(output: Socket) -> float:
    """How far the output goes; by hertz, from its first voltage above zero."""
    return octaves(output.standard or "", output.least_high_v or 0.0, output.most_high_v or 0.0)


def _fine_enough(output: Socket, needed: Socket) -> tuple[Socket, Step] | None:
    """The converter with as many bits as the limit takes."""
    high = output.high
    if output.converter is None or high is None or high.low is None or high.high is None:
        return None
    low_v, high_v = max(high.low, needed.least_high_v or 0.0), min(high.high, needed.most_high_v or 0.0)
    inputs = step_inputs(output, low_v, high_v)
    asked = steps(inputs) if inputs else None
    if asked is None:
        return None
    made = replace(output, converter=replace(output.converter, bits=asked[1]))
    again = step_inputs(made, low_v, high_v)
    return None if again is None else (made, Step("dac_pitch", again, "the steps that the limit allows"))
