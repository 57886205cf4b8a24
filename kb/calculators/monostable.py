"""A one-shot's timing: solve for its resistor, capacitor or pulse, and see what a preferred part gives.

The formula used is that of one data sheet; what the others say stands in a table beside it and is never
averaged into the result.
"""

from __future__ import annotations

from collections.abc import Mapping

from kb.calculators.base import (
    Calculator,
    Column,
    Input,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Worked,
)
from kb.calculators.monostable_advice import limits
from kb.calculators.monostable_plan import plan_of
from kb.calculators.one_shot_circuit import DIMENSION, NAME, Circuit, choose
from kb.calculators.one_shot_devices import SEEN
from kb.calculators.one_shot_names import NAMES, resolve
from kb.calculators.one_shot_timing import CAPACITOR, LEFT, PULSE, RESISTOR, SYMBOLS
from kb.calculators.reading import Given
from kb.calculators.series import NAMES as SERIES
from kb.calculators.series import read_series
from kb.calculators.working import formula, planned, shown, shown_table
from kb.figures.spec import Axis, FigureSpec, Mark, Series

CURVE_POINTS = 25

COLUMNS = (
    Column("device", "Device", "text"),
    Column("maker", "Maker", "text"),
    Column("formula", "Formula", "text"),
    Column("factor", "Pulse / (R C)", "number"),
    Column("pulse", "Pulse with these parts", "time"),
    Column("document", "Document", "text"),
    Column("status", "How it was confirmed", "text"),
)


def work(given: Given) -> Worked:
    """Choose the formula, solve it, and compare the data sheets."""
    circuit = choose(given)
    plan = plan_of(circuit)
    values = plan.evaluate()
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=_formulas(circuit, values),
        limits=limits(circuit.device, values["V"]),
        notes=plan.notes(values),
        sources=_sources(circuit),
        tables=(shown_table(plan.tables[0], COLUMNS, values),),
        figure=_figure(circuit, values),
        also_used=_also_used(circuit),
        plan=plan,
    )


def _made(circuit: Circuit, values: Mapping[str, float]) -> dict[str, float]:
    """The working point with the preferred part."""
    name = NAME[circuit.part]
    return {**values, name: values[f"{name}_P"], "t": values["t_P"]}


def _numbers(values: Mapping[str, float]) -> dict[str, str]:
    plain = {name: f"{values[name]:g}" for name in ("K", "v") if name in values}
    found = {"R": "resistance", "R0": "resistance", "C": "capacitance", "t": "time", "V": "voltage"}
    return plain | {"V_1": "1 V"} | {
        name: shown(values[name], kind) for name, kind in found.items() if name in values
    }  # fmt: skip


def _formulas(circuit: Circuit, values: Mapping[str, float]) -> tuple[ShownFormula, ...]:
    def one(name: str, what: str, at: Mapping[str, float]) -> ShownFormula:
        expression, answer = circuit.timing.form.solved_for(what), shown(at[NAME[what]], DIMENSION[what])
        return formula(
            name, LEFT[what], expression, symbols=SYMBOLS, numbers=_numbers(at), answer=answer
        )  # fmt: skip

    first = one(CALCULATOR.result(circuit.solved).label, circuit.solved, values)
    return (first, one("Pulse with the preferred part", PULSE, _made(circuit, values)))


def _sources(circuit: Circuit) -> tuple[Source, ...]:
    sheet = circuit.sheet
    status = sheet.diode_status if circuit.has_diode and sheet.with_diode else sheet.status
    found = [Source(sheet.document, status)]
    found += [Source(spread.text, SEEN) for spread in circuit.device.spreads]
    if circuit.device.retrigger:
        found.append(Source(circuit.device.retrigger.document, SEEN))
    return tuple(found)


