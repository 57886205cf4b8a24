"""A one-shot's timing: solve for its resistor, capacitor or pulse, and see what a preferred part gives.

The formula used is that of one data sheet; what the others say stands in a table beside it and is never
averaged into the result.
"""

from __future__ import annotations

from dataclasses import replace

from kb.calculators.base import (
    CalculationError,
    Calculator,
    Column,
    Input,
    InputProblem,
    ResultSpec,
    ShownFormula,
    ShownInput,
    Source,
    Table,
    Value,
    Worked,
)
from kb.calculators.monostable_advice import advice, limits
from kb.calculators.one_shot_circuit import Circuit, Parts, choose
from kb.calculators.one_shot_devices import SEEN
from kb.calculators.one_shot_names import NAMES, device, resolve
from kb.calculators.one_shot_timing import CAPACITOR, LEFT, PULSE, RESISTOR, SYMBOLS
from kb.calculators.reading import Given
from kb.calculators.series import NAMES as SERIES
from kb.calculators.series import nearest, read_series
from kb.calculators.working import Band, cell, formula, result, shown
from kb.figures.spec import Axis, FigureSpec, Mark, Series

SERIES_FOR = {RESISTOR: "E24", CAPACITOR: "E6"}
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
    parts = _solve(circuit)
    preferred_what = CAPACITOR if given.solved_for == CAPACITOR else RESISTOR
    series = given.word("series") if given.has("series") else SERIES_FOR[preferred_what]
    preferred = nearest(parts.of(preferred_what), series)
    made = replace(parts, **{preferred_what: preferred})
    made = replace(made, pulse=circuit.solve(PULSE, made.values()))
    table = _by_data_sheet(circuit, parts)
    dimension = CALCULATOR.result(preferred_what).dimension
    return Worked(
        results=(
            result(CALCULATOR, RESISTOR, parts.resistor, circuit.part_band(RESISTOR, parts)),
            result(CALCULATOR, CAPACITOR, parts.capacitor, circuit.part_band(CAPACITOR, parts)),
            result(CALCULATOR, PULSE, parts.pulse, circuit.pulse_band(parts)),
            result(CALCULATOR, "preferred", preferred, given.band(preferred_what, preferred), dimension),
            result(CALCULATOR, "pulse_with_preferred", made.pulse, circuit.pulse_band(made)),
        ),
        formulas=_formulas(circuit, parts, made),
        limits=limits(circuit.device, circuit.supply_v),
        notes=advice(circuit, parts, made, _spread_of_sheets(table)),
        sources=_sources(circuit),
        tables=(table,),
        figure=_figure(circuit, parts, made),
        also_used=_also_used(circuit, series),
    )


def _solve(circuit: Circuit) -> Parts:
    given = circuit.given
    what = given.solved_for or PULSE
    known = {key: given.value(key) if key != what else 0.0 for key in (RESISTOR, CAPACITOR, PULSE)}
    if circuit.solve(PULSE, {"R": 1.0, "C": 1.0}) <= 0:
        supply = given.quantities["supply"].shown
        raise CalculationError(InputProblem("supply", f"{supply} is too low for this formula", "give more"))
    found = circuit.solve(what, Parts(**known).values())
    if found <= 0:
        text = "no resistor gives so short a pulse with this capacitor"
        raise CalculationError(InputProblem(PULSE, text, "choose a smaller capacitor"))
    return Parts(**{**known, what: found})


def _numbers(circuit: Circuit, parts: Parts) -> dict[str, str]:
    constants = circuit.timing.constants(circuit.supply_v)
    plain = {name: f"{constants[name]:g}" for name in ("K", "v") if name in constants}
    return plain | {
        "R": shown(parts.resistor, "resistance"),
        "C": shown(parts.capacitor, "capacitance"),
        "t": shown(parts.pulse, "time"),
        "R0": shown(constants["R0"], "resistance"),
        "V": shown(circuit.supply_v, "voltage"),
        "V_1": "1 V",
    }


