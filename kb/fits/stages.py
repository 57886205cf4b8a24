"""What is put between two sockets, or changed in the sending unit: one stage each, with its calculations.

A stage says what the output is afterwards, so that the pair can be judged again; none is proposed whose own
input the output would not work.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from kb.calculators import Calculation, CalculationError, calculate
from kb.calculators.gate_verdict import SMALL_V
from kb.calculators.logic_levels import FAMILIES, Levels
from kb.fits import pulses
from kb.fits.socket import Socket, written
from kb.quantities import Span

CMOS = "cmos4000"
CMOS_SUPPLIES_V = (5.0, 10.0, 15.0)
# From memory: a silicon junction, and a small transistor that is switched on.
JUNCTION_V, SATURATED_V = 0.7, 0.2
# Common practice, no source: what a base resistor or a pull-up is laid out for.
SWITCH_CURRENT = "1 mA"
LEAST_DROP_V = 0.05
MOST_DIVISION = 10
COUNTED_BPM = "120 BPM"


@dataclass(frozen=True)
class Step:
    """One calculation of a stage: the calculator, its inputs, and what it is for."""

    calculator: str
    inputs: Mapping[str, str]
    about: str


@dataclass(frozen=True)
class Stage:
    """One thing to do, the calculations that give its parts, and the output as it is then."""

    do: str
    steps: tuple[Step, ...]
    after: Socket


def run(step: Step) -> Calculation | None:
    """The calculation of a step; None where the values have no answer."""
    return _kept(step.calculator, tuple(step.inputs.items()))


@lru_cache(maxsize=4096)
def _kept(calculator: str, inputs: tuple[tuple[str, str], ...]) -> Calculation | None:
    """Sockets of many units ask for the same few parts."""
    try:
        return calculate(calculator, dict(inputs))
    except CalculationError:
        return None


def part(calculation: Calculation) -> str:
    """The preferred part of a calculation, as a page shows it."""
    return calculation.result("preferred").shown


def cmos_levels(supply_v: float) -> Levels:
    """The levels of the 4000 series at a supply that is in its table."""
    found = FAMILIES[CMOS].at(supply_v)
    if found is None or found.output_high_v is None or found.output_low_v is None:
        raise ValueError(f"no levels of the 4000 series at {supply_v} V")
    return found


def from_cmos(output: Socket, supply_v: float) -> Socket:
    """The output as it is behind a part of the 4000 series."""
    levels = cmos_levels(supply_v)
    high, low = levels.output_high_v or 0.0, levels.output_low_v or 0.0
    return replace(
        output, style="voltage", one_shot=None, high=Span(high, supply_v, "voltage"),
        low=Span(0.0, low, "voltage"),
    )  # fmt: skip


def cmos_input(output: Socket, supply_v: float, style: str = "voltage") -> Socket:
    """An input of the 4000 series, for which a pulse of any length will do."""
    levels = cmos_levels(supply_v)
    return Socket(
        model="", id="", direction="in", carries="trigger", style=style,
        high=Span(levels.input_high_v, supply_v + 0.5, "voltage"),
        low=Span(0.0, levels.input_low_v, "voltage"), duration=output.duration,
    )  # fmt: skip


def triggering(output: Socket) -> Iterator[float]:
    """The supplies at which the output works a part of the 4000 series."""
    for supply_v in CMOS_SUPPLIES_V:
        if output.style == "voltage" and not _faults(output, cmos_input(output, supply_v)):
            yield supply_v


def _faults(output: Socket, needed: Socket) -> bool:
    found = pulses.compare(replace(output, carries="trigger"), needed)
    return bool(found.faults or found.missing)


def best_supply(
    output: Socket, needed: Socket, supplies: Iterator[float] | tuple[float, ...]
) -> float | None:
    """The first supply that gives levels with room to spare, else the first that will do, else the first."""
    offered = tuple(supplies)
    judged = [(each, level_room(from_cmos(output, each), needed)) for each in offered]
    good = [each for each, room in judged if room >= SMALL_V] + [each for each, room in judged if room >= 0]
    return next(iter((*good, *offered)), None)


def level_room(output: Socket, needed: Socket) -> float:
    """The least of what is left above the needed level and below the limit; a limit alone needs no spare."""
    above = (output.least_high_v or 0.0) - (needed.least_high_v or 0.0)
    if needed.most_high_v is not None and (output.most_high_v or 0.0) > needed.most_high_v:
        return -1.0
    return above


def bears(needed: Socket, supply_v: float) -> str:
    """What to look at first where nobody wrote down how much the input bears."""
    if needed.most_high_v is not None or supply_v <= CMOS_SUPPLIES_V[0]:
        return ""
    return f"; what the input bears is not on record, so make sure of {written(supply_v, 'voltage')}"


def transistor(output: Socket, needed: Socket) -> Stage | None:
    """A voltage that has to close a switch: a transistor does it."""
    high_v = output.least_high_v
    if (output.style, needed.style) != ("voltage", "switch") or high_v is None or high_v <= 2 * JUNCTION_V:
        return None
    inputs = {
        "supply": written(high_v, "voltage"),
        "drop": written(JUNCTION_V, "voltage"),
        "current": SWITCH_CURRENT,
    }
    step = Step("series_resistor", inputs, "base resistor of the transistor")
    found = run(step)
    if found is None:
        return None
    do = f"let it switch an NPN transistor that pulls the input down, with {part(found)} before its base"
    after = replace(output, style="switch", high=None, low=Span(0.0, SATURATED_V, "voltage"), one_shot=None)
    return Stage(do, (step,), after)


def inverter(output: Socket, needed: Socket) -> Stage | None:
    """A switch that has to give a voltage: a pull-up, and an inverter because closed is low."""
    low_v = output.most_low_v
    if (output.style, needed.style) != ("switch", "voltage") or low_v is None:
        return None
    able = tuple(each for each in CMOS_SUPPLIES_V if not _faults(output, cmos_input(output, each, "switch")))
    supply_v = best_supply(output, needed, able)
    if supply_v is None:
        return None
    inputs = {
        "supply": written(supply_v, "voltage"), "drop": written(max(low_v, LEAST_DROP_V), "voltage"),
        "current": SWITCH_CURRENT,
    }  # fmt: skip
    pull_up = Step("series_resistor", inputs, "pull-up of the switch")
    found = run(pull_up)
    if found is None:
        return None
    do = (
        f"pull the switch up to {written(supply_v, 'voltage')} with {part(found)} and put an inverter of the "
        f"4000 series on that supply behind it (CD40106): a closed switch is a low level"
        f"{bears(needed, supply_v)}"
    )
    return Stage(do, (pull_up, switched(output, supply_v)), from_cmos(output, supply_v))


def switched(output: Socket, supply_v: float) -> Step:
    """The switch against the input of the inverter that it works."""
    inputs = {
        "output_style": "switch", "input_style": "switch", "pull_up": written(supply_v, "voltage"),
        "output_low": written(output.most_low_v or 0.0, "voltage"), "input_family": CMOS,
        "supply": written(supply_v, "voltage"),
    }  # fmt: skip
    return Step("gate_match", inputs, "the switch into the inverter")


def into_cmos(output: Socket, supply_v: float) -> Step:
    """An output against the input of a part of the 4000 series."""
    inputs = {
        "output_high": written(output.least_high_v or 0.0, "voltage"),
        "output_low": written(output.most_low_v or 0.0, "voltage"),
        "input_family": CMOS,
        "supply": written(supply_v, "voltage"),
    }
    return Step("gate_match", inputs, "the output into the added part")


def counter(output: Socket, needed: Socket) -> Stage | None:
    """A clock that counts finer than the input wants is divided; nothing here makes one finer."""
    sent, wanted = output.pulses_per_quarter, needed.pulses_per_quarter
    counters = _counters(sent // wanted) if sent and wanted and sent % wanted == 0 else ""
    if not sent or not wanted or not counters:
        return None
    supply_v = best_supply(output, needed, triggering(output))
    if supply_v is None:
        return None
    tempo = [
        Step("tempo", {"bpm": COUNTED_BPM, "pulses_per_quarter": str(each)}, what)
        for each, what in ((sent, "the clock that is sent"), (wanted, "the clock that is wanted"))
    ]
    do = (
        f"divide the clock by {sent // wanted} with {counters} on {written(supply_v, 'voltage')} (CD4017)"
        f"{bears(needed, supply_v)}"
    )
    after = replace(from_cmos(output, supply_v), pulses_per_quarter=wanted)
    return Stage(do, (*tempo, into_cmos(output, supply_v)), after)


def _counters(division: int) -> str:
    """One counter, or two in a row; nothing where neither divides so."""
    if 1 < division <= MOST_DIVISION:
        return "a counter"
    pairs = ((each, division // each) for each in range(2, MOST_DIVISION + 1) if division % each == 0)
    first, second = next((pair for pair in pairs if pair[1] <= MOST_DIVISION), (0, 0))
    return f"two counters in a row, by {first} and by {second}," if first and division > 1 else ""
