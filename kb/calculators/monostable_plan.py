"""A one-shot's sums as a plan: solve, spread, round to a preferred part, compare the data sheets.

Only the chosen sheet's formula gives results; the table of the others stands beside it.
"""

from __future__ import annotations

from kb.calculators.monostable_advice import advice
from kb.calculators.one_shot_circuit import DIMENSION, NAME, Circuit
from kb.calculators.one_shot_devices import Device, Sheet
from kb.calculators.one_shot_names import device
from kb.calculators.one_shot_timing import CAPACITOR, LEFT, PULSE, RESISTOR, SUPPLY_LOG, TURN_OFF, Timing
from kb.calculators.plan import (
    Band,
    Comparison,
    Lookup,
    Plan,
    PlanTable,
    Refusal,
    Shown,
    Spread,
    Step,
    Variable,
)
from kb.calculators.plan_tables import Reduction, Row
from kb.formulas import Expression

SUPPLY = Expression("V")
SHEETS = "By data sheet"
OWN = (Comparison.read("own > 0"),)

SUPPLY_TOO_LOW = Refusal(
    (Comparison.read("V <= V_1"),), "supply", "{supply} is too low for this formula", "give more",
    {"supply": Shown("V", "voltage", 6)},
)  # fmt: skip


def plan_of(circuit: Circuit) -> Plan:
    """The calculation as data."""
    given = circuit.given
    known = [key for key in NAME if key != circuit.solved]
    return Plan(
        variables=(
            *(
                Variable(key, NAME[key], DIMENSION[key], given.value(key), *given.tolerance(key))
                for key in known
            ),
            Variable("supply", "V", "voltage", given.value("supply")),
        ),
        constants={"V_1": 1.0, **_constants(circuit.timing), **_of_device(circuit)},
        refusals=(SUPPLY_TOO_LOW,) if circuit.timing.form is SUPPLY_LOG else (),
        steps=(
            *_at_this_supply(circuit.timing),
            *_spread_steps(circuit),
            _solved(circuit),
            *(_given(circuit, key) for key in known),
            *_preferred(circuit),
            *_dynamics(circuit),
        ),
        tables=(_by_data_sheet(circuit),),
        conditions=advice(circuit),
        assumed=frozenset(key for key in (RESISTOR, CAPACITOR) if given.is_assumed(key)),
    )


def _constants(timing: Timing) -> dict[str, float]:
    """What the formula needs beside resistor, capacitor and pulse, where the supply doesn't decide it."""
    found = {"R0": timing.offset_ohm, "v": timing.transfer}
    if timing.factors and not timing.follows_supply:
        found["K"] = timing.factors[0][1]
    return {name: value for name, value in found.items() if name in timing.form.pulse.names}


def _at_this_supply(timing: Timing) -> tuple[Step, ...]:
    if not timing.follows_supply:
        return ()
    supplies = tuple((supply, supply) for supply, _ in timing.factors)
    return (
        Step("K", SUPPLY, "number", lookup=Lookup(timing.factors)),
        Step("V_K", SUPPLY, "voltage", lookup=Lookup(supplies)),
    )


# How far the circuit itself may be off its formula: the factor s, nominally 1.


def _of_device(circuit: Circuit) -> dict[str, float]:
    spreads, turn_off_a = circuit.device.spreads, circuit.device.turn_off_a
    found = {"s": 1.0} if spreads else {}
    if len(spreads) == 1:
        found |= {"s_b": 1 - spreads[0].low, "s_a": spreads[0].high - 1}
    return found | ({"I": turn_off_a} if turn_off_a is not None else {})


def _spread_steps(circuit: Circuit) -> tuple[Step, ...]:
    """The spread published for the supply nearest to ours, and what it does to a wanted pulse."""
    spreads = circuit.device.spreads
    if not spreads:
        return ()
    low, high = (
        Lookup(tuple((each.supply_v, value) for each, value in zip(spreads, values, strict=True)))
        for values in ([1 - each.low for each in spreads], [each.high - 1 for each in spreads])
    )
    by_supply = (
        Step("s_b", SUPPLY, "number", lookup=low),
        Step("s_a", SUPPLY, "number", lookup=high),
    )
    return (
        *(by_supply if len(spreads) > 1 else ()),
        Step("t_b", Expression("1 - 1 / (1 + s_a)"), "number"),
        Step("t_a", Expression("1 / (1 - s_b) - 1"), "number"),
    )