def _formulas(circuit: Circuit, parts: Parts, made: Parts) -> tuple[ShownFormula, ...]:
    def one(name: str, what: str, at: Parts) -> ShownFormula:
        expression, numbers = circuit.timing.form.solved_for(what), _numbers(circuit, at)
        answer = shown(at.of(what), CALCULATOR.result(what).dimension)
        return formula(name, LEFT[what], expression, symbols=SYMBOLS, numbers=numbers, answer=answer)

    solved = circuit.given.solved_for or PULSE
    first = one(CALCULATOR.result(solved).label, solved, parts)
    return (first, one("Pulse with the preferred part", PULSE, made))


def _by_data_sheet(circuit: Circuit, parts: Parts) -> Table:
    """What every maker's formula gives with the same parts, the devices taken for this one included."""
    devices = (circuit.device, *(device(name) for name in circuit.device.kin))
    rows = []
    for item in devices:
        for sheet in item.sheets:
            timing = sheet.with_diode if circuit.has_diode and sheet.with_diode else sheet.timing
            pulse = replace(circuit, timing=timing).solve(PULSE, parts.values())
            text = f"{LEFT[PULSE]} = {timing.form.pulse.to_text()}"
            factor = pulse / (parts.resistor * parts.capacitor)
            values: tuple[Value, ...] = (
                item.name,
                sheet.maker,
                text,
                factor,
                pulse,
                sheet.document,
                sheet.status,
            )
            cells = zip(values, COLUMNS, strict=True)
            rows.append(tuple(cell(value, column.dimension) for value, column in cells))
    return Table("By data sheet", COLUMNS, tuple(rows))


def _spread_of_sheets(table: Table) -> Band:
    """The shortest and longest pulse that the sheets of the device itself give."""
    own = table.rows[0][0].value
    pulses = [row[4].value for row in table.rows if row[0].value == own]
    numbers = [value for value in pulses if isinstance(value, float)]
    return min(numbers), max(numbers)


def _sources(circuit: Circuit) -> tuple[Source, ...]:
    sheet = circuit.sheet
    status = sheet.diode_status if circuit.has_diode and sheet.with_diode else sheet.status
    found = [Source(sheet.document, status)]
    if circuit.spread:
        found.append(Source(circuit.spread.text, SEEN))
    if circuit.device.retrigger:
        found.append(Source(circuit.device.retrigger.document, SEEN))
    return tuple(found)


def _also_used(circuit: Circuit, series: str) -> tuple[ShownInput, ...]:
    """The defaults that depend on other inputs, so that no choice stays hidden."""
    chosen = (("maker", circuit.sheet.maker), ("series", series))
    specs = {item.key: item for item in CALCULATOR.inputs}
    return tuple(
        ShownInput(key, specs[key].label, "", value, value, value, specs[key].dimension, False)
        for key, value in chosen
        if not circuit.given.has(key)
    )


def _figure(circuit: Circuit, parts: Parts, made: Parts) -> FigureSpec:
    low, high = circuit.device.resistor_ohm.low, circuit.device.resistor_ohm.high
    least = min(low or parts.resistor / 10, parts.resistor, made.resistor)
    most = max(high or parts.resistor * 10, parts.resistor, made.resistor)
    steps = [(most / least) ** (step / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS)]
    resistors = tuple(least * step for step in steps)
    pulses = tuple(circuit.solve(PULSE, {**parts.values(), "R": ohms}) for ohms in resistors)
    capacitor = shown(parts.capacitor, "capacitance")
    marks = [
        Mark("vertical", ohms, f"{word} {shown(ohms, 'resistance')}")
        for word, ohms in (("least", low), ("greatest", high))
        if ohms
    ]
    return FigureSpec(
        title=f"Pulse of a {circuit.device.name} against its resistor",
        description=(
            f"With {capacitor} the pulse grows with the resistor; the working point is "
            f"{shown(parts.resistor, 'resistance')} and {shown(parts.pulse, 'time')}."
        ),
        x=Axis("Resistor", "resistance", is_log=True),
        y=Axis("Pulse", "time", is_log=True),
        series=(
            Series(f"with {capacitor}", resistors, pulses),
            Series("working point", (parts.resistor,), (parts.pulse,), "points"),
            Series("preferred part", (made.resistor,), (made.pulse,), "points"),
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
