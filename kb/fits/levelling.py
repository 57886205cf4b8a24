"""Levels that are wrong: a comparator makes new ones, a divider takes away what is too much."""

from __future__ import annotations

from dataclasses import replace

from kb.calculators.gate_verdict import SMALL_V
from kb.fits.socket import Socket, written
from kb.fits.stages import Stage, Step, bears, level_room, part, run
from kb.quantities import Span

SUPPLIES_V = (5.0, 12.0, 15.0)
SUPPLY_PART = 0.05
# TI's LM339: the output when low, and how far below the supply its inputs have to stay (both from memory).
COMPARATOR_LOW_V, COMMON_MODE_V = 0.4, 1.5
LEAST_SWING_V = 0.3
HYSTERESIS_PART = 0.25
LOWER, PULL_UP = "10k", "4k7"
STEP_DOWN, MOST_TRIES = 0.97, 40
TOLERANCE = "1 %"


def comparator(output: Socket, needed: Socket) -> Stage | None:
    """New levels on a supply that suits the input, with thresholds in the middle of the old ones."""
    high_v, low_v = output.least_high_v, output.most_low_v
    if output.style != "voltage" or high_v is None or low_v is None or high_v - low_v < LEAST_SWING_V:
        return None
    middle_v = (high_v + low_v) / 2
    offered = [each for each in SUPPLIES_V if 0 <= middle_v <= each * (1 - SUPPLY_PART) - COMMON_MODE_V]
    rooms = [(each, level_room(_from_comparator(output, each), needed)) for each in offered]
    able = [[each for each, room in rooms if room >= least] for least in (SMALL_V, 0.0)]
    supply_v = next(iter((*able[0], *able[1])), None)
    if supply_v is None:
        return None
    inputs = {
        "topology": "non_inverting", "input_resistor": LOWER, "reference": written(middle_v, "voltage"),
        "hysteresis": written(float(f"{(high_v - low_v) * HYSTERESIS_PART:.2g}"), "voltage"),
        "supply": written(supply_v, "voltage"), "output_low": written(COMPARATOR_LOW_V, "voltage"),
        "pullup": PULL_UP, "resistor_tolerance": TOLERANCE,
    }  # fmt: skip
    step = Step("comparator", inputs, "thresholds between the two levels of the output")
    found = run(step)
    if found is None:
        return None
    upper, lower = found.result("upper_with_preferred"), found.result("lower_with_preferred")
    if (upper.high or float(upper.value)) > high_v or (lower.low or float(lower.value)) < low_v:
        return None
    do = (
        f"put a comparator between, an LM339 on {written(supply_v, 'voltage')} with {PULL_UP} as pull-up, "
        f"{LOWER} before its plus input, {part(found)} back to it and {written(middle_v, 'voltage')} at its "
        f"minus input{bears(needed, supply_v)}"
    )
    return Stage(do, (step,), _from_comparator(output, supply_v))


def _from_comparator(output: Socket, supply_v: float) -> Socket:
    high = Span(supply_v * (1 - SUPPLY_PART), supply_v * (1 + SUPPLY_PART), "voltage")
    return replace(output, high=high, low=Span(0.0, COMPARATOR_LOW_V, "voltage"), one_shot=None)


def divider(output: Socket, needed: Socket) -> Stage | None:
    """A divider that keeps the highest level below the input's limit and the lowest above what it needs."""
    most_v, limit_v = output.most_high_v, needed.most_high_v
    if output.style != "voltage" or most_v is None or limit_v is None or limit_v <= 0 or most_v <= limit_v:
        return None
    wanted_v = limit_v
    for _ in range(MOST_TRIES):
        wanted_v *= STEP_DOWN
        inputs = {
            "input": written(most_v, "voltage"), "lower": LOWER, "output": f"{wanted_v:.3g} V",
            "tolerance": TOLERANCE,
        }  # fmt: skip
        step = Step("divider", inputs, "the highest level, brought below the limit")
        found = run(step)
        if found is None:
            return None
        made = found.result("output_with_preferred")
        if (made.high or limit_v) <= limit_v:
            return Stage(
                _words(part(found)), (step,), _divided(output, most_v, made.low or 0.0, made.high or limit_v)
            )
    return None


def _words(upper: str) -> str:
    return f"put a divider between, {upper} in series and {LOWER} to ground behind it"


def _divided(output: Socket, most_v: float, made_v: float, highest_v: float) -> Socket:
    """The output behind the divider, at its weakest; what it leaves when off only becomes less."""
    share = made_v / most_v
    least_v = output.least_high_v
    high = Span(None if least_v is None else least_v * share, highest_v, "voltage")
    return replace(output, high=high, one_shot=None)