def _also_used(circuit: Circuit) -> tuple[ShownInput, ...]:
    """The defaults that depend on other inputs, so that no choice stays hidden."""
    chosen = (("maker", circuit.sheet.maker), ("series", circuit.series))
    specs = {item.key: item for item in CALCULATOR.inputs}
    return tuple(
        ShownInput(key, specs[key].label, "", value, value, value, specs[key].dimension, False)
        for key, value in chosen
        if not circuit.given.has(key)
    )


def _figure(circuit: Circuit, values: Mapping[str, float]) -> FigureSpec:
    low, high = circuit.device.resistor_ohm.low, circuit.device.resistor_ohm.high
    resistor, made = values["R"], _made(circuit, values)
    least = min(low or resistor / 10, resistor, made["R"])
    most = max(high or resistor * 10, resistor, made["R"])
    steps = [(most / least) ** (step / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS)]
    resistors = tuple(least * step for step in steps)
    pulses = tuple(circuit.timing.form.pulse.evaluate({**values, "R": ohms}) for ohms in resistors)
    capacitor = shown(values["C"], "capacitance")
    marks = [
        Mark("vertical", ohms, f"{word} {shown(ohms, 'resistance')}")
        for word, ohms in (("least", low), ("greatest", high))
        if ohms
    ]
    return FigureSpec(
        title=f"Pulse of a {circuit.device.name} against its resistor",
        description=(
            f"With {capacitor} the pulse grows with the resistor; the working point is "
            f"{shown(resistor, 'resistance')} and {shown(values['t'], 'time')}."
        ),
        x=Axis("Resistor", "resistance", is_log=True),
        y=Axis("Pulse", "time", is_log=True),
        series=(
            Series(f"with {capacitor}", resistors, pulses),
            Series("working point", (resistor,), (values["t"],), "points"),
            Series("preferred part", (made["R"],), (made["t"],), "points"),
        ),
        marks=tuple(marks),
    )


CALCULATOR = Calculator(
    name="monostable",
    title="One-shot",
    summary="A one-shot's resistor, capacitor or pulse, and what the nearest preferred part gives.",
    inputs=(
        Input(
            "device", "Device", "", "choice", "the type number on the part", "74LS123", required=True,
            choices=NAMES, resolve=resolve,
        ),
        Input("resistor", "Resistor", "R", "resistance", "the timing resistor", "33k", solvable=True),
        Input("capacitor", "Capacitor", "C", "capacitance", "the timing capacitor", "680n", solvable=True),
        Input("pulse", "Pulse", "t_w", "time", "its duration", "10 ms", solvable=True),
        Input("maker", "Data sheet", "", "text", "whose factor to use", "TI"),
        Input(
            "diode", "Switching diode", "", "choice", "whether one is fitted at the timing pin", "no",
            default="no", choices=("yes", "no"),
        ),
        Input("supply", "Supply", "V", "voltage", "of the one-shot", "5 V", default="5 V"),
        Input(
            "series", "Preferred series", "", "choice", "when left out, E24 for a resistor and E6 else",
            "E12", choices=SERIES, resolve=read_series,
        ),
        Input(
            "resistor_tolerance", "Resistor tolerance", "", "tolerance", "used when the resistor states none",
            "5 %", default="±5 %", positive=False,
        ),
        Input(
            "capacitor_tolerance", "Capacitor tolerance", "", "tolerance",
            "used when the capacitor states none", "10 %", default="±10 %", positive=False,
        ),
    ),
    results=(
        ResultSpec(RESISTOR, "Resistor", "resistance", "solved for, its band is what may be needed"),
        ResultSpec(CAPACITOR, "Capacitor", "capacitance", "solved for, its band is what may be needed"),
        ResultSpec(PULSE, "Pulse", "time"),
        ResultSpec("preferred", "Nearest preferred part", "resistance", "or the capacitor"),
        ResultSpec("pulse_with_preferred", "Pulse with the preferred part", "time"),
    ),
    example={"device": "74LS123", "resistor": "33k", "pulse": "10 ms"},
    function=work,
    solve_group=(RESISTOR, CAPACITOR, PULSE),
)  # fmt: skip