def _pulse_band(circuit: Circuit, part: str = "", name: str = "") -> Band:
    """The shortest and longest pulse; with `name` the part is the preferred one, under that name."""
    names = {**NAME, part: name}
    over: dict[str, Spread] = {names[key]: circuit.given.tolerance(key) for key in (RESISTOR, CAPACITOR)}
    if circuit.device.spreads:
        over["s"] = ("s_b", "s_a")
    pulse = circuit.timing.form.pulse.renamed({NAME[part]: name} if part else {})
    return Band(Expression(f"s * {pulse.text}") if circuit.device.spreads else pulse, over)


def _solved(circuit: Circuit) -> Step:
    what = circuit.solved
    expression = circuit.timing.form.solved_for(what)
    if what == PULSE:
        return Step("t", expression, DIMENSION[what], what, _pulse_band(circuit))
    other = CAPACITOR if what == RESISTOR else RESISTOR
    over: dict[str, Spread] = {NAME[other]: circuit.given.tolerance(other)}
    if circuit.device.spreads:
        over["t"] = ("t_b", "t_a")
    too_short = Refusal(
        (Comparison.read(f"{NAME[what]} <= 0"),), PULSE,
        "no resistor gives so short a pulse with this capacitor", "choose a smaller capacitor",
    )  # fmt: skip
    return Step(NAME[what], expression, DIMENSION[what], what, Band(expression, over), refusals=(too_short,))


def _given(circuit: Circuit, key: str) -> Step:
    """A part as it was given, with its own tolerance; a pulse that was given, with that of the parts."""
    name = Expression(NAME[key])
    band = _pulse_band(circuit) if key == PULSE else Band(name, {name.text: circuit.given.tolerance(key)})
    return Step(f"{NAME[key]}_G", name, DIMENSION[key], key, band)


def _preferred(circuit: Circuit) -> tuple[Step, ...]:
    part = circuit.part
    name = f"{NAME[part]}_P"
    own = Band(Expression(name), {name: circuit.given.tolerance(part)})
    pulse = circuit.timing.form.pulse.renamed({NAME[part]: name})
    return (
        Step(name, Expression(NAME[part]), DIMENSION[part], "preferred", own, circuit.series),
        Step("t_P", pulse, "time", "pulse_with_preferred", _pulse_band(circuit, part, name)),
    )


def _dynamics(circuit: Circuit) -> tuple[Step, ...]:
    found = []
    if circuit.device.retrigger is not None:
        found += [
            Step("R_k", Expression("R / 1e3"), "number"),
            Step("C_p", Expression("C / 1e-12"), "number"),
            Step("wait_ns", circuit.device.retrigger.nanoseconds, "number"),
            Step("wait", Expression("wait_ns * 1e-9"), "time"),
        ]
    if circuit.device.turn_off_a is not None:
        found.append(Step("fall", TURN_OFF, "time"))
    if circuit.device.ceilings:
        found.append(Step("R_most", SUPPLY, "resistance", lookup=Lookup(circuit.device.ceilings, "below")))
    return tuple(found)


def _by_data_sheet(circuit: Circuit) -> PlanTable:
    """What every maker's formula gives with the same parts, the devices taken for this one included."""
    devices = (circuit.device, *(device(name) for name in circuit.device.kin))
    return PlanTable(
        title=SHEETS,
        steps=(Step("factor", Expression("t_S / (R * C)"), "number"),),
        cells={"factor": Shown("factor", "number"), "pulse": Shown("t_S", "time")},
        rows=tuple(_row(circuit, item, sheet) for item in devices for sheet in item.sheets),
        reductions=(
            Reduction("t_low", "least", "t_S", where=OWN), Reduction("t_high", "greatest", "t_S", where=OWN),
        ),
    )  # fmt: skip


def _row(circuit: Circuit, item: Device, sheet: Sheet) -> Row:
    timing = circuit.of(sheet)
    words = {
        "device": item.name, "maker": sheet.maker, "document": sheet.document, "status": sheet.status,
        "formula": f"{LEFT[PULSE]} = {timing.form.pulse.to_text()}",
    }  # fmt: skip
    by_supply = (Step("K", SUPPLY, "number", lookup=Lookup(timing.factors)),) if timing.follows_supply else ()
    values = {**_constants(timing), "own": float(item == circuit.device)}
    return Row(item.name, values, (*by_supply, Step("t_S", timing.form.pulse, "time")), words)
